//! Orders that a set leaves open: steps of bullet lists, sub-steps of them, procedures that no `after` ties, steps for each member.
//!
//! Steps that touch nothing in common come to the same in every order, so only those are tried that do: all orders of the steps of a
//! list that bear on each other, and those of several lists together. Where there are more than [`MOST`], what wasn't tried is told.

use super::interleave;
use super::sequence::{self, ListAt, Order};
use super::touches::Touches;
use super::way::Traces;
use crate::check::ledger::{Left, Untried};
use crate::check::walk::Flow;
use crate::model::{ActKind, ProcedureId, Set, StepNumber, order};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// Most orders that are tried, of one list and of all together.
const MOST: usize = 120;

/// What an order changes of the written one.
#[derive(Debug, Clone)]
enum Change {
    List(ListAt, Vec<usize>),
    Substeps(usize, Vec<usize>),
    /// Those that bear on each other, and in which order they are to be done.
    Procedures(Vec<ProcedureId>, Vec<ProcedureId>),
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
            Change::Procedures(group, procedures) => order.procedures = put(&order.procedures, group, procedures),
            Change::ByMember => order.by_member = true,
        }
    }
}

/// The written order.
pub fn written(set: &Set) -> Order {
    Order {
        procedures: set.procedures.ids().collect(),
        ..Order::default()
    }
}

/// The orders other than the written one that may come to something else, and what was left out.
pub struct Others {
    pub orders: Vec<Order>,
    pub untried: Vec<Untried>,
}

/// A choice of order that the set leaves open: where, and what may be instead of the written order.
struct Point {
    at: Span,
    changes: Vec<Change>,
}

/// Finds the points at which a set leaves an order open, as far as it matters.
struct Search<'a> {
    set: &'a Set,
    flow: &'a Flow<'a>,
    traces: &'a Traces,
    points: Vec<Point>,
    untried: Vec<Untried>,
}

pub fn others(set: &Set, flow: &Flow, traces: &Traces) -> Others {
    let mut search = Search {
        set,
        flow,
        traces,
        points: Vec::new(),
        untried: Vec::new(),
    };
    search.lists();
    search.substeps();
    if set.order_known {
        search.procedures();
    }
    search.members();
    let Search {
        points, mut untried, ..
    } = search;
    let product = points
        .iter()
        .fold(1_usize, |n, point| n.saturating_mul(point.changes.len() + 1));
    let mut orders = Vec::new();
    if product <= MOST {
        orders.push(written(set));
        for point in &points {
            let before = orders.clone();
            for change in &point.changes {
                orders.extend(before.iter().cloned().map(|mut order| {
                    change.apply(&mut order);
                    order
                }));
            }
        }
        orders.remove(0);
        return Others { orders, untried };
    }
    // Each point by itself is tried whole; all of them together would be too many.
    untried.extend(points.first().map(|point| Untried {
        at: point.at,
        what: Left::Together,
    }));
    for change in points.iter().flat_map(|point| &point.changes) {
        let mut order = written(set);
        change.apply(&mut order);
        orders.push(order);
    }
    Others { orders, untried }
}

impl Search<'_> {
    /// Takes up what may be instead of some things' order; where there is too much, each of them first and last, and backwards.
    fn open(
        &mut self,
        at: Span,
        all: &[usize],
        bear: &dyn Fn(usize, usize) -> bool,
        change: impl Fn(Vec<usize>) -> Change,
    ) {
        for group in groups(all, bear) {
            let thing = |n: usize| group.get(n).copied();
            let bears = |a: usize, b: usize| thing(a).zip(thing(b)).is_none_or(|(a, b)| bear(a, b));
            let found = interleave::orders(group.len(), &|_| Vec::new(), &bears, MOST);
            let orders: Vec<Vec<usize>> = match found {
                Some(orders) => orders
                    .into_iter()
                    .map(|order| order.into_iter().filter_map(thing).collect())
                    .collect(),
                None => {
                    let what = Left::Steps;
                    self.untried.push(Untried { at, what });
                    turns(&group)
                }
            };
            let changes = orders.iter().map(|order| change(put(all, &group, order))).collect();
            self.points.push(Point { at, changes });
        }
    }

    fn lists(&mut self) {
        let mut lists: BTreeMap<ListAt, Vec<usize>> = BTreeMap::new();
        for (index, stop) in self.flow.stops.iter().enumerate().filter(|(_, stop)| stop.any_order) {
            let list = (stop.procedure, stop.phase.number, stop.run);
            lists.entry(list).or_default().push(index);
        }
        let none = Touches::default();
        for (list, steps) in lists {
            let traces = steps
                .iter()
                .filter_map(|stop| Some((*stop, self.traces.stops.get(stop)?.clone())));
            let mut traces: BTreeMap<usize, Touches> = traces.collect();
            Touches::together(traces.values_mut());
            let trace = |stop: usize| traces.get(&stop).unwrap_or(&none);
            let first = steps.first().and_then(|stop| self.flow.stops.get(*stop));
            let Some(at) = first.map(|stop| stop.step.span) else {
                continue;
            };
            let bear = |a: usize, b: usize| trace(a).must_be_tried(trace(b));
            self.open(at, &steps, &bear, |steps| Change::List(list, steps));
        }
    }

    fn substeps(&mut self) {
        let none = Touches::default();
        let traces = &self.traces.subs;
        for (index, stop) in self
            .flow
            .stops
            .iter()
            .enumerate()
            .filter(|(_, stop)| stop.step.any_order)
        {
            let all: Vec<usize> = (0..stop.step.substeps.len()).collect();
            let trace = |sub: usize| traces.get(&(index, sub)).unwrap_or(&none);
            let bear = |a: usize, b: usize| trace(a).must_be_tried(trace(b));
            self.open(stop.step.span, &all, &bear, |subs| Change::Substeps(index, subs));
        }
    }

    /// Steps for each member, done member by member, where that can matter: a step for one member then comes before an earlier one for
    /// another.
    fn members(&mut self) {
        let mut blocks: BTreeMap<_, Vec<usize>> = BTreeMap::new();
        for (index, stop) in self.flow.stops.iter().enumerate() {
            let each = stop.step.each.or(stop.phase.each).filter(|each| !each.in_turn);
            if let Some(each) = each {
                let block = (stop.procedure, stop.phase.number, each.group);
                blocks.entry(block).or_default().push(index);
            }
        }
        let mut led_back: BTreeSet<(ProcedureId, StepNumber)> = BTreeSet::new();
        for stop in &self.flow.stops {
            for (_, act) in sequence::acts(stop, None) {
                if let ActKind::Repeat(number) = act.kind {
                    led_back.insert((stop.procedure, number));
                }
            }
        }
        let traces = &self.traces.members;
        let bears = |block: &Vec<usize>| {
            // Which steps a way back does again hangs on where it leads to among those of the members.
            let steps = block.iter().filter_map(|at| self.flow.stops.get(*at));
            let mut steps = steps.map(|stop| (stop.procedure, stop.step.number));
            let done = || {
                block
                    .iter()
                    .flat_map(|stop| traces.range((*stop, 0)..=(*stop, usize::MAX)))
            };
            steps.any(|step| led_back.contains(&step))
                || done().any(|((stop, member), touches)| {
                    done().any(|((later, other), others)| {
                        later > stop && other != member && touches.must_be_tried(others)
                    })
                })
        };
        let first = blocks.values().filter(|block| bears(block)).flatten().min();
        let first = first.and_then(|stop| self.flow.stops.get(*stop));
        self.points.extend(first.map(|stop| Point {
            at: stop.step.span,
            changes: vec![Change::ByMember],
        }));
    }

    /// Orders of the procedures in which two that bear on each other, and that no `after` ties, stand the other way round.
    fn procedures(&mut self) {
        let ids: Vec<ProcedureId> = self.set.procedures.ids().collect();
        let mut touches: Vec<Touches> = vec![Touches::default(); ids.len()];
        let place = |procedure: ProcedureId| procedure.number() - 1;
        for (stop, trace) in &self.traces.stops {
            let procedure = self.flow.stops.get(*stop).map(|stop| place(stop.procedure));
            if let Some(whole) = procedure.and_then(|at| touches.get_mut(at)) {
                whole.extend(trace.clone());
            }
        }
        // A step that is gone back to is of its own card alone, and so is a time that begins and ends in it; a job that ends is not.
        for (whole, id) in touches.iter_mut().zip(&ids) {
            whole.turns = false;
            let beyond = self.traces.beyond.get(id).cloned();
            (whole.turned, whole.may_turn) = beyond.unwrap_or_default();
        }
        Touches::together(touches.iter_mut());
        for stop in &self.flow.stops {
            let ends = sequence::acts(stop, None)
                .iter()
                .any(|(_, act)| matches!(act.kind, ActKind::Stop));
            if let Some(whole) = touches.get_mut(place(stop.procedure)).filter(|_| ends) {
                whole.turns = true;
            }
        }
        let after: Vec<Vec<usize>> = (ids.iter())
            .map(|id| self.set.procedures.of(*id))
            .map(|procedure| procedure.map_or_else(Vec::new, |p| p.after.iter().copied().map(place).collect()))
            .collect();
        let first = |at: usize, other: usize| after.get(at).is_some_and(|firsts| firsts.contains(&other));
        let bears = Touches::that_bear(&touches);
        let bear = |a: usize, b: usize| bears.get(a).and_then(|row| row.get(b)).copied().unwrap_or(true);
        let named =
            |order: &[usize]| -> Vec<ProcedureId> { order.iter().filter_map(|at| ids.get(*at).copied()).collect() };
        let all: Vec<usize> = (0..ids.len()).collect();
        // Procedures that have nothing to do with each other, not even round about, come to the same however they lie between each other.
        for group in groups(&all, &|a, b| bear(a, b) || first(a, b)) {
            let own = named(&group);
            let mut procedures = own.iter().filter_map(|id| self.set.procedures.of(*id));
            let Some((_, first)) = procedures.find_map(|procedure| procedure.steps().next()) else {
                continue;
            };
            let at = first.span;
            let thing = |n: usize| group.get(n).copied();
            let after = |n: usize| -> Vec<usize> {
                let firsts = thing(n).and_then(|one| after.get(one)).into_iter().flatten();
                firsts
                    .filter_map(|first| group.iter().position(|one| one == first))
                    .collect()
            };
            let bears = |a: usize, b: usize| thing(a).zip(thing(b)).is_none_or(|(a, b)| bear(a, b));
            let orders = match interleave::orders(group.len(), &after, &bears, MOST) {
                Some(orders) => orders,
                None => {
                    let what = Left::Procedures;
                    self.untried.push(Untried { at, what });
                    pairs_turned(group.len(), &after, &bears)
                }
            };
            let order = |order: &Vec<usize>| named(&order.iter().filter_map(|n| thing(*n)).collect::<Vec<usize>>());
            let changes: Vec<Change> = (orders.iter())
                .map(|other| Change::Procedures(own.clone(), order(other)))
                .collect();
            if !changes.is_empty() {
                self.points.push(Point { at, changes });
            }
        }
    }
}

/// Those of some things that bear on each other, directly or round about, in their order; none that stands alone.
fn groups(all: &[usize], bear: &dyn Fn(usize, usize) -> bool) -> Vec<Vec<usize>> {
    let mut groups = Vec::new();
    let mut taken = vec![false; all.len()];
    for start in 0..all.len() {
        if taken.get(start).is_some_and(|taken| *taken) {
            continue;
        }
        // By position: what stands before the start is in a group already, or bears on nothing that is left.
        let mut group = vec![start];
        let mut at = 0;
        while let Some(one) = group.get(at).copied() {
            for (place, taken) in taken
                .iter_mut()
                .enumerate()
                .skip(start + 1)
                .filter(|(_, taken)| !**taken)
            {
                let pair = all.get(one).zip(all.get(place));
                if pair.is_some_and(|(one, other)| bear(*one, *other) || bear(*other, *one)) {
                    *taken = true;
                    group.push(place);
                }
            }
            at += 1;
        }
        group.sort_unstable();
        if group.len() > 1 {
            groups.push(group.iter().filter_map(|place| all.get(*place).copied()).collect());
        }
    }
    groups
}

/// All things in their order, with those of a group in another.
fn put<T: Copy + PartialEq>(all: &[T], group: &[T], order: &[T]) -> Vec<T> {
    let mut next = order.iter().copied();
    all.iter()
        .map(|one| match group.contains(one) {
            true => next.next().unwrap_or(*one),
            false => *one,
        })
        .collect()
}

/// Backwards, and each one first and last: every pair stands both ways round.
fn turns(all: &[usize]) -> Vec<Vec<usize>> {
    let mut out = vec![all.iter().rev().copied().collect::<Vec<usize>>()];
    for one in all {
        let rest: Vec<usize> = all.iter().copied().filter(|other| other != one).collect();
        out.push(std::iter::once(*one).chain(rest.iter().copied()).collect());
        out.push(rest.into_iter().chain([*one]).collect());
    }
    out.retain(|order| order != all);
    out.sort();
    out.dedup();
    out.truncate(MOST);
    out
}

/// Each two that bear on each other turned round by themselves.
fn pairs_turned(
    count: usize,
    after: &dyn Fn(usize) -> Vec<usize>,
    bear: &dyn Fn(usize, usize) -> bool,
) -> Vec<Vec<usize>> {
    let ties: Vec<Vec<usize>> = (0..count).map(after).collect();
    let mut orders: Vec<Vec<usize>> = Vec::new();
    for other in 0..count {
        for one in (0..other).filter(|one| bear(*one, other)) {
            let mut tied = ties.clone();
            if let Some(own) = tied.get_mut(one) {
                own.push(other);
            }
            let (order, cycle) = order::sort(&tied);
            if cycle.is_none() && !orders.contains(&order) {
                orders.push(order);
            }
            if orders.len() >= MOST {
                return orders;
            }
        }
    }
    orders
}
