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
pub mod answers;
pub mod reckon;
pub mod kit;
pub mod plan;
pub mod record;
pub mod leaves;
pub mod diff;
pub mod rules;
pub mod report;

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
        .any(|path| concerns(model, path, set))
}

/// True if a file belongs to the set itself or to a shop above it, and not to a set further down.
fn concerns(model: &Model, path: &str, set: &model::Set) -> bool {
    let folder = source::folder(path);
    if source::file_name(path) == parse::WORKSHOP_FILE && source::lies_in(&set.folder, folder) {
        return true;
    }
    let owner = model
        .sets
        .iter()
        .filter(|s| source::lies_in(folder, &s.folder))
        .max_by_key(|s| s.folder.len());
    owner.is_some_and(|s| s.folder == set.folder)
}

/// Reads, binds and checks every set among the files. Pure: the same files give the same result.
pub fn compile(files: &FileSet) -> Compilation {
    let (documents, mut findings) = parse::parse(files);
    let (model, mut found) = model::build(files, documents);
    findings.append(&mut found);
    let (facts, mut found) = check::check(&model, |set| !has_error(&model, files, &findings, set));
    findings.append(&mut found);
    findings.sort_by(Finding::order);
    // A fault of a shop file is met once by every set below it.
    findings.dedup();
    Compilation { model, facts, findings }
}
