//! A report as text for a terminal. Whatever somebody wrote into a record stays in its own line and behind its own name: a line of its own says the
//! verdict, and nothing else.

use super::write::one_line;
use super::{FindingKind, Report, Verdict};
use crate::columns::columns;

/// The report: who and what, every box with its verdict, and what is to be told.
pub fn text(report: &Report) -> String {
    let [title, set_title, machine] = [&report.title, &report.set_title, &report.machine].map(|text| one_line(text));
    let mut out = format!("{title}\n{set_title}, {machine}\n");
    let named = [
        ("serial", &report.serial),
        ("rev", &report.rev),
        ("card", &report.fingerprint),
        ("by", &report.by),
        ("started", &report.started),
        ("finished", &report.finished),
    ];
    for (name, value) in named.into_iter().filter(|(_, value)| !value.is_empty()) {
        out += &format!("{name}: {}\n", one_line(value));
    }
    for (option, value) in &report.choices {
        out += &format!("{}: {}\n", one_line(option), one_line(value));
    }
    let mut section = |heading: &str, rows: Vec<Vec<String>>| {
        let rows: Vec<Vec<String>> = (rows.iter())
            .map(|row| row.iter().map(|cell| one_line(cell)).collect())
            .collect();
        if !rows.is_empty() {
            out += &format!("\n{heading}\n{}", columns(&rows));
        }
    };
    let reading = |r: &super::Reading| {
        let name = if r.place.is_empty() {
            r.name.clone()
        } else {
            format!("{}, {}", r.name, r.place)
        };
        let value = if r.converted.is_empty() {
            r.value.english()
        } else {
            format!("{} ({})", r.value, r.converted)
        };
        let limit = if r.range.is_empty() {
            r.limit.english()
        } else {
            format!("{} ({})", r.limit, r.range)
        };
        vec![mark(r.verdict), r.step.clone(), name, value, limit, r.working.english()]
    };
    section("Readings", report.readings.iter().map(reading).collect());
    let torque = |t: &super::Tightened| {
        vec![
            mark(t.verdict),
            t.step.clone(),
            t.name.clone(),
            format!(
                "{} of {}",
                if t.tightened.is_empty() { "?" } else { &t.tightened },
                t.of
            ),
            t.figure.english(),
            t.tool.clone(),
        ]
    };
    section("Fasteners", report.torques.iter().map(torque).collect());
    let timer = |t: &super::Timed| vec![mark(t.verdict), t.what.clone(), t.took.clone(), t.rule.english()];
    section("Timers", report.timers.iter().map(timer).collect());
    let hold = |h: &super::Signed| {
        vec![
            mark(h.verdict),
            h.step.clone(),
            h.what.clone(),
            h.by.clone(),
            h.second.clone(),
            h.at.clone(),
        ]
    };
    section("Hold points", report.holds.iter().map(hold).collect());
    let part = |p: &super::Serial| vec![p.name.clone(), p.numbers.join(", ")];
    section("Serial numbers", report.parts.iter().map(part).collect());
    let put_off = |d: &super::Deferral| vec![d.due.clone(), d.what.clone(), d.reason.clone(), d.done.clone()];
    section("Put off in earlier jobs", report.carried.iter().map(put_off).collect());
    section("Put off", report.deferred.iter().map(put_off).collect());
    let finding = |f: &super::LogFinding| {
        let line = if f.line == 0 {
            String::new()
        } else {
            format!("line {}", f.line)
        };
        vec![line, f.kind.word().to_string(), f.message.english()]
    };
    section("To be told", report.findings.iter().map(finding).collect());
    if !report.remarks.is_empty() {
        out += "\nRemarks\n";
        for line in report.remarks.lines() {
            out += &format!("  {}\n", one_line(line));
        }
    }
    out += if report.pass { "\nPASS\n" } else { "\nFAIL\n" };
    out
}

fn mark(verdict: Verdict) -> String {
    match verdict {
        Verdict::Pass => "ok",
        Verdict::Fail => "FAIL",
        Verdict::Missing => "missing",
        Verdict::Coarse => "too coarse",
        Verdict::Empty => "-",
        Verdict::Deferred => "put off",
    }
    .to_string()
}

impl FindingKind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            FindingKind::CardChanged => "card changed",
            FindingKind::Altered => "altered",
            FindingKind::Unreadable => "unreadable",
            FindingKind::Missing => "missing",
            FindingKind::OutOfLimits => "out of limits",
            FindingKind::Overrun => "overrun",
            FindingKind::TooShort => "too short",
            FindingKind::NotTightened => "not tightened",
            FindingKind::NotSigned => "not signed",
            FindingKind::TooCoarse => "too coarse to judge",
            FindingKind::Differs => "differs",
            FindingKind::NotWorkedOut => "can't be worked out",
            FindingKind::CalibrationOver => "calibration over",
            FindingKind::NotTimed => "not timed",
            FindingKind::Stray => "stray",
            FindingKind::DeferredBadly => "deferred badly",
            FindingKind::Deferred => "deferred",
            FindingKind::StillOpen => "still open",
        }
    }
}
