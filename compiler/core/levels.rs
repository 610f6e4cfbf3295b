//! What a set says of its findings: those that it allows are listed on its close-out instead of told, those that it denies are errors.
//! A set in a later language is not judged at all.

use crate::check::Facts;
use crate::check::rules::bad_level;
use crate::finding::{Finding, Severity};
use crate::model::{Model, Set};
use crate::parse::rules::other_language;
use crate::rules;
use crate::source::{self, FileSet, WORKSHOP_FILE};

/// Applies the levels of every set to the findings of its own files.
pub fn apply(files: &FileSet, model: &Model, facts: &mut [Facts], findings: &mut Vec<Finding>) {
    for (set, facts) in model.sets.iter().zip(facts.iter_mut()) {
        let own = |finding: &Finding| concerns(model, &files.get(finding.primary.span.file).path, set);
        if findings.iter().any(|f| own(f) && other_language::is_later(f)) {
            findings.retain(|f| !own(f) || other_language::is_later(f));
            continue;
        }
        for (name, reason) in &set.allow {
            match rules::find(&name.text) {
                None => findings.push(bad_level::unknown(name)),
                Some(rule) if rule.severity == Severity::Error => findings.push(bad_level::error(name)),
                Some(rule) => {
                    let (allowed, kept) = std::mem::take(findings)
                        .into_iter()
                        .partition(|f: &Finding| f.rule == rule && own(f));
                    *findings = kept;
                    let said = |finding: &Finding| {
                        let file = files.get(finding.primary.span.file);
                        let line = file
                            .lines()
                            .position(&file.text, finding.primary.span.start as usize)
                            .line;
                        format!(
                            "Allowed: {} ({}, {}:{line}). {}",
                            finding.message, rule.code, file.path, reason.text
                        )
                    };
                    facts.allowed.extend(allowed.iter().map(said));
                }
            }
        }
        for name in &set.deny {
            match rules::find(&name.text) {
                None => findings.push(bad_level::unknown(name)),
                Some(rule) => {
                    let denied = findings.iter_mut().filter(|f| f.rule == rule);
                    for finding in denied.filter(|f| concerns(model, &files.get(f.primary.span.file).path, set)) {
                        finding.raised = true;
                    }
                }
            }
        }
    }
    findings.sort_by(Finding::order);
}

/// True if a file belongs to the set itself, is borrowed by it or belongs to a shop above it, and not to a set further down.
pub fn concerns(model: &Model, path: &str, set: &Set) -> bool {
    let folder = source::folder(path);
    if source::file_name(path) == WORKSHOP_FILE && source::lies_in(&set.folder, folder) {
        return true;
    }
    if set.borrowed.iter().any(|lent| lent == path) {
        return true;
    }
    let owner = model
        .sets
        .iter()
        .filter(|s| source::lies_in(folder, &s.folder))
        .max_by_key(|s| s.folder.len());
    owner.is_some_and(|s| s.folder == set.folder)
}
