//! What each step that some choices keep needs.

use super::bill::Bill;
use super::{Kit, Line, Spare, StepRef};
use crate::cards::{card::Choice, interval_of, sum_said};
use crate::check::Facts;
use crate::check::tightening::tools;
use crate::check::walk::{Flow, Happened, OnFastener, OnItem, Place, What, play};
use crate::domain::amount::{Amount, Sum};
use crate::model::Name;
use crate::model::registers::{Consumable, Part, Reuse, Temporary, Tool, Torque};
use crate::model::{Choices, Handle, Item, Set, Thing};
use crate::words::{Phrase, joined, say};
use std::collections::{BTreeMap, BTreeSet};

/// What is needed of one thing.
#[derive(Default)]
struct Need {
    steps: Vec<StepRef>,
    used: Sum,
    /// The most in one mark that uses it.
    most: u32,
    /// On at present, the most on at a time, and how many went on in all.
    on: u32,
    peak: u32,
    fits: u32,
}

impl Need {
    fn at(&mut self, step: &StepRef) {
        if self.steps.last() != Some(step) {
            self.steps.push(step.clone());
        }
    }

    fn fit(&mut self, count: u32) {
        self.on = self.on.saturating_add(count);
        self.peak = self.peak.max(self.on);
        self.fits = self.fits.saturating_add(count);
    }

    fn add(&mut self, amount: Option<&Amount>) {
        if let Some(amount) = amount {
            self.used.add(amount);
        }
        if let Some(Amount::Count(count)) = amount {
            self.most = self.most.max(*count);
        }
    }
}

/// Everything that some steps name.
#[derive(Default)]
struct Needs {
    parts: BTreeMap<Handle<Part>, Need>,
    temporary: BTreeMap<Handle<Temporary>, Need>,
    consumables: BTreeMap<Handle<Consumable>, Need>,
    tools: BTreeMap<Handle<Tool>, Need>,
    torques: BTreeMap<Handle<Torque>, Need>,
    /// Tools that take a reading.
    gauges: BTreeSet<Handle<Tool>>,
    /// By kind and index of a thing that is only named where the choices don't lead, the choice that does.
    elsewhere: BTreeMap<(Kind, usize), Phrase>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Part,
    Consumable,
    Tool,
    Temporary,
}

/// What a set needs for one combination of choices.
pub fn kit(set: &Set, facts: &Facts, choices: &Choices) -> Kit {
    let mut needs = Needs::default();
    let flow = Flow::new(set);
    for event in play(&flow, choices).events() {
        needs.event(set, facts, event, &step_ref(set, event.at));
    }
    for stop in &flow.stops {
        for event in &stop.events {
            let unmet = joined(stop.unmet_of(event, choices).map(|c| c.words(&set.catalogue)), ", ");
            if !unmet.is_empty() {
                needs.elsewhere(set, facts, &event.what, &unmet);
            }
        }
    }
    needs.kit(set, choices)
}

fn step_ref(set: &Set, at: Place) -> StepRef {
    StepRef {
        card: at.procedure.number(),
        procedure: set.procedures[at.procedure].id.clone(),
        step: at.step.to_string(),
    }
}

impl Needs {
    fn event(&mut self, set: &Set, facts: &Facts, event: &Happened, step: &StepRef) {
        match event.what {
            What::Item(Item::Part(part), on) => {
                let need = self.parts.entry(part).or_default();
                match on {
                    OnItem::Fit(count) => {
                        need.at(step);
                        need.fit(count);
                    }
                    OnItem::Remove(count) => need.on = need.on.saturating_sub(count),
                    OnItem::Barred(_) => {}
                }
            }
            What::Item(Item::Temporary(item), on) => match on {
                OnItem::Fit(count) => {
                    let need = self.temporary.entry(item).or_default();
                    need.at(step);
                    need.fit(count);
                }
                OnItem::Remove(count) => {
                    let need = self.temporary.entry(item).or_default();
                    need.on = need.on.saturating_sub(count);
                }
                OnItem::Barred(_) => {}
            },
            What::Use(thing, amount) => {
                let need = match thing {
                    Thing::Tool(tool) => self.tools.entry(tool).or_default(),
                    Thing::Consumable(consumable) => self.consumables.entry(consumable).or_default(),
                    Thing::Part(part) => self.parts.entry(part).or_default(),
                    Thing::Temporary(item) => self.temporary.entry(item).or_default(),
                };
                need.at(step);
                need.add(amount);
            }
            What::Fastener(torque, OnFastener::Torque) => {
                self.torques.entry(torque).or_default().at(step);
                for tool in tools(set, &facts.torques, torque) {
                    self.tools.entry(tool).or_default().at(step);
                }
            }
            What::Measure(limit) => {
                if let Some(gauge) = set.links.gauges.get(&limit) {
                    self.gauges.insert(*gauge);
                    self.tools.entry(*gauge).or_default().at(step);
                }
            }
            What::Fastener(_, OnFastener::Loosen | OnFastener::Snug)
            | What::State(..)
            | What::Timer(..)
            | What::Do(_)
            | What::Hold(_)
            | What::Work(_)
            | What::Look(_)
            | What::Spread(..)
            | What::Wait(_) => {}
        }
    }

    /// Notes that other choices need a thing.
    fn elsewhere(&mut self, set: &Set, facts: &Facts, what: &What, only: &Phrase) {
        let mut note = |kind, index| {
            self.elsewhere.entry((kind, index)).or_insert_with(|| only.clone());
        };
        match *what {
            What::Item(Item::Part(part), OnItem::Fit(_)) | What::Use(Thing::Part(part), _) => {
                note(Kind::Part, part.index());
            }
            What::Item(Item::Temporary(item), OnItem::Fit(_)) | What::Use(Thing::Temporary(item), _) => {
                note(Kind::Temporary, item.index());
            }
            What::Use(Thing::Tool(tool), _) => note(Kind::Tool, tool.index()),
            What::Use(Thing::Consumable(consumable), _) => note(Kind::Consumable, consumable.index()),
            What::Fastener(torque, OnFastener::Torque) => tools(set, &facts.torques, torque)
                .iter()
                .for_each(|tool| note(Kind::Tool, tool.index())),
            What::Measure(limit) => {
                let gauge = set.links.gauges.get(&limit);
                gauge.iter().for_each(|tool| note(Kind::Tool, tool.index()));
            }
            What::Item(_, OnItem::Remove(_) | OnItem::Barred(_))
            | What::Fastener(_, OnFastener::Loosen | OnFastener::Snug)
            | What::State(..)
            | What::Timer(..)
            | What::Do(_)
            | What::Hold(_)
            | What::Work(_)
            | What::Look(_)
            | What::Spread(..)
            | What::Wait(_) => {}
        }
    }

    fn kit(self, set: &Set, choices: &Choices) -> Kit {
        let mut bill = Bill::default();
        let not_needed = self.not_needed(set);
        let catalogue = &set.catalogue;
        let (mut order, mut inspect) = (Vec::new(), Vec::new());
        let mut ordered: BTreeSet<Handle<Part>> = BTreeSet::new();
        for (handle, need) in &self.parts {
            let part = &catalogue.parts[*handle];
            let count = match part.is_new_each_time() {
                true => need.fits.max(need.most).saturating_add(part.spares),
                false => need.peak.max(need.most),
            };
            // One that is renewed is on the machine, and yet another is needed. A part that only comes off is no part of the kit.
            let there = part.fitted && !part.renew;
            if need.steps.is_empty() || there && part.reuse != Reuse::Inspect {
                continue;
            }
            let mut line = Line {
                number: text(&part.number),
                amount: count.max(1).to_string().into(),
                single_use: part.is_new_each_time(),
                detail: text(&part.note).into(),
                ..line(&catalogue.parts.get(*handle).id, &part.name, need)
            };
            match there {
                true => inspect.push(line),
                false => {
                    ordered.insert(*handle);
                    bill.price(&mut line, part.price.as_ref(), Some(u64::from(count.max(1))));
                    order.push(line);
                }
            }
        }
        let consumables = self.consumables.iter().map(|(handle, need)| {
            let consumable = &catalogue.consumables[*handle];
            let pack = consumable.amount.as_ref().map(|a| &a.value);
            let mut line = Line {
                amount: match need.used.is_empty() {
                    true => pack.map_or_else(Phrase::default, |pack| pack.to_string().into()),
                    false => sum_said(&need.used),
                },
                detail: text(&consumable.note).into(),
                ..line(&catalogue.consumables.get(*handle).id, &consumable.name, need)
            };
            let packs = pack.map_or(Some(1), |pack| {
                if need.used.is_empty() {
                    Some(1)
                } else {
                    need.used.packs(pack)
                }
            });
            bill.price(&mut line, consumable.price.as_ref(), packs);
            line
        });
        let consumables: Vec<Line> = consumables.collect();
        let fasteners = self.torques.iter().filter_map(|(handle, need)| {
            let torque = &catalogue.torques[*handle];
            // Those that are a part stand among the parts, by their number and with their price.
            let part = set.links.ties(handle.entity()).part;
            let listed = part.is_some_and(|part| ordered.contains(&part));
            (torque.reuse == Reuse::No && !listed).then(|| Line {
                number: torque
                    .fastener
                    .as_ref()
                    .map_or_else(String::new, |f| f.word.text.clone()),
                amount: torque.count().to_string().into(),
                single_use: true,
                ..line(&catalogue.torques.get(*handle).id, &torque.name, need)
            })
        });
        let temporary = self.temporary.iter().filter(|(_, need)| !need.steps.is_empty());
        let temporary = temporary.map(|(handle, need)| Line {
            amount: need.peak.max(need.most).max(1).to_string().into(),
            detail: text(&catalogue.temporary[*handle].flag).into(),
            ..line(
                &catalogue.temporary.get(*handle).id,
                &catalogue.temporary[*handle].name,
                need,
            )
        });
        let tool = |(handle, need): (&Handle<Tool>, &Need)| {
            let tool = &catalogue.tools[*handle];
            let range = tool.range.as_ref().map(|r| interval_of(&r.value));
            let resolution = tool.resolution.as_ref().map(|r| say::reads(r.value.to_string()));
            Line {
                number: text(&tool.number),
                detail: joined(range.into_iter().chain(resolution), ", "),
                ..line(&catalogue.tools.get(*handle).id, &tool.name, need)
            }
        };
        let (gauges, tools): (Vec<_>, Vec<_>) = self.tools.iter().partition(|(h, _)| self.gauges.contains(h));
        Kit {
            set: set.id.clone(),
            title: set.title.clone(),
            machine: set.machine.clone(),
            choices: chosen(set, choices),
            fasteners: fasteners.collect(),
            temporary: temporary.collect(),
            gauges: gauges.into_iter().map(tool).collect(),
            tools: tools.into_iter().map(tool).collect(),
            order,
            inspect,
            consumables,
            not_needed,
            total: bill.total(),
            remarks: bill.remarks,
        }
    }

    fn not_needed(&self, set: &Set) -> Vec<Spare> {
        let catalogue = &set.catalogue;
        let spare = |kind: &str, id: &Name, name: &str, only: &Phrase| Spare {
            kind: kind.to_string(),
            id: id.text.clone(),
            name: name.to_string(),
            only: only.clone(),
        };
        let mut found = Vec::new();
        let only = |kind, index| self.elsewhere.get(&(kind, index));
        for (handle, def) in catalogue.parts.iter() {
            let named = self.parts.get(&handle).is_some_and(|n| !n.steps.is_empty());
            if let Some(only) =
                only(Kind::Part, handle.index()).filter(|_| !named && (!def.value.fitted || def.value.renew))
            {
                found.push(spare("part", &def.id, &def.value.name, only));
            }
        }
        for (handle, def) in catalogue
            .consumables
            .iter()
            .filter(|(h, _)| !self.consumables.contains_key(h))
        {
            found.extend(
                only(Kind::Consumable, handle.index()).map(|o| spare("consumable", &def.id, &def.value.name, o)),
            );
        }
        for (handle, def) in catalogue.tools.iter().filter(|(h, _)| !self.tools.contains_key(h)) {
            found.extend(only(Kind::Tool, handle.index()).map(|o| spare("tool", &def.id, &def.value.name, o)));
        }
        for (handle, def) in catalogue
            .temporary
            .iter()
            .filter(|(h, _)| !self.temporary.contains_key(h))
        {
            found
                .extend(only(Kind::Temporary, handle.index()).map(|o| spare("temporary", &def.id, &def.value.name, o)));
        }
        found
    }
}

fn line(id: &Name, name: &str, need: &Need) -> Line {
    Line {
        id: id.text.clone(),
        name: name.to_string(),
        number: String::new(),
        amount: Phrase::default(),
        single_use: false,
        unit_price: Phrase::default(),
        price: Phrase::default(),
        detail: Phrase::default(),
        steps: need.steps.clone(),
    }
}

fn text(name: &Option<Name>) -> String {
    name.as_ref().map_or_else(String::new, |n| n.text.clone())
}

/// Every option of a set as chosen; options that several procedures declare alike stand once.
pub fn chosen(set: &Set, choices: &Choices) -> Vec<Choice> {
    let mut all: Vec<Choice> = Vec::new();
    let defaults = Choices::defaults(&set.catalogue);
    for (handle, def) in set.catalogue.options.iter() {
        let Some((value, why)) = def.value.values.get(choices.value(handle)) else {
            continue;
        };
        let choice = Choice {
            option: def.id.text.clone(),
            what: def.value.what.clone(),
            value: value.text.clone(),
            why: text(why),
            default: choices.value(handle) == defaults.value(handle),
            span: Some(def.id.span),
        };
        if !all.iter().any(|c| c.option == choice.option && c.value == choice.value) {
            all.push(choice);
        }
    }
    all
}
