//! What a set, record, template or repository of a stranger must not bring about, each trial in a file named after what it protects.

mod figures;
mod history;
mod machine;
mod names;
mod output;
mod records;
mod spreadsheet;
mod templates;
mod verdicts;

use crate::harness::Outcome;
use crate::program::{CACHE, Scratch};
use libtest_mimic::Trial;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Gives what is wrong, one fault a line.
type Check = fn(&Scratch) -> Vec<String>;

pub fn trials() -> Vec<Trial> {
    let all: [(&str, &[(&str, Check)]); 9] = [
        ("figures", &figures::CHECKS),
        ("history", &history::CHECKS),
        ("machine", &machine::CHECKS),
        ("names", &names::CHECKS),
        ("output", &output::CHECKS),
        ("records", &records::CHECKS),
        ("spreadsheet", &spreadsheet::CHECKS),
        ("templates", &templates::CHECKS),
        ("verdicts", &verdicts::CHECKS),
    ];
    let each = all
        .into_iter()
        .flat_map(|(what, checks)| checks.iter().map(move |(name, check)| (what, *name, *check)));
    let trial = |name: String, check: Check| {
        let folder = name.replace('/', "-");
        let run = move || -> Outcome {
            let faults = check(&Scratch::new(&folder));
            match faults.is_empty() {
                true => Ok(()),
                false => Err(faults.join("\n").into()),
            }
        };
        Trial::test(name, run)
    };
    let quick = each.map(|(what, name, check)| trial(format!("protected/{what}/{name}"), check));
    let long = history::LONG.map(|(name, check)| trial(format!("left/history-{name}"), check).with_ignored_flag(true));
    quick.chain(long).collect()
}

/// A set without anything special.
const SET: &str = "machine: Invented pump\ntitle: Pump\n";

/// A procedure around some Markdown.
fn procedure(head: &str, body: &str) -> String {
    format!("---\ntitle: Open\n{head}---\n\n{body}")
}

/// The most memory that a command may have, and the longest that it may take, with a program that isn't optimised.
const MEGABYTES: u64 = 2048;
const LONGEST: Duration = Duration::from_secs(60);

/// Runs a command with little memory and time: what it said, its exit code, and how long it took.
fn bounded(scratch: &Scratch, line: &str) -> (String, Option<i32>, Duration) {
    let began = Instant::now();
    let script = format!("ulimit -v {}; exec \"$0\" {line}", MEGABYTES * 1024);
    let output = Command::new("sh")
        .args(["-c", &script, env!("CARGO_BIN_EXE_benchleaf")])
        .current_dir(scratch.path())
        .env(CACHE, scratch.cache())
        .stdin(Stdio::null())
        .output()
        .expect("a shell");
    let text = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    (text.into_owned(), output.status.code(), began.elapsed())
}

/// What is wrong with how a set that goes past a budget is told of.
fn told_of_budget(scratch: &Scratch, what: &str, budget: &str) -> Vec<String> {
    let mut faults = Vec::new();
    let (text, code, took) = bounded(scratch, "check set");
    let shown: String = text.chars().take(600).collect();
    if code != Some(1) {
        faults.push(format!("{what}: ended with {code:?}: {shown}"));
    }
    if !text.contains(&format!("budget `{budget}`")) {
        faults.push(format!("{what}: doesn't name the budget `{budget}`: {shown}"));
    }
    if text.contains(" { ") && text.contains("breach") {
        faults.push(format!("{what}: shows how the program holds its data: {shown}"));
    }
    if took > LONGEST {
        faults.push(format!("{what}: took {took:?}"));
    }
    faults
}
