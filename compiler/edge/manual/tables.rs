//! Tables of the manual that are made, not written.

use crate::budgets::TEXTS;
use crate::check::ledger::COMBINATIONS;
use crate::domain::fastener::TappedMaterial;
use crate::domain::lubrication::Condition;
use crate::domain::quantity::{Dimension, Unit};
use crate::edge::git::DEEPEST as FOLDERS;
use crate::edge::renamed;
use crate::fingerprint::FORM;
use crate::record;
use crate::rules::RULES;
use crate::source::LANGUAGE;

/// How much of anything there may be.
pub fn budgets() -> String {
    let own = [
        format!("combinations  {COMBINATIONS} different courses of one thing over all choices  (BL435)"),
        format!("folders       {FOLDERS} folders within each other in history  (a remark)"),
    ];
    let texts = TEXTS
        .iter()
        .map(|b| format!("{:13} {} {}  ({})", b.name, b.most, b.of, b.code));
    let all: Vec<String> = texts.chain(own).collect();
    format!(
        "What goes past one of these is told and not read further:\n\n{}\n",
        all.join("\n")
    )
}

/// What has a number of its own, and which it is.
pub fn forms() -> String {
    let rows = [
        ("language of sets", LANGUAGE.to_string(), "`benchleaf: N` in `set.yaml`"),
        ("codes of leaves", FORM.to_string(), "the last character of a code"),
        ("job records", record::FORM.to_string(), "`log: N` on their first line"),
    ];
    let rows = rows.map(|(what, number, place)| format!("| {what} | {number} | {place} |\n"));
    format!(
        "| what | this program has | where it stands |\n| --- | --- | --- |\n{}",
        rows.concat()
    )
}

/// Options by their old names.
pub fn renamed() -> String {
    let rows = renamed::all().map(|(old, new)| format!("| `{old}` | `{new}` |\n"));
    format!("| was | is |\n| --- | --- |\n{}", rows.collect::<String>())
}

/// Units by what they measure.
pub fn units() -> String {
    let line = |dimension: Dimension| {
        let units: Vec<&str> = Unit::of(dimension).map(Unit::symbol).collect();
        format!("{dimension}: {}\n", units.join(", "))
    };
    Dimension::ALL.into_iter().map(line).collect()
}

/// Words for what lies between threads and under heads.
pub fn lubrications() -> String {
    let names: Vec<&str> = Condition::all().map(Condition::name).collect();
    names.join(", ")
}

/// Words for what a hole is tapped in.
pub fn materials() -> String {
    let names: Vec<&str> = TappedMaterial::all().map(TappedMaterial::name).collect();
    names.join(", ")
}

/// Every finding.
pub fn findings() -> String {
    let line = |rule: &&crate::finding::Rule| format!("{}  {:8} {}\n", rule.code, rule.severity.word(), rule.name);
    RULES.iter().map(line).collect()
}
