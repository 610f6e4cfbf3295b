//! What the program leaves behind, run as it is: folders of cards whole, old or new; what isn't ours untouched; nothing read from outside;
//! nothing obeyed by a terminal; a result that didn't arrive told.
//!
//! The trials that take minutes are ignored unless asked for; `.ci/long` asks.

mod asked;
mod folder;
mod kept;
mod long;
mod many;
mod mended;
mod words;

use crate::harness::Outcome;
use crate::program::Scratch;
use libtest_mimic::Trial;
use std::collections::BTreeMap;

/// A procedure with one torque, whose figure is the card's.
pub const OPEN: &str = "---\ntitle: Open\ntried: 2026-01-02\n---\n\n1. Take off the cover.\n";

pub const SET: &str = "machine: Invented pump\ntitle: Pump\nrev: A\ndate: 2026-01-02\n";

pub fn close(torque: &str) -> String {
    format!(
        "---\ntitle: Close\ntried: 2026-01-02\ntorques:\n  screws: {{name: cover screws, fastener: M6x1 8.8, count: 4, torque: {torque}, lubrication: dry}}\n\
         ---\n\n1. Put the cover on.\n2. Tighten the [torque screws].\n"
    )
}

/// Gives what is wrong, one fault a line.
type Check = fn(&Scratch) -> Vec<String>;

pub fn trials() -> Vec<Trial> {
    let checks = folder::CHECKS
        .iter()
        .chain(&kept::CHECKS)
        .chain(&asked::CHECKS)
        .chain(&words::CHECKS)
        .chain(&mended::CHECKS);
    let quick = checks.map(|(name, check)| trial(name, *check));
    let long = long::CHECKS
        .iter()
        .map(|(name, check)| trial(name, *check).with_ignored_flag(true));
    quick.chain(long).collect()
}

fn trial(name: &'static str, check: Check) -> Trial {
    let run = move || -> Outcome {
        let scratch = Scratch::new(&format!("left-{name}"));
        let faults = check(&scratch);
        if faults.is_empty() {
            Ok(())
        } else {
            Err(faults.join("\n").into())
        }
    };
    Trial::test(format!("left/{name}"), run)
}

/// A set of two procedures in the folder `pump` below another.
pub fn pump(scratch: &Scratch, below: &str) {
    scratch.write(&format!("{below}pump/set.yaml"), SET.as_bytes());
    scratch.write(&format!("{below}pump/10-open.md"), OPEN.as_bytes());
    scratch.write(&format!("{below}pump/20-close.md"), close("8 N·m").as_bytes());
}

/// Runs the program with the words of a line.
pub fn run(scratch: &Scratch, line: &str) -> (String, String, Option<i32>) {
    let words: Vec<String> = line.split_whitespace().map(str::to_string).collect();
    scratch.run(&words)
}

/// What is wrong with a run: another exit code, or words that are missing in what it told.
pub fn told(scratch: &Scratch, line: &str, code: i32, words: &[&str]) -> Vec<String> {
    let (output, errors, ended) = run(scratch, line);
    let all = format!("{output}{errors}");
    let mut faults = Vec::new();
    if ended != Some(code) {
        faults.push(format!("`{line}` ended with {ended:?} instead of {code}: {all}"));
    }
    let missing = words.iter().filter(|words| !all.contains(**words));
    faults.extend(missing.map(|words| format!("`{line}` doesn't say `{words}`: {all}")));
    faults
}

/// The files of `out`, by path.
pub fn out(scratch: &Scratch) -> BTreeMap<String, Vec<u8>> {
    scratch.files("out").into_iter().collect()
}

/// Complains if files are others than expected.
pub fn compare(what: &str, found: &BTreeMap<String, Vec<u8>>, expected: &BTreeMap<String, Vec<u8>>) -> Vec<String> {
    let names = |files: &BTreeMap<String, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>().join(", ");
    if names(found) != names(expected) {
        return vec![format!("{what}: {} instead of {}", names(found), names(expected))];
    }
    let other = found.iter().filter(|(name, bytes)| expected.get(*name) != Some(*bytes));
    other
        .map(|(name, _)| format!("{what}: {name} has other bytes"))
        .collect()
}
