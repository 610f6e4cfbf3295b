//! Deeds as the steps of a procedure, for their author to put into words.

use super::machine::Deed;
use crate::check::hazards;
use crate::check::machine::{Node, Shape};
use crate::domain::timer::Duration;
use crate::model::registers::{Consumable, State};
use crate::model::{Entity, Handle, handle};

/// Options and their values, by position.
type Chosen = [(usize, usize)];

/// A procedure from its first heading on: a heading for each combination of choices, or one for all.
pub fn card(shape: &Shape, title: &str, plans: &[(&Chosen, &[Deed])]) -> String {
    let mut out = String::new();
    for (chosen, deeds) in plans.iter().filter(|(_, deeds)| !deeds.is_empty()) {
        if !out.is_empty() {
            out.push('\n');
        }
        out += &format!("## {title}{}\n\n", conditions(shape, chosen));
        let messages = messages(shape, deeds);
        out += &messages;
        for (number, step) in steps(shape, deeds).iter().enumerate() {
            out += &format!("{}. {step}\n", number + 1);
        }
    }
    if out.is_empty() {
        // A procedure has a step at least.
        out += &format!("## {title}\n\n1. Look at it: nothing has to be done for it.\n");
    }
    out
}

/// ` [only scope=all]` for each.
fn conditions(shape: &Shape, chosen: &Chosen) -> String {
    let options: Vec<_> = shape.set.catalogue.options.iter().collect();
    let one = |(option, value): &(usize, usize)| {
        let (_, def) = options.get(*option)?;
        let (value, _) = def.value.values.get(*value)?;
        Some(format!(" [only {}={}]", def.id.text, value.text))
    };
    chosen.iter().filter_map(one).collect()
}

/// A message for every hazard that the deeds bring.
fn messages(shape: &Shape, deeds: &[Deed]) -> String {
    let mut out = String::new();
    let mut told: Vec<&'static str> = Vec::new();
    for entity in deeds.iter().flat_map(|deed| about(shape, deed)) {
        for (hazard, say) in hazards::brought_by(shape.set, entity) {
            if told.contains(&hazard) {
                continue;
            }
            told.push(hazard);
            let mut title = say.to_string();
            if let Some(first) = title.get_mut(..1) {
                first.make_ascii_uppercase();
            }
            out += &format!(
                "> [!WARNING] {title}\n> Put into words what it does to somebody.\n> Avoid: put into words how to keep clear of it.\n\n"
            );
        }
    }
    out
}

/// The entries that a deed names.
fn about(shape: &Shape, deed: &Deed) -> Vec<Entity> {
    match deed {
        Deed::Remove(seat) => shape
            .place(*seat)
            .map_or_else(Vec::new, |place| place.parts.iter().map(|part| part.entity).collect()),
        Deed::Loosen(node) | Deed::Put(node) | Deed::Take(node) | Deed::Measure(node) | Deed::Fit(node) => {
            vec![node.entity]
        }
        Deed::Tighten(node) => vec![node.entity],
        Deed::Do(entity) | Deed::Set(entity, _) | Deed::Spread(entity, _) | Deed::Wait(entity) => vec![*entity],
    }
}

fn steps(shape: &Shape, deeds: &[Deed]) -> Vec<String> {
    let mut steps = Vec::new();
    for (index, deed) in deeds.iter().enumerate() {
        let time = time(shape, deeds, index);
        for step in step(shape, deed) {
            steps.push(format!("{step}{time}"));
        }
    }
    steps
}

fn step(shape: &Shape, deed: &Deed) -> Vec<String> {
    let catalogue = &shape.set.catalogue;
    let id = |entity: &Entity| catalogue.id(*entity).map_or("", |id| id.text.as_str());
    match deed {
        Deed::Remove(seat) => {
            let fitted = |node: &&Node| shape.part(**node).is_some_and(|part| part.fitted);
            let parts = shape.place(*seat).map_or(&[][..], |place| &place.parts);
            let on: Vec<&Node> = parts.iter().filter(fitted).collect();
            let marked =
                |node: &&&Node| shape.part(***node).is_some_and(|part| part.marked) && !shape.is_single(***node);
            let marks = on
                .iter()
                .filter(marked)
                .map(|node| format!("Mark how the [mark {}] sits.", shape.called(**node)));
            let off = on
                .iter()
                .map(|node| format!("Take off the [remove {}].", shape.called(**node)));
            marks.chain(off).collect()
        }
        Deed::Loosen(node) => vec![format!("Undo the [loosen {}].", shape.called(*node))],
        Deed::Put(node) | Deed::Fit(node) => vec![format!("Put on the [fit {}].", shape.called(*node))],
        Deed::Take(node) => vec![format!("Take off the [remove {}].", shape.called(*node))],
        Deed::Do(entity) => vec![format!("[do {}].", id(entity))],
        Deed::Set(entity, index) => {
            let state: Option<Handle<State>> = handle(*entity);
            let value = state.and_then(|state| catalogue.states[state].values.get(*index));
            let (id, value) = (id(entity), value.map_or("", |value| value.text.as_str()));
            vec![format!("Bring `{id}` to `{value}`. [set {id}={value}]")]
        }
        Deed::Measure(node) => vec![format!("Measure the [measure {}].", shape.called(*node))],
        Deed::Tighten(node) => vec![format!("Tighten the [torque {}].", shape.called(*node))],
        Deed::Spread(entity, on) => vec![format!("Put the [use {} on {}] on.", id(entity), shape.called(*on))],
        Deed::Wait(entity) => vec![format!("Wait for the [wait {}].", id(entity))],
    }
}

/// What steps between a sealant and the closing of its joint take: a share of the time that it stays open for.
fn time(shape: &Shape, deeds: &[Deed], index: usize) -> String {
    let open = |consumable: &Entity| -> Option<Duration> {
        let consumable: Option<Handle<Consumable>> = handle(*consumable);
        let entry = consumable.map(|consumable| &shape.set.catalogue.consumables[consumable]);
        entry?.open.as_ref().map(|open| open.value.clone())
    };
    let mut least: Option<u64> = None;
    for (start, deed) in deeds.iter().enumerate().take(index + 1) {
        let Deed::Spread(consumable, joint) = deed else {
            continue;
        };
        let Some(open) = open(consumable) else { continue };
        let closers = shape.joint(*joint).map_or(&[][..], |joint| &joint.closers);
        let closes = |deed: &Deed| match deed {
            Deed::Tighten(node) => closers.contains(node),
            Deed::Fit(node) => closers.contains(&shape.seat(*node)),
            _ => false,
        };
        let last = deeds.iter().rposition(closes).unwrap_or(start);
        if index > last.max(start) {
            continue;
        }
        let steps = u64::try_from(last.max(start) - start + 2).unwrap_or(u64::MAX);
        let seconds: u64 = open.seconds().floor().to_string().parse().unwrap_or(0);
        let share = (seconds / steps).max(1);
        least = Some(least.map_or(share, |least| least.min(share)));
    }
    least.map_or_else(String::new, |seconds| format!(" [time {seconds} s]"))
}
