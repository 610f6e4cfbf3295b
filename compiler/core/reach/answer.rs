//! What must come off, told with all that a person wants to know before the first bolt.

use super::data::{Bought, Fluid, Line, Named, Reach};
use super::machine::{Deed, Machine, Thing};
use super::open;
use super::price::{self, Prices};
use super::search::{Found, least};
use super::steps::{self, Does, said, time, whole_seconds};
use super::tell::{about, called, name, reason};
use crate::check::machine::{Node, Shape};
use crate::check::walk::Flow;
use crate::finding::did_you_mean;
use crate::kit::{Price, chosen, total};
use crate::model::registers::{Register, State};
use crate::model::{Choices, Entity, Handle, Set, handle};
use std::collections::BTreeSet;

/// A word that names no part of a set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAPart {
    pub word: String,
    /// The part that is most likely meant.
    pub near: Option<String>,
}

/// What must come off to reach some parts, named by their ids; `rings/low` is that of one member of its group.
///
/// # Errors
/// If one of the words names no part that there is for these choices.
pub fn reach(set: &Set, choices: &Choices, words: &[String]) -> Result<Reach, NotAPart> {
    let shape = Shape::new(set);
    let prices = Prices::new(&shape);
    let flow = Flow::new(set);
    let mut machine = Machine::apart(&shape, choices, &prices);
    let mut wanted: Vec<Node> = Vec::new();
    for word in words {
        wanted.extend(named(&machine, word)?);
    }
    for node in &wanted {
        want(&mut machine, *node);
    }
    let seats: BTreeSet<Node> = wanted.iter().map(|node| shape.seat(*node)).collect();
    let mut parts: Vec<Named> = wanted.iter().map(|node| name(&shape, *node)).collect();
    parts.dedup();
    let (acts, is_least, stuck) = match least(&machine.problem) {
        Found::Way { acts, least } => (acts, least, None),
        Found::None(stuck) => {
            let why = stuck.map_or_else(
                || "what one act needs another undoes, whichever order they are done in".to_string(),
                |stuck| reason(&machine, &stuck),
            );
            (Vec::new(), true, Some(why))
        }
        Found::TooMany => (
            Vec::new(),
            false,
            Some("there are too many ways to try them all".to_string()),
        ),
    };
    let deeds: Vec<Deed> = acts.iter().filter_map(|act| machine.deeds.get(*act)).cloned().collect();
    let does: Vec<Option<Does>> = deeds
        .iter()
        .map(|deed| steps::doing(&flow, choices, &machine, deed))
        .collect();
    let lines = deeds
        .iter()
        .zip(&does)
        .map(|(deed, does)| line(&machine, deed, does.as_ref(), &seats));
    let lines: Vec<Line> = lines.collect();
    let new = bought(&machine, &deeds);
    let (time, untimed) = time(&does);
    let open = match stuck {
        None => open::open(&flow, choices, &mut machine, &acts),
        Some(_) => Vec::new(),
    };
    let mut tools: Vec<Named> = Vec::new();
    for tool in does.iter().flatten().flat_map(|does| &does.tools) {
        let tool = Named {
            id: set.catalogue.tools.get(*tool).id.text.clone(),
            name: set.catalogue.tools[*tool].name.clone(),
        };
        if !tools.contains(&tool) {
            tools.push(tool);
        }
    }
    Ok(Reach {
        set: set.id.clone(),
        title: set.title.clone(),
        machine: set.machine.clone(),
        choices: chosen(set, choices),
        parts,
        least: is_least,
        stuck,
        price: sum(&machine, &deeds),
        new,
        fluids: fluids(&flow, &machine, &deeds, &does),
        tools,
        tools_unknown: does.iter().filter(|does| does.is_none()).count(),
        seconds: time.as_ref().and_then(whole_seconds),
        time: time.map(|time| said(&time)),
        untimed,
        acts: lines,
        open,
    })
}

/// Has a part off, or its place in reach where nothing sits in it.
pub fn want(machine: &mut Machine, node: Node) {
    let seat = machine.shape.seat(node);
    if machine.sits(seat).is_empty() {
        let clauses = machine.open(node);
        machine.wants(clauses);
    } else {
        machine.want(Thing::Seat(seat), 0);
    }
}

/// The members that a word means.
pub fn named(machine: &Machine, word: &str) -> Result<Vec<Node>, NotAPart> {
    let (id, member) = match word.split_once('/') {
        Some((id, member)) => (id, Some(member)),
        None => (word, None),
    };
    let shape = machine.shape;
    let parts = shape.parts().into_iter().filter(|node| machine.there(node.entity));
    let parts: Vec<Node> = parts.collect();
    let is = |node: &&Node| {
        let of_member = member.is_none() || shape.called(**node) == word;
        of_member && shape.set.catalogue.id(node.entity).is_some_and(|own| own.text == id)
    };
    let found: Vec<Node> = parts.iter().filter(is).copied().collect();
    if !found.is_empty() {
        return Ok(found);
    }
    let ids: Vec<String> = parts.iter().map(|node| shape.called(*node)).collect();
    let bare = parts.iter().filter_map(|node| shape.set.catalogue.id(node.entity));
    let all: BTreeSet<&str> = ids
        .iter()
        .map(String::as_str)
        .chain(bare.map(|id| id.text.as_str()))
        .collect();
    Err(NotAPart {
        word: word.to_string(),
        near: did_you_mean(word, all).map(|near| near.to_string()),
    })
}

fn line(machine: &Machine, deed: &Deed, does: Option<&Does>, wanted: &BTreeSet<Node>) -> Line {
    let (act, node) = about(machine, deed);
    let shape = machine.shape;
    let catalogue = &shape.set.catalogue;
    let value = match deed {
        Deed::Set(entity, index) => {
            let state: Option<Handle<State>> = handle(*entity);
            let value = state.and_then(|state| catalogue.states[state].values.get(*index));
            value.map(|value| value.text.clone())
        }
        _ => None,
    };
    // Where all members of a state are set the bare id means them.
    let id = match deed {
        Deed::Set(entity, _) | Deed::Do(entity) => catalogue.id(*entity).map_or_else(String::new, |id| id.text.clone()),
        _ => shape.called(node),
    };
    let count = match node.entity.register {
        Register::Parts => shape.part(node).map_or(1, |part| part.qty),
        Register::Temporary => handle(node.entity).map_or(1, |item| catalogue.temporary[item].qty),
        Register::Torques => handle(node.entity).map_or(1, |torque| catalogue.torques[torque].count()),
        _ => 1,
    };
    let tools = |does: &Does| {
        let names = does.tools.iter().map(|tool| catalogue.tools[*tool].name.clone());
        names.collect()
    };
    Line {
        act,
        id,
        name: called(shape, node.entity),
        value,
        count,
        wanted: matches!(deed, Deed::Remove(seat) if wanted.contains(seat)),
        step: does.map(|does| does.step.clone()),
        time: does.and_then(|does| does.time.as_ref()).map(said),
        tools: does.map(tools),
    }
}

/// The nodes that have to be new after some deeds.
fn renewed(machine: &Machine, deeds: &[Deed]) -> Vec<Node> {
    let shape = machine.shape;
    let mut all = Vec::new();
    for deed in deeds {
        let seat = match deed {
            Deed::Remove(seat) => Some(*seat),
            Deed::Loosen(torque) if shape.holds(*torque).is_empty() => shape.fastener_part(*torque),
            _ => None,
        };
        let on = seat.map_or(&[][..], |seat| machine.sits(seat));
        for node in on.iter().filter_map(|node| price::renewed(shape, *node)) {
            if !all.contains(&node) {
                all.push(node);
            }
        }
    }
    all
}

fn bought(machine: &Machine, deeds: &[Deed]) -> Vec<Bought> {
    let shape = machine.shape;
    let mut all: Vec<Bought> = Vec::new();
    for node in renewed(machine, deeds) {
        let Some(part) = shape.part(node) else { continue };
        all.push(Bought {
            id: shape.called(node),
            name: part.name.clone(),
            number: part
                .number
                .as_ref()
                .map_or_else(String::new, |number| number.text.clone()),
            count: part.qty,
            price: price::price(part).map(|price| price.text()),
        });
    }
    all
}

/// What all that has to be new costs, if it is known.
fn sum(machine: &Machine, deeds: &[Deed]) -> Option<String> {
    let parts = renewed(machine, deeds)
        .into_iter()
        .filter_map(|node| machine.shape.part(node));
    let prices: Option<Vec<Price>> = parts.map(price::price).collect();
    let sum = total(&prices?).ok().flatten();
    sum.map(|price| price.text())
}

/// What the acts use, and what closing up again takes.
fn fluids(flow: &Flow, machine: &Machine, deeds: &[Deed], does: &[Option<Does>]) -> Vec<Fluid> {
    let shape = machine.shape;
    let mut all: Vec<Fluid> = Vec::new();
    let mut add = |consumable: Entity, amount: Option<String>, on: String| {
        let fluid = Fluid {
            id: shape
                .set
                .catalogue
                .id(consumable)
                .map_or_else(String::new, |id| id.text.clone()),
            name: called(shape, consumable),
            amount,
            on,
        };
        if !all.iter().any(|other| (&other.id, &other.on) == (&fluid.id, &fluid.on)) {
            all.push(fluid);
        }
    };
    for (deed, does) in deeds.iter().zip(does) {
        let (_, about) = about(machine, deed);
        for (consumable, amount) in does.iter().flat_map(|does| &does.uses) {
            add(
                consumable.entity(),
                amount.map(ToString::to_string),
                shape.called(about),
            );
        }
        let seat = match deed {
            Deed::Loosen(torque) => *torque,
            Deed::Remove(seat) => *seat,
            _ => continue,
        };
        if let Some(lubricant) = shape.ties(seat.entity).lubricant {
            add(
                lubricant,
                steps::amount(flow, lubricant, seat.entity),
                shape.called(seat),
            );
        }
        for joint in shape.joints_of(seat).iter().filter(|joint| machine.there(joint.entity)) {
            let opened = shape.joint(*joint).filter(|one| one.closers.contains(&seat));
            for consumable in opened.iter().flat_map(|joint| &joint.consumables) {
                let amount = steps::amount(flow, *consumable, joint.entity);
                add(*consumable, amount, shape.called(*joint));
            }
        }
    }
    all
}
