//! Names to things: ids of marks and entries are looked up level by level, and what is not found becomes a finding.

use super::catalogue::{Catalogue, Entity, Handle, Home, Kind};
use super::lookup::{Lookup, Sought};
use super::rules::{
    misused_mark, not_taken, unknown_id, unknown_label, unknown_procedure, unknown_value, wrong_register,
};
use super::ties::{Asked, Never, PerMember, Question};
use super::{ActKind, ActionLinks, Condition, Each, Item, Links, Onto, ProcedureId, StepNumber, Surface, Thing};
use crate::finding::{Finding, did_you_mean};
use crate::source::Span;
use crate::syntax::registers::{Action, Choice, Consumable, Group, Measurement, Part, Register, State, Torque};
use crate::syntax::ties as syntax;
use crate::syntax::{Mark, MarkKind, Name, Only};
use std::collections::{BTreeMap, BTreeSet};

/// Labels of every procedure of a set: the steps' numbers by label.
pub type Labels = Each<BTreeMap<String, StepNumber>>;

/// The procedures of a set by the ids that authors write.
pub type Named = BTreeMap<String, ProcedureId>;

/// Looks names up on behalf of one level.
pub struct Binder<'a> {
    pub catalogue: &'a Catalogue,
    pub home: Home,
    /// The procedure that the names stand in; none for a set or shop, which have no labels.
    pub here: Option<ProcedureId>,
    pub labels: &'a Labels,
    pub named: &'a Named,
    /// True if a file that this level sees couldn't be read: what isn't found may stand there.
    pub blind: bool,
    pub used: &'a mut BTreeSet<Entity>,
    pub lookups: &'a mut Vec<Lookup>,
    /// The member that the name looked up last has behind its stroke.
    pub member: Option<usize>,
    pub findings: &'a mut Vec<Finding>,
}

/// All that names of a set may mean.
pub struct Names<'a> {
    pub catalogue: &'a Catalogue,
    pub labels: &'a Labels,
    pub named: &'a Named,
    /// True if a file that every level sees couldn't be read.
    pub blind: bool,
}

/// What looking names up leaves behind.
#[derive(Default)]
pub struct Notes {
    pub used: BTreeSet<Entity>,
    pub lookups: Vec<Lookup>,
    pub findings: Vec<Finding>,
}

impl Notes {
    /// Adds what others left behind, and takes it from them.
    pub fn append(&mut self, other: &mut Notes) {
        // `append` would go through all that is there already.
        self.used.extend(std::mem::take(&mut other.used));
        self.lookups.append(&mut other.lookups);
        self.findings.append(&mut other.findings);
    }
}

impl<'a> Names<'a> {
    /// Looks names up on behalf of a level; `readable` if its own file was read whole.
    pub fn binder(&'a self, home: Home, readable: bool, notes: &'a mut Notes) -> Binder<'a> {
        Binder {
            catalogue: self.catalogue,
            home,
            here: match home {
                Home::Procedure(id) => Some(id),
                Home::Set | Home::Workshop(_) => None,
            },
            labels: self.labels,
            named: self.named,
            blind: self.blind || !readable,
            used: &mut notes.used,
            lookups: &mut notes.lookups,
            member: None,
            findings: &mut notes.findings,
        }
    }
}

const ITEMS: [Register; 2] = [Register::Parts, Register::Temporary];
const THINGS: [Register; 4] = [
    Register::Tools,
    Register::Consumables,
    Register::Parts,
    Register::Temporary,
];

impl Binder<'_> {
    /// Writes down that a name was looked up.
    pub(super) fn looked_up(&mut self, name: &Name, sought: Sought) {
        self.lookups.push(Lookup {
            span: name.span,
            home: self.home,
            sought,
        });
    }

    /// The entry that a name means, which must be in one of these registers.
    pub(super) fn entity(&mut self, name: &Name, registers: &[Register]) -> Option<Entity> {
        self.member = None;
        let (bare, member) = split(name);
        let found = registers
            .first()
            .and_then(|register| self.catalogue.find(self.home, *register, &bare.text));
        // Registers of other spaces of ids come after the first.
        let found = found.filter(|entity| registers.contains(&entity.register)).or_else(|| {
            let others = registers.iter().filter_map(|register| {
                let entity = self.catalogue.find(self.home, *register, &bare.text)?;
                registers.contains(&entity.register).then_some(entity)
            });
            others.into_iter().next().or(found)
        });
        let sought = Sought::Entry {
            registers: registers.to_vec(),
            found: found.filter(|entity| registers.contains(&entity.register)),
        };
        self.looked_up(&bare, sought);
        match found {
            Some(entity) if registers.contains(&entity.register) => {
                self.used.insert(entity);
                self.member = match member {
                    Some(member) => Some(self.member_of(entity, &member)?),
                    None => None,
                };
                Some(entity)
            }
            found => {
                let elsewhere = || self.catalogue.find_anywhere(self.home, &bare.text);
                let found = found.or_else(|| if self.blind { None } else { elsewhere() });
                match found {
                    Some(entity) => self
                        .findings
                        .push(wrong_register::finding(&bare, entity.register, registers)),
                    None if self.blind => {}
                    None => {
                        let visible = self.catalogue.visible(self.home, registers);
                        self.findings.push(unknown_id::finding(&bare, registers, &visible));
                        // What was most likely meant is not also said to be unused.
                        let meant = did_you_mean(&bare.text, visible);
                        let meant =
                            meant.and_then(|id| registers.iter().find_map(|r| self.catalogue.find(self.home, *r, id)));
                        self.used.extend(meant);
                    }
                }
                None
            }
        }
    }

    /// The entry that an id means in one of these registers, if there is one; nothing is said if there is none.
    pub(super) fn look(&mut self, id: &str, register: Register) -> Option<Entity> {
        let entity = self.catalogue.find(self.home, register, id)?;
        (entity.register == register).then_some(entity)
    }

    /// The position of a member in the group that an entry is one of each for.
    pub(super) fn member_of(&mut self, entity: Entity, member: &Name) -> Option<usize> {
        let id = self.catalogue.id(entity).map_or("", |id| id.text.as_str());
        let group = self.catalogue.written(entity).and_then(|ties| ties.each.as_ref());
        let Some(group) = group else {
            self.findings.push(unknown_value::no_members(member, id));
            return None;
        };
        let group = self.look(&group.text, Register::Groups)?;
        let members = &self.catalogue.groups[Kind::handle(group)?].members;
        let owner = Name {
            text: id.to_string(),
            span: member.span,
        };
        self.value_of(&owner, member, group, members)
    }

    pub(super) fn find<T: Kind>(&mut self, name: &Name) -> Option<Handle<T>> {
        T::handle(self.entity(name, &[T::REGISTER])?)
    }

    fn item(&mut self, name: &Name) -> Option<Item> {
        let entity = self.entity(name, &ITEMS)?;
        Kind::handle(entity)
            .map(Item::Part)
            .or_else(|| Kind::handle(entity).map(Item::Temporary))
    }

    fn thing(&mut self, name: &Name) -> Option<Thing> {
        let entity = self.entity(name, &THINGS)?;
        Kind::handle(entity)
            .map(Thing::Tool)
            .or_else(|| Kind::handle(entity).map(Thing::Consumable))
            .or_else(|| Kind::handle(entity).map(Thing::Part))
            .or_else(|| Kind::handle(entity).map(Thing::Temporary))
    }

    /// A state and the index of one of its values.
    pub(super) fn state(&mut self, state: &Name, value: &Name) -> Option<(Handle<State>, usize)> {
        let handle = self.find::<State>(state)?;
        let index = self.value_of(state, value, handle.entity(), &self.catalogue.states[handle].values)?;
        Some((handle, index))
    }

    pub(super) fn value_of<'v>(
        &mut self,
        owner: &Name,
        value: &Name,
        of: Entity,
        values: impl IntoIterator<Item = &'v Name>,
    ) -> Option<usize> {
        let words: Vec<&str> = values.into_iter().map(|v| v.text.as_str()).collect();
        let index = words.iter().position(|w| *w == value.text);
        self.looked_up(value, Sought::Value { of, found: index });
        // An owner without values has had its finding.
        if index.is_none() && !words.is_empty() {
            self.findings.push(unknown_value::finding(value, &owner.text, &words));
        }
        index
    }

    /// The option and values a condition names.
    pub fn condition(&mut self, only: &Only) -> Option<Condition> {
        let option = self.find::<Choice>(&only.option)?;
        let words: Vec<&Name> = self.catalogue.options[option].values.iter().map(|(v, _)| v).collect();
        let values: Vec<Option<usize>> = only
            .values
            .iter()
            .map(|v| self.value_of(&only.option, v, option.entity(), words.iter().copied()))
            .collect();
        let values = values.into_iter().collect::<Option<Vec<usize>>>()?;
        Some(Condition {
            option,
            values,
            span: only.option.span,
        })
    }

    /// The procedure of the set that a name means.
    pub fn procedure(&mut self, name: &Name) -> Option<ProcedureId> {
        let procedure = self.named.get(&name.text).copied();
        self.looked_up(name, Sought::Procedure(procedure));
        if procedure.is_none() {
            self.findings
                .push(unknown_procedure::finding(name, self.named.keys().map(String::as_str)));
        }
        procedure
    }

    fn step(&mut self, procedure: Option<&Name>, label: &Name) -> Option<ActKind> {
        let owner = match procedure {
            Some(name) => self.procedure(name)?,
            None => self.here?,
        };
        let labels = self.labels.of(owner)?;
        let found = labels.get(&label.text).copied();
        self.looked_up(
            label,
            Sought::Label {
                procedure: owner,
                found,
            },
        );
        match labels.get(&label.text) {
            Some(number) => Some(ActKind::Step {
                procedure: owner,
                number: *number,
            }),
            None => {
                let owner = procedure.map(|name| name.text.as_str());
                self.findings
                    .push(unknown_label::finding(label, owner, labels.keys().map(String::as_str)));
                None
            }
        }
    }

    /// What a mark means; `None` if a name in it is unknown.
    pub fn mark(&mut self, mark: &Mark) -> Option<ActKind> {
        Some(match &mark.kind {
            MarkKind::Torque(id) => ActKind::Torque(self.find(id)?),
            MarkKind::Snug(id) => ActKind::Snug(self.find(id)?),
            MarkKind::Loosen(id) => ActKind::Loosen(self.find(id)?),
            MarkKind::Measure(id, as_found) => ActKind::Measure(self.find(id)?, *as_found),
            MarkKind::Fit(id, count) => ActKind::Fit(self.item(id)?, *count),
            MarkKind::Remove(id, count) => ActKind::Remove(self.item(id)?, *count),
            MarkKind::Use(id, amount, onto) => {
                let thing = self.thing(id)?;
                let member = self.member;
                let onto = match onto {
                    Some(onto) => Some(self.onto(onto, thing)?),
                    None => None,
                };
                self.member = member;
                ActKind::Use(thing, amount.clone(), onto)
            }
            MarkKind::Need(need) => ActKind::Need(self.need(need)?),
            MarkKind::Set(state, value) => {
                let (state, value) = self.state(state, value)?;
                ActKind::Set(state, value)
            }
            MarkKind::Do(id) => ActKind::Do(self.find(id)?),
            MarkKind::Start(id) => ActKind::Start(self.find(id)?),
            MarkKind::End(id) => ActKind::End(self.find(id)?),
            MarkKind::Hold(id) => ActKind::Hold(self.find(id)?),
            MarkKind::Label(name) => ActKind::Label(name.clone()),
            MarkKind::Step(procedure, label) => self.step(procedure.as_ref(), label)?,
            MarkKind::See(name) => ActKind::See(self.procedure(name)?),
            MarkKind::Time(time) => ActKind::Time(time.clone()),
            MarkKind::Only(_) => ActKind::Only,
            MarkKind::Wait(id) => ActKind::Wait(self.cure(id, mark.span)?),
            MarkKind::Mark(id) => ActKind::Mark(self.find(id)?),
            MarkKind::Each(_) => ActKind::Each,
            MarkKind::If(question) => ActKind::If(self.question(question)?),
            MarkKind::Repeat(label) => self.repeat(label)?,
            MarkKind::Stop => ActKind::Stop,
        })
    }

    /// What is waited for until it has cured. Most who name a timer instead mean its end.
    fn cure(&mut self, id: &Name, mark: Span) -> Option<Handle<Consumable>> {
        let is = |register| {
            self.catalogue
                .find(self.home, register, &id.text)
                .map(|found| found.register)
                == Some(register)
        };
        if is(Register::Timers) && !is(Register::Consumables) {
            let entity = self.entity(id, &[Register::Timers]);
            if entity.is_some() {
                self.findings.push(wrong_register::timer_waited_for(id, mark));
            }
            return None;
        }
        let told = self.findings.len();
        let found = self.find(id);
        let told = self.findings.get_mut(told..).unwrap_or_default();
        let unknown = |finding: &&mut Finding| finding.rule == &unknown_id::RULE;
        told.iter_mut().filter(unknown).for_each(unknown_id::waited_for);
        found
    }

    /// What a consumable goes on. A joint takes what it says it takes.
    fn onto(&mut self, name: &Name, thing: Thing) -> Option<Onto> {
        let entity = self.entity(name, &[Register::Joints, Register::Torques])?;
        let member = self.member;
        let Thing::Consumable(consumable) = thing else {
            self.findings.push(misused_mark::nothing_to_spread(name));
            return None;
        };
        if let Some(joint) = Kind::handle(entity) {
            let joint: Handle<crate::syntax::registers::Joint> = joint;
            let def = self.catalogue.joints.get(joint);
            let takes = def.value.takes.iter().any(|id| {
                self.catalogue.find(def.home, Register::Consumables, &split(id).0.text) == Some(consumable.entity())
            });
            if !takes {
                let used = &self.catalogue.consumables.get(consumable).id.text;
                self.findings.push(not_taken::finding(name, used, &def.id));
            }
            return Some(Onto {
                what: Surface::Joint(joint),
                member,
            });
        }
        Some(Onto {
            what: Surface::Torque(Kind::handle(entity)?),
            member,
        })
    }

    /// What a step or heading asks.
    pub fn question(&mut self, question: &syntax::If) -> Option<Question> {
        let of = match question.answer {
            Some(answer) => {
                let limit = self.find(&question.id)?;
                Asked::Limit {
                    limit,
                    member: self.member,
                    answer,
                }
            }
            None if self.look(&split(&question.id).0.text, Register::Limits).is_some()
                && self.look(&question.id.text, Register::Cases).is_none() =>
            {
                self.entity(&question.id, &[Register::Limits]);
                self.findings.push(misused_mark::no_answer(&question.id));
                return None;
            }
            None => Asked::Case(self.find(&question.id)?),
        };
        Some(Question {
            span: question.span,
            of,
            not: question.not,
        })
    }

    /// The group that a step or heading is done for.
    pub fn each(&mut self, each: &syntax::PerMember) -> Option<PerMember> {
        Some(PerMember {
            span: each.span,
            group: self.find::<Group>(&each.group)?,
            in_turn: each.in_turn,
        })
    }

    /// A step of this procedure to go back to.
    fn repeat(&mut self, label: &Name) -> Option<ActKind> {
        match self.step(None, label)? {
            ActKind::Step { number, .. } => Some(ActKind::Repeat(number)),
            _ => None,
        }
    }

    /// Choices that don't go together; a pair in which something is unknown has had its finding.
    pub fn never(&mut self, pairs: &[(Name, Name)]) -> Option<Never> {
        let conditions: Vec<Option<Condition>> = pairs
            .iter()
            .map(|(option, value)| {
                self.condition(&Only {
                    option: option.clone(),
                    values: vec![value.clone()],
                })
            })
            .collect();
        let pairs: Vec<Condition> = conditions.into_iter().collect::<Option<_>>()?;
        let span = pairs.first()?.span;
        Some(Never { span, pairs })
    }

    /// Binds the names inside the entries of this binder's level.
    pub fn links(&mut self, links: &mut Links) {
        let (catalogue, home) = (self.catalogue, self.home);
        for handle in own::<Part>(catalogue, home) {
            if let Some(old) = catalogue.parts[handle]
                .replaces
                .as_ref()
                .and_then(|name| self.find(name))
            {
                links.replaces.insert(handle, old);
            }
        }
        for handle in own::<Torque>(catalogue, home) {
            let torque = &catalogue.torques[handle];
            if let Some(pattern) = torque.pattern.as_ref().and_then(|name| self.find(name)) {
                links.patterns.insert(handle, pattern);
            }
            if let Some(tool) = torque.tool.as_ref().and_then(|name| self.find(name)) {
                links.wrenches.insert(handle, tool);
            }
        }
        for handle in own::<Measurement>(catalogue, home) {
            if let Some(gauge) = catalogue.limits[handle].gauge.as_ref().and_then(|name| self.find(name)) {
                links.gauges.insert(handle, gauge);
            }
        }
        for handle in own::<Action>(catalogue, home) {
            let action = &catalogue.actions[handle];
            let bound = ActionLinks {
                sets: action
                    .sets
                    .iter()
                    .filter_map(|(state, value)| self.state(state, value))
                    .collect(),
            };
            links.actions.insert(handle, bound);
        }
        self.pointers(links);
        self.ties(links);
    }
}

/// The entries of one register that a level has.
pub(super) fn own<T: Kind>(catalogue: &Catalogue, home: Home) -> Vec<Handle<T>> {
    catalogue.of_home(home).filter_map(T::handle).collect()
}

/// An id, and the member behind its stroke.
pub(super) fn split(name: &Name) -> (Name, Option<Name>) {
    let Some((bare, member)) = name.text.split_once('/') else {
        return (name.clone(), None);
    };
    let part = |text: &str, start: usize| Name {
        text: text.to_string(),
        span: name.span.slice(start..start + text.len()),
    };
    (part(bare, 0), Some(part(member, bare.len() + 1)))
}
