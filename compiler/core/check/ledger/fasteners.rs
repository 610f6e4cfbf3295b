//! How fasteners sit, and those that are not tight.

use crate::check::walk::{OnFastener, Place};
use crate::model::Handle;
use crate::model::registers::Torque;
use std::collections::{BTreeMap, BTreeSet};

/// How fasteners sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grip {
    Tight,
    Loose,
    /// Started by hand.
    Snug,
}

/// A thing of one member of its group, by the member's position; 0 where there is no group.
pub type OfMember<T> = (T, usize);

/// What stands in one way, and since when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stands<T> {
    pub what: T,
    /// Positions of the members that it is so of; one of 0 where there is no group.
    pub members: Vec<usize>,
    /// Of the first of them.
    pub since: Place,
}

/// Members that stand alike, together.
pub(super) fn alike<T: PartialEq>(each: impl IntoIterator<Item = (OfMember<T>, Place)>) -> Vec<Stands<T>> {
    let mut rows: Vec<Stands<T>> = Vec::new();
    for ((what, member), since) in each {
        match rows.iter_mut().find(|row| row.what == what) {
            Some(row) => row.members.push(member),
            None => rows.push(Stands {
                what,
                members: vec![member],
                since,
            }),
        }
    }
    rows
}

/// How the fasteners of a set stand at one moment.
#[derive(Clone, Default)]
pub(super) struct Fasteners {
    loose: BTreeMap<OfMember<Handle<Torque>>, (Grip, Place)>,
    /// Loosened with nothing taken off since, of those that nobody says of what they hold.
    undone: BTreeSet<OfMember<Handle<Torque>>>,
    /// Of those that hold parts, the ones that aren't tight.
    slack: BTreeSet<OfMember<Handle<Torque>>>,
}

impl Fasteners {
    /// Something is done to them; `holds` if they are said to hold parts.
    pub(super) fn happened(&mut self, fastener: OfMember<Handle<Torque>>, on: OnFastener, holds: bool, at: Place) {
        match on {
            OnFastener::Loosen => {
                match holds {
                    true => self.slack.insert(fastener),
                    false => self.undone.insert(fastener),
                };
                self.loose.insert(fastener, (Grip::Loose, at));
            }
            OnFastener::Snug => {
                if holds {
                    self.slack.insert(fastener);
                }
                self.loose.insert(fastener, (Grip::Snug, at));
            }
            OnFastener::Torque => {
                self.undone.remove(&fastener);
                self.slack.remove(&fastener);
                self.loose.remove(&fastener);
            }
        }
    }

    /// What they hold went on or off: they aren't tight any more.
    pub(super) fn slacken(&mut self, fasteners: impl IntoIterator<Item = OfMember<Handle<Torque>>>) {
        self.slack.extend(fasteners);
    }

    /// A part came off: what was undone for that is half done no more.
    pub(super) fn parted(&mut self) {
        self.undone.clear();
    }

    /// Those that are not tight, members that stand alike together.
    pub(super) fn loose(&self) -> Vec<Stands<(Handle<Torque>, Grip)>> {
        let each = self.loose.iter();
        alike(each.map(|((torque, member), (grip, since))| (((*torque, *grip), *member), *since)))
    }

    /// Those at which work must not stop. `holds` if they are said to hold parts, `has_held` if one of those is on.
    pub(super) fn open(
        &self,
        holds: impl Fn(Handle<Torque>) -> bool,
        has_held: impl Fn(Handle<Torque>) -> bool,
    ) -> BTreeSet<Handle<Torque>> {
        let slack = self
            .slack
            .iter()
            .map(|(torque, _)| *torque)
            .filter(|torque| has_held(*torque));
        let snug = self.loose.iter().filter(|(_, (grip, _))| *grip == Grip::Snug);
        let snug = snug.map(|((torque, _), _)| *torque).filter(|torque| !holds(*torque));
        let undone = self.undone.iter().map(|(torque, _)| *torque);
        slack.chain(snug).chain(undone).collect()
    }
}
