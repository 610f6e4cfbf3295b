//! What each act asks and brings about. Each is judged before its effect, and done all the same.

use super::set::{Act, Thing};
use super::stand::{Doing, Grip, One, Piece, Place};
use super::world::World;

impl World<'_> {
    /// True if what a mark names is there; told if it isn't.
    fn named(&mut self, thing: Thing, at: &Place) -> bool {
        let there = self.there(thing);
        if !there {
            self.fault(446, "absent", &[thing.id()], at);
        }
        there
    }

    /// Does one act of a step, for one member or for all that are meant.
    pub fn act(&mut self, act: &Act, member: Option<usize>, minutes: Option<u64>, at: &Place) {
        self.now += 1;
        let target = match act {
            Act::Fit(it, _)
            | Act::Remove(it, _)
            | Act::Loosen(it)
            | Act::Snug(it)
            | Act::Tighten(it)
            | Act::Set(it, _)
            | Act::Measure(it, _)
            | Act::UseItem(it)
            | Act::UseOn(_, it)
            | Act::Mark(it) => (it.thing, it.member.or(member)),
            Act::Do(action) => (Thing::Action(*action), member),
            Act::Hold(hold) => (Thing::Hold(*hold), member),
            // Judged when the step begins.
            Act::Need(_) | Act::Wait(_) => return,
        };
        if !self.named(target.0, at) {
            return;
        }
        for one in self.ones(target.0, target.1) {
            match act {
                Act::Fit(_, count) => self.fit(one, count.unwrap_or(self.qty(one)), at),
                Act::Remove(_, count) => self.remove(one, count.unwrap_or(self.qty(one)), at),
                Act::Loosen(_) => self.loosen(one, at),
                Act::Snug(_) => self.snug(one, at),
                Act::Tighten(_) => self.tighten(one, at),
                Act::Set(_, value) => self.put(one, *value, at),
                Act::Measure(_, as_found) => {
                    self.reached(one, at);
                    self.judged(one, Doing::Other, at);
                    if !as_found {
                        self.done.insert(one, self.now);
                    }
                }
                Act::Do(action) => {
                    self.judged(one, Doing::Other, at);
                    self.done.insert(one, self.now);
                    if let Some((state, value)) = self.set.actions[*action].sets {
                        // In a step for each member it brings about what it does for that one.
                        for state in self.ones(Thing::State(state), member) {
                            self.put(state, value, at);
                        }
                    }
                }
                Act::UseItem(_) => {
                    if self.on(one) == 0 {
                        self.fault(448, "used", &[one.0.id()], at);
                    }
                }
                Act::UseOn(consumable, _) => self.use_on(*consumable, one, minutes, at),
                Act::Mark(_) => {
                    let pieces = self.pieces.get_mut(&one).expect("a part");
                    pieces
                        .all
                        .iter_mut()
                        .filter(|piece| piece.on)
                        .for_each(|piece| piece.marked = true);
                }
                Act::Hold(_) => self.judged(one, Doing::Other, at),
                Act::Need(_) | Act::Wait(_) => {}
            }
            self.settle(at);
        }
    }

    fn put(&mut self, state: One, value: usize, at: &Place) {
        if self.states[&state].0 != Some(value) {
            self.states.insert(state, (Some(value), at.clone()));
        }
    }

    /// Fasteners that secure a place.
    fn fasteners_of(&self, one: One) -> Vec<One> {
        let all = self.fasteners.keys().copied();
        all.filter(|by| self.secured(*by).iter().any(|place| place.contains(&one)))
            .collect()
    }

    /// Fasteners that are a part.
    fn fasteners_that_are(&self, one: One) -> Vec<One> {
        let is = |by: &One| {
            let Thing::Torque(torque) = by.0 else {
                return false;
            };
            let part = self.set.torques[torque].part;
            part.is_some_and(|part| self.tied_place(*by, part).iter().any(|place| place.contains(&one)))
        };
        self.fasteners.keys().copied().filter(is).collect()
    }

    /// The places that something secures and that have no piece on, by their first part.
    fn empty(&self, by: One) -> Vec<Thing> {
        let mut empty = Vec::new();
        for part in self.secures(by.0) {
            let bare = self.tied_place(by, part).iter().any(|place| self.place_on(place) == 0);
            let root = Thing::Part(self.set.root(part));
            if bare && !empty.contains(&root) {
                empty.push(root);
            }
        }
        empty
    }

    fn fit(&mut self, one: One, count: usize, at: &Place) {
        let (on, qty) = (self.on(one), self.qty(one));
        let goes = count.min(qty - on);
        let mut room = on + count <= qty;
        if let Thing::Part(part) = one.0 {
            let place = self.place(part, one.1);
            let others: usize = place
                .iter()
                .filter(|other| **other != one)
                .map(|other| self.on(*other))
                .sum();
            room &= match self.by_piece(&place) {
                true => others + on + count <= place.iter().map(|it| self.qty(*it)).max().unwrap_or(qty),
                false => others == 0,
            };
        }
        if on + count > qty {
            self.fault(401, "twice", &[one.0.id()], at);
        } else if !room {
            // Which of the others still is there is in the words; the first does.
            self.fault(402, "taken", &[one.0.id()], at);
        }
        self.reached(one, at);
        for thing in self.empty(one) {
            self.fault(437, "holds", &[one.0.id(), thing.id()], at);
        }
        for by in self.fasteners_that_are(one) {
            for thing in self.empty(by) {
                self.fault(437, "holds", &[one.0.id(), thing.id()], at);
            }
        }
        self.judged(one, Doing::Fit, at);
        if let Thing::Part(part) = one.0 {
            self.put_on(one, part, goes, room, at);
            if goes > 0 {
                for by in self.fasteners_of(one) {
                    let (now, fastener) = (self.now, self.fasteners.get_mut(&by).expect("there"));
                    if fastener.grip == Grip::Tight {
                        (fastener.grip, fastener.since, fastener.touched) = (Grip::Out, at.clone(), now);
                    }
                }
            }
        } else {
            let pieces = self.pieces.get_mut(&one).expect("an item");
            pieces
                .all
                .iter_mut()
                .filter(|piece| !piece.on)
                .take(goes)
                .for_each(|piece| piece.on = true);
        }
        let now = self.now;
        let pieces = self.pieces.get_mut(&one).expect("there");
        pieces.touched = now;
        if goes > 0 {
            pieces.fitted = Some((now, at.clone()));
        }
    }

    /// Pieces of a part go on: those never used before, as long as there are any.
    fn put_on(&mut self, one: One, part: usize, goes: usize, fine: bool, at: &Place) {
        let def = &self.set.parts[part];
        let (mut unmarked, mut none_left) = (false, false);
        let pieces = self.pieces.get_mut(&one).expect("a part");
        for _ in 0..goes {
            if def.renew {
                none_left |= pieces.left == 0;
                pieces.left = pieces.left.saturating_sub(1);
                // What lies on the bench is the old one; the new one is another.
                if let Some(slot) = pieces.all.iter_mut().find(|piece| !piece.on) {
                    *slot = Piece {
                        on: true,
                        since: Some(at.clone()),
                        ..Piece::default()
                    };
                }
                continue;
            }
            let fresh = pieces.all.iter().position(|piece| !piece.on && !piece.been);
            let Some(next) = fresh.or_else(|| pieces.all.iter().position(|piece| !piece.on)) else {
                break;
            };
            let piece = &mut pieces.all[next];
            unmarked |= def.marked && piece.been && !piece.marked;
            piece.on = true;
            piece.worn = false;
            piece.spent |= piece.been && def.single;
            piece.since = Some(at.clone());
        }
        if unmarked && fine {
            self.fault(444, "unmarked", &[one.0.id()], at);
        }
        if none_left && fine {
            self.fault(443, "none", &[one.0.id()], at);
        }
    }

    fn remove(&mut self, one: One, count: usize, at: &Place) {
        let on = self.on(one);
        let comes = count.min(on);
        if count > on {
            self.fault(403, "off", &[one.0.id()], at);
        }
        self.reached(one, at);
        self.held(one, at);
        self.judged(one, Doing::Remove, at);
        let (now, emptied) = (self.now, {
            let pieces = self.pieces.get_mut(&one).expect("there");
            for _ in 0..comes {
                // What is spent stays longest: the worse of what could be.
                let next = pieces.all.iter().position(|piece| piece.on && !piece.spent);
                let Some(next) = next.or_else(|| pieces.all.iter().position(|piece| piece.on)) else {
                    break;
                };
                (pieces.all[next].on, pieces.all[next].been) = (false, true);
            }
            comes > 0
        });
        let pieces = self.pieces.get_mut(&one).expect("there");
        pieces.touched = now;
        if emptied {
            pieces.removed = Some((now, at.clone()));
        }
        self.told.retain(|item| *item != one || on > comes);
        let Thing::Part(part) = one.0 else {
            return;
        };
        self.emptied(one);
        if comes > 0 {
            self.still_closed(one);
        }
        let place = self.place(part, one.1);
        if comes > 0 && self.place_on(&place) == 0 {
            for by in self.fasteners_of(one) {
                let fastener = self.fasteners.get_mut(&by).expect("there");
                if fastener.grip != Grip::Out {
                    (fastener.grip, fastener.since, fastener.touched) = (Grip::Out, at.clone(), now);
                }
                fastener.by_hand = false;
            }
        }
    }

    /// What holds a part that comes off.
    fn held(&mut self, one: One, at: &Place) {
        for by in self.fasteners_of(one) {
            if self.fasteners[&by].grip == Grip::Tight {
                self.fault(436, "tight", &[one.0.id(), by.0.id()], at);
                continue;
            }
            let Thing::Torque(torque) = by.0 else {
                continue;
            };
            if let Some(part) = self.set.torques[torque].part
                && self.tied_place(by, part).iter().any(|place| self.place_on(place) > 0)
            {
                let root = Thing::Part(self.set.root(part));
                self.fault(436, "in", &[one.0.id(), root.id()], at);
            }
        }
        for by in self.pieces.keys().copied().collect::<Vec<_>>() {
            if self.on(by) > 0 && self.secured(by).iter().any(|place| place.contains(&one)) {
                self.fault(436, "clip", &[one.0.id(), by.0.id()], at);
            }
        }
        for by in self.fasteners_that_are(one) {
            if self.fasteners[&by].grip == Grip::Tight {
                self.fault(436, "tight", &[one.0.id(), by.0.id()], at);
            }
        }
    }

    fn loosen(&mut self, one: One, at: &Place) {
        self.reached(one, at);
        // Out by what they secure being off, not by another piece of it that went on.
        let own = match one.0 {
            Thing::Torque(torque) if self.secures(one.0).is_empty() => self.set.torques[torque].part,
            _ => None,
        };
        let bare = own.is_some_and(|part| self.tied_place(one, part).iter().any(|place| self.place_on(place) == 0));
        let out = self.fasteners[&one].grip == Grip::Out && (bare || !self.empty(one).is_empty());
        if out {
            self.fault(437, "loosened", &[one.0.id()], at);
        }
        self.judged(one, Doing::Remove, at);
        let Thing::Torque(torque) = one.0 else {
            return;
        };
        let def = &self.set.torques[torque];
        // What is renewed is for single use as well.
        for own in def
            .part
            .map_or_else(Vec::new, |part| self.tied_place(one, part))
            .concat()
        {
            let single = match own.0 {
                Thing::Part(part) => self.set.parts[part].single || self.set.parts[part].renew,
                _ => false,
            };
            let pieces = self.pieces.get_mut(&own).expect("there");
            let worn = pieces.all.iter_mut().filter(|piece| piece.on && single && !piece.spent);
            worn.for_each(|piece| piece.worn = true);
        }
        let (now, fastener) = (self.now, self.fasteners.get_mut(&one).expect("there"));
        fastener.worn |= def.single;
        fastener.wet = false;
        fastener.touched = now;
        if !out && (fastener.grip != Grip::Loose || fastener.by_hand) {
            (fastener.grip, fastener.by_hand, fastener.since) = (Grip::Loose, false, at.clone());
        }
        self.emptied(one);
    }

    /// What fasteners need so that they can be turned in at all.
    fn turned_in(&mut self, one: One, at: &Place) {
        self.reached(one, at);
        for thing in self.empty(one) {
            self.fault(437, "holds", &[one.0.id(), thing.id()], at);
        }
        let Thing::Torque(torque) = one.0 else {
            return;
        };
        if let Some(part) = self.set.torques[torque].part
            && self.tied_place(one, part).iter().any(|place| !self.whole(place))
        {
            let root = Thing::Part(self.set.root(part));
            self.fault(437, "missing", &[one.0.id(), root.id()], at);
        }
    }

    fn snug(&mut self, one: One, at: &Place) {
        self.turned_in(one, at);
        let fastener = self.fasteners[&one].clone();
        if fastener.grip == Grip::Loose && fastener.by_hand {
            self.fault(408, "twice", &[one.0.id()], at);
        }
        if fastener.grip == Grip::Tight {
            self.emptied(one);
        }
        let (now, fastener) = (self.now, self.fasteners.get_mut(&one).expect("there"));
        if fastener.grip != Grip::Loose || !fastener.by_hand {
            (fastener.grip, fastener.by_hand, fastener.since) = (Grip::Loose, true, at.clone());
        }
        fastener.touched = now;
    }

    fn tighten(&mut self, one: One, at: &Place) {
        self.turned_in(one, at);
        self.judged(one, Doing::Tighten, at);
        let Thing::Torque(torque) = one.0 else {
            return;
        };
        let def = &self.set.torques[torque];
        if let Some(lubricant) = def.lubricant.filter(|_| !self.fasteners[&one].wet) {
            self.fault(447, "dry", &[one.0.id(), Thing::Consumable(lubricant).id()], at);
        }
        if self.fasteners[&one].worn {
            self.fault(409, "worn", &[one.0.id()], at);
        }
        for place in def.part.map_or_else(Vec::new, |part| self.tied_place(one, part)) {
            for own in place {
                let pieces = self.pieces.get_mut(&own).expect("there");
                for piece in pieces.all.iter_mut().filter(|piece| piece.on && piece.worn) {
                    (piece.spent, piece.since) = (true, Some(at.clone()));
                    piece.worn = false;
                }
            }
        }
        let (now, fastener) = (self.now, self.fasteners.get_mut(&one).expect("there"));
        if fastener.grip != Grip::Tight {
            fastener.since = at.clone();
        }
        (fastener.grip, fastener.by_hand, fastener.worn, fastener.touched) = (Grip::Tight, false, false, now);
    }
}
