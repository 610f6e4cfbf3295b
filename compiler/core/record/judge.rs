//! What judging a record works with, and what it tells.

use super::begun::{Begun, rule_of};
use super::read::{Filled, deferral};
use super::write::figure;
use super::{Deferral, FindingKind, LogFinding};
use crate::cards::limit_said;
use crate::check::Facts;
use crate::domain::quantity::Measure;
use crate::model::registers::Measurement;
use crate::model::{Handle, Set};
use crate::words::{Phrase, say};
use std::collections::BTreeMap;

/// The readings of each measurement and of each member that it is of, empty where there is one for all, place by place; the last step that
/// took it counts.
pub type Known = BTreeMap<(Handle<Measurement>, String), Vec<Option<Measure>>>;

/// What judging works with, and what it has to tell so far.
pub struct Judge<'a> {
    pub set: &'a Set,
    pub facts: &'a Facts,
    pub filled: &'a Filled,
    /// The figures that it was begun with.
    pub(super) begun: Begun,
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
            begun: Begun::of(filled),
            deferred: deferred.filter(|d| !d.what.is_empty()).collect(),
            findings: Vec::new(),
        }
    }
}

impl Judge<'_> {
    pub(super) fn tell(&mut self, kind: FindingKind, line: usize, message: Phrase) {
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

    /// Tells where the card has another figure now than the record was begun with. Where the record has the code of the card as it is now,
    /// there is no other that it can have been begun with: somebody altered it.
    pub(super) fn tell_begun(&mut self, same_card: bool) {
        let mut told = Vec::new();
        let mut differ = |line: usize, name: Phrase, was: Phrase, is: Phrase| {
            if was != is {
                let words = match same_card {
                    true => say::is_on_the_card_of_this_record(name, is, was),
                    false => say::was_when_begun(name, was, is),
                };
                told.push((line, words));
            }
        };
        let catalogue = &self.set.catalogue;
        for (_, def) in catalogue.limits.iter() {
            if let Some((was, line)) = self.begun.limits.get(&def.id.text) {
                let is = def
                    .value
                    .limit
                    .as_ref()
                    .map_or_else(say::without_a_limit, |l| limit_said(&l.value));
                differ(*line, (&def.value.name).into(), limit_said(was), is);
            }
        }
        for (_, def) in catalogue.torques.iter() {
            if let Some((was, line)) = self.begun.counts.get(&def.id.text) {
                differ(
                    *line,
                    say::how_many(&def.value.name),
                    was.to_string().into(),
                    def.value.count().to_string().into(),
                );
            }
            if let Some(was) = self.begun.figures.get(&def.id.text) {
                differ(0, (&def.value.name).into(), was.into(), figure(&def.value).into());
            }
        }
        for (_, def) in catalogue.timers.iter() {
            if let Some((was, line)) = self.begun.rules.get(&def.id.text) {
                differ(*line, (&def.value.what).into(), was.said(), rule_of(&def.value));
            }
        }
        let kind = match same_card {
            true => FindingKind::Altered,
            false => FindingKind::CardChanged,
        };
        for (line, words) in told {
            self.tell(kind, line, words);
        }
        for entry in std::mem::take(&mut self.begun.unreadable) {
            let words = say::no_figure_of_a_card(&entry.text);
            self.tell(FindingKind::Unreadable, entry.line, words);
        }
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
