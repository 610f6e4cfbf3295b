//! One procedure: what it says of itself, its messages, its steps, and the entries they name.

use super::SetMeaning;
use super::entries::Field;
use super::value::{Source, Value, squeezed};
use super::words::{Reading, Words};
use crate::cards;
use crate::model::Level;
use crate::model::registers::Register;
use crate::model::{self, ActKind, Choices, Condition, Entity, Handle, Item, Set, Thing};

/// What a procedure or its card means.
#[derive(Debug)]
pub struct Meaning<'a> {
    pub head: Head<'a>,
    pub intro: Words,
    /// Those that cover the card.
    pub messages: Vec<Message>,
    pub phases: Vec<Phase>,
    /// In written order.
    pub steps: Vec<Step<'a>>,
    /// What steps and conditions name, in order of first use, each followed by what prints with it.
    pub entries: Vec<Entity>,
    /// Of a card: each option it depends on, with the value chosen.
    pub choices: Vec<String>,
    /// Of a card: what these choices leave out.
    pub left_out: Vec<String>,
}

/// What stands above the steps.
#[derive(Debug)]
pub struct Head<'a> {
    /// Said by the set for all its cards.
    pub of_set: Vec<Field<'a>>,
    pub own: Vec<Field<'a>>,
}

/// A safety message or note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    pub level: Level,
    /// Condition under which it stands; empty for always.
    pub only: String,
    pub hazard: String,
    pub consequence: Words,
    pub avoid: Words,
}

/// A heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phase {
    pub number: usize,
    pub title: String,
    pub only: String,
    pub intro: Words,
    pub messages: Vec<Message>,
}

/// A step.
#[derive(Debug)]
pub struct Step<'a> {
    pub number: &'a str,
    /// Index of its phase.
    pub phase: usize,
    /// One of a list without an order.
    pub any_order: bool,
    pub only: String,
    pub words: Words,
    pub messages: Vec<Message>,
    pub acts: Vec<Act<'a>>,
    pub substeps: Vec<SubStep<'a>>,
}

/// A nested item.
#[derive(Debug)]
pub struct SubStep<'a> {
    pub only: String,
    pub words: Words,
    pub acts: Vec<Act<'a>>,
}

/// What a mark does.
#[derive(Debug)]
pub struct Act<'a> {
    pub verb: &'static str,
    pub entity: Option<Entity>,
    /// Count, amount, value of a state, time; empty text if there is none.
    pub detail: Value<'a>,
}

pub fn meaning<'a>(whole: &SetMeaning<'a>, position: usize, choices: Option<&Choices>) -> Meaning<'a> {
    let set: &'a Set = whole.set;
    let procedure = &set.procedures[position];
    let mut reader = Reader {
        whole,
        choices,
        reading: Reading {
            files: whole.files,
            set,
            procedure,
        },
        entries: Vec::new(),
        left_out: Vec::new(),
    };
    let messages = reader.messages(&procedure.messages);
    let mut phases = Vec::new();
    let mut steps = Vec::new();
    for phase in &procedure.phases {
        if !reader.keeps(&phase.only) {
            let only = reader.condition(&phase.only);
            reader.left_out.push(format!("phase {}: {only}", phase.number));
            continue;
        }
        phases.push(Phase {
            number: phase.number,
            title: reader.reading.line(&phase.title),
            only: reader.shown_condition(&phase.only),
            intro: reader.reading.blocks(&phase.intro),
            messages: reader.messages(&phase.messages),
        });
        for run in &phase.runs {
            for step in &run.steps {
                steps.extend(reader.step(step, phases.len() - 1, run.any_order));
            }
        }
    }
    Meaning {
        head: head(set, procedure),
        intro: reader.reading.blocks(&procedure.intro),
        messages,
        phases,
        steps,
        entries: reader.entries,
        choices: choices.map_or_else(Vec::new, |choices| chosen(set, position, choices)),
        left_out: reader.left_out,
    }
}

fn chosen(set: &Set, position: usize, choices: &Choices) -> Vec<String> {
    let chosen = cards::chosen(set, position, choices);
    let mut all: Vec<String> = chosen
        .iter()
        .map(|c| format!("{}: {} ({})", squeezed(&c.what), c.value, squeezed(&c.why)))
        .collect();
    all.sort();
    all
}

fn head<'a>(set: &'a Set, procedure: &'a model::Procedure) -> Head<'a> {
    let fields = |pairs: Vec<(&'static str, String)>| -> Vec<Field<'a>> {
        let filled = pairs.into_iter().filter(|(_, text)| !text.is_empty());
        filled
            .map(|(name, text)| Field {
                name,
                value: Value::text(text),
            })
            .collect()
    };
    let titles = procedure.after.iter().filter_map(|p| set.procedures.get(*p));
    let mut after: Vec<&str> = titles.map(|p| p.title.as_str()).collect();
    after.sort_unstable();
    Head {
        of_set: fields(vec![
            ("machine", set.machine.clone()),
            ("title of the set", set.title.clone()),
            ("about the set", set.about.clone()),
            ("applies-to", set.applies_to.clone()),
            ("notice", set.notice.clone()),
        ]),
        own: fields(vec![
            ("title", procedure.title.clone()),
            ("about", procedure.about.clone()),
            ("source", procedure.source.clone()),
            ("after", after.join(", ")),
        ]),
    }
}

struct Reader<'s, 'a> {
    whole: &'s SetMeaning<'a>,
    choices: Option<&'s Choices>,
    reading: Reading<'a>,
    entries: Vec<Entity>,
    left_out: Vec<String>,
}

impl<'a> Reader<'_, 'a> {
    /// True for everything where nothing is chosen.
    fn keeps(&self, only: &[Condition]) -> bool {
        self.choices.is_none_or(|choices| choices.meet(only))
    }

    /// A condition in words; of a card nothing, since what is printed is met.
    fn shown_condition(&mut self, only: &[Condition]) -> String {
        if self.choices.is_some() {
            return String::new();
        }
        for condition in only {
            self.name(Entity {
                register: Register::Options,
                index: condition.option.index(),
            });
        }
        self.condition(only)
    }

    fn condition(&self, only: &[Condition]) -> String {
        let options = &self.whole.set.catalogue.options;
        let one = |condition: &Condition| {
            let def = options.get(condition.option);
            let values = condition.values.iter().filter_map(|v| def.value.values.get(*v));
            let mut values: Vec<&str> = values.map(|(value, _)| value.text.as_str()).collect();
            values.sort_unstable();
            format!("{} = {}", def.id.text, values.join(" or "))
        };
        let mut all: Vec<String> = only.iter().map(one).collect();
        all.sort();
        all.join(", ")
    }

    /// Notes that an entry is named, and what prints with it.
    fn name(&mut self, entity: Entity) {
        if self.entries.contains(&entity) {
            return;
        }
        self.entries.push(entity);
        let links = self.whole.entries.get(&entity).map(|e| e.links.as_slice());
        for link in links.unwrap_or_default() {
            self.name(*link);
        }
    }

    fn messages(&mut self, messages: &[model::Message]) -> Vec<Message> {
        let mut kept = Vec::new();
        for message in messages {
            if !self.keeps(&message.only) {
                continue;
            }
            kept.push(Message {
                level: message.level,
                only: self.shown_condition(&message.only),
                hazard: self.reading.line(&message.hazard),
                consequence: self.reading.blocks(&message.consequence),
                avoid: self.reading.blocks(&message.avoid),
            });
        }
        kept
    }

    fn step(&mut self, step: &'a model::Step, phase: usize, any_order: bool) -> Option<Step<'a>> {
        if !self.keeps(&step.only) {
            let only = self.condition(&step.only);
            self.left_out.push(format!("{}: {only}", step.number));
            return None;
        }
        let mut substeps = Vec::new();
        let only = self.shown_condition(&step.only);
        let messages = self.messages(&step.messages);
        let acts = self.acts(&step.acts);
        for (n, sub) in step.substeps.iter().enumerate() {
            if !self.keeps(&sub.only) {
                let only = self.condition(&sub.only);
                self.left_out.push(format!("{} {}: {only}", step.number, n + 1));
                continue;
            }
            substeps.push(SubStep {
                only: self.shown_condition(&sub.only),
                words: self.reading.blocks(&sub.text),
                acts: self.acts(&sub.acts),
            });
        }
        Some(Step {
            number: &step.number,
            phase,
            any_order,
            only,
            words: self.reading.blocks(&step.text),
            messages,
            acts,
            substeps,
        })
    }

    fn acts(&mut self, acts: &'a [model::Act]) -> Vec<Act<'a>> {
        let acts: Vec<Act> = acts.iter().filter_map(|act| self.act(&act.kind)).collect();
        for act in &acts {
            act.entity.into_iter().for_each(|entity| self.name(entity));
        }
        acts
    }

    fn act(&self, kind: &'a ActKind) -> Option<Act<'a>> {
        let none = || Value::text("");
        let count = |count: &Option<u32>| count.map_or_else(none, |c| Value::text(c.to_string()));
        let state = |state: &Handle<_>, value: &usize| {
            let values = &self.whole.set.catalogue.states[*state].values;
            Value::text(values.get(*value).map_or("", |v| v.text.as_str()))
        };
        let of = |verb, entity: (Register, usize), detail| {
            let (register, index) = entity;
            Some(Act {
                verb,
                entity: Some(Entity { register, index }),
                detail,
            })
        };
        match kind {
            ActKind::Torque(h) => of("torque", (Register::Torques, h.index()), none()),
            ActKind::Snug(h) => of("snug", (Register::Torques, h.index()), none()),
            ActKind::Loosen(h) => of("loosen", (Register::Torques, h.index()), none()),
            ActKind::Measure(h) => of("measure", (Register::Limits, h.index()), none()),
            ActKind::Fit(thing, n) => of("fit", item(thing), count(n)),
            ActKind::Remove(thing, n) => of("remove", item(thing), count(n)),
            ActKind::Use(used, amount) => {
                let amount = amount.as_ref().map_or_else(none, |a| Value::new(Source::Amount(a)));
                of("use", thing(used), amount)
            }
            ActKind::Need(h, value) => of("need", (Register::States, h.index()), state(h, value)),
            ActKind::Set(h, value) => of("set", (Register::States, h.index()), state(h, value)),
            ActKind::Do(h) => of("do", (Register::Actions, h.index()), none()),
            ActKind::Start(h) => of("start", (Register::Timers, h.index()), none()),
            ActKind::End(h) => of("end", (Register::Timers, h.index()), none()),
            ActKind::Hold(h) => of("hold", (Register::Holds, h.index()), none()),
            ActKind::Time(time) => Some(Act {
                verb: "time",
                entity: None,
                detail: Value::new(Source::Duration(time)),
            }),
            // Pointers are in the words; a label prints nothing.
            ActKind::Label(_) | ActKind::Step { .. } | ActKind::See(_) | ActKind::Only => None,
        }
    }
}

fn item(item: &Item) -> (Register, usize) {
    match item {
        Item::Part(h) => (Register::Parts, h.index()),
        Item::Temporary(h) => (Register::Temporary, h.index()),
    }
}

fn thing(thing: &Thing) -> (Register, usize) {
    match thing {
        Thing::Tool(h) => (Register::Tools, h.index()),
        Thing::Consumable(h) => (Register::Consumables, h.index()),
        Thing::Part(h) => (Register::Parts, h.index()),
        Thing::Temporary(h) => (Register::Temporary, h.index()),
    }
}
