//! The pages of the rules: every example gives its finding, and what stands instead gives none of that rule; those that
//! can't be tried alone yet are listed.
//!
//! A block of YAML is a `set.yaml`, or fields of one; a block of Markdown is a procedure, or its fields and its steps.

use crate::harness::{Files, Outcome, Rule, check, rules};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    let trial = |rule: &&'static Rule| {
        let rule = *rule;
        Trial::test(format!("pages/{}", rule.name), move || page(rule))
    };
    rules().iter().map(trial).collect()
}

/// Rules that a text alone can't break: they are about bytes, files, printing, or two states.
const BEYOND: [&str; 7] = [
    "not-text",
    "stray-file",
    "file-too-long",
    "unknown-file",
    "missing-glyph",
    "revision-not-raised",
    "control-character",
];

/// Pages whose blocks lean on entries that the page doesn't show, so that they don't stand on their own yet. One that comes to hold has
/// to leave this list.
const LEANING: [&str; 64] = [
    "action-in-wrong-state",
    "action-with-item-fitted",
    "bad-value",
    "break-in-window",
    "calc-before-its-readings",
    "calc-wrong-dimension",
    "calibration-over",
    "count-of-all",
    "covered",
    "cure-never-waited",
    "cure-not-timed",
    "dry-fastener",
    "duplicate-procedure",
    "fastener-left-loose",
    "fastener-left-out",
    "figure-by-hand",
    "fitted-twice",
    "held-on",
    "hold-in-window",
    "incomplete-message",
    "inside-assembly",
    "joint-already-closed",
    "left-unsafe",
    "missing-picture",
    "missing-procedure",
    "misused-mark",
    "need-missing",
    "need-not-met",
    "never-ends",
    "no-answer",
    "none-left",
    "not-marked",
    "not-taken",
    "not-there",
    "nothing-to-hold",
    "open-time-not-timed",
    "open-time-over",
    "option-without-default",
    "order-cycle",
    "order-matters",
    "points-nowhere",
    "procedure-without-set",
    "reading-not-taken",
    "shadowed-id",
    "snugged-twice",
    "state-kept",
    "state-never-said",
    "step-without-time",
    "test",
    "timer-never-ended",
    "timer-not-started",
    "timer-started-twice",
    "too-many-combinations",
    "torque-barely-clamps",
    "unknown-id",
    "unknown-procedure",
    "unknown-value",
    "unprintable-picture",
    "unreachable-step",
    "used-when-off",
    "window-overrun",
    "wrong-end",
    "wrong-filling",
    "wrong-register",
];

fn page(rule: &'static Rule) -> Outcome {
    match (LEANING.contains(&rule.name), holds(rule)) {
        (true, Ok(())) => Err("this page holds by now: take it off the list of those that don't".into()),
        (true, Err(_)) => Ok(()),
        (false, outcome) => outcome,
    }
}

fn holds(rule: &'static Rule) -> Outcome {
    if BEYOND.contains(&rule.name) {
        return Ok(());
    }
    let page = rule.explanation();
    let (example, instead) = (blocks(&page, "## Example"), blocks(&page, "## Instead"));
    if example.is_empty() || instead.is_empty() {
        return Err("there is no example, or nothing instead of it".into());
    }
    let shared = example.iter().find(|(kind, _)| kind == "yaml").cloned();
    let found = check(&files(&example, None));
    if !found.codes().contains_key(rule.code) {
        return Err(format!("the example gives no {}, but\n{}", rule.code, found.listing()).into());
    }
    let after = check(&files(&instead, shared.as_ref()));
    if after.codes().contains_key(rule.code) {
        return Err(format!("what stands instead gives\n{}", after.listing()).into());
    }
    Ok(())
}

/// The blocks of code under a heading, with their language.
fn blocks(page: &str, heading: &str) -> Vec<(String, String)> {
    let mut blocks = Vec::new();
    let Some((_, rest)) = page.split_once(&format!("{heading}\n")) else {
        return blocks;
    };
    let part = rest.split("\n## ").next().unwrap_or("");
    let mut lines = part.lines();
    while let Some(line) = lines.next() {
        if let Some(kind) = line.strip_prefix("```") {
            let text: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
            blocks.push((kind.to_string(), text.join("\n") + "\n"));
        }
    }
    blocks
}

/// The set that blocks make; `shared` is YAML that goes on to hold.
fn files(blocks: &[(String, String)], shared: Option<&(String, String)>) -> Files {
    let mut set = String::new();
    let mut files = Files::new();
    let shared = shared.filter(|_| !blocks.iter().any(|(kind, _)| kind == "yaml"));
    for (n, (kind, text)) in blocks.iter().chain(shared).enumerate() {
        if kind == "yaml" {
            set += text;
            continue;
        }
        files.insert(format!("{}0-example.md", n + 1), procedure(text).into_bytes());
    }
    if !set.contains("machine:") {
        set = format!("machine: Invented pump\n{set}");
    }
    if !set.lines().any(|line| line.starts_with("title:")) {
        set = format!("title: Rebuild\n{set}");
    }
    if files.is_empty() {
        files.insert(
            "10-example.md".to_string(),
            b"---\ntitle: Example\n---\n\n1. Look.\n".to_vec(),
        );
    }
    files.insert("set.yaml".to_string(), set.into_bytes());
    files
}

fn procedure(text: &str) -> String {
    if text.starts_with("--") {
        return text.to_string();
    }
    let fields = text.lines().take_while(|line| {
        let name = line.split(':').next().unwrap_or("");
        line.starts_with(' ') || (line.contains(':') && name.chars().all(|c| c.is_ascii_lowercase() || c == '-'))
    });
    let count = fields.count();
    let head: String = text.lines().take(count).map(|line| format!("{line}\n")).collect();
    let body: String = text.lines().skip(count).map(|line| format!("{line}\n")).collect();
    let title = if head.contains("title:") {
        ""
    } else {
        "title: Example\n"
    };
    format!("---\n{title}{head}---\n\n{}", body.trim_start_matches('\n'))
}
