//! How everything stands, for every combination of choices and answers at once: a diagram for each thing, and how each came to be.

use super::shape::{Node, Shape};
use crate::check::ledger::diagram::{ALWAYS, Diagrams, NEVER, Ref};
use crate::check::ledger::fault::{How, Since, Wrong};
use crate::check::walk::guard::Variables;
use crate::domain::timer::Duration;
use crate::model::registers::{Register, State, Temporary};
use crate::model::{Entity, Handle, handle};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// What is tracked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
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
    /// How long a consumable in a joint has been open: 0 not at all, else a number of durations and one more.
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

pub const TIGHT: u32 = 0;
pub const LOOSE: u32 = 1;
pub const SNUG: u32 = 2;
pub const OUT: u32 = 3;

/// A filling that nobody names: what was in a joint at the start.
pub const UNNAMED: u32 = 1 << 31;

/// Pieces of one part or temporary item, by where they are and what they have been through.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pieces {
    /// On, good.
    pub good: u32,
    /// On, good, and marked how they sit.
    pub marked: u32,
    /// On, for single use, and loosened since they were tightened.
    pub eased: u32,
    /// On, for single use, and used before.
    pub spent: u32,
    /// Off, never used.
    pub fresh: u32,
    /// Off, used, and nobody marked how they sat.
    pub off: u32,
    /// Off, used and marked.
    pub off_marked: u32,
}

impl Pieces {
    pub fn on(&self) -> u32 {
        self.good + self.marked + self.eased + self.spent
    }

    /// Takes so many off, those first that nothing was marked of. Single-use ones are spent.
    pub fn remove(&mut self, count: u32, single: bool) {
        let mut left = count;
        for (from, marked) in [
            (&mut self.good, false),
            (&mut self.eased, false),
            (&mut self.spent, false),
            (&mut self.marked, true),
        ] {
            let taken = left.min(*from);
            *from -= taken;
            left -= taken;
            match (single, marked) {
                (true, _) => {}
                (false, false) => self.off += taken,
                (false, true) => self.off_marked += taken,
            }
        }
    }

    /// Puts so many on, never used ones first; no more than there are of it may be on.
    pub fn fit(&mut self, count: u32, qty: u32, single: bool) {
        let mut left = count.min(qty.saturating_sub(self.on()));
        let fresh = left.min(self.fresh);
        self.fresh -= fresh;
        self.good += fresh;
        left -= fresh;
        if single {
            self.spent += left;
            return;
        }
        let plain = left.min(self.off);
        self.off -= plain;
        self.good += plain;
        left -= plain;
        let marked = left.min(self.off_marked);
        self.off_marked -= marked;
        self.marked += marked;
        // What there can't be any more of is there all the same: its finding is another.
        self.good += left - marked;
    }
}

/// Numbers for what leaves stand for.
#[derive(Debug)]
pub struct Numbers<T> {
    numbers: BTreeMap<T, u32>,
    all: Vec<T>,
}

impl<T> Default for Numbers<T> {
    fn default() -> Self {
        Numbers {
            numbers: BTreeMap::new(),
            all: Vec::new(),
        }
    }
}

impl<T: Clone + Ord> Numbers<T> {
    pub fn number(&mut self, value: T) -> u32 {
        if let Some(number) = self.numbers.get(&value) {
            return *number;
        }
        let number = self.all.len() as u32;
        self.numbers.insert(value.clone(), number);
        self.all.push(value);
        number
    }

    pub fn get(&self, number: u32) -> Option<T> {
        self.all.get(number as usize).cloned()
    }
}

/// One thing over time.
#[derive(Debug)]
struct Track {
    now: Ref,
    start: Ref,
    /// What it became at which event; false for what it is only taken to be from there on, so that one mistake is one finding.
    past: Vec<(u32, Ref, bool)>,
    /// Given up: too many combinations bear on it.
    lost: bool,
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
    /// Where pieces last came off, or else where it is declared.
    Removed(Vec<Key>),
    /// Where pieces last went on, or else where it is declared.
    Fitted(Vec<Key>),
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
    /// The ways on which it was judged: those that had not ended, or `free` of what is not allowed.
    pub care: Ref,
    /// True if it keeps ways from ending that are then left out of all else.
    pub free: bool,
    pub since: Vec<Place>,
    /// Only the end shows it.
    pub end: bool,
    /// How many events there had been.
    pub when: u32,
}

/// What one step touches, to tell whether its order matters.
#[derive(Debug, Default, Clone)]
pub struct Touches {
    pub reads: BTreeSet<Key>,
    pub writes: BTreeSet<Key>,
}

pub struct World<'a> {
    pub shape: &'a Shape<'a>,
    pub variables: &'a Variables,
    pub diagrams: Diagrams<'a>,
    tracks: BTreeMap<Key, Track>,
    events: Vec<Since>,
    pub pieces: Numbers<Pieces>,
    pub durations: Numbers<Duration>,
    pub clocks: Numbers<super::clock::State>,
    /// Ways that have not ended.
    pub alive: Ref,
    /// Ways that there are: none on which choices stand together that never do, or an answer is given again that led back.
    pub allowed: Ref,
    pub found: Vec<Found>,
    /// Clocks and open joints that may run.
    pub running: BTreeSet<Key>,
    /// What happened to each timer: the event, where, and what.
    pub log: BTreeMap<Key, Vec<(u32, Ref, super::clock::What)>>,
    /// Uses on no joint of what cures.
    pub bare: BTreeSet<Key>,
    /// Steps so far, with their guards, by card; the last list is the set's.
    pub steps: Vec<Vec<(Ref, Span)>>,
    /// True while something is looked at that has been given up.
    poisoned: bool,
    pub touches: Touches,
    pub unchecked: BTreeSet<(Span, String)>,
    there: BTreeMap<Entity, Ref>,
}

impl<'a> World<'a> {
    pub fn new(shape: &'a Shape<'a>, variables: &'a Variables) -> World<'a> {
        World {
            shape,
            variables,
            diagrams: Diagrams::new(variables),
            tracks: BTreeMap::new(),
            events: Vec::new(),
            pieces: Numbers::default(),
            durations: Numbers::default(),
            clocks: Numbers::default(),
            alive: ALWAYS,
            allowed: ALWAYS,
            found: Vec::new(),
            running: BTreeSet::new(),
            log: BTreeMap::new(),
            bare: BTreeSet::new(),
            steps: vec![Vec::new()],
            poisoned: false,
            touches: Touches::default(),
            unchecked: BTreeSet::new(),
            there: BTreeMap::new(),
        }
    }

    /// Begins something that happens at a place.
    pub fn event(&mut self, at: Span, how: How) {
        self.events.push(Since { at, how });
        self.poisoned = false;
    }

    fn now(&self) -> u32 {
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

    fn start(&mut self, key: Key) -> Ref {
        let number = match key {
            Key::Item(node) => {
                let (qty, fitted, spares, single) = match self.shape.part(node) {
                    Some(part) => (part.qty, part.fitted, part.spares, part),
                    None => {
                        let count = self.temporary(node).map_or(1, |item| item.qty);
                        let pieces = Pieces {
                            fresh: count,
                            ..Pieces::default()
                        };
                        return Ref::Leaf(self.pieces.number(pieces));
                    }
                };
                let on = if fitted { qty } else { 0 };
                let fresh = match (single.renew, fitted) {
                    (true, _) => qty + spares,
                    (false, true) => 0,
                    (false, false) => qty,
                };
                self.pieces.number(Pieces {
                    good: on,
                    fresh,
                    ..Pieces::default()
                })
            }
            Key::Grip(node) => return self.first_grip(node),
            Key::Wet(node) => {
                let grip = self.first_grip(node);
                return self.diagrams.map(grip, &mut |grip| u32::from(grip != OUT));
            }
            Key::State(node) => {
                let state: Option<Handle<State>> = handle(node.entity);
                let entry = state.map(|state| &self.shape.set.catalogue.states[state]);
                let start = entry.and_then(|e| {
                    let start = e.start.as_ref()?;
                    e.values.iter().position(|v| v.text == start.text)
                });
                start.map_or(0, |start| start as u32 + 1)
            }
            Key::Clock(_) => self.clocks.number(super::clock::State::Idle),
            Key::Filling(node) => return self.first_filling(node),
            Key::Hard(_) => 1,
            Key::Worn(_)
            | Key::Open(..)
            | Key::Bare(..)
            | Key::Valid(_)
            | Key::Read(_)
            | Key::Answer(_)
            | Key::Met(_) => 0,
        };
        Ref::Leaf(number)
    }

    /// Tight, or out if nothing that they hold is on.
    fn first_grip(&mut self, node: Node) -> Ref {
        let held: Vec<Node> = self.shape.holds(node).to_vec();
        let own = self.shape.fastener_part(node);
        let places: Vec<Node> = if held.is_empty() {
            own.into_iter().collect()
        } else {
            held
        };
        let mut empty = NEVER;
        for place in places {
            let nothing = self.first_empty(place);
            empty = self.diagrams.or(empty, nothing);
        }
        self.diagrams
            .map(empty, &mut |empty| if empty == 1 { OUT } else { TIGHT })
    }

    fn first_empty(&mut self, seat: Node) -> Ref {
        let shape = self.shape;
        let mut empty = ALWAYS;
        for part in shape.place(seat).map_or(&[][..], |place| &place.parts) {
            if shape.part(*part).is_some_and(|p| p.fitted) {
                let there = self.there(part.entity);
                empty = self.diagrams.without(empty, there);
            }
        }
        empty
    }

    /// What is in a joint at the start and isn't one of its parts: nothing where a part is, else what nobody names.
    fn first_filling(&mut self, node: Node) -> Ref {
        let shape = self.shape;
        let mut empty = ALWAYS;
        for place in shape.joint(node).map_or(&[][..], |joint| &joint.places) {
            let nothing = self.first_empty(*place);
            empty = self.diagrams.and(empty, nothing);
        }
        self.diagrams
            .map(empty, &mut |empty| if empty == 1 { UNNAMED } else { 0 })
    }

    pub fn temporary(&self, node: Node) -> Option<&'a Temporary> {
        let item: Handle<Temporary> = handle(node.entity)?;
        Some(&self.shape.set.catalogue.temporary[item])
    }

    fn track(&mut self, key: Key) -> &mut Track {
        if !self.tracks.contains_key(&key) {
            let start = self.start(key);
            self.tracks.insert(
                key,
                Track {
                    now: start,
                    start,
                    past: Vec::new(),
                    lost: false,
                },
            );
        }
        self.tracks.entry(key).or_insert(Track {
            now: NEVER,
            start: NEVER,
            past: Vec::new(),
            lost: true,
        })
    }

    /// How something stands.
    pub fn value(&mut self, key: Key) -> Ref {
        self.touches.reads.insert(key);
        let track = self.track(key);
        let (now, lost) = (track.now, track.lost);
        self.poisoned |= lost;
        now
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
        self.touches.writes.insert(key);
        let now = self.track(key).now;
        let merged = self.diagrams.select(guard, next, now);
        let event = self.now();
        let track = self.track(key);
        if merged != now && !track.lost {
            track.now = merged;
            track.past.push((event, merged, real));
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

    /// The parts of a place; a temporary item is its own.
    pub fn parts_of(&self, seat: Node) -> Vec<Node> {
        match self.shape.place(seat) {
            Some(place) => place.parts.clone(),
            None => vec![seat],
        }
    }

    /// The keys of the parts of a place.
    pub fn keys(&self, seat: Node) -> Vec<Key> {
        self.parts_of(seat).into_iter().map(Key::Item).collect()
    }

    /// True where a piece of a place, or a temporary item, is on.
    pub fn any_on(&mut self, seat: Node) -> Ref {
        let mut any = NEVER;
        for part in self.parts_of(seat) {
            let on = self.pieces(part, |p| p.on() > 0);
            any = self.diagrams.or(any, on);
        }
        any
    }

    /// True where some part of a place is there at all.
    pub fn any_there(&mut self, seat: Node) -> Ref {
        let mut any = NEVER;
        for part in self.parts_of(seat) {
            let there = self.there(part.entity);
            any = self.diagrams.or(any, there);
        }
        any
    }

    /// True where a place is full, or all of a temporary item on.
    pub fn whole(&mut self, seat: Node) -> Ref {
        let parts = self.parts_of(seat);
        let shape = self.shape;
        let pieces = match shape.place(seat) {
            Some(place) => place.pieces,
            None => self.temporary(seat).map(|item| item.qty),
        };
        let Some(full) = pieces else {
            let mut whole = NEVER;
            for part in parts {
                let qty = shape.part(part).map_or(1, |p| p.qty);
                let on = self.pieces(part, |p| p.on() >= qty);
                whole = self.diagrams.or(whole, on);
            }
            return whole;
        };
        let mut sum = Ref::Leaf(0);
        for part in parts {
            let now = self.value(Key::Item(part));
            let numbers = &self.pieces;
            sum = self.diagrams.combine(sum, now, &mut |sum, leaf| {
                sum + numbers.get(leaf).map_or(0, |pieces| pieces.on())
            });
        }
        self.diagrams.map(sum, &mut |sum| u32::from(sum >= full))
    }

    /// True where a piece on is spent.
    pub fn spent(&mut self, seat: Node) -> Ref {
        let mut spent = NEVER;
        for part in self.parts_of(seat) {
            let on = self.pieces(part, |p| p.spent > 0);
            spent = self.diagrams.or(spent, on);
        }
        spent
    }

    /// True where a joint is closed.
    pub fn closed(&mut self, joint: Node) -> Ref {
        let shape = self.shape;
        let mut closed = ALWAYS;
        for closer in shape.joint(joint).map_or(&[][..], |joint| &joint.closers) {
            let there = match closer.entity.register {
                Register::Torques => self.there(closer.entity),
                _ => self.any_there(*closer),
            };
            let shut = match closer.entity.register {
                Register::Torques => self.test(Key::Grip(*closer), |grip| grip == TIGHT),
                _ => self.whole(*closer),
            };
            let shut = self.diagrams.select(there, shut, ALWAYS);
            closed = self.diagrams.and(closed, shut);
        }
        closed
    }

    /// What brings a joint to be closed or open.
    pub fn closing(&self, joint: Node) -> Vec<Key> {
        let closers = self.shape.joint(joint).map_or(&[][..], |joint| &joint.closers);
        closers
            .iter()
            .flat_map(|closer| match closer.entity.register {
                Register::Torques => vec![Key::Grip(*closer)],
                _ => self.keys(*closer),
            })
            .collect()
    }

    /// How many fillings a joint has; a part that is only partly on makes it one too many or too few.
    pub fn fillings(&mut self, joint: Node) -> Ref {
        let shape = self.shape;
        let bits = self.value(Key::Filling(joint));
        let mut count = self.diagrams.map(bits, &mut |bits| bits.count_ones());
        for place in shape.joint(joint).map_or(&[][..], |joint| &joint.places) {
            let whole = self.whole(*place);
            let on = self.any_on(*place);
            // Some pieces of several are no filling.
            let partly = self.diagrams.without(on, whole);
            count = self.diagrams.combine(count, whole, &mut |sum, one| sum + one);
            count = self.diagrams.combine(count, partly, &mut |sum, part| sum + 16 * part);
        }
        count
    }

    // Timers.

    /// True where a timer is such.
    pub fn clocks_where(&mut self, key: Key, is: impl Fn(&super::clock::State) -> bool) -> Ref {
        let now = self.value(key);
        let numbers = &self.clocks;
        self.diagrams.map(now, &mut |leaf| {
            u32::from(numbers.get(leaf).is_some_and(|state| is(&state)))
        })
    }

    /// Lets something happen to a timer; a window of that limit that is over it only gets later.
    pub fn clock(&mut self, key: Key, guard: Ref, limit: Option<&Duration>, what: super::clock::What) {
        let now = self.value(key);
        let numbers = &mut self.clocks;
        let next = self.diagrams.map(now, &mut |leaf| match numbers.get(leaf) {
            Some(mut state) => {
                what.happen(&mut state);
                numbers.number(state.merged(limit))
            }
            None => leaf,
        });
        let event = self.now();
        self.log.entry(key).or_default().push((event, guard, what));
        self.become_(key, guard, next);
    }

    /// Every length of time that a timer may have run.
    pub fn elapsed(&mut self, key: Key) -> BTreeSet<Duration> {
        let now = self.value(key);
        let mut leaves = BTreeSet::new();
        self.diagrams.map(now, &mut |leaf| {
            leaves.insert(leaf);
            leaf
        });
        let numbers = &self.clocks;
        leaves
            .into_iter()
            .filter_map(|leaf| numbers.get(leaf)?.elapsed().cloned())
            .collect()
    }

    /// True if a timer runs on some way.
    pub fn may_run(&mut self, key: Key) -> bool {
        self.clocks_where(key, super::clock::State::runs) != NEVER
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
        if condition == NEVER || self.poisoned {
            return;
        }
        let condition = self.diagrams.and(condition, self.alive);
        if condition == NEVER {
            return;
        }
        self.found.push(Found {
            wrong,
            at,
            condition,
            care: self.alive,
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

    /// Ends a piece of work that began before an event; where it brought too many combinations, what it changed is given up.
    pub fn settle(&mut self, found: usize, began: u32) {
        if !self.diagrams.begin() {
            return;
        }
        self.found.truncate(found);
        let changed = |track: &Track| track.past.last().is_some_and(|(at, ..)| *at > began);
        let lost: Vec<Key> = self
            .tracks
            .iter()
            .filter(|(_, t)| changed(t))
            .map(|(key, _)| *key)
            .collect();
        for key in lost {
            let id = self
                .entity_of(key)
                .and_then(|entity| self.shape.set.catalogue.id(entity));
            self.unchecked.extend(id.map(|id| (id.span, id.text.clone())));
            if let Some(track) = self.tracks.get_mut(&key) {
                track.lost = true;
                track.now = NEVER;
            }
        }
    }

    /// How many events there have been.
    pub fn so_far(&self) -> u32 {
        self.now()
    }

    // How it came about.

    fn declared(&self, key: Key) -> Option<Span> {
        Some(self.shape.set.catalogue.id(self.entity_of(key)?)?.span)
    }

    fn entity_of(&self, key: Key) -> Option<Entity> {
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
    fn changes(&self, key: Key, when: u32, values: &BTreeMap<usize, usize>) -> Vec<(u32, u32, u32)> {
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

    fn at(&self, event: u32) -> Option<Since> {
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
        let on = |leaf: u32| self.pieces.get(leaf).map_or(0, |pieces| pieces.on());
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
                let mut events: Vec<u32> = keys
                    .iter()
                    .flat_map(|key| self.changes(*key, when, values))
                    .map(|(event, ..)| event)
                    .collect();
                events.sort_unstable();
                events.dedup();
                events.pop();
                events.last().and_then(|event| self.at(*event))
            }
            Place::Removed(keys) => latest(keys, &|_, before, after| on(after) < on(before)).or_else(|| declared(keys)),
            Place::Fitted(keys) => latest(keys, &|_, before, after| on(after) > on(before)).or_else(|| declared(keys)),
            Place::Done(key) => latest(&[*key], &|_, _, after| after == 1),
            Place::Started(key) => {
                let fresh = super::clock::State::started();
                latest(&[*key], &|_, _, after| self.clocks.get(after).as_ref() == Some(&fresh))
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
