//! What is fitted: parts and temporary items, counted.
//!
//! Parts that take each other's place (`replaces`) share one cell, because the new one must not go on while the old one is, and the
//! place must not stay empty.

use super::cell::{Cell, Explorer};
use super::fault::{How, Since, Wrong};
use crate::check::walk::event::Touched;
use crate::check::walk::{self, Event, Flow, OnItem};
use crate::model::registers::{Action, Part, Reuse, Temporary};
use crate::model::{Handle, Item, Set};
use crate::source::Span;
use std::collections::BTreeMap;

/// A part or temporary item, or several parts of one place; the first is the one the others replace.
struct Place {
    members: Vec<Member>,
}

struct Member {
    item: Item,
    declared: Span,
    qty: u32,
    fitted: bool,
    reuse: Reuse,
}

/// How a member stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Count {
    /// How many are on.
    on: u32,
    /// How many have never been on.
    fresh: u32,
    /// An action has met it that must not, since it went on. The actions after it suffer from the same mistake.
    met: bool,
}

/// What happens to the member of that position.
enum What {
    Fit(usize, u32),
    Remove(usize, u32),
    /// An action that must not meet it.
    Forbid(usize, Handle<Action>, Handle<Temporary>),
}

impl Cell for Place {
    type State = Vec<Count>;
    type What = What;

    fn start(&self) -> Vec<Count> {
        self.members
            .iter()
            .map(|m| Count {
                on: if m.fitted { m.qty } else { 0 },
                fresh: if m.fitted { 0 } else { m.qty },
                met: false,
            })
            .collect()
    }

    fn step(&self, state: &Vec<Count>, what: &What, wrong: &mut Vec<Wrong>) -> Vec<Count> {
        let mut next = state.clone();
        let (What::Fit(at, _) | What::Remove(at, _) | What::Forbid(at, ..)) = what;
        let (Some(member), Some(count)) = (self.members.get(*at), next.get_mut(*at)) else {
            return next;
        };
        match *what {
            What::Fit(_, asked) => {
                if count.on.saturating_add(asked) > member.qty {
                    wrong.push(Wrong::FittedTwice {
                        item: member.item,
                        on: count.on,
                        asked,
                    });
                } else if let Some((part, by)) = self.taken(*at, state, asked) {
                    wrong.push(Wrong::PlaceTaken { part, by });
                } else if let (Reuse::No, Item::Part(part)) = (member.reuse, member.item)
                    && asked > count.fresh
                {
                    wrong.push(Wrong::Refitted { part });
                }
                count.on = count.on.saturating_add(asked).min(member.qty);
                count.fresh = count.fresh.saturating_sub(asked);
            }
            What::Remove(_, asked) => {
                if asked > count.on {
                    wrong.push(Wrong::RemovedOff {
                        item: member.item,
                        on: count.on,
                        asked,
                    });
                }
                count.on = count.on.saturating_sub(asked);
                count.met &= count.on > 0;
            }
            What::Forbid(_, action, item) => {
                if count.on > 0 && !count.met {
                    wrong.push(Wrong::ForbiddenItem { action, item });
                }
                count.met = count.on > 0;
            }
        }
        next
    }

    fn finish(&self, state: &Vec<Count>, wrong: &mut Vec<Wrong>) {
        let (Some(first), Some(count)) = (self.members.first(), state.first()) else {
            return;
        };
        match first.item {
            Item::Temporary(item) if count.on > 0 => wrong.push(Wrong::LeftOn { item, on: count.on }),
            Item::Part(part) if first.fitted && (first.reuse != Reuse::No || self.members.len() > 1) => {
                let others = self.members.iter().zip(state).skip(1);
                // A set of new parts may be of another number than the old ones; all of it is a full place.
                let covered = others.map(|(m, c)| if c.on >= m.qty { first.qty } else { c.on });
                let covered = covered.fold(count.on, u32::saturating_add);
                if covered < first.qty {
                    wrong.push(Wrong::LeftOff {
                        part,
                        missing: first.qty - covered,
                    });
                }
            }
            Item::Temporary(_) | Item::Part(_) => {}
        }
    }

    fn origin(&self, past: &[&Event<What>], wrong: &Wrong) -> Option<Since> {
        let last = |test: &dyn Fn(&What) -> bool, how: How| {
            let event = past.iter().rev().find(|e| test(&e.what))?;
            Some(Since { at: event.at, how })
        };
        let fitted = |item: Item| last(&|w| matches!(w, What::Fit(m, _) if self.is(*m, item)), How::Fitted);
        let removed = |item: Item| last(&|w| matches!(w, What::Remove(m, _) if self.is(*m, item)), How::Removed);
        let at_start = |item: Item| {
            let member = self.members.iter().find(|m| m.item == item)?;
            Some(Since {
                at: member.declared,
                how: How::AtStart,
            })
        };
        match *wrong {
            Wrong::FittedTwice { item, .. } => fitted(item).or_else(|| at_start(item)),
            Wrong::PlaceTaken { by, .. } => fitted(Item::Part(by)).or_else(|| at_start(Item::Part(by))),
            Wrong::RemovedOff { item, .. } => removed(item).or_else(|| at_start(item)),
            Wrong::ForbiddenItem { item, .. } | Wrong::LeftOn { item, .. } => fitted(Item::Temporary(item)),
            Wrong::Refitted { part } => removed(Item::Part(part)).or_else(|| fitted(Item::Part(part))),
            Wrong::LeftOff { part, .. } => {
                removed(Item::Part(part)).or_else(|| last(&|w| matches!(w, What::Remove(..)), How::Removed))
            }
            Wrong::LeftLoose { .. }
            | Wrong::SnuggedTwice { .. }
            | Wrong::FastenerReused { .. }
            | Wrong::WrongState { .. }
            | Wrong::NeedNotMet { .. }
            | Wrong::WrongFinish { .. }
            | Wrong::StartedTwice { .. }
            | Wrong::NotStarted { .. }
            | Wrong::NeverEnded { .. }
            | Wrong::Overrun { .. }
            | Wrong::HoldInWindow { .. }
            | Wrong::BreakInWindow { .. }
            | Wrong::CureNotTimed { .. }
            | Wrong::OpenNotTimed { .. } => None,
        }
    }
}

impl Place {
    fn is(&self, member: usize, item: Item) -> bool {
        self.members.get(member).is_some_and(|m| m.item == item)
    }

    /// The part that is in the way of so many more of a member, if one is.
    fn taken(&self, at: usize, state: &[Count], asked: u32) -> Option<(Handle<Part>, Handle<Part>)> {
        let (member, own) = (self.members.get(at)?, state.get(at)?);
        let room = self.members.first()?.qty.max(member.qty);
        let others = || {
            self.members
                .iter()
                .zip(state)
                .enumerate()
                .filter(|(n, (_, c))| *n != at && c.on > 0)
        };
        let on = others().fold(own.on.saturating_add(asked), |sum, (_, (_, c))| {
            sum.saturating_add(c.on)
        });
        let (_, (by, _)) = others().next().filter(|_| on > room)?;
        match (member.item, by.item) {
            (Item::Part(part), Item::Part(by)) => Some((part, by)),
            _ => None,
        }
    }
}

/// Follows every item that some act touches.
pub(super) fn explore(set: &Set, flow: &Flow, explorer: &mut Explorer) {
    for place in places(set) {
        let positions: BTreeMap<Item, usize> = place.members.iter().zip(0..).map(|(m, n)| (m.item, n)).collect();
        let events = events(flow, &place, &positions);
        if let Some(first) = place.members.first().filter(|_| !events.is_empty()) {
            let name = match first.item {
                Item::Part(part) => &set.catalogue.parts.get(part).id.text,
                Item::Temporary(item) => &set.catalogue.temporary.get(item).id.text,
            };
            explorer.explore(&place, (first.declared, name), &events);
        }
    }
}

fn places(set: &Set) -> Vec<Place> {
    let mut by_root: BTreeMap<Handle<Part>, Vec<Member>> = BTreeMap::new();
    for (handle, def) in set.catalogue.parts.iter() {
        let root = set.links.place_of(handle);
        let members = by_root.entry(root).or_default();
        let member = Member {
            item: Item::Part(handle),
            declared: def.id.span,
            qty: def.value.qty,
            fitted: def.value.fitted,
            reuse: def.value.reuse,
        };
        members.insert(if handle == root { 0 } else { members.len() }, member);
    }
    let temporary = set.catalogue.temporary.iter().map(|(handle, def)| Place {
        members: vec![Member {
            item: Item::Temporary(handle),
            declared: def.id.span,
            qty: def.value.qty,
            fitted: false,
            reuse: Reuse::Yes,
        }],
    });
    by_root
        .into_values()
        .map(|members| Place { members })
        .chain(temporary)
        .collect()
}

fn events<'a>(flow: &Flow<'a>, place: &Place, positions: &BTreeMap<Item, usize>) -> Vec<Event<'a, What>> {
    let touching = flow.touching(place.members.iter().map(|m| Touched::Item(m.item)));
    let events = touching.into_iter().filter_map(|event| {
        let walk::What::Item(item, on) = event.what else {
            return None;
        };
        let at = *positions.get(&item)?;
        let what = match (on, item) {
            (OnItem::Fit(count), _) => What::Fit(at, count),
            (OnItem::Remove(count), _) => What::Remove(at, count),
            (OnItem::Barred(action), Item::Temporary(item)) => What::Forbid(at, action, item),
            (OnItem::Barred(_), Item::Part(_)) => return None,
        };
        Some(event.with(what))
    });
    events.collect()
}
