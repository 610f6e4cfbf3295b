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
    (
        "timer-ends-before-it-starts",
        &[("end: \"19:40\"", "end: \"18:20\"")],
        &["unreadable: Bearings cool to the room (step 3.4) ends before it starts: add the date"],
    ),
    (
        "timer-over-midnight",
        &[
            ("finished: \"2026-03-02T21:10\"", "finished: \"2026-03-03T01:10\""),
            ("end: \"19:40\"", "end: \"00:20\""),
        ],
        &[],
    ),
    (
        "timer-without-a-start",
        &[("start: \"18:45\"", "start: \"\"")],
        &["missing: the start of Bearings cool to the room (step 2.9) is missing"],
    ),
    (
        "finished-before-started",
        &[("finished: \"2026-03-02T21:10\"", "finished: \"2026-03-02T17:30\"")],
        &["unreadable: it was finished before it was started"],
    ),
    (
        "hold-at-no-time",
        &[("at: \"21:05\"", "at: \"late\"")],
        &["unreadable: `late` is no time: write 18:05"],
    ),
    (
        "hold-at-empty",
        &[("at: \"21:05\"", "at: \"\"")],
        &["missing: when hold `pattern-set` (step 7.10) was signed is missing"],
    ),
    (
        "hold-signed-twice-by-one",
        &[("second: \"B. Invented\"", "second: \"a.  invented \"")],
        &["not signed: hold `pattern-set` (step 7.10) is signed twice by the same person"],
    ),
    (
        "hold-put-off",
        &[
            ("by: \"A. Invented\"\n    second", "by: \"\"\n    second"),
            (
                "what: \"\"\n    reason: \"\"\n    due: \"\"",
                "what: \"pattern-set\"\n    reason: \"nobody there\"\n    due: \"2026-06-30\"",
            ),
        ],
        &[
            "not signed: hold `pattern-set` (step 7.10) is not signed",
            "deferred badly: pattern-set is a hold point and can't be put off",
        ],
    ),
    (
        "due-before-the-job",
        &[(
            "what: \"\"\n    reason: \"\"\n    due: \"\"",
            "what: \"the paint\"\n    reason: \"rain\"\n    due: \"2020-01-01\"",
        )],
        &["deferred badly: the paint is put off until 2020-01-01, before this job began"],
    ),
    (
        "torque-once-more",
        &[(
            "timers:",
            "  - {torque: left-cover-bolts, step: \"6.9\", tightened: \"5\"}\ntimers:",
        )],
        &[
            "unreadable: torque `left-cover-bolts` at step 6.9 is written once more than the card asks for it: leave the one that counts",
        ],
    ),
    (
        "key-twice",
        &[(
            "    by: \"A. Invented\"\n",
            "    by: \"A. Invented\"\n    by: \"C. Invented\"\n",
        )],
        &["unreadable: `by` is written twice here: only one of them can be read"],
    ),
    (
        "parts",
        &[
            ("\"4711\", \"4712\"", "\"4711\", \"4711\", \"4712\""),
            ("\"cover-rings-new\": [\"\"", "\"cover-rnigs\": [\"1\""),
            ("remarks:", "remark: \"none\"\nremarks:"),
        ],
        &[
            "differs: serial number 4711 of `worm-bearings-new` is written twice",
            "stray: `worm-bearings-new` has 3 serial numbers, and the card fits 2",
            "stray: the card has no part `cover-rnigs` to fit",
            "stray: a record has no field `remark`",
        ],
    ),
    (
        "revision-of-another-card",
        &[("rev: \"A\"", "rev: \"B\"")],
        &["card changed: the record is of revision B, and the card is of revision A"],
    ),
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
