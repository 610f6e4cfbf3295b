//! The steps of one card in one of the orders in which they may be done, members of groups included.

use super::shape::Turn;
use crate::check::walk::Stop;
use crate::model::{Act, ProcedureId, Set, StepNumber};
use std::collections::BTreeMap;

/// Where a list stands: its procedure, the number of its phase, its place there.
pub type ListAt = (ProcedureId, usize, usize);

/// An order in which a set may be done, where it leaves one open.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Order {
    pub procedures: Vec<ProcedureId>,
    /// By list: its steps' positions among the stops.
    pub lists: BTreeMap<ListAt, Vec<usize>>,
    /// By stop: its sub-steps.
    pub substeps: BTreeMap<usize, Vec<usize>>,
    /// Steps for each member are done member by member.
    pub by_member: bool,
}

/// A step that is done, perhaps for one member of a group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Instance {
    /// Position among the stops.
    pub stop: usize,
    pub turn: Turn,
}

/// The steps of one procedure, in an order; `written` are the positions of its stops.
pub fn of_card(set: &Set, stops: &[Stop], procedure: ProcedureId, written: &[usize], order: &Order) -> Vec<Instance> {
    let mut own: Vec<usize> = Vec::new();
    let mut lists: Vec<ListAt> = Vec::new();
    for (index, stop) in written.iter().filter_map(|index| Some((*index, stops.get(*index)?))) {
        let list = (procedure, stop.phase.number, stop.run);
        match order.lists.get(&list) {
            None => own.push(index),
            Some(_) if lists.contains(&list) => {}
            Some(others) => {
                lists.push(list);
                own.extend(others);
            }
        }
    }
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(stop) = own.get(at).and_then(|index| stops.get(*index)) {
        let Some(each) = stop.step.each.or(stop.phase.each) else {
            out.extend(own.get(at).map(|stop| Instance {
                stop: *stop,
                turn: None,
            }));
            at += 1;
            continue;
        };
        // Under one heading, or neighbours with the same mark.
        let same = |index: &&usize| {
            stops.get(**index).is_some_and(|other| {
                let of_other = other.step.each.or(other.phase.each);
                let alike = of_other.is_some_and(|o| (o.group, o.in_turn) == (each.group, each.in_turn));
                alike && other.phase.number == stop.phase.number
            })
        };
        let block: Vec<usize> = own.iter().skip(at).take_while(same).copied().collect();
        let members = set.catalogue.groups[each.group].members.len();
        let turns = (0..members).map(|member| Some((each.group, member)));
        if each.in_turn || order.by_member {
            for turn in turns {
                out.extend(block.iter().map(|stop| Instance { stop: *stop, turn }));
            }
        } else {
            for stop in &block {
                out.extend(turns.clone().map(|turn| Instance { stop: *stop, turn }));
            }
        }
        at += block.len();
    }
    out
}

/// Where a way back leads: the step of that number, for the same member if it is done for each.
pub fn target(stops: &[Stop], card: &[Instance], from: usize, number: StepNumber) -> Option<usize> {
    let turn = card.get(from)?.turn;
    let is_it = |instance: &Instance| stops.get(instance.stop).is_some_and(|stop| stop.step.number == number);
    let earlier = || {
        card.iter()
            .enumerate()
            .take(from + 1)
            .filter(|(_, instance)| is_it(instance))
    };
    let same = earlier().rev().find(|(_, instance)| instance.turn == turn);
    same.or_else(|| earlier().next()).map(|(index, _)| index)
}

/// The acts of a step in an order, each with the position of its sub-step.
pub fn acts<'a>(stop: &Stop<'a>, order: Option<&Vec<usize>>) -> Vec<(Option<usize>, &'a Act)> {
    let mut acts: Vec<(Option<usize>, &Act)> = stop.step.acts.iter().map(|act| (None, act)).collect();
    let mut add = |index: usize| {
        if let Some(sub) = stop.step.substeps.get(index) {
            acts.extend(sub.acts.iter().map(|act| (Some(index), act)));
        }
    };
    match order {
        Some(order) => order.iter().copied().for_each(&mut add),
        None => (0..stop.step.substeps.len()).for_each(&mut add),
    }
    acts
}
