//! Where the pieces of a leaf are written, by where they stand in its data.

use super::Span;
use std::collections::BTreeMap;

/// Places in the sources by path into the data: names of fields and numbers in lists, `.phases.0.runs.0.steps.3`; empty for the leaf itself.
#[derive(Debug, Default)]
pub struct Sources {
    found: BTreeMap<String, Span>,
    at: String,
}

impl Sources {
    /// Those of a leaf.
    pub fn of(leaf: &impl Sourced) -> Sources {
        let mut sources = Sources::default();
        leaf.sources(&mut sources);
        sources
    }

    pub fn get(&self, path: &str) -> Option<Span> {
        self.found.get(path).copied()
    }

    pub fn iter(&self) -> impl Iterator<Item = (&str, Span)> {
        self.found.iter().map(|(path, span)| (path.as_str(), *span))
    }

    /// What stands in a field, or at a number of a list.
    pub fn below(&mut self, name: &str, inner: &impl Sourced) {
        let length = self.at.len();
        self.at.push('.');
        self.at.push_str(name);
        inner.sources(self);
        self.at.truncate(length);
    }
}

/// What may know where it is written. `leaf!` implements it for every struct of a leaf, field by field.
pub trait Sourced {
    /// Puts in where it is written, and what is in it.
    fn sources(&self, _to: &mut Sources) {}
}

/// A span is a field of what is written there.
impl Sourced for Span {
    fn sources(&self, to: &mut Sources) {
        let owner = to.at.rsplit_once('.').map_or("", |(owner, _)| owner);
        to.found.insert(owner.to_string(), *self);
    }
}

impl<T: Sourced> Sourced for Vec<T> {
    fn sources(&self, to: &mut Sources) {
        for (n, item) in self.iter().enumerate() {
            to.below(&n.to_string(), item);
        }
    }
}

impl<T: Sourced> Sourced for Option<T> {
    fn sources(&self, to: &mut Sources) {
        self.iter().for_each(|item| item.sources(to));
    }
}
