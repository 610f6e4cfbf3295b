//! How everything stands, for every combination of choices and answers at once: a diagram for each thing, and how each came to be.

use super::perils::Perils;
use super::pieces::{Numbers, Pieces};
use super::shape::{Node, Shape};
use super::touches::Touches;
use super::ways::{Moment, Ways};
use crate::check::ledger::diagram::{ALWAYS, Diagrams, NEVER, Ref};
use crate::check::ledger::fault::{How, Since, Untried, Wrong};
use crate::check::walk::guard::Variables;
use crate::domain::timer::Duration;
use crate::model::registers::Temporary;
use crate::model::{Entity, Handle, handle};
use crate::source::Span;
use indexmap::IndexMap;
use rustc_hash::FxBuildHasher;
use std::collections::{BTreeMap, BTreeSet};

/// What is tracked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Key {
    /// Pieces of a part or temporary item; leaves number [`Pieces`].
    Item(Node),
    /// A torque: [`TIGHT`], [`LOOSE`], [`SNUG`] or [`OUT`].
    Grip(Node),
    /// 1 if its lubricant is on a torque.
    Wet(Node),
    /// Single-use fasteners that are no part: 1 once loosened.
    Worn(Node),
    /// 0 while unknown, else a value's index and one more.
    State(Node),
    /// A timer; leaves number clocks.
    Clock(Node),
    /// Bits of the consumables in a joint, and [`UNNAMED`].
    Filling(Node),
    /// 1 if what is in a joint is hard.
    Hard(Node),
    /// How long a consumable in a joint has been open: 0 not at all, else the number of a clock and one more.
    Open(Node, Entity),
    /// 1 while a consumable that a step used on no joint hasn't cured.
    Bare(Entity, Span),
    /// 1 while an action is done, or a limit measured, and nothing that it stands on has been touched.
    Valid(Node),
    /// 1 once a limit has been measured at all.
    Read(Node),
    /// What the last reading was: 0 none, then in, low, high.
    Answer(Node),
    /// 1 once an action has met a temporary item that it must not, since that went on.
    Met(Node),
}

/// What time passes for.
#[derive(Debug, Clone, Copy)]
pub(super) enum Running {
    Timer(Node),
    /// A consumable that is open in a joint.
    Open(Node, Entity),
}

impl Key {
    /// What time passes for, if this is that.
    pub(super) fn running(self) -> Option<Running> {
        match self {
            Key::Clock(node) => Some(Running::Timer(node)),
            Key::Open(node, consumable) => Some(Running::Open(node, consumable)),
            Key::Item(_)
            | Key::Grip(_)
            | Key::Wet(_)
            | Key::Worn(_)
            | Key::State(_)
            | Key::Filling(_)
            | Key::Hard(_)
            | Key::Bare(..)
            | Key::Valid(_)
            | Key::Read(_)
            | Key::Answer(_)
            | Key::Met(_) => None,
        }
    }
}

pub const TIGHT: u32 = 0;
pub const LOOSE: u32 = 1;
pub const SNUG: u32 = 2;
pub const OUT: u32 = 3;

/// A filling that nobody names: what was in a joint at the start.
pub const UNNAMED: u32 = 1 << 31;

/// One thing over time.
#[derive(Debug)]
pub(super) struct Track {
    pub(super) now: Ref,
    pub(super) start: Ref,
    /// What it became at which event; false for what it is only taken to be from there on, so that one mistake is one finding.
    pub(super) past: Vec<(u32, Ref, bool)>,
    /// Given up: too many combinations bear on it.
    pub(super) lost: bool,
}

/// Where a fault stands, or how it came about; told once the choices are known.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    Here(Span),
    /// Where something last changed, or else where it is declared.
    Last(Vec<Key>),
    /// Where something last changed, or else that place.
    LastOr(Vec<Key>, Span),
    /// Where something last changed; nowhere if it never did.
    Changed(Vec<Key>),
    /// Where something changed before it last changed.
    Before(Vec<Key>),
    /// Where pieces last became spent, and where they had changed before that.
    Spent(Vec<Key>),
    BeforeSpent(Vec<Key>),
    /// Where pieces last came off, or else where it is declared.
    Removed(Vec<Key>),
    /// Where pieces last went on, or else where it is declared.
    Fitted(Vec<Key>),
    /// Where a joint was last closed, or else where what closes it is declared.
    Closing(Node),
    /// Where something was last done or measured.
    Done(Key),
    /// Where a timer was last started.
    Started(Key),
    /// The last of some steps that is there.
    Step(usize),
    /// A certain place and what it is.
    Told(Since),
}

/// Something wrong, and for which choices and answers.
#[derive(Debug, Clone)]
pub struct Found {
    pub wrong: Wrong,
    pub at: Place,
    pub condition: Ref,
    /// When it was judged: on the ways that had not ended by then.
    pub moment: Moment,
    /// True if it keeps ways from ending that are then left out of all else.
    pub free: bool,
    pub since: Vec<Place>,
    /// Only the end shows it.
    pub end: bool,
    /// How many events there had been.
    pub when: u32,
}

/// All that is tracked, numbered in the order in which it was first looked at. Each act looks up several keys, which are long to compare.
pub(super) type Tracks = IndexMap<Key, Track, FxBuildHasher>;

pub struct World<'a> {
    pub shape: &'a Shape<'a>,
    pub variables: &'a Variables,
    pub diagrams: Diagrams<'a>,
    pub(super) tracks: Tracks,
    pub(super) events: Vec<Since>,
    pub pieces: Numbers<Pieces>,
    pub durations: Numbers<Duration>,
    pub clocks: Numbers<super::clock::State>,
    /// Ways that have not ended, and that there are: none on which choices stand together that never do, or an answer is given again that
    /// led back.
    pub ways: Ways,
    pub found: Vec<Found>,
    /// Clocks and open joints that may run.
    pub running: BTreeSet<Key>,
    /// Those that may have begun or ended in the step, and what stands in another way that nobody should leave in some.
    pub turned: BTreeSet<Key>,
    /// What happened to each timer: the event, where, and what.
    pub log: BTreeMap<Key, Vec<(u32, Ref, super::clock::What)>>,
    /// Uses on no joint of what cures.
    pub bare: BTreeSet<Key>,
    /// Steps so far, with their guards, by card; the last list is the set's.
    pub steps: Vec<Vec<(Ref, Span)>>,
    /// True while something is looked at that has been given up.
    pub(super) poisoned: bool,
    pub touches: Touches,
    pub unchecked: BTreeSet<(Span, String)>,
    pub untried: BTreeSet<Untried>,
    pub(super) there: BTreeMap<Entity, Ref>,
    /// States and temporary items that may stand as nobody should leave them.
    pub(super) perils: Perils,
}

impl<'a> World<'a> {
    pub fn new(shape: &'a Shape<'a>, variables: &'a Variables) -> World<'a> {
        World {
            shape,
            variables,
            diagrams: Diagrams::new(variables),
            tracks: Tracks::default(),
            events: Vec::new(),
            pieces: Numbers::default(),
            durations: Numbers::default(),
            clocks: Numbers::default(),
            ways: Ways::default(),
            found: Vec::new(),
            running: BTreeSet::new(),
            turned: BTreeSet::new(),
            log: BTreeMap::new(),
            bare: BTreeSet::new(),
            steps: vec![Vec::new()],
            poisoned: false,
            touches: Touches::default(),
            unchecked: BTreeSet::new(),
            untried: BTreeSet::new(),
            there: BTreeMap::new(),
            perils: Perils::new(shape),
        }
    }

    /// Begins something that happens at a place.
    pub fn event(&mut self, at: Span, how: How) {
        self.events.push(Since { at, how });
        self.poisoned = false;
    }

    pub(super) fn now(&self) -> u32 {
        self.events.len() as u32
    }

    // What there is.

    /// The choices for which an entry is there.
    pub fn there(&mut self, entity: Entity) -> Ref {
        if let Some(known) = self.there.get(&entity) {
            return *known;
        }
        let only = &self.shape.ties(entity).only;
        // An option that is asked for only where another is chosen may stand in a circle: it is then there.
        self.there.insert(entity, ALWAYS);
        let there = self.conditions(only);
        self.there.insert(entity, there);
        there
    }

    /// The choices that meet some conditions.
    pub fn conditions(&mut self, only: &[crate::model::Condition]) -> Ref {
        let mut all = ALWAYS;
        for condition in only {
            let Some((variable, values)) = self.variables.values(condition.option, &condition.values) else {
                continue;
            };
            let leaves: Vec<u32> = (0..self.variables.size(variable))
                .map(|value| u32::from(values.contains(&value)))
                .collect();
            let holds = self.diagrams.of_variable(variable, &leaves);
            all = self.diagrams.and(all, holds);
            let asked = self.there(condition.option.entity());
            all = self.diagrams.and(all, asked);
        }
        all
    }

    // Things.

    pub fn temporary(&self, node: Node) -> Option<&'a Temporary> {
        let item: Handle<Temporary> = handle(node.entity)?;
        Some(&self.shape.set.catalogue.temporary[item])
    }

    /// The number of what is tracked under a key.
    fn number(&mut self, key: Key) -> usize {
        if let Some(number) = self.tracks.get_index_of(&key) {
            return number;
        }
        let start = self.start(key);
        let track = Track {
            now: start,
            start,
            past: Vec::new(),
            lost: false,
        };
        self.tracks.insert_full(key, track).0
    }

    /// How something stands.
    pub fn value(&mut self, key: Key) -> Ref {
        let number = self.number(key);
        self.touches.reads.insert(number);
        let Some((_, track)) = self.tracks.get_index(number) else {
            return NEVER;
        };
        self.poisoned |= track.lost;
        track.now
    }

    /// Lets something become what `next` is, where the guard holds.
    pub fn become_(&mut self, key: Key, guard: Ref, next: Ref) {
        self.turn_into(key, guard, next, true);
    }

    /// Takes something to be so from here on, though nothing brought it about.
    pub fn mend(&mut self, key: Key, guard: Ref, leaf: u32) {
        self.turn_into(key, guard, Ref::Leaf(leaf), false);
    }

    fn turn_into(&mut self, key: Key, guard: Ref, next: Ref, real: bool) {
        let number = self.number(key);
        self.touches.writes.insert(number);
        let event = self.now();
        let Some((_, track)) = self.tracks.get_index_mut(number) else {
            return;
        };
        let merged = self.diagrams.select(guard, next, track.now);
        if merged != track.now && !track.lost {
            track.now = merged;
            track.past.push((event, merged, real));
            if let Key::State(node) | Key::Item(node) = key
                && self.perils.changed(self.shape, node)
            {
                self.turned.insert(key);
            }
        }
    }

    /// True where the leaf is one of those.
    pub fn test(&mut self, key: Key, is: impl Fn(u32) -> bool) -> Ref {
        let now = self.value(key);
        self.diagrams.map(now, &mut |leaf| u32::from(is(leaf)))
    }

    /// True where the pieces are such.
    pub fn pieces(&mut self, node: Node, is: impl Fn(&Pieces) -> bool) -> Ref {
        let now = self.value(Key::Item(node));
        let numbers = &self.pieces;
        self.diagrams.map(now, &mut |leaf| {
            u32::from(numbers.get(leaf).is_some_and(|pieces| is(&pieces)))
        })
    }

    pub fn set(&mut self, key: Key, guard: Ref, leaf: impl Fn(u32) -> u32) {
        let now = self.value(key);
        let next = self.diagrams.map(now, &mut |old| leaf(old));
        self.become_(key, guard, next);
    }

    pub fn change(&mut self, node: Node, guard: Ref, change: impl Fn(&mut Pieces)) {
        let now = self.value(Key::Item(node));
        let numbers = &mut self.pieces;
        let next = self.diagrams.map(now, &mut |leaf| match numbers.get(leaf) {
            Some(mut pieces) => {
                change(&mut pieces);
                numbers.number(pieces)
            }
            None => leaf,
        });
        self.become_(Key::Item(node), guard, next);
    }

    // What is wrong.

    /// Something wrong where a condition holds on ways that haven't ended.
    pub fn wrong(&mut self, condition: Ref, wrong: Wrong, at: Place, since: Vec<Place>) {
        self.tell(condition, wrong, at, since, false);
    }

    /// The same where only the end shows it.
    pub fn wrong_at_end(&mut self, condition: Ref, wrong: Wrong, at: Place, since: Vec<Place>) {
        self.tell(condition, wrong, at, since, true);
    }

    fn tell(&mut self, condition: Ref, wrong: Wrong, at: Place, since: Vec<Place>, end: bool) {
        if condition == NEVER || self.poisoned || !self.goes_on(condition) {
            return;
        }
        self.found.push(Found {
            wrong,
            at,
            condition,
            moment: self.ways.now(),
            free: false,
            since,
            end,
            when: self.now(),
        });
    }

    /// Something wrong with ways that are then no longer followed.
    pub fn endless(&mut self, condition: Ref, at: Span) {
        let before = self.found.len();
        self.tell(condition, Wrong::NeverEnds, Place::Here(at), Vec::new(), false);
        for found in self.found.iter_mut().skip(before) {
            found.free = true;
        }
    }

    /// Ends a piece of work that began before an event; where it brought too many combinations, what it changed is given up, and what it
    /// only looked at is told as not checked. True if that is so.
    pub fn settle(&mut self, found: usize, began: u32) -> bool {
        if !self.diagrams.begin() {
            return false;
        }
        self.found.truncate(found);
        let changed = |track: &Track| track.past.last().is_some_and(|(at, ..)| *at > began);
        let lost: Vec<Key> = self
            .tracks
            .iter()
            .filter(|(_, t)| changed(t))
            .map(|(key, _)| *key)
            .collect();
        if lost.is_empty() {
            let read = self.touches.reads.iter();
            let keys: Vec<Key> = read.filter_map(|at| Some(*self.tracks.get_index(*at)?.0)).collect();
            for key in keys {
                self.not_checked(key);
            }
        }
        for key in lost {
            self.not_checked(key);
            if let Some(track) = self.tracks.get_mut(&key) {
                track.lost = true;
                track.now = NEVER;
            }
        }
        true
    }

    fn not_checked(&mut self, key: Key) {
        let entity = self.entity_of(key);
        let id = entity.and_then(|entity| self.shape.set.catalogue.id(entity));
        self.unchecked.extend(id.map(|id| (id.span, id.text.clone())));
    }

    /// How many events there have been.
    pub fn so_far(&self) -> u32 {
        self.now()
    }
}
