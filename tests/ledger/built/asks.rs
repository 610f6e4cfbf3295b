//! What is in the way of an act: what covers, what is asked for and isn't so.

use super::set::{Ask, Thing};
use super::stand::{A_MARK, Doing, Grip, One, Place};
use super::text::VALUES;
use super::world::World;

impl World<'_> {
    /// Told at every act on something under a cover, or in an assembly that is on.
    pub fn reached(&mut self, one: One, at: &Place) {
        let inner = self.within(one);
        let coverers: Vec<One> = self.pieces.keys().copied().collect();
        for by in coverers {
            if self.on(by) == 0 || !self.names(by, &self.covers(by.0), one) {
                continue;
            }
            // Both in one body: what only one of them is in must be on.
            let outer = self.within(by);
            let apart = inner
                .iter()
                .filter(|it| !outer.contains(it))
                .chain(outer.iter().filter(|it| !inner.contains(it)));
            if apart.into_iter().all(|assembly| self.on(*assembly) > 0) {
                self.fault(439, "covered", &[one.0.id(), by.0.id()], at);
            }
        }
        if let Some(assembly) = inner.first().filter(|assembly| self.on(**assembly) > 0) {
            self.fault(440, "inside", &[one.0.id(), assembly.0.id()], at);
        }
    }

    /// What an entry asks for at an act.
    pub fn judged(&mut self, by: One, act: Doing, at: &Place) {
        self.all_asked(Some(by), &self.asks(by.0, act), at);
    }

    /// What an entry or a mark asks for, all of it of the machine as it stands.
    pub fn all_asked(&mut self, by: Option<One>, asks: &[Ask], at: &Place) {
        let taken: Vec<(One, Option<usize>)> = asks.iter().flat_map(|ask| self.ask(by, ask, at)).collect();
        // Once told, the author is taken to have meant that a state is so; of several values the first.
        for (one, value) in taken.into_iter().rev() {
            let since = self.states[&one].1.clone();
            self.states.insert(one, (value, since));
        }
    }

    /// One thing asked for; gives what states are then taken to be.
    fn ask(&mut self, by: Option<One>, ask: &Ask, at: &Place) -> Vec<(One, Option<usize>)> {
        let mut taken = Vec::new();
        let from = by.unwrap_or(A_MARK);
        let name = |thing: Thing| -> Vec<String> { by.iter().map(|by| by.0.id()).chain([thing.id()]).collect() };
        match ask {
            Ask::Is(Thing::Part(part)) => {
                let thing = Thing::Part(*part);
                for place in self.tied_place(from, *part) {
                    if !self.whole(&place) {
                        self.fault(441, "missing", &name(thing), at);
                        continue;
                    }
                    let spent = |one: &One| self.pieces[one].all.iter().any(|piece| piece.on && piece.spent);
                    if place.iter().any(spent) {
                        self.fault(441, "spent", &name(thing), at);
                        continue;
                    }
                    let reach = by.map_or_else(Vec::new, |by| self.within(by));
                    let outer = self.within(place[0]);
                    // An assembly must be whole as well, with nothing spent in it.
                    let wanting = |it: &&One| {
                        let Thing::Part(part) = it.0 else {
                            return false;
                        };
                        let place = self.place(part, it.1);
                        !reach.contains(it) && by != Some(**it) && (!self.whole(&place) || place.iter().any(spent))
                    };
                    if let Some(assembly) = outer.iter().find(wanting) {
                        let mut what = name(thing);
                        what.push(assembly.0.id());
                        self.fault(441, "aside", &what, at);
                    }
                }
            }
            Ask::Is(thing @ Thing::Item(_)) => {
                let ones = self.tied(from, *thing);
                if ones.iter().any(|one| self.on(*one) < self.qty(*one)) {
                    self.fault(441, "missing", &name(*thing), at);
                }
            }
            Ask::Is(thing @ Thing::Torque(_)) => {
                if self
                    .tied(from, *thing)
                    .iter()
                    .any(|one| self.fasteners[one].grip != Grip::Tight)
                {
                    self.fault(441, "loose", &name(*thing), at);
                }
            }
            Ask::Is(thing @ Thing::Joint(_)) => {
                for one in self.tied(from, *thing) {
                    self.joint_needed(one, &name(*thing), at);
                }
            }
            Ask::Is(thing) => {
                if self.tied(from, *thing).iter().any(|one| !self.still_done(*one)) {
                    self.fault(441, "undone", &name(*thing), at);
                }
            }
            Ask::Off(Thing::Part(part)) => {
                if self
                    .tied_place(from, *part)
                    .iter()
                    .any(|place| self.place_on(place) > 0)
                {
                    self.fault(441, "on", &name(Thing::Part(*part)), at);
                }
            }
            Ask::Off(thing) => {
                let on: Vec<One> = self
                    .tied(from, *thing)
                    .into_iter()
                    .filter(|one| self.on(*one) > 0)
                    .collect();
                let Some(first) = on.first().copied() else {
                    return taken;
                };
                match by {
                    // Told once while it stays on: the actions after the first suffer from the same mistake.
                    Some((Thing::Action(_), _)) => {
                        if self.told.insert(first) {
                            self.fault(412, "forbidden", &name(*thing), at);
                        }
                    }
                    _ => self.fault(441, "on", &name(*thing), at),
                }
            }
            Ask::Loose(torque) => {
                let tight = |one: &One| self.fasteners[one].grip == Grip::Tight;
                if self.tied(from, Thing::Torque(*torque)).iter().any(tight) {
                    self.fault(441, "tight", &name(Thing::Torque(*torque)), at);
                }
            }
            Ask::At(state, values) => {
                for one in self.tied(from, Thing::State(*state)) {
                    let Some((value, _)) = self.states.get(&one).cloned() else {
                        continue;
                    };
                    // What is needed stands in the words, but for what doesn't go so.
                    let needed = values.first().map_or("", |value| VALUES[*value]);
                    let (code, kind) = match (value, by) {
                        (Some(value), _) if values.contains(&value) => continue,
                        (None, _) => (415, needed),
                        (Some(_), None) => (413, needed),
                        (Some(_), Some((Thing::Action(_), _))) => (411, needed),
                        (Some(_), Some(_)) => (441, "is"),
                    };
                    self.fault(code, kind, &name(one.0), at);
                    taken.push((one, values.first().copied()));
                }
            }
        }
        taken
    }

    /// Done or measured, and nothing that it needs was touched since.
    fn still_done(&self, one: One) -> bool {
        let Some(then) = self.done.get(&one) else {
            return false;
        };
        let touched = |ask: &Ask| match ask {
            Ask::Is(Thing::Part(part)) => {
                // With the assemblies that it is in and that the other isn't.
                let own = self.within(one);
                let parts = self.tied_place(one, *part).concat();
                let outer = parts
                    .iter()
                    .flat_map(|it| self.within(*it))
                    .filter(|it| !own.contains(it));
                let all: Vec<One> = parts.iter().copied().chain(outer).collect();
                all.iter().map(|it| self.pieces[it].touched).max().unwrap_or(0)
            }
            Ask::Is(thing @ Thing::Torque(_)) => self
                .tied(one, *thing)
                .iter()
                .map(|it| self.fasteners[it].touched)
                .max()
                .unwrap_or(0),
            Ask::Is(thing @ Thing::Joint(_)) => self
                .tied(one, *thing)
                .iter()
                .map(|it| self.joint_touched(*it))
                .max()
                .unwrap_or(0),
            _ => 0,
        };
        let needs = &self.set.ties(one.0).map_or(&[][..], |ties| &ties.needs[..]);
        needs.iter().all(|ask| touched(ask) <= *then)
    }
}
