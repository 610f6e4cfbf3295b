//! What a step's marks print: specs under the step, and the tables that gather them.

use super::card::{Further, ItemAct, Measurement, Pattern, Spec, StepAt, Timer, Torque, UseKind};
use super::cover::Kit;
use super::figures::{self, By};
use super::members::{self, Members};
use super::needed;
use super::second;
use super::torque;
use super::undone;
use super::value::Value;
use super::working;
use super::written::{push_step, text};
use crate::check::Facts;
use crate::check::calc::CalcFacts;
use crate::check::ledger::Standing;
use crate::check::tightening::TorqueFacts;
use crate::domain::amount::Amount;
use crate::domain::timer::Duration;
use crate::model::At;
use crate::model::Name;
use crate::model::registers::{self, Span};
use crate::model::ties::{PerMember, Wanted};
use crate::model::{Act, ActKind, Catalogue, Handle, Item, ProcedureId, Set, StepNumber, Thing};
use crate::source::Span as Place;
use crate::words::{Phrase, joined, say};
use std::collections::{BTreeMap, BTreeSet};

/// Seconds from which on a wait or window is likely to end on another day.
const DATED: u32 = 12 * 3600;

/// Gathers specs over one card.
pub struct Specs<'a> {
    set: &'a Set,
    id: ProcedureId,
    facts: &'a TorqueFacts,
    calcs: &'a CalcFacts,
    pub torques: Vec<Torque>,
    pub measurements: Vec<Measurement>,
    pub patterns: Vec<Pattern>,
    pub timers: Vec<Timer>,
    pub kit: Kit,
    /// Temporary items that the card finds on: nobody brings those.
    found_on: BTreeSet<Handle<registers::Temporary>>,
    /// How many of each it has taken off so far: they are at hand.
    at_hand: BTreeMap<Handle<registers::Temporary>, u32>,
}

impl<'a> Specs<'a> {
    pub fn new(set: &'a Set, id: ProcedureId, facts: &'a Facts, found: Option<&Standing>) -> Self {
        let found = found.into_iter().flat_map(|found| &found.fitted);
        Specs {
            set,
            id,
            facts: &facts.torques,
            calcs: &facts.calcs,
            torques: Vec::new(),
            measurements: Vec::new(),
            patterns: Vec::new(),
            timers: Vec::new(),
            kit: Kit::default(),
            found_on: found.map(|on| on.item).collect(),
            at_hand: BTreeMap::new(),
        }
    }

    fn catalogue(&self) -> &'a Catalogue {
        &self.set.catalogue
    }

    /// The specs of a step's marks, in written order; `each` is the group whose members it is done for.
    pub fn of(&mut self, acts: &[Act], step: StepNumber, each: Option<PerMember>) -> Vec<Spec> {
        let specs = acts.iter().filter_map(|act| self.spec(act, step, each));
        specs.filter(says_more).collect()
    }

    fn spec(&mut self, act: &Act, step: StepNumber, each: Option<PerMember>) -> Option<Spec> {
        let catalogue = self.catalogue();
        let members = members::of_mark(self.set, each, act);
        let times = members::times(self.set, each, act);
        Some(match &act.kind {
            ActKind::Torque(h) => Spec::Torque(self.torque(*h, step, &members, act.span)),
            ActKind::Snug(h) => {
                let torque = &catalogue.torques[*h];
                Spec::Snug {
                    name: torque.name.clone(),
                    count: torque.count().saturating_mul(times) as usize,
                    span: Some(act.span),
                }
            }
            ActKind::Loosen(h) => {
                let torque = &catalogue.torques[*h];
                Spec::Loosen {
                    name: torque.name.clone(),
                    count: torque.count().saturating_mul(times) as usize,
                    order: undone::order(self.set, self.id, *h),
                    span: Some(act.span),
                }
            }
            ActKind::Measure(h, as_found) => Spec::Measure(self.measurement(*h, *as_found, step, members, act.span)),
            ActKind::Fit(item, count) => self.item((ItemAct::Fit, act.span), *item, *count, (times, &members), step),
            ActKind::Remove(item, count) => {
                self.item((ItemAct::Remove, act.span), *item, *count, (times, &members), step)
            }
            ActKind::Use(thing, amount, _) => {
                let so_often = members::of_step(self.set, each).0.len().max(1);
                self.use_of((*thing, act.span), amount.as_ref(), so_often, step)
            }
            ActKind::Need(need) => {
                let (state, value) = needed::words(self.set, need);
                Spec::Need {
                    state,
                    value,
                    span: Some(act.span),
                }
            }
            ActKind::Set(state, value) => {
                let (state, value) = self.state(*state, *value);
                Spec::Set {
                    state,
                    value,
                    span: Some(act.span),
                }
            }
            ActKind::Do(h) => {
                let (mut needs, mut never_with) = (Vec::new(), Vec::new());
                for need in &self.set.links.ties(h.entity()).needs {
                    let (thing, how) = needed::words(self.set, need);
                    match need.what {
                        Wanted::Off(_) | Wanted::Loose(_) => never_with.push(thing),
                        Wanted::Met(_) | Wanted::State(..) => needs.push(say::need_of(thing, how)),
                    }
                }
                let action = &catalogue.actions[*h];
                Spec::Do {
                    name: action.name.clone(),
                    needs,
                    never_with,
                    note: text(&action.note),
                    span: Some(act.span),
                }
            }
            ActKind::Start(h) => {
                let timer = self.timer(*h, members, act.span)?;
                if !self.timers.iter().any(|t| t.id == timer.id) {
                    self.timers.push(timer.clone());
                }
                Spec::TimerStart(timer)
            }
            ActKind::End(h) => Spec::TimerEnd(self.timer(*h, members, act.span)?),
            ActKind::Hold(_)
            | ActKind::Label(_)
            | ActKind::Step { .. }
            | ActKind::See(_)
            | ActKind::Time(_)
            | ActKind::Only
            | ActKind::Wait(_)
            | ActKind::Mark(_)
            | ActKind::Each
            | ActKind::If(_)
            | ActKind::Repeat(_)
            | ActKind::Stop => return None,
        })
    }

    fn state(&self, state: Handle<registers::State>, value: usize) -> (String, String) {
        let def = &self.catalogue().states[state];
        let value = def.values.get(value).map_or_else(String::new, |v| v.text.clone());
        (def.name.clone(), value)
    }

    fn timer(&self, handle: Handle<registers::Timer>, members: Members, at: Place) -> Option<Timer> {
        let def = self.catalogue().timers.get(handle);
        let (rule, span) = match def.value.span.as_ref()? {
            Span::Within(time) => ("within", time),
            Span::AtLeast(time) => ("at-least", time),
        };
        Some(Timer {
            id: def.id.text.clone(),
            what: def.value.what.clone(),
            rule: rule.to_string(),
            span: Value::from(&span.value),
            dated: span.value.seconds() >= DATED.into(),
            members,
            written: Some(at),
        })
    }

    /// So many times as many where it stands for all members of a group at once; what is taken along is for all of them in any case.
    fn item(
        &mut self,
        (act, at): (ItemAct, Place),
        item: Item,
        count: Option<u32>,
        (times, members): (u32, &Members),
        step: StepNumber,
    ) -> Spec {
        let catalogue = self.catalogue();
        let all = u32::try_from(members.0.len().max(1)).unwrap_or(u32::MAX);
        match item {
            Item::Part(h) => {
                let part = &catalogue.parts[h];
                let one = count.unwrap_or(part.qty);
                if act == ItemAct::Fit {
                    self.kit
                        .part(catalogue, h, Some(&Amount::Count(one.saturating_mul(all))), step);
                }
                Spec::Item {
                    act,
                    name: part.name.clone(),
                    count: one.saturating_mul(times) as usize,
                    temporary: false,
                    single_use: part.is_new_each_time(),
                    detail: text(&part.number),
                    span: Some(at),
                }
            }
            Item::Temporary(h) => {
                let temporary = &catalogue.temporary[h];
                let one = count.unwrap_or(temporary.qty);
                self.moved(act, h, one.saturating_mul(all), step);
                Spec::Item {
                    act,
                    name: temporary.name.clone(),
                    count: one.saturating_mul(times) as usize,
                    temporary: true,
                    single_use: false,
                    detail: text(&temporary.flag),
                    span: Some(at),
                }
            }
        }
    }

    /// Temporary items go on or come off: what goes on and wasn't taken off on this card before is brought along.
    fn moved(&mut self, act: ItemAct, item: Handle<registers::Temporary>, count: u32, step: StepNumber) {
        let catalogue = self.catalogue();
        let at_hand = self.at_hand.entry(item).or_default();
        let brought = match act {
            ItemAct::Fit => count.saturating_sub(*at_hand),
            ItemAct::Remove => 0,
        };
        *at_hand = match act {
            ItemAct::Fit => at_hand.saturating_sub(count),
            ItemAct::Remove => at_hand.saturating_add(count),
        };
        if brought > 0 {
            self.kit.temporary(catalogue, item, Some(&Amount::Count(brought)), step);
        } else {
            self.kit.temporary_again(catalogue, item, step);
        }
    }

    /// `so_often`: once a member of the group that the step is done for.
    fn use_of(
        &mut self,
        (thing, at): (Thing, Place),
        amount: Option<&Amount>,
        so_often: usize,
        step: StepNumber,
    ) -> Spec {
        let catalogue = self.catalogue();
        let (what, name, detail, ghs) = match thing {
            Thing::Tool(h) => {
                self.kit.tool(catalogue, h, step);
                (UseKind::Tool, &catalogue.tools[h].name, Phrase::default(), Vec::new())
            }
            Thing::Consumable(h) => {
                let consumable = &catalogue.consumables[h];
                (0..so_often).for_each(|_| self.kit.consumable(catalogue, h, amount, step));
                let clock = |time: &Option<At<Duration>>| time.as_ref().map(|t| t.value.to_string());
                let clocks = [
                    clock(&consumable.open).map(say::close_within),
                    clock(&consumable.cure).map(say::cures_in),
                ];
                let detail = joined(clocks.into_iter().flatten(), ", ");
                let ghs = consumable.hazards.iter().map(|h| h.value.code().to_string()).collect();
                (UseKind::Consumable, &consumable.name, detail, ghs)
            }
            Thing::Part(h) => {
                (0..so_often).for_each(|_| self.kit.part(catalogue, h, amount, step));
                (
                    UseKind::Part,
                    &catalogue.parts[h].name,
                    text(&catalogue.parts[h].number).into(),
                    Vec::new(),
                )
            }
            Thing::Temporary(h) => {
                match self.found_on.contains(&h) {
                    true => self.kit.temporary_again(catalogue, h, step),
                    false => (0..so_often).for_each(|_| self.kit.temporary(catalogue, h, amount, step)),
                }
                let temporary = &catalogue.temporary[h];
                (
                    UseKind::Temporary,
                    &temporary.name,
                    text(&temporary.flag).into(),
                    Vec::new(),
                )
            }
        };
        Spec::Use {
            what,
            name: name.clone(),
            amount: amount.map_or_else(Value::default, Value::from),
            detail,
            ghs,
            span: Some(at),
        }
    }

    fn torque(&mut self, handle: Handle<registers::Torque>, step: StepNumber, members: &Members, at: Place) -> Torque {
        let catalogue = self.catalogue();
        for tool in crate::check::tightening::tools(self.set, self.facts, handle) {
            self.kit.tool(catalogue, tool, step);
        }
        if let Some(pattern) = self.set.links.patterns.get(&handle) {
            self.pattern(*pattern);
        }
        let mut row = torque::row(self.set, self.facts, handle, step);
        row.span = Some(at);
        for stage in &mut row.stages {
            match stage.passes.as_mut_slice() {
                [] => stage.members = members.clone(),
                passes => passes.iter_mut().for_each(|pass| pass.members = members.clone()),
            }
        }
        match self.torques.iter_mut().find(|t| t.id == row.id) {
            Some(known) => push_step(&mut known.steps, step),
            None => self.torques.push(row.clone()),
        }
        row
    }

    /// A reading of how things are found is written down and nothing is done about it: it is why the work is done.
    fn measurement(
        &mut self,
        handle: Handle<registers::Measurement>,
        as_found: bool,
        step: StepNumber,
        members: Members,
        at: Place,
    ) -> Measurement {
        let catalogue = self.catalogue();
        let def = catalogue.limits.get(handle);
        if let Some(gauge) = self.set.links.gauges.get(&handle) {
            self.kit.tool(catalogue, *gauge, step);
        }
        let row = Measurement {
            span: Some(at),
            ..self.measurement_row(handle, step)
        };
        match self.measurements.iter_mut().find(|m| m.id == def.id.text) {
            Some(known) => push_step(&mut known.steps, step),
            None => self.measurements.push(row.clone()),
        }
        let out = if as_found { Further::default() } else { row.out.clone() };
        Measurement { members, out, ..row }
    }

    fn measurement_row(&self, handle: Handle<registers::Measurement>, step: StepNumber) -> Measurement {
        let catalogue = self.catalogue();
        let def = catalogue.limits.get(handle);
        let limit = def.value.limit.as_ref().map(|l| &l.value);
        let second = limit.and_then(|l| l.in_unit(second::unit(self.set, l.unit())?));
        let range = limit.map(figures::worked_out);
        let names = |names: &[Name]| names.iter().map(|n| n.text.clone()).collect();
        Measurement {
            id: def.id.text.clone(),
            name: def.value.name.clone(),
            limit: limit.map_or_else(Value::default, Value::from),
            second: second.map_or_else(Phrase::default, |b| figures::bounds(&b, By::Us)),
            range: range.unwrap_or_default(),
            unit: limit.map_or_else(String::new, |l| l.unit().symbol().to_string()),
            gauge: self
                .set
                .links
                .gauges
                .get(&handle)
                .map_or_else(String::new, |g| catalogue.tools[*g].name.clone()),
            rows: names(&def.value.rows),
            columns: names(&def.value.columns),
            members: Members::default(),
            record: def.value.record,
            calc: working::formula(self.set, self.calcs, handle),
            working: working::lines(self.set, self.calcs, handle),
            out: Further(
                def.value
                    .out
                    .as_ref()
                    .map_or_else(Phrase::default, |out| say::if_out(&out.text)),
            ),
            note: text(&def.value.note),
            steps: vec![StepAt::here(step)],
            changed: false,
            span: Some(def.id.span),
        }
    }

    fn pattern(&mut self, handle: Handle<registers::Pattern>) {
        let def = self.catalogue().patterns.get(handle);
        if !self.patterns.iter().any(|p| p.id == def.id.text) {
            self.patterns.extend(super::patterns::drawing(&def.id, &def.value));
        }
    }
}

/// The sentence of a step has the name of everything that it marks. A line that could only repeat it is left out.
fn says_more(spec: &Spec) -> bool {
    match spec {
        Spec::Item {
            act: _,
            name: _,
            count,
            temporary,
            single_use,
            detail,
            span: _,
        } => *temporary || *single_use || *count > 1 || !detail.is_empty(),
        Spec::Use {
            what: _,
            name: _,
            amount,
            detail,
            ghs,
            span: _,
        } => !amount.is_empty() || !detail.is_empty() || !ghs.is_empty(),
        Spec::Do {
            name: _,
            needs,
            never_with,
            note,
            span: _,
        } => !needs.is_empty() || !never_with.is_empty() || !note.is_empty(),
        Spec::Loosen {
            name: _,
            count,
            order,
            span: _,
        } => *count > 1 || !order.0.is_empty(),
        Spec::Torque(_)
        | Spec::Snug {
            name: _,
            count: _,
            span: _,
        }
        | Spec::Measure(_)
        | Spec::Need {
            state: _,
            value: _,
            span: _,
        }
        | Spec::Set {
            state: _,
            value: _,
            span: _,
        }
        | Spec::TimerStart(_)
        | Spec::TimerEnd(_) => true,
    }
}
