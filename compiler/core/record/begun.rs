//! The figures of the card that a record was begun with: they stand in the record, and it is judged by them for ever.

use super::read::{Entry, Fields, Filled};
use crate::domain::limit::Limit;
use crate::domain::timer::Duration;
use crate::model::registers::Timer;
use crate::words::{Phrase, say};
use std::collections::BTreeMap;

/// What a timer asks.
#[derive(Debug, Clone, PartialEq)]
pub enum Rule {
    Within(Duration),
    AtLeast(Duration),
}

impl Rule {
    pub fn said(&self) -> Phrase {
        match self {
            Rule::Within(time) => say::within(time.to_string()),
            Rule::AtLeast(time) => say::wait_at_least(time.to_string()),
        }
    }
}

/// Figures by the id of what they are of; what a record doesn't say is not here.
#[derive(Debug, Default)]
pub struct Begun {
    pub limits: BTreeMap<String, (Limit, usize)>,
    /// How many fasteners, and their figure as printed.
    pub counts: BTreeMap<String, (u32, usize)>,
    pub figures: BTreeMap<String, String>,
    pub rules: BTreeMap<String, (Rule, usize)>,
    /// Figures that can't be read.
    pub unreadable: Vec<Entry>,
}

impl Begun {
    pub fn of(filled: &Filled) -> Begun {
        let mut begun = Begun::default();
        for (fields, _) in &filled.readings {
            begun.take(fields, "limit", "figure", |begun, id, entry| {
                let limit = Limit::parse(&entry.text).ok()?;
                begun.limits.insert(id, (limit, entry.line));
                Some(())
            });
        }
        for fields in &filled.torques {
            begun.take(fields, "torque", "of", |begun, id, entry| {
                begun.counts.insert(id, (entry.text.parse().ok()?, entry.line));
                Some(())
            });
            begun.take(fields, "torque", "figure", |begun, id, entry| {
                begun.figures.insert(id, entry.text.clone());
                Some(())
            });
        }
        for fields in &filled.timers {
            begun.take(fields, "timer", "rule", |begun, id, entry| {
                begun.rules.insert(id, (rule(&entry.text)?, entry.line));
                Some(())
            });
        }
        begun
    }

    fn take(
        &mut self,
        fields: &Fields,
        kind: &str,
        field: &str,
        keep: impl FnOnce(&mut Begun, String, &Entry) -> Option<()>,
    ) {
        let (Some(id), Some(entry)) = (fields.get(kind), fields.get(field).filter(|e| !e.text.is_empty())) else {
            return;
        };
        if keep(self, id.text.clone(), entry).is_none() {
            self.unreadable.push(entry.clone());
        }
    }
}

/// Reads what [`rule`](super::write::rule) writes.
fn rule(text: &str) -> Option<Rule> {
    if let Some(time) = text.strip_prefix("within ") {
        return Duration::parse(time).ok().map(Rule::Within);
    }
    let time = text.strip_prefix("at least ")?;
    Duration::parse(time).ok().map(Rule::AtLeast)
}

/// What a timer asks; empty if it doesn't say.
pub fn rule_of(timer: &Timer) -> Phrase {
    timer.span.as_ref().map_or_else(Phrase::default, crate::cards::rule)
}
