//! What is written for people: the rules' pages, the manual, and words that belong into no text of this tree.

use super::sources;
use crate::harness::fixture::{entries, name, relative, root, stem, text, walk};
use crate::harness::{rules as list, vocabulary};
use std::path::PathBuf;

/// The files that hold a rule: those in a phase's `rules/` folder.
fn rule_files() -> Vec<(PathBuf, String)> {
    let in_rules = |path: &PathBuf| relative(path).contains("/rules/") && name(path) != "mod.rs";
    sources("compiler")
        .into_iter()
        .filter(|(path, _)| in_rules(path))
        .collect()
}

/// Every rule file is in the list, and codes and names are unique, well formed and in order.
pub fn rules() -> Vec<String> {
    let mut faults = Vec::new();
    let files = rule_files();
    for (path, text) in &files {
        match list().iter().find(|rule| rule.page == text) {
            None => faults.push(format!("{} is not in compiler/core/rules.rs", relative(path))),
            Some(rule) if rule.name.replace('-', "_") != stem(path) => {
                faults.push(format!("{} holds the rule `{}`", relative(path), rule.name));
            }
            Some(_) => {}
        }
    }
    for (n, rule) in list().iter().enumerate() {
        let digits = rule.code.strip_prefix("BL").unwrap_or("");
        if digits.len() != 3 || !digits.bytes().all(|b| b.is_ascii_digit()) {
            faults.push(format!("`{}` is no code: it is BL and three digits", rule.code));
        }
        if !files.iter().any(|(_, text)| rule.page == text) {
            faults.push(format!("`{}` shows another file as its page", rule.name));
        }
        for other in list().iter().skip(n + 1) {
            if rule.code >= other.code {
                faults.push(format!("`{}` stands before `{}`", rule.code, other.code));
            }
            if rule.name == other.name {
                faults.push(format!("two rules are called `{}`", rule.name));
            }
        }
    }
    faults
}

pub fn pages() -> Vec<String> {
    let mut faults = Vec::new();
    for rule in list() {
        let page = rule.explanation();
        if !page.starts_with("# ") {
            faults.push(format!("the page of `{}` has no title", rule.name));
        }
        for heading in ["## What it means", "## Why it matters"] {
            let after = page
                .split_once(&format!("{heading}\n"))
                .map(|(_, after)| after.trim_start());
            if after.is_none_or(|words| words.is_empty() || words.starts_with('#')) {
                faults.push(format!("the page of `{}` says nothing under `{heading}`", rule.name));
            }
        }
        if page.matches("```").count() % 2 == 1 {
            faults.push(format!("the page of `{}` has an open code block", rule.name));
        }
    }
    faults
}

pub fn manual() -> Vec<String> {
    let pages = entries(&root().join("compiler/edge/manual"));
    let manual: String = pages
        .iter()
        .filter(|page| page.extension().is_some_and(|ending| ending == "md"))
        .map(|page| text(page))
        .collect();
    vocabulary()
        .into_iter()
        .filter(|word| !manual.contains(word))
        .map(|word| format!("the manual says nothing of {word}"))
        .collect()
}

/// Folders that hold what is built or fetched, not what is written.
const SKIPPED: [&str; 3] = [".git", "target", "output"];

/// Endings of files that are text.
const TEXTS: [&str; 15] = [
    "rs", "md", "toml", "yaml", "yml", "txt", "csv", "findings", "tree", "human", "markdown", "json", "j2", "typ",
    "svg",
];

/// Words that tell of one machine or of where packages were fetched. They are put together here so that this file doesn't hold them.
fn forbidden() -> Vec<String> {
    let folders = ["work", "root", "tmp", "home"]
        .iter()
        .map(|folder| format!("/{folder}/"));
    let words = [
        ["trans", "cript"],
        ["source.crates", "-io"],
        ["replace", "-with"],
        ["sparse", "+http"],
        ["arti", "factory"],
    ];
    folders.chain(words.iter().map(|halves| halves.concat())).collect()
}

pub fn traces() -> Vec<String> {
    let forbidden = forbidden();
    let mut files = Vec::new();
    for entry in entries(&root()) {
        if SKIPPED.contains(&name(&entry).as_str()) {
            continue;
        }
        if entry.is_dir() {
            files.extend(walk(&entry))
        } else {
            files.push(entry)
        }
    }
    let mut faults = Vec::new();
    for path in files {
        let ending = path
            .extension()
            .map_or_else(String::new, |e| e.to_string_lossy().into_owned());
        let hidden = name(&path).starts_with('.') || ending.is_empty();
        if !hidden && !TEXTS.contains(&ending.as_str()) {
            continue;
        }
        let Ok(text) = std::fs::read_to_string(&path) else {
            continue;
        };
        for (number, line) in text.lines().enumerate() {
            for word in forbidden.iter().filter(|word| line.contains(word.as_str())) {
                faults.push(format!(
                    "{}:{}: `{word}` belongs into no text of this tree",
                    relative(&path),
                    number + 1
                ));
            }
        }
    }
    faults
}
