//! Checks on the tree itself: what the code must not do, and what must stand beside what.

mod circles;
mod codes;
mod english;
mod layers;
mod leaves;
mod paper;
mod supply;
mod surfaces;
mod trees;

use crate::harness::{Outcome, fixture};
use libtest_mimic::Trial;
use std::path::PathBuf;

/// Gives what is wrong, one fault a line.
type Check = fn() -> Vec<String>;

pub fn trials() -> Vec<Trial> {
    let checks: [(&str, Check); 24] = [
        ("modules-say-what-they-are", layers::without_docs),
        ("phases-use-lower-phases-only", layers::upward_uses),
        ("neighbours-do-not-use-each-other", circles::circles),
        ("the-core-is-pure", layers::impure),
        ("the-harness-alone-calls-the-crate", layers::calls_past_the_harness),
        ("files-are-short", layers::too_long),
        ("modules-are-declared", layers::undeclared),
        ("what-ships-uses-what-is-public", surfaces::only_tested),
        ("rules-are-listed-and-named", paper::rules),
        ("rules-have-pages", paper::pages),
        ("codes-are-not-used-again", codes::used_again),
        ("rules-have-fixtures", trees::rule_fixtures),
        ("fixtures-are-run", trees::strays),
        ("tables-give-their-sources", trees::tables),
        ("the-manual-is-complete", paper::manual),
        ("texts-hold-no-traces", paper::traces),
        ("crates-are-those-that-may-be", supply::chain),
        ("exempt-fields-are-listed", leaves::exempt_fields),
        ("meaning-leaves-nothing-out", leaves::nothing_left_out),
        ("no-english-in-leaves", english::left),
        ("no-english-in-templates", english::in_templates),
        ("words-are-asked-for", english::asked_for),
        ("kinds-have-words", english::kinds),
        ("english-is-seen", english::seen),
    ];
    let trial = |(name, check): (&str, Check)| Trial::test(format!("tidy/{name}"), move || none(check()));
    let mut trials: Vec<Trial> = checks.into_iter().map(trial).collect();
    trials.push(Trial::test("tidy/notices-are-of-these-crates", supply::notices));
    trials.push(Trial::test(
        "tidy/notices-are-of-these-crates-elsewhere",
        supply::notices_elsewhere,
    ));
    let long = || none(leaves::new_fields());
    trials.push(Trial::test("tidy/a-new-field-is-asked-about", long).with_ignored_flag(true));
    trials
}

/// Passes if there is nothing to complain of.
fn none(faults: Vec<String>) -> Outcome {
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults.join("\n").into())
    }
}

/// The Rust files of a folder of the crate, with their text.
fn sources(folder: &str) -> Vec<(PathBuf, String)> {
    let files = fixture::walk(&fixture::root().join(folder)).into_iter();
    files
        .filter(|path| path.extension().is_some_and(|e| e == "rs"))
        // A workspace of its own, whose targets call the crates by themselves.
        .filter(|path| !fixture::relative(path).starts_with("tests/fuzz/"))
        .map(|path| (path.clone(), fixture::text(&path)))
        .collect()
}

/// The lines of a source that are no comments, numbered from 1.
fn code(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .map(|(n, line)| (n + 1, line))
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
}
