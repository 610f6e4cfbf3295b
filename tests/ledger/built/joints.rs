//! Joints: what lies in them, when they are closed, and whether it has cured.

use super::set::{Step, Thing};
use super::stand::{Bead, Grip, One, Place};
use super::world::World;
use std::collections::{BTreeMap, BTreeSet};

impl World<'_> {
    fn joint(&self, one: One) -> &super::set::Joint {
        match one.0 {
            Thing::Joint(n) => &self.set.joints[n],
            _ => unreachable!("a joint"),
        }
    }

    pub fn is_closed(&self, one: One) -> bool {
        match self.joint(one).closed_by {
            Thing::Part(part) => self.tied_place(one, part).iter().all(|place| self.whole(place)),
            torque => self
                .tied(one, torque)
                .iter()
                .all(|by| self.fasteners[by].grip == Grip::Tight),
        }
    }

    /// The places of parts that a joint takes, each once.
    fn taken(&self, one: One) -> BTreeSet<Vec<One>> {
        let parts = self.joint(one).takes.iter().filter_map(|thing| match thing {
            Thing::Part(part) => Some(*part),
            _ => None,
        });
        parts.flat_map(|part| self.tied_place(one, part)).collect()
    }

    /// How many things lie in it, what nobody names left out.
    pub fn fillings(&self, one: One) -> usize {
        // Some of several pieces are no filling.
        let filled = |place: &Vec<One>| match (self.place_on(place), self.whole(place)) {
            (0, _) => 0,
            (_, true) => 1,
            (_, false) => 16,
        };
        let parts: usize = self.taken(one).iter().map(filled).sum();
        let beads = self.joints.get(&one).map_or(0, |faces| {
            let kinds: BTreeSet<usize> = faces.beads.iter().map(|bead| bead.consumable).collect();
            kinds.len()
        });
        parts + beads
    }

    pub fn count(&self, one: One) -> usize {
        self.fillings(one) + usize::from(self.joints[&one].foreign)
    }

    /// When its fasteners or what lies in it were last touched.
    pub fn joint_touched(&self, one: One) -> usize {
        let by: Vec<usize> = match self.joint(one).closed_by {
            Thing::Part(part) => {
                let ones = self.tied_place(one, part).concat();
                ones.iter().map(|it| self.pieces[it].touched).collect()
            }
            torque => self
                .tied(one, torque)
                .iter()
                .map(|it| self.fasteners[it].touched)
                .collect(),
        };
        let parts = self.taken(one).into_iter().flatten().map(|it| self.pieces[&it].touched);
        parts.chain(by).chain([self.joints[&one].touched]).max().unwrap_or(0)
    }

    /// Loosening fasteners, or taking a part off, empties every joint that they close.
    pub fn emptied(&mut self, by: One) {
        for one in self.joints.keys().copied().collect::<Vec<_>>() {
            let closes = match self.joint(one).closed_by {
                Thing::Part(part) => self.tied_place(one, part).iter().any(|place| place.contains(&by)),
                torque => self.tied(one, torque).contains(&by),
            };
            if closes {
                let faces = self.joints.get_mut(&one).expect("there");
                faces.beads.clear();
                faces.foreign = false;
            }
        }
    }

    /// A part came off that closed joints. Where another in its place, which went on beside it, closes one still, that is then its closing.
    pub fn still_closed(&mut self, by: One) {
        for one in self.joints.keys().copied().collect::<Vec<_>>() {
            let Thing::Part(part) = self.joint(one).closed_by else {
                continue;
            };
            let ones = self.tied_place(one, part).concat();
            if !ones.contains(&by) || !self.is_closed(one) {
                continue;
            }
            let on = ones.iter().filter(|it| self.on(**it) > 0);
            let fits = on.filter_map(|it| self.pieces[it].fitted.clone());
            if let Some((_, at)) = fits.max_by_key(|(when, _)| *when) {
                self.joints.get_mut(&one).expect("there").since = at;
            }
        }
    }

    /// After each act: what opened and what closed.
    pub fn settle(&mut self, at: &Place) {
        for one in self.joints.keys().copied().collect::<Vec<_>>() {
            let closed = self.is_closed(one);
            let was = self.joints[&one].closed;
            let faces = self.joints.get_mut(&one).expect("there");
            faces.closed = closed;
            if closed && !was {
                faces.since = at.clone();
                let closing = faces.beads.clone();
                faces.beads.iter_mut().for_each(|bead| bead.open = false);
                for bead in closing.into_iter().filter(|bead| bead.open) {
                    let open = self.set.consumables[bead.consumable].open;
                    if open.is_some_and(|open| bead.minutes > open) {
                        let what = [one.0.id(), Thing::Consumable(bead.consumable).id()];
                        self.fault(454, "over", &what, at);
                    }
                }
                if self.joints[&one].beads.iter().any(|bead| !bead.cured) {
                    self.each_open(|bead| {
                        bead.cures.insert(one, bead.minutes);
                    });
                }
            }
        }
    }

    /// Every bead that is open.
    fn each_open(&mut self, does: impl FnMut(&mut Bead)) {
        let open = self.joints.values_mut().filter(|faces| !faces.closed);
        open.flat_map(|faces| &mut faces.beads).for_each(does);
    }

    pub fn use_on(&mut self, consumable: usize, one: One, minutes: Option<u64>, at: &Place) {
        self.reached(one, at);
        let now = self.now;
        if let Thing::Torque(torque) = one.0 {
            if self.set.torques[torque].lubricant == Some(consumable) {
                self.fasteners.get_mut(&one).expect("there").wet = true;
            }
            return;
        }
        if self.joints[&one].closed {
            self.fault(452, "closed", &[one.0.id()], at);
            return;
        }
        if self.set.consumables[consumable].open.is_some() && minutes.is_none() {
            self.untimed(consumable, at);
        }
        let faces = self.joints.get_mut(&one).expect("there");
        faces.touched = now;
        // More of the same doesn't make the first any fresher.
        let before = faces.beads.iter().position(|bead| bead.consumable == consumable);
        let before = before.map(|at| faces.beads.remove(at));
        let (minutes, cures) = before.map_or((minutes.unwrap_or(0), BTreeMap::new()), |bead| {
            (bead.minutes, bead.cures)
        });
        faces.beads.push(Bead {
            consumable,
            minutes,
            cures,
            open: true,
            cured: self.set.consumables[consumable].cure.is_none(),
        });
    }

    fn untimed(&mut self, consumable: usize, at: &Place) {
        let (Place::Mark { card, step, .. } | Place::Step { card, step }) = at.clone() else {
            return;
        };
        self.fault(
            455,
            "untimed",
            &[Thing::Consumable(consumable).id()],
            &Place::Step { card, step },
        );
    }

    /// A step goes by while beads are open.
    pub fn goes_by(&mut self, step: &Step, at: &Place) {
        let mut untimed = BTreeSet::new();
        let consumables = &self.set.consumables;
        for faces in self.joints.values_mut().filter(|faces| !faces.closed) {
            for bead in &mut faces.beads {
                bead.minutes += step.minutes.unwrap_or(0);
                if bead.open && step.minutes.is_none() && consumables[bead.consumable].open.is_some() {
                    untimed.insert(bead.consumable);
                }
            }
        }
        for consumable in untimed {
            self.untimed(consumable, at);
        }
    }

    /// A hold point while beads are open.
    pub fn held_open(&mut self, hold: usize, at: &Place) {
        let open = |faces: &&super::stand::Faces| {
            !faces.closed
                && faces
                    .beads
                    .iter()
                    .any(|bead| bead.open && self.set.consumables[bead.consumable].open.is_some())
        };
        let joints = self.joints.iter().filter(|(_, faces)| open(faces)).map(|(one, _)| *one);
        for one in joints.collect::<Vec<_>>() {
            self.fault(454, "hold", &[Thing::Hold(hold).id(), one.0.id()], at);
        }
    }

    /// A wait: whatever is closed with it has cured.
    pub fn wait(&mut self, consumable: usize, at: &Place) {
        let mut cured: Vec<One> = Vec::new();
        for (one, faces) in self.joints.iter_mut().filter(|(_, faces)| faces.closed) {
            let soft = |bead: &&mut Bead| bead.consumable == consumable && !bead.cured;
            for bead in faces.beads.iter_mut().filter(soft) {
                bead.cured = true;
                cured.push(*one);
            }
        }
        // What was open as these were closed has been so for as long as they took to cure.
        let cure = self.set.consumables[consumable].cure.unwrap_or(0);
        for one in &cured {
            self.each_open(|bead| {
                if let Some(closed) = bead.cures.remove(one) {
                    bead.minutes = bead.minutes.max(closed + cure);
                }
            });
        }
        if cured.is_empty() {
            self.fault(453, "nothing", &[Thing::Consumable(consumable).id()], at);
        }
    }

    /// A joint that something needs.
    pub fn joint_needed(&mut self, one: One, name: &[String], at: &Place) {
        if !self.joints[&one].closed {
            self.fault(441, "open", name, at);
        } else if self.count(one) != 1 {
            let since = self.joints[&one].since.clone();
            self.at_end(451, "needed", one, None, &since);
        } else if self.joints[&one].beads.iter().any(|bead| !bead.cured) {
            self.fault(441, "uncured", name, at);
        }
    }
}
