//! How something came about, on one way: where it last changed, and where it is declared.

use super::world::{Key, Place, World};
use crate::check::ledger::fault::{How, Since};
use crate::domain::timer::Duration;
use crate::model::Entity;
use crate::source::Span;
use std::collections::BTreeMap;

impl World<'_> {
    pub(super) fn declared(&self, key: Key) -> Option<Span> {
        Some(self.shape.set.catalogue.id(self.entity_of(key)?)?.span)
    }

    pub(super) fn entity_of(&self, key: Key) -> Option<Entity> {
        match key {
            Key::Item(node)
            | Key::Grip(node)
            | Key::Wet(node)
            | Key::Worn(node)
            | Key::State(node)
            | Key::Clock(node)
            | Key::Filling(node)
            | Key::Hard(node)
            | Key::Open(node, _)
            | Key::Valid(node)
            | Key::Read(node)
            | Key::Answer(node)
            | Key::Met(node) => Some(node.entity),
            Key::Bare(entity, _) => Some(entity),
        }
    }

    /// How long a window has run on one way, before some event: what it is only known to be over its limit by is counted out.
    pub fn ran(&self, key: Key, when: u32, values: &BTreeMap<usize, usize>) -> Option<Duration> {
        let mut state = super::clock::State::Idle;
        for (event, guard, what) in self.log.get(&key)? {
            if *event < when && self.diagrams.leaf(*guard, values) == 1 {
                what.happen(&mut state);
            }
        }
        state.elapsed().cloned()
    }

    /// The events at which a thing changed on one way, before some event, in order, with the leaves before and after.
    pub(super) fn changes(&self, key: Key, when: u32, values: &BTreeMap<usize, usize>) -> Vec<(u32, u32, u32)> {
        let Some(track) = self.tracks.get(&key) else {
            return Vec::new();
        };
        let mut before = self.diagrams.leaf(track.start, values);
        let mut changes = Vec::new();
        for (event, state, real) in track.past.iter().take_while(|(event, ..)| *event < when) {
            let after = self.diagrams.leaf(*state, values);
            if after != before && *real {
                changes.push((*event, before, after));
            }
            before = after;
        }
        changes
    }

    /// The same of several things, one after another.
    fn all_changes(&self, keys: &[Key], when: u32, values: &BTreeMap<usize, usize>) -> Vec<(u32, u32, u32)> {
        let mut changes: Vec<_> = keys.iter().flat_map(|key| self.changes(*key, when, values)).collect();
        changes.sort_unstable();
        changes
    }

    pub(super) fn at(&self, event: u32) -> Option<Since> {
        self.events.get(event.checked_sub(1)? as usize).copied()
    }

    /// The place, on one way, before some event.
    pub fn place(&self, place: &Place, when: u32, values: &BTreeMap<usize, usize>) -> Option<Since> {
        let latest = |keys: &[Key], fits: &dyn Fn(Key, u32, u32) -> bool| {
            let of = |key: &Key| {
                let changes = self.changes(*key, when, values);
                let last = changes
                    .iter()
                    .rev()
                    .find(|(_, before, after)| fits(*key, *before, *after));
                last.map(|(event, ..)| *event)
            };
            keys.iter().filter_map(of).max().and_then(|event| self.at(event))
        };
        let declared = |keys: &[Key]| {
            let at = keys.iter().find_map(|key| self.declared(*key))?;
            Some(Since { at, how: How::AtStart })
        };
        let before = |events: &[(u32, u32, u32)], of: Option<u32>| {
            let earlier = events.iter().rev().find(|(event, ..)| of.is_some_and(|of| *event < of));
            earlier.and_then(|(event, ..)| self.at(*event))
        };
        let on = |leaf: u32| self.pieces.get(leaf).map_or(0, |pieces| pieces.on());
        let spent = |leaf: u32| self.pieces.get(leaf).map_or(0, |pieces| pieces.spent);
        match place {
            Place::Here(span) => Some(Since {
                at: *span,
                how: How::AtStart,
            }),
            Place::Told(since) => Some(*since),
            Place::Last(keys) => latest(keys, &|_, _, _| true).or_else(|| declared(keys)),
            Place::LastOr(keys, at) => latest(keys, &|_, _, _| true).or(Some(Since {
                at: *at,
                how: How::AtStart,
            })),
            Place::Changed(keys) => latest(keys, &|_, _, _| true),
            Place::Before(keys) => {
                let events = self.all_changes(keys, when, values);
                let last = events.last().map(|(event, ..)| *event);
                before(&events, last)
            }
            // Others of several may come off after that, which is no fault of theirs.
            Place::Spent(keys) => {
                latest(keys, &|_, before, after| spent(after) > spent(before)).or_else(|| declared(keys))
            }
            Place::BeforeSpent(keys) => {
                let events = self.all_changes(keys, when, values);
                let worn = events
                    .iter()
                    .rev()
                    .find(|(_, before, after)| spent(*after) > spent(*before));
                before(&events, worn.map(|(event, ..)| *event))
            }
            Place::Removed(keys) => latest(keys, &|_, before, after| on(after) < on(before)).or_else(|| declared(keys)),
            Place::Fitted(keys) => latest(keys, &|_, before, after| on(after) > on(before)).or_else(|| {
                // What was on all along, rather than what isn't there at all.
                let start = |key: &&Key| {
                    self.tracks
                        .get(*key)
                        .map(|track| self.diagrams.leaf(track.start, values))
                };
                let was = keys.iter().find(|key| start(key).is_some_and(|leaf| on(leaf) > 0));
                was.and_then(|key| declared(&[*key])).or_else(|| declared(keys))
            }),
            Place::Closing(joint) => self
                .last_closing(*joint, when, values)
                .or_else(|| declared(&self.closing(*joint))),
            Place::Done(key) => latest(&[*key], &|_, _, after| after == 1),
            // One that is started while it has run for no time yet is no other than before: its last start is in the log alone.
            Place::Started(key) => {
                let log = self.log.get(key)?;
                let started = log.iter().rev().find(|(event, guard, what)| {
                    *event < when
                        && matches!(what, super::clock::What::Start)
                        && self.diagrams.leaf(*guard, values) == 1
                });
                started.and_then(|(event, ..)| self.at(*event))
            }
            Place::Step(list) => {
                let steps = self.steps.get(*list)?;
                let last = steps
                    .iter()
                    .rev()
                    .find(|(guard, _)| self.diagrams.leaf(*guard, values) == 1)?;
                Some(Since {
                    at: last.1,
                    how: How::Ends,
                })
            }
        }
    }
}
