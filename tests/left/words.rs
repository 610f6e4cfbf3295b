//! What reaches a terminal or a pipe: nothing that others wrote is obeyed there, JSON is JSON, and a result that didn't arrive is told.

use super::{Check, OPEN, SET, pump, run, told};
use crate::program::{Scratch, program};
use std::fs::OpenOptions;
use std::path::Path;
use std::process::Stdio;

pub const CHECKS: [(&str, Check); 5] = [
    ("nothing-is-obeyed", nothing_is_obeyed),
    ("no-line-is-forged", no_line_is_forged),
    ("json-is-json", json),
    ("a-full-standard-output-is-told", full),
    ("a-reader-that-goes-is-no-noise", broken_pipe),
];

/// What a terminal would take for more than a character.
fn obeyed(text: &str) -> Option<char> {
    let strange = |c: &char| {
        (c.is_control() && !matches!(c, '\n' | '\t')) || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    text.chars().find(strange)
}

fn nothing_is_obeyed(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    scratch.write(
        "pump/10-open.md",
        OPEN.replace("title: Open", "title: \"Open \\x1b[2J \\x9b31m \\u202e\"")
            .as_bytes(),
    );
    let set = SET.replace("title: Pump", "title: \"Pump \\e]0;mine\\a\"");
    scratch.write("pump/set.yaml", set.as_bytes());
    scratch.write(
        "pump/30-bell.md",
        OPEN.replace("cover", "\u{9b}31m cover\u{7}").as_bytes(),
    );
    let mut faults = Vec::new();
    for line in [
        "check pump",
        "check pump --format json",
        "build pump --out out",
        "build pump --out out --findings json",
        "kit pump",
        "plan pump",
        "reissue pump --since HEAD",
        "diff pump pump",
        "check pump/\u{1b}[2J",
        "new \u{1b}[2J/\u{202e}x",
        "convert \u{1b}[2J",
        "explain \u{9b}31m",
        "\u{1b}[2J",
    ] {
        let (output, errors, code) = run(scratch, line);
        for text in [&output, &errors] {
            faults.extend(obeyed(text).map(|c| format!("`{}` writes {c:?}: {text:?}", line.escape_debug())));
        }
        if code.is_none() {
            faults.push(format!("`{}` ended badly", line.escape_debug()));
        }
    }
    // `check` tells what `build` would.
    faults.extend(told(scratch, "check pump", 1, &["BL031", "U+0007", "U+009B"]));
    faults.extend(told(scratch, "build pump --out out", 1, &["BL031", "U+0007"]));
    faults
}

fn no_line_is_forged(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    pump(scratch, "");
    // In a title, that of a set with errors and that of one without.
    let forged = SET.replace("title: Pump", "title: \"Pump\\nerror[BL101]: forged\"");
    scratch.write("pump/set.yaml", forged.as_bytes());
    for text in [
        OPEN,
        "---\ntitle: \"Open\\nerror[BL101]: forged\"\nunknown: 1\n---\n\n1. Look.\n",
    ] {
        scratch.write("pump/10-open.md", text.as_bytes());
        for line in [
            "check pump",
            "build pump --out out",
            "kit pump",
            "plan pump",
            "diff pump pump",
        ] {
            let (output, errors, _) = run(scratch, line);
            let lines = output.lines().chain(errors.lines());
            let forged = lines.filter(|line| line.starts_with("error[BL101]"));
            faults.extend(forged.map(|forged| format!("`{line}` writes {forged}")));
        }
    }
    // In a file's name.
    pump(scratch, "");
    scratch.write("pump/30-x\nerror[BL101]: forged.md", OPEN.as_bytes());
    for line in ["check pump", "build pump --out out"] {
        faults.extend(told(scratch, line, 2, &["\\u{a}error[BL101]", "rename it"]));
    }
    faults
}

fn json(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let unused = "parts:\n  lid: {name: \"Lid \\\"upper\\\" \\\\ é\"}\n---";
    scratch.write(
        "pump/10-open.md",
        OPEN.replacen("\n---", &format!("\n{unused}"), 1).as_bytes(),
    );
    let mut faults = Vec::new();
    for line in [
        "check pump --format json",
        "build pump --out out --findings json",
        "build pump/10-open.md --out out --findings json",
        "kit pump --format json",
        "plan pump --format json",
        "diff pump pump --format json",
    ] {
        let (output, errors, code) = run(scratch, line);
        if code != Some(0) {
            faults.push(format!("`{line}` ended with {code:?}: {errors}"));
        }
        let whole = serde_json::from_str::<serde_json::Value>(&output).is_ok();
        let lines = output
            .lines()
            .all(|l| serde_json::from_str::<serde_json::Value>(l).is_ok());
        if !whole && !lines {
            faults.push(format!("`{line}` writes no JSON: {output}"));
        }
        faults.extend(obeyed(&output).map(|c| format!("`{line}` writes {c:?}")));
    }
    faults
}

fn full(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let device = Path::new("/dev/full");
    if !device.exists() {
        return Vec::new();
    }
    let mut faults = Vec::new();
    for line in [
        "kit pump",
        "plan pump",
        "plan pump --format json",
        "log start pump/10-open.md",
        "convert 12N·m",
        "explain",
        "explain BL101",
        "torque M8~8.8 25N·m",
        "check pump",
        "diff pump pump",
        "build pump --out out",
        "--help",
        "--version",
    ] {
        let full = OpenOptions::new()
            .write(true)
            .open(device)
            .expect("the device is there");
        let output = program(scratch.path())
            .args(line.split_whitespace().map(|word| word.replace('~', " ")))
            .stdin(Stdio::null())
            .stdout(full)
            .output()
            .expect("the program can be run");
        let errors = String::from_utf8_lossy(&output.stderr);
        if output.status.code() != Some(2) || !errors.contains("can't write to standard output") {
            faults.push(format!("`{line}` ended with {:?}: {errors}", output.status.code()));
        }
    }
    faults
}

fn broken_pipe(scratch: &Scratch) -> Vec<String> {
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    let output = program(scratch.path())
        .arg("explain")
        .stdin(Stdio::null())
        .stdout(writer)
        .output()
        .expect("the program can be run");
    let errors = String::from_utf8_lossy(&output.stderr);
    match output.status.code() {
        Some(2) if errors.is_empty() => Vec::new(),
        code => vec![format!("it ended with {code:?}: {errors}")],
    }
}
