//! Names in what entries say of each other.

use super::Links;
use super::bind::{Binder, split};
use super::catalogue::{Entity, Handle, Kind};
use super::conditions::Condition;
use super::lookup::Sought;
use super::rules::{count_against_part, misused_field};
use super::ties::{Need, Target, Ties, Wanted};
use crate::syntax::Name;
use crate::syntax::registers::{Register, State};
use crate::syntax::ties as syntax;

/// What a condition may name, apart from states.
const NEEDED: [Register; 6] = [
    Register::Parts,
    Register::Temporary,
    Register::Torques,
    Register::Joints,
    Register::Actions,
    Register::Limits,
];
const FITTED: [Register; 2] = [Register::Parts, Register::Temporary];
const COVERED: [Register; 5] = [
    Register::Parts,
    Register::Temporary,
    Register::Torques,
    Register::Limits,
    Register::Joints,
];
const CONTAINED: [Register; 4] = [Register::Parts, Register::Torques, Register::Limits, Register::Joints];
const CLOSING: [Register; 2] = [Register::Torques, Register::Parts];
const FILLING: [Register; 2] = [Register::Parts, Register::Consumables];

impl Binder<'_> {
    /// All that an id means in some registers; an id that means nothing there is reported.
    fn all(&mut self, name: &Name, registers: &[Register]) -> Option<Target> {
        let (bare, member) = split(name);
        let mut things = Vec::new();
        for register in registers {
            things.extend(self.look(&bare.text, *register));
        }
        let Some(first) = things.first().copied() else {
            self.entity(name, registers);
            return None;
        };
        let sought = Sought::Entry {
            registers: registers.to_vec(),
            found: Some(first),
        };
        self.looked_up(&bare, sought);
        self.used.extend(things.iter().copied());
        let member = match member {
            Some(member) => {
                let grouped = things.iter().copied();
                let grouped = grouped
                    .clone()
                    .find(|thing| self.catalogue.written(*thing).is_some_and(|ties| ties.each.is_some()));
                Some(self.member_of(grouped.unwrap_or(first), &member)?)
            }
            None => None,
        };
        Some(Target {
            things,
            member,
            span: name.span,
        })
    }

    /// What a condition asks.
    pub(super) fn need(&mut self, need: &syntax::Need) -> Option<Need> {
        let (bare, member) = split(&need.id);
        let state = self.look(&bare.text, Register::States);
        let catalogue = self.catalogue;
        let is_value = |word: &str| {
            let state: Option<Handle<State>> = state.and_then(Kind::handle);
            state.is_some_and(|state| catalogue.states[state].values.iter().any(|v| v.text == word))
        };
        let bound = |what, member| {
            Some(Need {
                what,
                member,
                span: need.span,
            })
        };
        let words: Vec<&str> = need.values.iter().map(|v| v.text.as_str()).collect();
        match words.as_slice() {
            [] => {
                let target = self.all(&need.id, &NEEDED)?;
                bound(Wanted::Met(target.things), target.member)
            }
            ["off" | "loose"] if state.is_none() && self.is_nowhere(&bare.text) => {
                self.entity(
                    &bare,
                    &[
                        Register::States,
                        Register::Parts,
                        Register::Temporary,
                        Register::Torques,
                    ],
                );
                None
            }
            ["off"] if !is_value("off") && state.is_none() => {
                let target = self.all(&need.id, &FITTED)?;
                bound(Wanted::Off(target.things), target.member)
            }
            ["loose"] if !is_value("loose") && state.is_none() => {
                let target = self.all(&need.id, &[Register::Torques])?;
                let torque = target.things.first().copied()?;
                bound(Wanted::Loose(torque), target.member)
            }
            _ => {
                let handle = self.find::<State>(&bare)?;
                let entries: Vec<Name> = self.catalogue.states[handle].values.clone();
                let values: Vec<Option<usize>> = need
                    .values
                    .iter()
                    .map(|value| self.value_of(&bare, value, handle.entity(), &entries))
                    .collect();
                let values = values.into_iter().collect::<Option<Vec<usize>>>()?;
                let member = match member {
                    Some(member) => Some(self.member_of(handle.entity(), &member)?),
                    None => None,
                };
                bound(Wanted::State(handle, values), member)
            }
        }
    }

    /// True if no condition can name it.
    fn is_nowhere(&mut self, id: &str) -> bool {
        NEEDED.iter().all(|register| self.look(id, *register).is_none())
            && self.catalogue.find_anywhere(self.home, id).is_none()
    }

    fn needs(&mut self, needs: &[syntax::Need]) -> Vec<Need> {
        needs.iter().filter_map(|need| self.need(need)).collect()
    }

    fn targets(&mut self, names: &[Name], registers: &[Register]) -> Vec<Target> {
        names.iter().filter_map(|name| self.all(name, registers)).collect()
    }

    fn onlys(&mut self, ties: &syntax::Ties) -> Vec<Condition> {
        ties.only.iter().filter_map(|only| self.condition(only)).collect()
    }

    /// What all registers say.
    fn common(&mut self, written: &syntax::Ties) -> Ties {
        let mut needs = self.needs(&written.needs);
        for name in &written.never_with {
            needs.extend(self.never_with(name));
        }
        Ties {
            secures: self.targets(&written.secures, &[Register::Parts]),
            covers: self.targets(&written.covers, &COVERED),
            contains: self.targets(&written.contains, &CONTAINED),
            needs,
            to_fit: self.needs(&written.to_fit),
            to_remove: self.needs(&written.to_remove),
            to_loosen: self.needs(&written.to_loosen),
            to_tighten: self.needs(&written.to_tighten),
            only: self.onlys(written),
            each: written.each.as_ref().and_then(|name| self.find(name)),
            ..Ties::default()
        }
    }

    /// What must not be on, or not tight.
    fn never_with(&mut self, name: &Name) -> Vec<Need> {
        let registers = [Register::Parts, Register::Temporary, Register::Torques];
        let Some(target) = self.all(name, &registers) else {
            return Vec::new();
        };
        let (fasteners, items): (Vec<Entity>, Vec<Entity>) = target
            .things
            .iter()
            .partition(|thing| thing.register == Register::Torques);
        let off = (!items.is_empty()).then_some(Wanted::Off(items));
        // A part and a torque of one id are the fasteners themselves: where they are off they are not tight.
        let loose = fasteners.into_iter().map(Wanted::Loose).filter(|_| off.is_none());
        let loose: Vec<Wanted> = loose.collect();
        let bound = |what| Need {
            what,
            member: target.member,
            span: target.span,
        };
        off.into_iter().chain(loose).map(bound).collect()
    }

    /// Binds what the entries of this binder's level say of others.
    pub(super) fn ties(&mut self, links: &mut Links) {
        let (catalogue, home) = (self.catalogue, self.home);
        for entity in catalogue.of_home(home) {
            let Some(written) = catalogue.written(entity) else {
                continue;
            };
            let mut ties = self.common(written);
            self.special(entity, &mut ties);
            if ties != Ties::default() {
                links.ties.insert(entity, ties);
            }
        }
    }

    /// What one register alone says.
    fn special(&mut self, entity: Entity, ties: &mut Ties) {
        let catalogue = self.catalogue;
        if let Some(torque) = Kind::handle(entity) {
            let torque: Handle<crate::syntax::registers::Torque> = torque;
            let entry = &catalogue.torques[torque];
            ties.part = entry.part.as_ref().and_then(|name| self.find(name));
            if let (Some(part), Some(count)) = (ties.part, &entry.count) {
                let part = catalogue.parts.get(part);
                if part.value.qty != count.value {
                    self.findings
                        .push(count_against_part::finding(count, &part.id, part.value.qty));
                }
            }
            ties.lubricant = entry
                .lubricant
                .as_ref()
                .and_then(|name| self.entity(name, &[Register::Consumables]));
        }
        if let Some(joint) = Kind::handle(entity) {
            let joint: Handle<crate::syntax::registers::Joint> = joint;
            let entry = &catalogue.joints[joint];
            // It is proved whether or not a mark names it.
            self.used.insert(entity);
            ties.takes = self.targets(&entry.takes, &FILLING);
            ties.closed_by = self.closing(&entry.closed_by);
        }
        if let Some(item) = Kind::handle(entity) {
            let item: Handle<crate::syntax::registers::Temporary> = item;
            for (state, values) in &catalogue.temporary[item].keeps {
                let Some(handle) = self.find::<State>(state) else {
                    continue;
                };
                let entries: Vec<Name> = catalogue.states[handle].values.clone();
                let values: Vec<Option<usize>> = values
                    .iter()
                    .map(|value| self.value_of(state, value, handle.entity(), &entries))
                    .collect();
                if let Some(values) = values.into_iter().collect::<Option<Vec<usize>>>() {
                    ties.keeps.push((handle, values));
                }
            }
        }
        if let Some(state) = Kind::handle(entity) {
            let state: Handle<State> = state;
            let entry = &catalogue.states[state];
            let position = |value: &Name| entry.values.iter().position(|v| v.text == value.text);
            ties.perilous = entry.perilous.iter().filter_map(position).collect();
        }
        if let Some(part) = Kind::handle(entity) {
            let part: Handle<crate::syntax::registers::Part> = part;
            let def = catalogue.parts.get(part);
            if def.value.spares > 0 && !def.value.renew {
                self.findings.push(misused_field::spares(&def.id));
            }
        }
    }

    /// What closes a joint: the torque where a part has the same id.
    fn closing(&mut self, names: &[Name]) -> Vec<Target> {
        let mut closing = self.targets(names, &CLOSING);
        for target in &mut closing {
            target.things.truncate(1);
        }
        closing
    }
}
