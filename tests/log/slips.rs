//! Slips of the pen in an otherwise good record: each is told, once, as what it is.

use super::{demo, filled, is};
use crate::harness::{Outcome, job};
use libtest_mimic::Trial;

/// A slip: its name, what is written instead of what, and what is told, as `kind: message`.
type Slip = (
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static [&'static str],
);

const SLIPS: &[Slip] = &[
    ("none", &[], &[]),
    (
        "by-hand-too-coarse",
        &[(PACK, "step: \"4.7\"\n    value: \"1\"")],
        &[
            "out of limits: worm shim pack (step 4.7) is 1 mm, and the limit is 0.34–0.84 mm",
            "differs: worm shim pack (step 4.7) is 1 mm by hand, and its readings give 0.548 mm: write it to 0.01 mm",
        ],
    ),
    (
        "by-hand-wrong",
        &[(PACK, "step: \"4.7\"\n    value: \"0.56\"")],
        &["differs: worm shim pack (step 4.7) is 0.56 mm by hand, and its readings give 0.548 mm"],
    ),
    ("by-hand-finer", &[(PACK, "step: \"4.7\"\n    value: \"0.5475\"")], &[]),
];

const PACK: &str = "step: \"4.7\"\n    value: \"0.55\"";

/// The record of the fixture without its faults.
fn good() -> String {
    let faults = [
        ("\"72.035\"", "\"72.015\""),
        ("value: \"0.09\"", "value: \"0.05\""),
        ("18:44:45", "18:43:45"),
        ("step: \"7.9\"\n    value: \"\"", "step: \"7.9\"\n    value: \"0.5\""),
        ("what: \"drag\"", "what: \"\""),
        ("the dial torque gauge is away for calibration", ""),
        ("\"2026-06-30\"", "\"\""),
    ];
    faults.iter().fold(filled(), |text, (from, to)| text.replace(from, to))
}

pub fn trials() -> Vec<Trial> {
    let trial = |(name, edits, told): &'static Slip| Trial::test(format!("log/slips/{name}"), || slip(edits, told));
    SLIPS.iter().map(trial).collect()
}

fn slip(edits: &[(&str, &str)], told: &[&str]) -> Outcome {
    let mut text = good();
    for (from, to) in edits {
        if !text.contains(from) {
            return Err(format!("the record has no `{from}`").into());
        }
        text = text.replacen(from, to, 1);
    }
    let report = job::record(&demo(), &text, "")?;
    let found: Vec<String> = report
        .findings
        .iter()
        .map(|f| format!("{}: {}", f.kind.word(), f.message))
        .collect();
    let fails = report.findings.iter().any(|f| f.kind.fails());
    is(&found, &format!("{told:?}"))?;
    is(&report.pass, &(!fails).to_string())
}
