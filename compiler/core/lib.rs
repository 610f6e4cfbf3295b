//! benchleaf: compiles workshop procedures into checked, printable work cards.
//!
//! ```text
//! files ─▶ source ─▶ parse ─▶ model ─▶ check ─▶ cards ─▶ typeset ─▶ PDF / SVG / PNG
//!                      │        │        │        │
//!                      └────────┴────────┴────────┴─▶ findings (data) ─▶ report: terminal, JSON
//! ```
//!
//! The modules below stand in that order; each may use those above it and `domain`, never those below. Only `edge` touches disk,
//! clock, terminal or environment.

#![forbid(unsafe_code)]

pub mod source;
pub mod finding;
pub mod fingerprint;
pub mod syntax;
pub mod parse;
pub mod model;
pub mod check;
pub mod cards;
pub mod bench;
pub mod kit;
pub mod plan;
pub mod record;
pub mod leaves;
pub mod diff;
pub mod rules;
mod levels;
pub mod report;
pub mod desk;

mod columns;

use benchleaf_domain as domain;
use check::Facts;
use finding::{Finding, Severity};
use model::Model;
use source::FileSet;

/// What a compilation gives: everything known of the sets, and what is wrong with them.
#[derive(Debug)]
pub struct Compilation {
    pub model: Model,
    /// Of each set of the model, in its order.
    pub facts: Vec<Facts>,
    /// In reading order, none twice.
    pub findings: Vec<Finding>,
}

impl Compilation {
    /// True if there is a finding at error level.
    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|f| f.severity() == Severity::Error)
    }

    /// True if a finding at error level keeps this set from being printed: one in a file of the set or of a shop above it.
    pub fn blocks(&self, files: &FileSet, set: &model::Set) -> bool {
        has_error(&self.model, files, &self.findings, set)
    }
}

/// True if a finding at error level lies in a file of the set or of a shop above it.
fn has_error(model: &Model, files: &FileSet, findings: &[Finding], set: &model::Set) -> bool {
    let errors = findings.iter().filter(|f| f.severity() == Severity::Error);
    errors
        .map(|f| files.get(f.primary.span.file).path.as_str())
        .any(|path| levels::concerns(model, path, set))
}

/// Reads, binds and checks every set among the files. Pure: the same files give the same result.
pub fn compile(files: &FileSet) -> Compilation {
    let (documents, mut findings) = parse::parse(files);
    let (model, mut found) = model::build(files, documents);
    findings.append(&mut found);
    // What couldn't be read of the heads is unknown, not absent: the steps are walked without it where that makes nothing wrong.
    let whole = |set: &model::Set| {
        let bars = |f: &&Finding| f.rule != &parse::rules::bad_yaml::RULE;
        let errors: Vec<Finding> = findings.iter().filter(bars).cloned().collect();
        set.walkable && !has_error(&model, files, &errors, set)
    };
    let (mut facts, mut found) = check::check(&model, whole);
    findings.append(&mut found);
    findings.sort_by(Finding::order);
    // A fault of a shop file is met once by every set below it.
    findings.dedup();
    levels::apply(files, &model, &mut facts, &mut findings);
    Compilation { model, facts, findings }
}
