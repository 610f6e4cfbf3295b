//! How a machine stands at a moment of one way through a set: pieces, fasteners, states, joints, what was measured and done. Every member
//! of a group is a thing of its own here. What a thing is tied to is looked up anew each time; nothing is worked out beforehand.

use super::set::{Only, Set, Thing};
use super::stand::{A_MARK, Doing, Faces, Fastener, Fault, Faults, Grip, One, Piece, Pieces, Place};
use std::collections::{BTreeMap, BTreeSet};

#[derive(Debug, Clone)]
pub struct World<'a> {
    pub set: &'a Set,
    /// By option; none if it isn't asked.
    pub combination: &'a [Option<usize>],
    pub pieces: BTreeMap<One, Pieces>,
    pub fasteners: BTreeMap<One, Fastener>,
    /// Value and where it was last put otherwise.
    pub states: BTreeMap<One, (Option<usize>, Place)>,
    pub joints: BTreeMap<One, Faces>,
    /// When each limit was last measured and each action last done.
    pub done: BTreeMap<One, usize>,
    /// Counts acts.
    pub now: usize,
    pub faults: Faults,
    /// The member that the step is done for.
    pub turn: Option<usize>,
    /// Items that a never-with was told of while they stay on.
    pub told: BTreeSet<One>,
}

impl<'a> World<'a> {
    pub fn new(set: &'a Set, combination: &'a [Option<usize>]) -> World<'a> {
        let mut world = World {
            set,
            combination,
            pieces: BTreeMap::new(),
            fasteners: BTreeMap::new(),
            states: BTreeMap::new(),
            joints: BTreeMap::new(),
            done: BTreeMap::new(),
            now: 1,
            faults: Faults::new(),
            turn: None,
            told: BTreeSet::new(),
        };
        for (n, part) in set.parts.iter().enumerate() {
            for one in world.ones(Thing::Part(n), None) {
                let piece = Piece {
                    on: part.fitted,
                    ..Piece::default()
                };
                let pieces = Pieces {
                    all: vec![piece; part.qty],
                    left: part.qty + part.spares,
                    removed: None,
                    fitted: None,
                    touched: 0,
                };
                world.pieces.insert(one, pieces);
            }
        }
        for (n, item) in set.items.iter().enumerate() {
            for one in world.ones(Thing::Item(n), None) {
                let pieces = Pieces {
                    all: vec![Piece::default(); item.qty],
                    left: 0,
                    removed: None,
                    fitted: None,
                    touched: 0,
                };
                world.pieces.insert(one, pieces);
            }
        }
        for (n, state) in set.states.iter().enumerate() {
            for one in world.ones(Thing::State(n), None) {
                world.states.insert(one, (state.start, Place::Entry(one.0.id())));
            }
        }
        for (n, torque) in set.torques.iter().enumerate() {
            for one in world.ones(Thing::Torque(n), None) {
                let secured = world.secured(one);
                let nothing = !secured.is_empty() && secured.iter().all(|place| world.place_on(place) == 0);
                let own = torque.part.map(|part| world.tied_place(one, part));
                let own = own
                    .is_some_and(|places| !places.is_empty() && places.iter().all(|place| world.place_on(place) == 0));
                let out = nothing || world.secures(one.0).is_empty() && own;
                let fastener = Fastener {
                    grip: if out { Grip::Out } else { Grip::Tight },
                    by_hand: false,
                    worn: false,
                    // What is tight at the start was put in as it should be.
                    wet: !out,
                    since: Place::Entry(one.0.id()),
                    touched: 0,
                };
                world.fasteners.insert(one, fastener);
            }
        }
        for n in 0..set.joints.len() {
            for one in world.ones(Thing::Joint(n), None) {
                let faces = Faces {
                    closed: true,
                    foreign: world.fillings(one) == 0,
                    beads: Vec::new(),
                    since: Place::Entry(match set.joints[n].closed_by {
                        Thing::Part(part) => Thing::Part(set.root(part)).id(),
                        torque => torque.id(),
                    }),
                    touched: 0,
                };
                world.joints.insert(one, faces);
                let closed = world.is_closed(one);
                if let Some(faces) = world.joints.get_mut(&one) {
                    faces.closed = closed;
                }
            }
        }
        world
    }

    pub fn meets(&self, only: &Only) -> bool {
        meets(self.combination, only)
    }

    /// True if it is there for these choices.
    pub fn there(&self, thing: Thing) -> bool {
        self.set.ties(thing).is_none_or(|ties| self.meets(&ties.only))
    }

    /// A thing for each of its members, or for the one that is meant; none if it isn't there.
    pub fn ones(&self, thing: Thing, member: Option<usize>) -> Vec<One> {
        if !self.there(thing) {
            return Vec::new();
        }
        match (self.set.is_each(thing), member) {
            (false, _) => vec![(thing, 0)],
            (true, Some(member)) => vec![(thing, member)],
            (true, None) => (0..self.set.members).map(|member| (thing, member)).collect(),
        }
    }

    /// The member that what something says of others is meant for; of a mark, the one that its step is done for.
    fn member(&self, from: One) -> Option<usize> {
        if from == A_MARK {
            return self.turn;
        }
        self.set.is_each(from.0).then_some(from.1)
    }

    /// What something is tied to: member to member, else all.
    pub fn tied(&self, from: One, to: Thing) -> Vec<One> {
        let member = self.member(from);
        self.ones(to, member)
    }

    /// The parts that take one place in turn, those that are there.
    pub fn place(&self, part: usize, member: usize) -> Vec<One> {
        let root = self.set.root(part);
        let of = (0..self.set.parts.len()).filter(|other| self.set.root(*other) == root);
        of.flat_map(|other| self.ones(Thing::Part(other), Some(member)))
            .collect()
    }

    /// The places of a part that something is tied to, one for each member.
    pub fn tied_place(&self, from: One, part: usize) -> Vec<Vec<One>> {
        // A part that isn't there may have a successor that is.
        let member = self.member(from);
        let each = self.set.is_each(Thing::Part(part));
        let members: Vec<usize> = match (each, member) {
            (false, _) => vec![0],
            (true, Some(member)) => vec![member],
            (true, None) => (0..self.set.members).collect(),
        };
        let places = members.into_iter().map(|member| self.place(part, member));
        places.filter(|place| !place.is_empty()).collect()
    }

    pub fn on(&self, one: One) -> usize {
        self.pieces.get(&one).map_or(0, Pieces::on)
    }

    /// Pieces on in a place.
    pub fn place_on(&self, place: &[One]) -> usize {
        place.iter().map(|one| self.on(*one)).sum()
    }

    pub fn qty(&self, one: One) -> usize {
        match one.0 {
            Thing::Part(n) => self.set.parts[n].qty,
            Thing::Item(n) => self.set.items[n].qty,
            _ => 0,
        }
    }

    /// Piece takes the place of piece where all have several; else the whole that of the whole.
    pub fn by_piece(&self, place: &[One]) -> bool {
        place.iter().all(|one| self.qty(*one) > 1)
    }

    /// Every piece of a place is on.
    pub fn whole(&self, place: &[One]) -> bool {
        match self.by_piece(place) {
            true => self.place_on(place) >= place.iter().map(|one| self.qty(*one)).max().unwrap_or(0),
            false => place.iter().any(|one| self.on(*one) >= self.qty(*one)),
        }
    }

    /// The ties of a part with those of the parts whose place it takes.
    fn inherited<T: Clone>(&self, thing: Thing, of: impl Fn(&super::set::Ties) -> Vec<T>) -> Vec<T> {
        let mut all = self.set.ties(thing).map_or_else(Vec::new, &of);
        let mut at = thing;
        while let Thing::Part(part) = at {
            let Some(old) = self.set.parts[part].replaces else {
                break;
            };
            at = Thing::Part(old);
            all.extend(self.set.ties(at).map_or_else(Vec::new, &of));
        }
        all
    }

    pub fn secures(&self, thing: Thing) -> Vec<usize> {
        self.inherited(thing, |ties| ties.secures.clone())
    }

    pub fn covers(&self, thing: Thing) -> Vec<Thing> {
        self.inherited(thing, |ties| ties.covers.clone())
    }

    pub fn contains(&self, thing: Thing) -> Vec<Thing> {
        self.inherited(thing, |ties| ties.contains.clone())
    }

    /// What something asks for at one act, `never-with` as its asks: first what it always needs.
    pub fn asks(&self, thing: Thing, act: Doing) -> Vec<super::set::Ask> {
        use super::set::Ask;
        let mut asks = self.inherited(thing, |ties| {
            let never = ties.never_with.iter().map(|thing| match thing {
                Thing::Torque(torque) => Ask::Loose(*torque),
                other => Ask::Off(*other),
            });
            ties.needs.iter().cloned().chain(never).collect()
        });
        asks.extend(self.inherited(thing, |ties| match act {
            Doing::Fit => ties.to_fit.clone(),
            Doing::Remove => ties.to_remove.clone(),
            Doing::Tighten => ties.to_tighten.clone(),
            Doing::Other => Vec::new(),
        }));
        asks
    }

    /// Each place that fasteners or a clip secure.
    pub fn secured(&self, by: One) -> Vec<Vec<One>> {
        let mut places: Vec<Vec<One>> = Vec::new();
        for part in self.secures(by.0) {
            for place in self.tied_place(by, part) {
                if !places.contains(&place) {
                    places.push(place);
                }
            }
        }
        places
    }

    /// True if a tie of something names another, by its place.
    pub fn names(&self, from: One, ties: &[Thing], one: One) -> bool {
        ties.iter().any(|thing| match (thing, one.0) {
            (Thing::Part(part), Thing::Part(_)) => {
                self.tied_place(from, *part).iter().any(|place| place.contains(&one))
            }
            (thing, _) => self.tied(from, *thing).contains(&one),
        })
    }

    /// The assemblies that something is in, the innermost first.
    pub fn within(&self, one: One) -> Vec<One> {
        let mut chain: Vec<One> = Vec::new();
        let mut at = one;
        while let Some(outer) =
            self.pieces.keys().copied().find(|outer| {
                !chain.contains(outer) && *outer != one && self.names(*outer, &self.contains(outer.0), at)
            })
        {
            chain.push(outer);
            at = outer;
        }
        chain
    }

    pub fn fault(&mut self, code: u32, kind: &'static str, what: &[String], at: &Place) {
        let fault = Fault {
            code,
            kind,
            what: what.to_vec(),
            at: Some(at.clone()),
            member: 0,
        };
        self.faults.entry(fault).or_default().insert(at.clone());
    }

    /// A fault that the end shows, told where it came about.
    pub fn at_end(&mut self, code: u32, kind: &'static str, one: One, more: Option<Thing>, at: &Place) {
        let fault = Fault {
            code,
            kind,
            what: [Some(one.0), more].into_iter().flatten().map(Thing::id).collect(),
            at: None,
            member: one.1,
        };
        self.faults.entry(fault).or_default().insert(at.clone());
    }
}

pub fn meets(combination: &[Option<usize>], only: &Only) -> bool {
    let one =
        |(option, values): &(usize, Vec<usize>)| combination[*option].is_some_and(|value| values.contains(&value));
    only.iter().all(one)
}
