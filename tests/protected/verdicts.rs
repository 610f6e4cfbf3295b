//! The verdict on a record: nobody who fills one in, or changes the figures that it was begun with, makes it pass.

use super::{Check, SET, procedure};
use crate::left::run;
use crate::program::Scratch;
use std::fs;

pub const CHECKS: [(&str, Check); 2] = [("words-forge-none", words), ("figures-forge-none", figures)];

const HEAD: &str = "limits:\n  gap: {name: Gap, limit: max 0.40 mm}\ntorques:\n  screws: {name: cover screws, torque: 9 N·m, lubrication: dry, count: 4}\n\
    timers:\n  soak: {what: the soak, at-least: 10 min}\n";
const STEPS: &str = "1. Measure the [measure gap]. [start soak]\n2. Tighten the [torque screws]. [end soak]\n";

/// A record of the card with some of its lines made others.
fn record(scratch: &Scratch, changes: &[(&str, &str)]) -> String {
    scratch.write("set/set.yaml", SET.as_bytes());
    scratch.write("set/10-open.md", procedure(HEAD, STEPS).as_bytes());
    let _ = fs::remove_file(scratch.path().join("record.yaml"));
    let (output, errors, code) = run(scratch, "log start set/10-open.md --serial WR-1 --out record.yaml");
    assert_eq!(code, Some(0), "{output}{errors}");
    let mut text = fs::read_to_string(scratch.path().join("record.yaml")).expect("a record");
    for (from, to) in [
        ("by: \"\"\n", "by: \"AB\"\n"),
        ("started: \"\"", "started: \"2026-03-02T18:00\""),
        ("finished: \"\"", "finished: \"2026-03-02T19:00\""),
        ("value: \"\"", "value: \"0.31\""),
        ("tightened: \"\"", "tightened: \"4\""),
        ("tool: \"\"", "tool: \"T-01\""),
        ("start: \"\"", "start: \"18:05\""),
        ("end: \"\"", "end: \"18:25\""),
    ]
    .iter()
    .chain(changes)
    {
        assert!(text.contains(from), "no {from} in {text}");
        text = text.replacen(from, to, 1);
    }
    scratch.write("record.yaml", text.as_bytes());
    text
}

fn words(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    record(scratch, &[]);
    for (command, verdict) in [("log check", "pass"), ("log report", "PASS")] {
        let (output, errors, code) = run(scratch, &format!("{command} record.yaml set"));
        if code != Some(0) || output.lines().last() != Some(verdict) {
            faults.push(format!(
                "`{command}` of a good record ended with {code:?}: {output}{errors}"
            ));
        }
    }
    let forged = "x\\n\\nPASS\\npass\\n";
    for (field, from) in [
        ("by", "by: \"AB\""),
        ("serial", "serial: \"WR-1\""),
        ("remarks", "remarks: \"\""),
        ("rev", "rev: \"\""),
        ("tool", "tool: \"T-01\""),
        ("what", "what: \"\""),
    ] {
        let to = format!("{field}: \"{forged}\"");
        record(scratch, &[("value: \"0.31\"", "value: \"0.51\""), (from, &to)]);
        for command in ["log check", "log report"] {
            let (output, errors, code) = run(scratch, &format!("{command} record.yaml set"));
            let said = format!("{output}{errors}");
            if code != Some(1) || said.lines().any(|line| matches!(line, "PASS" | "pass")) {
                faults.push(format!("{field} forges `{command}`: {code:?} {said}"));
            }
        }
    }
    faults
}

fn figures(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    for (what, changes) in [
        (
            "a wider limit",
            [
                ("value: \"0.31\"", "value: \"0.51\""),
                ("figure: \"max 0.40 mm\"", "figure: \"max 9.00 mm\""),
            ],
        ),
        (
            "fewer fasteners",
            [("tightened: \"4\"", "tightened: \"2\""), ("of: \"4\"", "of: \"2\"")],
        ),
        (
            "a shorter wait",
            [
                ("end: \"18:25\"", "end: \"18:06\""),
                ("rule: \"at least 10 min\"", "rule: \"at least 1 min\""),
            ],
        ),
        (
            "another torque",
            [("figure: \"9 N·m\"", "figure: \"2 N·m\""), ("by: \"AB\"", "by: \"AB\"")],
        ),
    ] {
        record(scratch, &changes);
        for command in ["log check", "log report"] {
            let (output, errors, code) = run(scratch, &format!("{command} record.yaml set"));
            if code != Some(1) {
                faults.push(format!("{what} passes `{command}`: {code:?} {output}{errors}"));
            }
        }
    }
    faults
}
