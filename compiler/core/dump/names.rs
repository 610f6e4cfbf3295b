//! What things are called where they are dumped: by the ids that an author gave them.

use crate::model::registers::State;
use crate::model::ties::{Asked, Need, Question, Wanted};
use crate::model::{Act, ActKind, Entity, Handle, Item, Set, Surface, Thing};

pub fn item(set: &Set, item: Item) -> &str {
    match item {
        Item::Part(part) => &set.catalogue.parts.get(part).id.text,
        Item::Temporary(item) => &set.catalogue.temporary.get(item).id.text,
    }
}

pub fn thing(set: &Set, thing: Thing) -> &str {
    match thing {
        Thing::Tool(tool) => &set.catalogue.tools.get(tool).id.text,
        Thing::Consumable(consumable) => &set.catalogue.consumables.get(consumable).id.text,
        Thing::Part(part) => item(set, Item::Part(part)),
        Thing::Temporary(temporary) => item(set, Item::Temporary(temporary)),
    }
}

/// `drain=open`
pub fn state(set: &Set, state: Handle<State>, value: usize) -> String {
    let def = set.catalogue.states.get(state);
    let value = def.value.values.get(value).map_or("", |value| value.text.as_str());
    crate::model::assigned(&def.id.text, value)
}

/// An id, and the member of its group that is meant: `rings/low`.
fn member(set: &Set, entity: Entity, member: Option<usize>) -> String {
    let id = set.catalogue.id(entity).map_or("", |id| id.text.as_str());
    let group = set.links.ties(entity).each.map(|group| &set.catalogue.groups[group]);
    match group.zip(member).and_then(|(group, member)| group.members.get(member)) {
        Some(member) => format!("{id}/{}", member.text),
        None => id.to_string(),
    }
}

fn need(set: &Set, need: &Need) -> String {
    let of = |things: &[Entity]| {
        let first = things.first().copied();
        first.map_or_else(String::new, |thing| member(set, thing, need.member))
    };
    match &need.what {
        Wanted::Met(things) => of(things),
        Wanted::Off(things) => format!("{}=off", of(things)),
        Wanted::Loose(thing) => format!("{}=loose", of(&[*thing])),
        Wanted::State(state, values) => {
            let entry = &set.catalogue.states[*state].values;
            let values = values.iter().filter_map(|value| entry.get(*value));
            let values: Vec<&str> = values.map(|value| value.text.as_str()).collect();
            crate::model::assigned(&of(&[state.entity()]), &values.join("|"))
        }
    }
}

/// What a step or heading asks: `if gap out`, `if not worn`.
pub fn question(set: &Set, question: &Question) -> String {
    match &question.of {
        Asked::Limit {
            limit,
            member: of,
            answer,
        } => format!("if {} {}", member(set, limit.entity(), *of), answer.word()),
        Asked::Case(case) => {
            let not = if question.not { "not " } else { "" };
            format!("if {not}{}", set.catalogue.cases.get(*case).id.text)
        }
    }
}

/// A mark as an author would write it.
pub fn act(set: &Set, act: &Act) -> String {
    let catalogue = &set.catalogue;
    let id = |entity: Entity| member(set, entity, act.member);
    let counted = |verb: &str, of: Item, count: &Option<u32>| {
        let count = count.map_or_else(String::new, |count| format!(" {count}"));
        let entity = match of {
            Item::Part(part) => part.entity(),
            Item::Temporary(item) => item.entity(),
        };
        format!("{verb} {}{count}", id(entity))
    };
    match &act.kind {
        ActKind::Torque(torque) => format!("torque {}", id(torque.entity())),
        ActKind::Snug(torque) => format!("snug {}", id(torque.entity())),
        ActKind::Loosen(torque) => format!("loosen {}", id(torque.entity())),
        ActKind::Measure(limit, as_found) => {
            let as_found = if *as_found { " as-found" } else { "" };
            format!("measure {}{as_found}", id(limit.entity()))
        }
        ActKind::Fit(item, count) => counted("fit", *item, count),
        ActKind::Remove(item, count) => counted("remove", *item, count),
        ActKind::Use(used, amount, onto) => {
            let amount = amount.as_ref().map_or_else(String::new, |amount| format!(" {amount}"));
            let onto = onto.map_or_else(String::new, |onto| {
                let entity = match onto.what {
                    Surface::Joint(joint) => joint.entity(),
                    Surface::Torque(torque) => torque.entity(),
                };
                format!(" on {}", member(set, entity, onto.member))
            });
            format!("use {}{amount}{onto}", thing(set, *used))
        }
        ActKind::Need(wanted) => format!("need {}", need(set, wanted)),
        ActKind::Set(of, value) => format!("set {}", state(set, *of, *value)),
        ActKind::Do(action) => format!("do {}", catalogue.actions.get(*action).id.text),
        ActKind::Start(timer) => format!("start {}", catalogue.timers.get(*timer).id.text),
        ActKind::End(timer) => format!("end {}", catalogue.timers.get(*timer).id.text),
        ActKind::Hold(hold) => format!("hold {}", catalogue.holds.get(*hold).id.text),
        ActKind::Label(label) => format!("label {}", label.text),
        ActKind::Step { procedure, number } => format!("step {} {number}", set.procedures[*procedure].id),
        ActKind::See(procedure) => format!("see {}", set.procedures[*procedure].id),
        ActKind::Time(time) => format!("time {time}"),
        ActKind::Only => "only".to_string(),
        ActKind::Wait(consumable) => format!("wait {}", catalogue.consumables.get(*consumable).id.text),
        ActKind::Mark(part) => format!("mark {}", id(part.entity())),
        ActKind::Each => "each".to_string(),
        ActKind::If(asked) => question(set, asked),
        ActKind::Repeat(number) => format!("repeat {number}"),
        ActKind::Stop => "stop".to_string(),
    }
}
