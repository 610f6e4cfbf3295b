//! A form as YAML to be filled in: an empty pair of quotes is a box, what the box is for stands beside it as a remark.

use super::FORM;
use super::{Deferral, Form};
use crate::model::registers::{Span, Timer, Torque};
use crate::model::{Set, StepNumber};

/// ` (left)`, for the member of a group that something is of.
fn named(member: &str) -> String {
    match member {
        "" => String::new(),
        member => format!(" ({member})"),
    }
}

/// Serial numbers asked for of one part: a bag of fifty washers has none.
const MOST_NUMBERS: u32 = 12;

/// The record to fill in. `fingerprint` is that of the card as it is now, `serial` that of the machine, and `carried` what earlier jobs
/// on it put off; each may be empty.
pub fn write(set: &Set, form: &Form, fingerprint: &str, serial: &str, carried: &[Deferral]) -> String {
    let procedure = &set.procedures[form.procedure];
    let mut out = String::new();
    let mut line = |text: String| out.extend([text.as_str(), "\n"]);
    line(format!(
        "# Job record: {}. Fill in between the quotes.",
        one_line(&procedure.title)
    ));
    line(
        "# A reading without a unit is in the unit of its limit. Times: 2026-03-02T18:05, or 18:05 within one day."
            .to_string(),
    );
    line(format!("log: {FORM}"));
    line(format!("set: {}", quoted(&set.id)));
    line(format!("procedure: {}", quoted(&procedure.id)));
    line(format!("rev: {}", quoted(&procedure.rev)));
    line(format!("fingerprint: {}", quoted(fingerprint)));
    line(format!(
        "serial: {}  # of the machine: {}",
        quoted(serial),
        one_line(&set.machine)
    ));
    for field in ["by", "started", "finished"] {
        line(format!("{field}: \"\""));
    }
    if !form.choices.is_empty() {
        line("options:".to_string());
        for (option, value) in &form.choices {
            line(format!("  {}: {}", quoted(option), quoted(value)));
        }
    }
    if !form.readings.is_empty() {
        line("readings:".to_string());
    }
    for reading in &form.readings {
        let def = set.catalogue.limits.get(reading.limit);
        let limit = def
            .value
            .limit
            .as_ref()
            .map_or_else(String::new, |l| format!(", {}", l.value));
        let how = match (&def.value.calc, set.links.gauges.get(&reading.limit)) {
            (Some(calc), _) => format!(", worked out: {}", calc.text),
            (None, Some(gauge)) => format!(", with {}", set.catalogue.tools[*gauge].name),
            (None, None) => String::new(),
        };
        let member = named(&reading.member);
        line(format!(
            "  # {}",
            one_line(&format!("{}{member}{limit}{how}", def.value.name))
        ));
        line(format!("  - limit: {}", quoted(&def.id.text)));
        line(format!("    step: {}", quoted(&reading.step.to_string())));
        if !reading.member.is_empty() {
            line(format!("    member: {}", quoted(&reading.member)));
        }
        let figure = def.value.limit.as_ref();
        let figure = figure.map(|limit| format!("    figure: {}", quoted(&limit.value.to_string())));
        if reading.places.len() == 1 {
            line("    value: \"\"".to_string());
            figure.into_iter().for_each(&mut line);
            continue;
        }
        line("    values:".to_string());
        for place in reading.places.names() {
            line(format!("      {}: \"\"", quoted(&place)));
        }
        figure.into_iter().for_each(&mut line);
    }
    if !form.torques.is_empty() {
        line("torques:".to_string());
    }
    for torque in &form.torques {
        let def = set.catalogue.torques.get(torque.torque);
        line(format!(
            "  # {}: how many of {}",
            one_line(&format!("{}{}", def.value.name, named(&torque.member))),
            def.value.count()
        ));
        line(format!("  - torque: {}", quoted(&def.id.text)));
        line(format!("    step: {}", quoted(&torque.step.to_string())));
        if !torque.member.is_empty() {
            line(format!("    member: {}", quoted(&torque.member)));
        }
        line("    tightened: \"\"".to_string());
        line("    tool: \"\"".to_string());
        line(format!("    figure: {}", quoted(&figure(&def.value))));
        line(format!("    of: {}", quoted(&def.value.count().to_string())));
    }
    if !form.timers.is_empty() {
        line("timers:".to_string());
    }
    for run in &form.timers {
        let def = set.catalogue.timers.get(run.timer);
        line(format!("  # {}: {}", one_line(&def.value.what), rule(&def.value)));
        line(format!("  - timer: {}", quoted(&def.id.text)));
        let at = |step: Option<StepNumber>| step.map_or("on another card".to_string(), |s| format!("step {s}"));
        line(format!("    start: \"\"  # {}", at(run.start)));
        line(format!("    end: \"\"  # {}", at(run.end)));
        line(format!("    rule: {}", quoted(&rule(&def.value))));
    }
    if !form.holds.is_empty() {
        line("holds:".to_string());
    }
    for hold in &form.holds {
        let def = set.catalogue.holds.get(hold.hold);
        line(format!("  # {}", one_line(&def.value.what)));
        line(format!("  - hold: {}", quoted(&def.id.text)));
        line(format!("    step: {}", quoted(&hold.step.to_string())));
        line("    by: \"\"".to_string());
        if def.value.second_person {
            line("    second: \"\"  # somebody else".to_string());
        }
        line("    at: \"\"".to_string());
    }
    if !form.parts.is_empty() {
        line("# Serial numbers, where the parts have any.".to_string());
        line("parts:".to_string());
    }
    for (part, count) in &form.parts {
        let def = set.catalogue.parts.get(*part);
        let boxes = vec!["\"\""; (*count).clamp(1, MOST_NUMBERS) as usize];
        line(format!(
            "  {}: [{}]  # {}",
            quoted(&def.id.text),
            boxes.join(", "),
            one_line(&def.value.name)
        ));
    }
    if !carried.is_empty() {
        line(
            "# Put off in earlier jobs on this machine: say who did it and when, or put it off again below."
                .to_string(),
        );
        line("carried:".to_string());
    }
    for deferral in carried {
        line(format!("  - what: {}", quoted(&deferral.what)));
        line(format!("    from: {}", quoted(&deferral.from)));
        line(format!("    reason: {}", quoted(&deferral.reason)));
        line(format!("    due: {}", quoted(&deferral.due)));
        line("    done: \"\"".to_string());
    }
    line("# Put off: the id from above or words, why, and until when (2026-06-30).".to_string());
    line("deferred:".to_string());
    line("  - what: \"\"".to_string());
    line("    reason: \"\"".to_string());
    line("    due: \"\"".to_string());
    line("remarks: \"\"".to_string());
    out
}

/// `within 3 min`, `at least 12 h`.
pub(super) fn rule(timer: &Timer) -> String {
    match &timer.span {
        Some(Span::Within(time)) => format!("within {}", time.value),
        Some(Span::AtLeast(time)) => format!("at least {}", time.value),
        None => String::new(),
    }
}

/// The figure of a torque as a record carries it: its stages parted by commas.
pub(super) fn figure(torque: &Torque) -> String {
    let stages: Vec<String> = torque.stages.iter().map(|s| s.value.to_string()).collect();
    stages.join(", ")
}

/// A YAML string in double quotes: JSON's are a part of YAML's.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

pub(super) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
