//! Procedures written from the registers: the way to some parts and back, as steps that an author puts into words.

use super::answer::{NotAPart, named, want};
use super::check::never;
use super::machine::{Deed, Machine, Thing, there};
use super::price::{Prices, successor};
use super::search::{Found, least};
use super::tell::reason;
use super::words;
use crate::check::machine::{Node, Shape};
use crate::model::registers::{Reuse, State, Torque};
use crate::model::{Choices, Entity, Handle, Set, handle};
use std::collections::{BTreeMap, BTreeSet};

/// Two procedures as Markdown from their first heading on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Skeleton {
    pub apart: String,
    pub together: String,
}

/// Why none can be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoSkeleton {
    NotAPart(NotAPart),
    /// There is no way to the parts, or none back; the reason as a sentence without its full stop.
    NoWay(String),
    /// The machine is another for more combinations of choices than one would write down.
    TooManyChoices,
}

/// Most combinations of choices that are written down.
const MOST: usize = 64;

/// What is done for some choices, each way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Both {
    pub apart: Vec<Deed>,
    pub together: Vec<Deed>,
}

/// The way to some parts and back, for every choice that makes a difference.
///
/// # Errors
/// If a word names no part for any choice, there is no way, or there are too many choices.
pub fn skeleton(set: &Set, parts: &[String]) -> Result<Skeleton, NoSkeleton> {
    let shape = Shape::new(set);
    let prices = Prices::new(&shape);
    let mut plans: Vec<(Vec<(usize, usize)>, Both)> = Vec::new();
    let mut missing = None;
    for (chosen, choices) in combinations(&shape)? {
        match both(&shape, &choices, &prices, parts) {
            Ok(both) => plans.push((chosen, both)),
            Err(NoSkeleton::NotAPart(word)) => missing = Some(word),
            Err(fault) => return Err(fault),
        }
    }
    if let (true, Some(word)) = (plans.is_empty(), missing.clone()) {
        return Err(NoSkeleton::NotAPart(word));
    }
    // Where the parts aren't there for some choices, all that differs must be said.
    if missing.is_none() {
        drop_idle(&mut plans);
    }
    let write = |of: &dyn Fn(&Both) -> &[Deed], title: &str| {
        let cards = plans.iter().map(|(chosen, both)| (chosen.as_slice(), of(both)));
        words::card(&shape, title, cards.collect::<Vec<_>>().as_slice())
    };
    Ok(Skeleton {
        apart: write(&|both| &both.apart, "Take apart"),
        together: write(&|both| &both.together, "Put together"),
    })
}

/// Every combination of the options that the machine hangs on: positions of option and value. An option that isn't asked then isn't named.
#[allow(clippy::type_complexity, reason = "one list of pairs, told in words above")]
fn combinations(shape: &Shape) -> Result<Vec<(Vec<(usize, usize)>, Choices)>, NoSkeleton> {
    let set = shape.set;
    let ties = set.links.ties.values().flat_map(|ties| &ties.only);
    let asked: BTreeSet<usize> = ties.map(|condition| condition.option.index()).collect();
    let mut all = vec![Choices::defaults(&set.catalogue)];
    for (option, def) in set.catalogue.options.iter() {
        if !asked.contains(&option.index()) {
            continue;
        }
        let count = def.value.values.len();
        let with = |choices: Choices| {
            (0..count).map(move |value| {
                let mut choices = choices.clone();
                choices.set(option, value);
                choices
            })
        };
        all = all.into_iter().flat_map(with).collect();
        if all.len() > MOST {
            return Err(NoSkeleton::TooManyChoices);
        }
    }
    let mut found: Vec<(Vec<(usize, usize)>, Choices)> = Vec::new();
    for choices in all.into_iter().filter(|choices| !never(set, choices)) {
        let options = set.catalogue.options.iter();
        let named = options.filter(|(option, _)| asked.contains(&option.index()));
        let there = named.filter(|(option, _)| there(shape, &choices, option.entity()));
        let chosen: Vec<(usize, usize)> = there.map(|(o, _)| (o.index(), choices.value(o))).collect();
        if !found.iter().any(|(other, _)| *other == chosen) {
            found.push((chosen, choices));
        }
    }
    Ok(found)
}

/// Leaves out options that make no difference.
fn drop_idle(plans: &mut Vec<(Vec<(usize, usize)>, Both)>) {
    let options: BTreeSet<usize> = plans
        .iter()
        .flat_map(|(chosen, _)| chosen)
        .map(|(option, _)| *option)
        .collect();
    for option in options {
        let without = |chosen: &[(usize, usize)]| -> Vec<(usize, usize)> {
            chosen.iter().filter(|(other, _)| *other != option).copied().collect()
        };
        let mut left: Vec<(Vec<(usize, usize)>, Both)> = Vec::new();
        let mut idle = true;
        for (chosen, both) in plans.iter() {
            let chosen = without(chosen);
            match left.iter().find(|(other, _)| *other == chosen) {
                Some((_, other)) => idle = idle && other == both,
                None => left.push((chosen, both.clone())),
            }
        }
        if idle {
            *plans = left;
        }
    }
}

/// The way to the parts and back for some choices.
fn both(shape: &Shape, choices: &Choices, prices: &Prices, parts: &[String]) -> Result<Both, NoSkeleton> {
    let mut machine = Machine::apart(shape, choices, prices);
    for word in parts {
        for node in named(&machine, word).map_err(NoSkeleton::NotAPart)? {
            want(&mut machine, node);
        }
    }
    for seat in machine.seats() {
        let off = |node: &Node| shape.part(*node).is_some_and(|part| part.finish == Some(false));
        if machine.sits(seat).iter().any(off) {
            machine.want(Thing::Seat(seat), 0);
        }
    }
    let mut acts = solved(&machine)?;
    // Single-use fasteners that are loosened come out, and new ones go in.
    loop {
        let deeds = deeds(&machine, &acts);
        let bolts = deeds.iter().filter_map(|deed| match deed {
            Deed::Loosen(torque) => shape.fastener_part(*torque),
            _ => None,
        });
        let mut spent = bolts.filter(|seat| {
            let on = machine.sits(*seat);
            on.iter().any(|node| is_single(shape, *node)) && !deeds.contains(&Deed::Remove(*seat))
        });
        let Some(seat) = spent.next() else { break };
        machine.want(Thing::Seat(seat), 0);
        acts = solved(&machine)?;
    }
    let apart = deeds(&machine, &acts);
    let together = back(&machine, choices, &apart, machine.after(&acts))?;
    Ok(Both { apart, together })
}

fn solved(machine: &Machine) -> Result<Vec<usize>, NoSkeleton> {
    match least(&machine.problem) {
        Found::Way { acts, .. } => Ok(acts),
        Found::None(Some(stuck)) => Err(NoSkeleton::NoWay(reason(machine, &stuck))),
        Found::None(None) => Err(NoSkeleton::NoWay(
            "what one act needs another undoes, whichever order they are done in".to_string(),
        )),
        Found::TooMany => Err(NoSkeleton::NoWay("there are too many ways to try them all".to_string())),
    }
}

fn deeds(machine: &Machine, acts: &[usize]) -> Vec<Deed> {
    acts.iter().filter_map(|act| machine.deeds.get(*act)).cloned().collect()
}

/// True if a piece of it that has come off, or been loosened, is spent.
fn is_single(shape: &Shape, node: Node) -> bool {
    let of_bolts = |torque: &Node| {
        let torque: Option<Handle<Torque>> = handle(torque.entity);
        torque.is_some_and(|torque| shape.set.catalogue.torques[torque].reuse == Reuse::No)
    };
    shape.is_single(node) || shape.torques_of(shape.seat(node)).iter().any(of_bolts)
}

/// What goes back in the place of what came off; nothing if it is off for good.
fn returns(machine: &Machine, node: Node) -> Option<Node> {
    let part = machine.shape.part(node)?;
    if part.finish == Some(false) {
        return None;
    }
    if part.renew || !is_single(machine.shape, node) {
        return Some(node);
    }
    successor(machine.shape, node).filter(|new| machine.there(new.entity))
}

/// The way back.
fn back(
    apart: &Machine,
    choices: &Choices,
    done: &[Deed],
    before: BTreeMap<Thing, u8>,
) -> Result<Vec<Deed>, NoSkeleton> {
    let shape = apart.shape;
    let mut on: BTreeMap<Node, Node> = BTreeMap::new();
    let mut gone: BTreeSet<Node> = BTreeSet::new();
    for deed in done {
        if let Deed::Remove(seat) = deed {
            gone.insert(*seat);
            let new = apart.sits(*seat).iter().find_map(|node| returns(apart, *node));
            on.extend(new.map(|new| (*seat, new)));
        }
    }
    for place in &shape.places {
        let Some(seat) = place.parts.first() else { continue };
        let wanted = |node: &&Node| shape.part(**node).is_some_and(|part| part.finish == Some(true));
        let new = place.parts.iter().filter(wanted).find(|node| apart.there(node.entity));
        if apart.sits(*seat).is_empty() {
            on.extend(new.map(|new| (*seat, *new)));
        }
    }
    let fillings = fillings(apart, done, &gone, &mut on);
    let mut machine = Machine::together(shape, choices, before.clone(), &on, &fillings);
    for seat in on.keys() {
        machine.want(Thing::Seat(*seat), 1);
    }
    for torque in machine.torques() {
        let full = |seat: &Node| on.contains_key(seat) || !gone.contains(seat) && !apart.sits(*seat).is_empty();
        let held = shape.holds(torque);
        let own = shape.fastener_part(torque);
        let all = held.iter().chain(&own).all(full);
        let was = machine.first(Thing::Grip(torque)) != super::machine::TIGHT;
        if was && all && (!held.is_empty() || own.is_some() || loosened(done, torque)) {
            machine.want(Thing::Grip(torque), super::machine::TIGHT);
        }
    }
    for joint in shape.joints() {
        let opened = opened(apart, done, joint) && apart.there(joint.entity);
        let filled = fillings.contains_key(&joint)
            || shape.joint(joint).is_some_and(|one| {
                let full = |seat: &Node| on.contains_key(seat) || !gone.contains(seat) && !apart.sits(*seat).is_empty();
                one.places.iter().any(full)
            });
        if opened && filled {
            let clauses = machine.sealed(joint);
            machine.wants(clauses);
        }
    }
    for item in shape.temporary() {
        if machine.there(item.entity) && before.get(&Thing::Temporary(item)) == Some(&1) {
            machine.want(Thing::Temporary(item), 0);
        }
    }
    for (state, entry) in shape.set.catalogue.states.iter() {
        finish(
            &mut machine,
            apart,
            state,
            entry.value.finish.as_ref().or(entry.value.start.as_ref()),
        );
    }
    let acts = solved(&machine)?;
    Ok(deeds(&machine, &acts))
}

fn loosened(done: &[Deed], torque: Node) -> bool {
    done.contains(&Deed::Loosen(torque))
}

/// A state ends as its register says, or as it began.
fn finish(machine: &mut Machine, apart: &Machine, state: Handle<State>, word: Option<&crate::model::Name>) {
    let shape = apart.shape;
    let values = &shape.set.catalogue.states[state].values;
    let Some(index) = word.and_then(|word| values.iter().position(|value| value.text == word.text)) else {
        return;
    };
    for node in shape.members(&[state.entity()], None, None) {
        machine.want(Thing::State(node), super::machine::value(index));
    }
}

/// True if what closes a joint came loose or off.
fn opened(machine: &Machine, done: &[Deed], joint: Node) -> bool {
    let closers = machine.shape.joint(joint).map_or(&[][..], |joint| &joint.closers);
    let open = |closer: &Node| loosened(done, *closer) || done.contains(&Deed::Remove(*closer));
    closers.iter().any(open)
}

/// What goes into the joints that were opened and hold no part then; a part that fills one goes on with the others.
fn fillings(
    machine: &Machine,
    done: &[Deed],
    gone: &BTreeSet<Node>,
    on: &mut BTreeMap<Node, Node>,
) -> BTreeMap<Node, Entity> {
    let shape = machine.shape;
    let mut fillings = BTreeMap::new();
    for joint in shape.joints() {
        let Some(one) = shape
            .joint(joint)
            .filter(|_| machine.there(joint.entity) && opened(machine, done, joint))
        else {
            continue;
        };
        let full = |seat: &Node| on.contains_key(seat) || !gone.contains(seat) && !machine.sits(*seat).is_empty();
        if one.places.iter().any(full) {
            continue;
        }
        if let Some(consumable) = one.consumables.first() {
            fillings.insert(joint, *consumable);
            continue;
        }
        let new = one.places.iter().find_map(|seat| {
            let mut parts = shape.place(*seat)?.parts.iter();
            let new = parts.find(|node| {
                machine.there(node.entity) && shape.part(**node).is_some_and(|part| !part.fitted || part.renew)
            })?;
            Some((*seat, *new))
        });
        on.extend(new);
    }
    fillings
}
