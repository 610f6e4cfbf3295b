//! The least way to have parts off, by looking at every way in which a small machine can stand. Written for these machines and without a look
//! at how the compiler does it.

use super::random::{Machine, Need, VALUES};
use std::collections::{BTreeMap, BTreeSet};

/// How a machine stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stands {
    on: Vec<bool>,
    grip: Vec<Grip>,
    item: bool,
    state: usize,
    done: Vec<bool>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Grip {
    Tight,
    Loose,
    Out,
}

/// What can be done, in the order in which ties are broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Deed {
    Remove(usize),
    Loosen(usize),
    Put,
    Take,
    Act(usize),
    Set(usize),
}

/// As the compiler names them: act, id, value.
pub type Told = (String, String, Option<String>);

impl Deed {
    pub fn told(self) -> Told {
        let one = |act: &str, id: String| (act.to_string(), id, None);
        match self {
            Deed::Remove(n) => one("remove", format!("p{n}")),
            Deed::Loosen(n) => one("loosen", format!("t{n}")),
            Deed::Put => one("fit", "item".to_string()),
            Deed::Take => one("remove", "item".to_string()),
            Deed::Act(n) => one("do", format!("a{n}")),
            Deed::Set(value) => ("set".to_string(), "s".to_string(), Some(VALUES[value].to_string())),
        }
    }
}

impl Machine {
    pub fn deeds(&self) -> Vec<Deed> {
        let by_action = |value: usize| self.actions.iter().any(|action| action.sets == Some(value));
        let removals = (0..self.parts.len()).map(Deed::Remove);
        let loosenings = (0..self.torques.len()).map(Deed::Loosen);
        let acts = (0..self.actions.len()).map(Deed::Act);
        let sets = (0..VALUES.len()).filter(|value| !by_action(*value)).map(Deed::Set);
        removals
            .chain(loosenings)
            .chain([Deed::Put, Deed::Take])
            .chain(acts)
            .chain(sets)
            .collect()
    }

    pub fn start(&self) -> Stands {
        Stands {
            on: vec![true; self.parts.len()],
            grip: vec![Grip::Tight; self.torques.len()],
            item: false,
            state: 0,
            done: vec![false; self.actions.len()],
        }
    }

    fn container(&self, part: usize) -> Option<usize> {
        self.parts.iter().position(|other| other.contains == Some(part))
    }

    fn containers(&self, part: usize) -> Vec<usize> {
        let mut all = Vec::new();
        let mut at = part;
        while let Some(outer) = self.container(at) {
            all.push(outer);
            at = outer;
        }
        all
    }

    /// What something lies in, as far as the other doesn't lie in it too, or is it.
    fn apart(&self, part: usize, other: usize) -> Vec<usize> {
        let mut shared = self.containers(other);
        shared.push(other);
        self.containers(part)
            .into_iter()
            .take_while(|outer| !shared.contains(outer))
            .collect()
    }

    fn met(&self, needs: &[Need], by: Option<usize>, now: &Stands) -> bool {
        needs.iter().all(|need| match need {
            Need::Part(part) => {
                let outer = match by {
                    Some(by) => self.apart(*part, by),
                    None => self.containers(*part),
                };
                now.on[*part] && outer.iter().all(|outer| now.on[*outer])
            }
            Need::Off(part) => !now.on[*part],
            Need::Tight(torque) => now.grip[*torque] == Grip::Tight,
            Need::Loose(torque) => now.grip[*torque] != Grip::Tight,
            Need::Item => now.item,
            Need::State(values) => values.contains(&now.state),
            Need::Action(action) => now.done[*action],
        })
    }

    /// True if nothing is over a part, and nothing that it lies in is on.
    fn bare(&self, part: usize, now: &Stands) -> bool {
        let covered = |(own, other): (usize, &super::random::Part)| {
            let between = [self.apart(part, own), self.apart(own, part)].concat();
            other.covers.contains(&part) && now.on[own] && between.iter().all(|outer| now.on[*outer])
        };
        let item = now.item && self.item.covers.contains(&part) && {
            // The item lies in nothing.
            self.containers(part).iter().all(|outer| now.on[*outer])
        };
        let inside = self.container(part).is_some_and(|outer| now.on[outer]);
        !inside && !item && !self.parts.iter().enumerate().any(covered)
    }

    fn bare_torque(&self, torque: usize, now: &Stands) -> bool {
        let covered = |(own, other): (usize, &super::random::Part)| {
            let inside = self.containers(own).iter().all(|outer| now.on[*outer]);
            other.covers_torques.contains(&torque) && now.on[own] && inside
        };
        !self.parts.iter().enumerate().any(covered)
    }

    /// An action that needs what is touched is no longer done.
    fn touch(&self, now: &mut Stands, touches: impl Fn(&Need) -> bool) {
        for (action, done) in self.actions.iter().zip(&mut now.done) {
            if action.needs.iter().any(&touches) {
                *done = false;
            }
        }
    }

    /// How it stands after a deed; nothing if that can't be done.
    pub fn after(&self, deed: Deed, now: &Stands) -> Option<Stands> {
        let mut next = now.clone();
        let can = match deed {
            Deed::Remove(own) => {
                let part = &self.parts[own];
                let held = self.torques.iter().zip(&now.grip).any(|(torque, grip)| {
                    let holds = torque.secures.contains(&own);
                    let bolts_in = torque.part.is_some_and(|part| now.on[part]);
                    holds && (*grip == Grip::Tight || bolts_in) || torque.part == Some(own) && *grip == Grip::Tight
                });
                let clipped = (0..self.parts.len()).any(|n| now.on[n] && self.parts[n].secures.contains(&own));
                next.on[own] = false;
                for (torque, grip) in self.torques.iter().zip(&mut next.grip) {
                    if torque.secures.contains(&own) {
                        *grip = Grip::Out;
                    }
                }
                let within = |part: usize| part == own || self.containers(part).contains(&own);
                self.touch(&mut next, |need| matches!(need, Need::Part(part) if within(*part)));
                let asked = self.met(&part.needs, Some(own), now) && self.met(&part.to_remove, Some(own), now);
                now.on[own] && self.bare(own, now) && asked && !held && !clipped
            }
            Deed::Loosen(own) => {
                next.grip[own] = Grip::Loose;
                self.touch(&mut next, |need| *need == Need::Tight(own));
                let asked = self.met(&self.torques[own].to_loosen, None, now);
                now.grip[own] == Grip::Tight && self.bare_torque(own, now) && asked
            }
            Deed::Put => {
                next.item = true;
                let kept = self.item.keeps.is_empty() || self.item.keeps.contains(&now.state);
                !now.item && kept && self.met(&self.item.to_fit, None, now)
            }
            Deed::Take => {
                next.item = false;
                now.item && self.met(&self.item.to_remove, None, now)
            }
            Deed::Act(own) => {
                let action = &self.actions[own];
                next.done[own] = true;
                next.state = action.sets.unwrap_or(now.state);
                self.met(&action.needs, None, now) && action.sets.is_none_or(|value| self.free(value, now))
            }
            Deed::Set(value) => {
                next.state = value;
                self.free(value, now)
            }
        };
        can.then_some(next)
    }

    /// True if the item doesn't keep the state from a value.
    fn free(&self, value: usize, now: &Stands) -> bool {
        !now.item || self.item.keeps.is_empty() || self.item.keeps.contains(&value)
    }

    fn price(&self, deed: Deed) -> u32 {
        match deed {
            Deed::Remove(part) => self.parts[part].price.unwrap_or(0),
            _ => 0,
        }
    }

    /// The least that has some parts off: by number, then by price, then by the order of the deeds, the last of them first.
    pub fn least(&self, wanted: &[usize]) -> Option<Vec<Deed>> {
        type Cost = (usize, u32, Vec<Deed>);
        let deeds = self.deeds();
        let mut best: BTreeMap<Stands, Cost> = BTreeMap::new();
        let mut open: BTreeSet<(Cost, Stands)> = BTreeSet::new();
        let none: Cost = (0, 0, Vec::new());
        best.insert(self.start(), none.clone());
        open.insert((none, self.start()));
        while let Some((cost, now)) = open.pop_first() {
            if best[&now] < cost {
                continue;
            }
            if wanted.iter().all(|part| !now.on[*part]) {
                return Some(cost.2);
            }
            for deed in &deeds {
                let Some(next) = self.after(*deed, &now) else { continue };
                let mut all = cost.2.clone();
                all.push(*deed);
                all.sort_unstable_by(|a, b| b.cmp(a));
                let cost = (cost.0 + 1, cost.1 + self.price(*deed), all);
                if best.get(&next).is_none_or(|known| cost < *known) {
                    best.insert(next.clone(), cost.clone());
                    open.insert((cost, next));
                }
            }
        }
        None
    }

    /// True if deeds in this order all can be done and have the parts off.
    pub fn works(&self, deeds: &[Deed], wanted: &[usize]) -> bool {
        let start = Some(self.start());
        let end = deeds.iter().fold(start, |now, deed| self.after(*deed, &now?));
        end.is_some_and(|end| wanted.iter().all(|part| !end.on[*part]))
    }
}
