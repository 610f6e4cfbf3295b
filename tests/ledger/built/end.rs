//! What must be so when a card ends and when the set does.

use super::set::Thing;
use super::stand::{Grip, One, Place};
use super::world::World;

impl World<'_> {
    /// A card ends, or the job does.
    pub fn card_ends(&mut self) {
        for (one, (value, since)) in self.states.clone() {
            let Thing::State(state) = one.0 else {
                continue;
            };
            if value.is_some_and(|value| self.set.states[state].perilous.contains(&value)) {
                self.at_end(450, "state", one, None, &since);
            }
        }
        for (n, item) in self.set.items.iter().enumerate().filter(|(_, item)| item.perilous) {
            let _ = item;
            for one in self.ones(Thing::Item(n), None) {
                if self.on(one) > 0 {
                    let at = self.pieces[&one]
                        .fitted
                        .clone()
                        .map_or(Place::Entry(one.0.id()), |(_, at)| at);
                    self.at_end(450, "item", one, None, &at);
                }
            }
        }
    }

    /// The set ends.
    pub fn ends(&mut self) {
        self.pieces_end();
        for (one, fastener) in self.fasteners.clone() {
            if self.aside(one) {
                continue;
            }
            match fastener.grip {
                Grip::Tight => {}
                Grip::Loose => self.at_end(407, "loose", one, None, &fastener.since),
                Grip::Out => {
                    let mut places = self.secured(one);
                    if let (true, Thing::Torque(torque)) = (places.is_empty(), one.0) {
                        // They hold nothing that the set names but are a part.
                        let part = self.set.torques[torque].part;
                        places = part.map_or_else(Vec::new, |part| self.tied_place(one, part));
                    }
                    let all = places.concat();
                    if all.iter().all(|it| self.on(*it) == 0) {
                        continue;
                    }
                    // The last piece of what they secure that went on.
                    let last = all
                        .iter()
                        .filter_map(|it| self.pieces[it].fitted.clone())
                        .max_by_key(|(when, _)| *when);
                    match last {
                        Some((_, at)) => self.at_end(438, "out", one, None, &at),
                        // None of it went on: each of them is as it was at the start.
                        None => all
                            .iter()
                            .for_each(|it| self.at_end(438, "out", one, None, &Place::Entry(it.0.id()))),
                    }
                }
            }
        }
        for (one, (value, since)) in self.states.clone() {
            let Thing::State(state) = one.0 else {
                continue;
            };
            if let (Some(value), Some(finish)) = (value, self.set.states[state].finish)
                && value != finish
            {
                self.at_end(414, "finish", one, None, &since);
            }
        }
        for one in self.joints.keys().copied().collect::<Vec<_>>() {
            let faces = self.joints[&one].clone();
            if !faces.closed || self.aside(one) {
                continue;
            }
            if self.count(one) != 1 {
                self.at_end(451, "filling", one, None, &faces.since);
                continue;
            }
            for bead in faces.beads.iter().filter(|bead| !bead.cured) {
                let more = Some(Thing::Consumable(bead.consumable));
                self.at_end(453, "never", one, more, &faces.since);
            }
        }
    }

    /// In an assembly that is off: its contents are not asked for.
    fn aside(&self, one: One) -> bool {
        self.within(one).iter().any(|assembly| self.on(*assembly) == 0)
    }

    fn pieces_end(&mut self) {
        for one in self.pieces.keys().copied().collect::<Vec<_>>() {
            let pieces = self.pieces[&one].clone();
            let touched = |last: &Option<(usize, Place)>| last.clone().map_or(Place::Entry(one.0.id()), |(_, at)| at);
            let Thing::Part(part) = one.0 else {
                if pieces.on() > 0 {
                    self.at_end(404, "on", one, None, &touched(&pieces.fitted));
                }
                continue;
            };
            let def = &self.set.parts[part];
            for piece in pieces.all.iter().filter(|piece| piece.on && piece.spent) {
                let at = piece.since.clone().unwrap_or(Place::Entry(one.0.id()));
                self.at_end(406, "spent", one, None, &at);
            }
            let place = self.place(part, one.1);
            let aside = self.aside(one);
            match def.finish {
                Some(true) if !aside && !self.whole(&place) => {
                    self.at_end(445, "off", one, None, &touched(&pieces.removed));
                }
                Some(false) if pieces.on() > 0 => {
                    self.at_end(445, "on", one, None, &touched(&pieces.fitted));
                }
                _ => {}
            }
            // Each place once, by the part that was on at the start.
            if def.finish.is_some() || !def.fitted || aside || self.whole(&place) {
                continue;
            }
            let in_joint = self.joints.keys().any(|joint| match joint.0 {
                Thing::Joint(n) => self.names(*joint, &self.set.joints[n].takes, one),
                _ => false,
            });
            let replaced = place.len() > 1;
            if in_joint || (def.single && !def.renew && !replaced) {
                continue;
            }
            let last = place
                .iter()
                .filter_map(|it| self.pieces[it].removed.clone())
                .max_by_key(|(when, _)| *when);
            let at = touched(&last);
            self.at_end(405, "left", one, None, &at);
        }
    }
}
