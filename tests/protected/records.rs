//! The record of a job: what `log start` begins, `log check` reads.

use super::{Check, SET, procedure};
use crate::left::run;
use crate::program::Scratch;

pub const CHECKS: [(&str, Check); 1] = [("what-is-begun-can-be-read", begun)];

fn begun(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    scratch.write(
        "set/set.yaml",
        SET.replace("title: Pump", "title: \"Pump # 1: \\\"a\\\" 'b'\"")
            .as_bytes(),
    );
    let head = "limits:\n  gap: {name: \"Gap: # 'x' \\\"y\\\" {z}\", limit: max 0.4 mm, where: [\"a: b\", \"# c\", \"'\", \"\\\"\", \"\\\\\", \"*d\", \"&e\", \"- f\", \"{g}\", \"yes\", \"null\", \"1\", \"~\"]}\n\
        timers:\n  soak: {what: \"Soak: # x\", at-least: 10 min}\nholds:\n  seen: {what: \"Seen: # x\"}\n\
        parts:\n  ring: {name: \"Ring: # x\", fitted: no}\n";
    scratch.write(
        "set/10-open.md",
        procedure(
            head,
            "1. Measure the [measure gap]. [start soak]\n2. Fit the [fit ring]. [end soak]\n3. Wait. [hold seen]\n",
        )
        .as_bytes(),
    );
    let mut serials: Vec<String> = [
        "WR-1", "a: b", "# c", "'", "\"", "\\", "*d", "- f", "{g}", "yes", "null", "~", " x ", "ä ö", "1e5", "0x1f",
        "", "%", "@", "`", "!x", "|", ">",
    ]
    .map(String::from)
    .into();
    serials.extend(
        [
            "\u{7}",
            "a\nb",
            "a\tb",
            "\u{85}",
            "\u{2028}",
            "\u{feff}x",
            "\u{202e}x",
            "\u{7f}",
            "a\r\nb",
        ]
        .map(String::from),
    );
    for (n, serial) in serials.iter().enumerate() {
        let file = format!("record-{n}.yaml");
        let mut line: Vec<String> = ["log", "start", "set/10-open.md", "--out", &file]
            .map(String::from)
            .into();
        line.push(format!("--serial={serial}"));
        let (output, errors, code) = scratch.run(&line);
        let there = scratch.path().join(&file).exists();
        if (code == Some(0)) != there {
            faults.push(format!(
                "serial {serial:?}: ended with {code:?}, and a record is there: {there}: {output}{errors}"
            ));
        }
        if !there {
            let control = serial
                .chars()
                .any(|c| c.is_control() || "\u{2028}\u{feff}\u{202e}".contains(c));
            if !control || code != Some(2) || !errors.contains("--serial") {
                faults.push(format!("serial {serial:?} is refused: {code:?} {output}{errors}"));
            }
            continue;
        }
        let (output, errors, code) = run(scratch, &format!("log check {file} set --format json"));
        // Nothing is filled in, so it fails; that it can't be read would be another end.
        if code != Some(1) || !errors.is_empty() || !output.contains("missing") {
            faults.push(format!(
                "serial {serial:?}: what was begun ends with {code:?}: {output}{errors}"
            ));
        }
        if output.contains("unreadable") || output.contains("isn't one of the card") {
            faults.push(format!("serial {serial:?}: what was begun isn't as it was: {output}"));
        }
    }
    faults
}
