//! Orders that a set leaves open: steps of bullet lists, sub-steps of them, procedures that no `after` ties, steps for each member.
//!
//! Steps that touch nothing in common come to the same in every order, so only those are tried that do: all orders of the steps of a
//! list that bear on each other, one list at a time or, where there are few, together.

use super::sequence::Order;
use super::world::{Key, Touches};
use crate::check::walk::Flow;
use crate::model::Set;
use std::collections::{BTreeMap, BTreeSet};

/// Most orders that are tried.
const MOST: usize = 120;
/// Most steps that bear on each other of which all orders are tried.
const TOGETHER: usize = 4;

/// What an order changes of the written one.
#[derive(Debug, Clone)]
enum Change {
    List((usize, usize, usize), Vec<usize>),
    Substeps(usize, Vec<usize>),
    Procedures(Vec<usize>),
    ByMember,
}

impl Change {
    fn apply(&self, order: &mut Order) {
        match self {
            Change::List(list, steps) => {
                order.lists.insert(*list, steps.clone());
            }
            Change::Substeps(stop, subs) => {
                order.substeps.insert(*stop, subs.clone());
            }
            Change::Procedures(procedures) => order.procedures.clone_from(procedures),
            Change::ByMember => order.by_member = true,
        }
    }
}

/// The written order.
pub fn written(set: &Set) -> Order {
    Order {
        procedures: (0..set.procedures.len()).collect(),
        ..Order::default()
    }
}

/// Every other order that may come to something else; true with them if there are more than were listed.
pub fn others(set: &Set, flow: &Flow, traces: &BTreeMap<usize, Touches>) -> (Vec<Order>, bool) {
    let mut points: Vec<Vec<Change>> = Vec::new();
    let mut more = false;
    lists(flow, traces, &mut points, &mut more);
    for (index, stop) in flow.stops.iter().enumerate() {
        let count = stop.step.substeps.len();
        if stop.step.any_order && count > 1 && stop.step.substeps.iter().filter(|s| !s.acts.is_empty()).count() > 1 {
            let all: Vec<usize> = (0..count).collect();
            let orders = some_orders(&all, |_, _| true, &mut more);
            points.push(orders.into_iter().map(|subs| Change::Substeps(index, subs)).collect());
        }
    }
    let free = procedures(set, flow, traces, &mut more);
    if !free.is_empty() {
        points.push(free.into_iter().map(Change::Procedures).collect());
    }
    let each = |stop: &crate::check::walk::Stop| stop.step.each.or(stop.phase.each).is_some_and(|each| !each.in_turn);
    if flow.stops.iter().any(each) {
        points.push(vec![Change::ByMember]);
    }
    let product = points
        .iter()
        .fold(1_usize, |n, point| n.saturating_mul(point.len() + 1));
    let mut orders = Vec::new();
    if product <= MOST {
        orders.push(written(set));
        for point in &points {
            let before = orders.clone();
            for change in point {
                orders.extend(before.iter().cloned().map(|mut order| {
                    change.apply(&mut order);
                    order
                }));
            }
        }
        orders.remove(0);
        return (orders, more);
    }
    for change in points.iter().flatten() {
        let mut order = written(set);
        change.apply(&mut order);
        orders.push(order);
    }
    // Each by itself is tried whole; together they would be too many.
    let over = orders.len() > MOST;
    orders.truncate(MOST);
    (orders, more || over)
}

/// True if the order of two steps can matter.
fn conflict(one: &Touches, other: &Touches) -> bool {
    let meets = |a: &BTreeSet<Key>, b: &BTreeSet<Key>| a.iter().any(|key| b.contains(key));
    meets(&one.writes, &other.reads) || meets(&one.reads, &other.writes) || meets(&one.writes, &other.writes)
}

fn lists(flow: &Flow, traces: &BTreeMap<usize, Touches>, points: &mut Vec<Vec<Change>>, more: &mut bool) {
    let mut lists: BTreeMap<(usize, usize, usize), Vec<usize>> = BTreeMap::new();
    for (index, stop) in flow.stops.iter().enumerate().filter(|(_, stop)| stop.any_order) {
        let list = (stop.procedure, stop.phase.number, stop.run);
        lists.entry(list).or_default().push(index);
    }
    let none = Touches::default();
    let trace = |stop: usize| traces.get(&stop).unwrap_or(&none);
    for (list, steps) in lists {
        let orders = some_orders(&steps, |a, b| conflict(trace(a), trace(b)), more);
        if !orders.is_empty() {
            points.push(orders.into_iter().map(|steps| Change::List(list, steps)).collect());
        }
    }
}

/// Orders of some things other than theirs: all of those that bear on each other where they are few, else each pair turned round.
fn some_orders(all: &[usize], bear: impl Fn(usize, usize) -> bool, more: &mut bool) -> Vec<Vec<usize>> {
    let mut orders = Vec::new();
    let mut left: Vec<usize> = all.to_vec();
    while let Some(first) = left.first().copied() {
        let mut group = vec![first];
        left.remove(0);
        let mut at = 0;
        while let Some(one) = group.get(at).copied() {
            let (near, far): (Vec<usize>, Vec<usize>) = left.iter().partition(|other| bear(one, **other));
            group.extend(near);
            left = far;
            at += 1;
        }
        group.sort_by_key(|one| all.iter().position(|other| other == one));
        if group.len() < 2 {
            continue;
        }
        let turned = if group.len() <= TOGETHER {
            permutations(&group)
        } else {
            *more = true;
            turns(&group)
        };
        let place = |order: &[usize]| {
            let mut next = order.iter().copied();
            all.iter()
                .map(|one| {
                    if group.contains(one) {
                        next.next().unwrap_or(*one)
                    } else {
                        *one
                    }
                })
                .collect::<Vec<usize>>()
        };
        orders.extend(turned.iter().map(|order| place(order)).filter(|order| order != all));
    }
    orders.sort();
    orders.dedup();
    orders
}

fn permutations(all: &[usize]) -> Vec<Vec<usize>> {
    if all.len() < 2 {
        return vec![all.to_vec()];
    }
    let mut out = Vec::new();
    for (index, first) in all.iter().enumerate() {
        let rest: Vec<usize> = all
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != index)
            .map(|(_, one)| *one)
            .collect();
        for mut tail in permutations(&rest) {
            tail.insert(0, *first);
            out.push(tail);
        }
    }
    out
}

/// Backwards, and each one first and last: every pair stands both ways round.
fn turns(all: &[usize]) -> Vec<Vec<usize>> {
    let mut out = vec![all.iter().rev().copied().collect::<Vec<usize>>()];
    for one in all {
        let rest: Vec<usize> = all.iter().copied().filter(|other| other != one).collect();
        out.push(std::iter::once(*one).chain(rest.iter().copied()).collect());
        out.push(rest.into_iter().chain([*one]).collect());
    }
    out
}

/// Orders of the procedures in which two that bear on each other, and that no `after` ties, stand the other way round.
fn procedures(set: &Set, flow: &Flow, traces: &BTreeMap<usize, Touches>, more: &mut bool) -> Vec<Vec<usize>> {
    let count = set.procedures.len();
    let mut touches: Vec<Touches> = vec![Touches::default(); count];
    for (stop, trace) in traces {
        let Some(whole) = flow.stops.get(*stop).and_then(|stop| touches.get_mut(stop.procedure)) else {
            continue;
        };
        whole.reads.extend(trace.reads.iter().copied());
        whole.writes.extend(trace.writes.iter().copied());
    }
    let mut before: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); count];
    for at in 0..count {
        let direct = set.procedures.get(at).map_or(&[][..], |p| &p.after);
        let mut all = BTreeSet::new();
        for first in direct {
            all.insert(*first);
            all.extend(before.get(*first).into_iter().flatten());
        }
        if let Some(own) = before.get_mut(at) {
            *own = all;
        }
    }
    let empty = BTreeSet::new();
    let comes_before = |one: usize, other: usize| before.get(other).unwrap_or(&empty).contains(&one);
    let mut pairs = Vec::new();
    for other in 0..count {
        for one in 0..other {
            let (Some(a), Some(b)) = (touches.get(one), touches.get(other)) else {
                continue;
            };
            if !comes_before(one, other) && conflict(a, b) {
                pairs.push((one, other));
            }
        }
    }
    let ties: Vec<Vec<usize>> = set.procedures.iter().map(|p| p.after.clone()).collect();
    let mut orders: Vec<Vec<usize>> = Vec::new();
    // All ways round of a few pairs; of many each by itself.
    let few = pairs.len() <= 6;
    *more |= !few;
    let masks: Vec<u64> = if few {
        (1..1 << pairs.len()).collect()
    } else {
        (0..pairs.len().min(60)).map(|n| 1 << n).collect()
    };
    for mask in masks {
        let mut after = ties.clone();
        for (n, (one, other)) in pairs.iter().enumerate() {
            let turned = mask & (1 << n) != 0;
            if turned {
                if let Some(own) = after.get_mut(*one) {
                    own.push(*other);
                }
            } else if few && let Some(own) = after.get_mut(*other) {
                own.push(*one);
            }
        }
        let (order, cycle) = crate::model::order::sort(&after);
        if cycle.is_none() && !orders.contains(&order) && order.iter().enumerate().any(|(n, p)| n != *p) {
            orders.push(order);
        }
    }
    orders
}
