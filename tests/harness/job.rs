//! What stands around the cards, as text: kits, plans, calculations, job records.

use super::{Checked, Files, check};
use benchleaf_core::cards::{self, sheets};
use benchleaf_core::check::Facts;
use benchleaf_core::check::ledger::carried;
use benchleaf_core::check::walk::{Flow, play};
use benchleaf_core::model::{Choices, Set};
use benchleaf_core::plan::{Ask, Plan};
use benchleaf_core::record::fields;
use benchleaf_core::{kit, plan, record as log};
use benchleaf_domain::timer::Duration;
use std::collections::BTreeMap;

/// What the head of a fixture asks for: lines of `name: value`.
pub type Wanted = BTreeMap<String, String>;

/// The lines of `name: value` before the first file of a fixture.
pub fn wanted(text: &str) -> Wanted {
    let head = text.lines().take_while(|line| !line.starts_with("=== "));
    let pair = |line: &str| {
        line.split_once(": ")
            .map(|(name, value)| (name.to_string(), value.to_string()))
    };
    head.filter_map(pair).filter(|(name, _)| !name.contains(' ')).collect()
}

/// The one set of some files, which must be free of errors.
fn one(checked: &Checked) -> Result<(&Set, &Facts), String> {
    if checked.compilation.has_errors() {
        return Err(checked.listing());
    }
    let (sets, facts) = (&checked.compilation.model.sets, &checked.compilation.facts);
    sets.first()
        .zip(facts.first())
        .ok_or_else(|| "there is no set".to_string())
}

/// The choices that a line of a fixture asks for: `seals=renew, oil=thin`.
fn choices(set: &Set, words: Option<&String>) -> Result<Choices, String> {
    let mut choices = Choices::defaults(&set.catalogue);
    for word in words.iter().flat_map(|w| w.split(", ")).filter(|w| !w.is_empty()) {
        let (option, value) = word.split_once('=').ok_or_else(|| format!("`{word}` is no choice"))?;
        match choices.choose(&set.catalogue, option, value) {
            Ok(true) => {}
            _ => return Err(format!("no option takes `{word}`")),
        }
    }
    Ok(choices)
}

/// A kit, or the comparison of two: as a table, as CSV, as JSON.
pub fn kit(files: &Files, wanted: &Wanted) -> Result<(String, String, serde_json::Value), String> {
    let checked = check(files);
    let (set, facts) = one(&checked)?;
    let one = kit::kit(set, facts, &choices(set, wanted.get("with"))?);
    let words = |e: &dyn std::fmt::Display| e.to_string();
    let Some(against) = wanted.get("against") else {
        let csv = kit::csv(&one).map_err(|e| words(&e))?;
        return Ok((
            kit::table(&one),
            csv,
            serde_json::to_value(&one).map_err(|e| words(&e))?,
        ));
    };
    let other = kit::kit(set, facts, &choices(set, Some(against))?);
    let both = kit::compare(&one, &other);
    let csv = kit::comparison_csv(&both).map_err(|e| words(&e))?;
    Ok((
        kit::comparison_table(&both),
        csv,
        serde_json::to_value(&both).map_err(|e| words(&e))?,
    ))
}

/// A plan, as a table and as a calendar.
pub fn plan(files: &Files, wanted: &Wanted) -> Result<(Plan, String, String), String> {
    let checked = check(files);
    let (set, facts) = one(&checked)?;
    let time = |name: &str, usual: &str| {
        let text = wanted.get(name).map_or(usual, String::as_str);
        Duration::parse(text).map_err(|e| e.message())
    };
    let start = |name: &str| wanted.get(name).and_then(|t| t.parse::<jiff::civil::DateTime>().ok());
    let ask = Ask {
        sitting: wanted.get("sitting").map(|_| time("sitting", "")).transpose()?,
        every: time("every", "24 h")?,
        unstated: time("step", "0 s")?,
        start: start("start"),
    };
    let made = plan::plan(set, facts, &choices(set, wanted.get("with"))?, &ask);
    let calendar = start("stamp")
        .and_then(|stamp| plan::calendar(&made, stamp))
        .unwrap_or_default();
    let table = plan::table(&made);
    Ok((made, table, calendar))
}

/// Where plans of the sets of some files, in sittings of a length, stop with something open, or work longer than the sitting without
/// saying so.
pub fn bad_stops(files: &Files, sitting: &str) -> Result<Vec<String>, String> {
    let checked = check(files);
    let mut faults = Vec::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        let time = |text: &str| Duration::parse(text).map_err(|e| e.message());
        let ask = Ask {
            sitting: Some(time(sitting)?),
            every: time("24 h")?,
            unstated: time("3 min")?,
            start: None,
        };
        let plan = plan::plan(set, facts, &choices, &ask);
        let carried = carried(&play(&Flow::new(set), &choices));
        let longest = ask.sitting.map_or(0, |s| s.seconds().try_into().unwrap_or(0));
        for sitting in &plan.sittings {
            let Some(last) = sitting.work.last() else { continue };
            let of_last = set.procedures.find(&last.procedure).and_then(|id| carried.of(id));
            let mut gaps = of_last.iter().flat_map(|carried| &carried.gaps);
            let gap = gaps.find(|gap| gap.after.to_string() == last.to);
            if gap.is_none_or(|gap| !gap.is_safe()) {
                faults.push(format!("{}: stops after {} {}", set.id, last.procedure, last.to));
            }
            if sitting.end.seconds - sitting.start.seconds > longest && plan.remarks.is_empty() {
                faults.push(format!("{}: sitting {} is too long", set.id, sitting.number));
            }
        }
        let done: usize = plan.sittings.iter().map(|s| s.work.len()).sum();
        if done == 0 || !plan.optimal {
            faults.push(format!("{}: {done} stretches of work, best: {}", set.id, plan.optimal));
        }
    }
    Ok(faults)
}

/// Every calculation of a set as its card prints it: in words, and the lines to fill in.
pub fn workings(files: &Files) -> Result<String, String> {
    let checked = check(files);
    let (set, facts) = one(&checked)?;
    let choices = Choices::defaults(&set.catalogue);
    let mut out = String::new();
    for procedure in set.procedures.ids() {
        let card = cards::card(&checked.files, set, facts, procedure, &choices);
        for row in card.measurements.iter().filter(|m| !m.calc.is_empty()) {
            out += &format!("{} = {}\n", row.name, row.calc);
            row.working.iter().for_each(|line| out += &format!("  {line}\n"));
        }
    }
    Ok(out)
}

/// The report of a filled-in record against the sets of some files, with the fingerprint of the card as it is now.
pub fn record(files: &Files, text: &str, current: &str) -> Result<log::Report, String> {
    record_with(files, text, &[], current)
}

/// The same with records of other cards.
pub fn record_with(files: &Files, text: &str, earlier: &[&str], current: &str) -> Result<log::Report, String> {
    let earlier = earlier
        .iter()
        .map(|t| log::read(t))
        .collect::<Result<Vec<_>, String>>()?;
    let filled = log::read(text)?;
    let checked = check(files);
    let (sets, facts) = (&checked.compilation.model.sets, &checked.compilation.facts);
    let found = sets.iter().zip(facts).find(|(set, _)| set.id == filled.text("set"));
    let (set, facts) = found.ok_or("there is no such set")?;
    log::judge(set, facts, &filled, &earlier, current)
}

/// A report as text.
pub fn record_text(report: &log::Report) -> String {
    log::text(report)
}

/// A record to fill in for a procedure of a set, with what earlier records of the machine put off.
pub fn begun(
    files: &Files,
    (set, procedure): (&str, &str),
    fingerprint: &str,
    serial: &str,
    earlier: &[&str],
) -> Result<String, String> {
    let checked = check(files);
    let set = checked
        .compilation
        .model
        .sets
        .iter()
        .find(|s| s.id == set)
        .ok_or("there is no such set")?;
    let procedure = set.procedures.find(procedure).ok_or("there is no such procedure")?;
    let form = log::form(set, procedure, &Choices::defaults(&set.catalogue));
    let earlier = earlier
        .iter()
        .map(|text| log::read(text))
        .collect::<Result<Vec<_>, String>>()?;
    Ok(log::write(
        set,
        &form,
        fingerprint,
        serial,
        &log::carry(&earlier, serial),
    ))
}

/// Makes everything that can be made of every set, whatever is wrong with it: what is not as it must be. None of it may panic.
pub fn faults(checked: &Checked) -> Vec<String> {
    let mut faults = Vec::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        let kit = kit::kit(set, facts, &choices);
        let _ = (
            kit::table(&kit),
            kit::csv(&kit),
            kit::comparison_table(&kit::compare(&kit, &kit)),
        );
        let ask = Ask {
            sitting: Duration::parse("1 h").ok(),
            every: Duration::parse("24 h").unwrap_or_else(|_| Duration::zero()),
            unstated: Duration::zero(),
            start: None,
        };
        let plan = plan::plan(set, facts, &choices, &ask);
        let _ = plan::table(&plan);
        let identity = || sheets::identity(set, &choices, "sheet", "Sheet".into());
        let _ = (
            kit::leaf::sheet(identity(), sheets::cards(set, &choices), &kit),
            plan::leaf::sheet(plan::basis(set, &choices), &plan),
        );
        for procedure in set.procedures.ids() {
            let _ = cards::card(&checked.files, set, facts, procedure, &choices);
            // No job is begun on a set with errors.
            if checked.compilation.blocks(&checked.files, set) {
                continue;
            }
            let form = log::form(set, procedure, &choices);
            let text = log::write(set, &form, "", "", &[]);
            match log::read(&text).and_then(|filled| log::judge(set, facts, &filled, &[], "")) {
                Ok(report) => {
                    let _ = log::text(&report);
                    let _ = log::leaf::sheet(report, &set.language, "a4");
                }
                Err(words) => faults.push(format!("a record just begun can't be judged: {words}")),
            }
        }
    }
    faults
}

/// True for the name of a field of a record, or of one in a list of it.
pub fn is_field(name: &str) -> bool {
    let of_list = |list: &fields::List| list.name == name || list.fields.contains(&name);
    fields::TEXTS.contains(&name) || fields::MAPS.contains(&name) || fields::LISTS.iter().any(of_list)
}
