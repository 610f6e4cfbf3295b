//! What judging a record works with, and what it tells.

use super::read::{Filled, deferral};
use super::{Deferral, FindingKind, LogFinding};
use crate::check::Facts;
use crate::domain::quantity::Measure;
use crate::model::registers::Measurement;
use crate::model::{Handle, Set};
use std::collections::BTreeMap;

/// The readings of each measurement, place by place; the last step that took it counts.
pub type Known = BTreeMap<Handle<Measurement>, Vec<Option<Measure>>>;

/// What judging works with, and what it has to tell so far.
pub struct Judge<'a> {
    pub set: &'a Set,
    pub facts: &'a Facts,
    pub filled: &'a Filled,
    pub(super) deferred: Vec<Deferral>,
    pub(super) findings: Vec<LogFinding>,
}

impl<'a> Judge<'a> {
    pub(super) fn new(set: &'a Set, facts: &'a Facts, filled: &'a Filled) -> Judge<'a> {
        let deferred = filled.deferred.iter().map(|d| deferral(d, filled.text("procedure")));
        Judge {
            set,
            facts,
            filled,
            deferred: deferred.filter(|d| !d.what.is_empty()).collect(),
            findings: Vec::new(),
        }
    }
}

impl Judge<'_> {
    pub(super) fn tell(&mut self, kind: FindingKind, line: usize, message: String) {
        self.findings.push(LogFinding { kind, line, message });
    }

    /// How much has been told so far.
    pub(super) fn told(&self) -> usize {
        self.findings.len()
    }

    /// Takes back what has been told since.
    pub(super) fn untell(&mut self, told: usize) {
        self.findings.truncate(told);
    }

    /// True if an entry, by its id or step, is put off with a reason and a date.
    pub(super) fn is_deferred(&self, id: &str, step: &str) -> bool {
        let step = format!("step {step}");
        self.deferred
            .iter()
            .any(|d| (d.what == id || d.what == step) && is_whole(d))
    }
}

fn is_whole(deferral: &Deferral) -> bool {
    !deferral.reason.is_empty() && is_date(&deferral.due)
}

pub(super) fn is_date(text: &str) -> bool {
    text.parse::<jiff::civil::Date>().is_ok()
}
