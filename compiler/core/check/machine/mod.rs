//! What the steps of a set do to its machine: what holds, covers, contains and needs what, for every combination of choices, every
//! answer at the bench and every order that the set leaves open.
//!
//! ```text
//! registers ─▶ shape (places, members, who holds whom)
//! flow ─▶ sequence (one order, members in turn) ─▶ way (steps one by one) ─▶ world (a diagram for each thing) ─▶ faults
//!                                                     └ needs, acts, end
//! ```
//!
//! A diagram tells, for all choices and answers at once, how one thing stands; what an act asks of several things is worked out from
//! theirs. Where that shows a fault, the fewest choices and answers that bring it about are found, and with them how it came about.

mod acts;
mod back;
mod clock;
mod closing;
mod effects;
mod end;
mod fillings;
mod ground;
mod interleave;
mod items;
mod judged;
mod needs;
mod orders;
mod origin;
mod perils;
mod pieces;
mod sequence;
mod shape;
mod stands;
mod start;
mod timing;
mod touches;
mod way;
mod ways;
mod world;

use crate::check::calc::CalcFacts;
use crate::check::ledger::Ledger;
use crate::check::ledger::diagram::{NEVER, Ref};
use crate::check::ledger::fault::{Fault, How, Left, Since, Untried, Wrong};
use crate::check::walk::Flow;
use crate::check::walk::guard::{Literal, Variables};
use crate::model::{Choices, ProcedureId, Set, StepNumber};
use crate::source::Span;
use ground::{Answers, Ground};
use sequence::Order;
pub use shape::{Asked, Node, Shape};
use std::collections::{BTreeMap, BTreeSet};
pub use touches::Touches;
use way::Way;
use world::{Found, Key, Place, World};

/// Walks a set.
pub fn explore(flow: &Flow, calcs: &CalcFacts) -> Ledger {
    let set = flow.set;
    let shape = Shape::new(set);
    let ground = Ground::new(set, flow, &shape, calcs);
    let mut variables = flow.variables.clone();
    let answers = ground::answers(&ground, &mut variables);
    let written = orders::written(set);
    let mut ledger = Ledger::default();
    let mut told: BTreeSet<(Wrong, Span)> = BTreeSet::new();
    let traces;
    {
        let mut world = World::new(&shape, &variables);
        let mut way = Way::new(&ground, &written, &answers);
        way.go(&mut world);
        traces = std::mem::take(&mut way.traces);
        ledger.untried.extend(way.untried.iter().copied());
        for fault in faults(&mut world, set, &BTreeSet::new(), usize::MAX) {
            told.insert((fault.wrong.class(), fault.at));
            ledger.faults.push(fault);
        }
        unreached(&world, &way, flow, &mut ledger);
        ledger.unchecked.extend(world.unchecked.iter().cloned());
        ledger.untried.extend(world.untried.iter().copied());
        ledger.visited += world.diagrams.visited();
    }
    let as_written = told.clone();
    let others = orders::others(set, flow, &traces);
    ledger.untried.extend(others.untried);
    for order in &others.orders {
        if let Some(fault) = in_order(&ground, &shape, &variables, &answers, order, &as_written, &mut ledger)
            && told.insert((fault.wrong.class(), fault.at))
        {
            ledger.faults.push(fault);
        }
    }
    ledger.faults.sort_by(|a, b| (a.at, &a.wrong).cmp(&(b.at, &b.wrong)));
    ledger.unchecked.sort();
    ledger.unchecked.dedup();
    ledger.untried.sort();
    ledger.untried.dedup();
    ledger.variables = variables;
    ledger
}

/// What each step touches of how the machine stands, done in the written order.
pub fn touches(flow: &Flow, calcs: &CalcFacts) -> BTreeMap<(ProcedureId, StepNumber), Touches> {
    let shape = Shape::new(flow.set);
    let ground = Ground::new(flow.set, flow, &shape, calcs);
    let mut variables = flow.variables.clone();
    let answers = ground::answers(&ground, &mut variables);
    let written = orders::written(flow.set);
    let mut world = World::new(&shape, &variables);
    let mut way = Way::new(&ground, &written, &answers);
    way.go(&mut world);
    let name = |stop: usize| flow.stops.get(stop).map(|stop| (stop.procedure, stop.step.number));
    let traces = std::mem::take(&mut way.traces).stops;
    traces
        .into_iter()
        .filter_map(|(stop, touches)| Some((name(stop)?, touches)))
        .collect()
}

/// The first thing that goes wrong in another order and not in the written one.
fn in_order(
    ground: &Ground,
    shape: &Shape,
    variables: &Variables,
    answers: &Answers,
    order: &Order,
    told: &BTreeSet<(Wrong, Span)>,
    ledger: &mut Ledger,
) -> Option<Fault> {
    let mut world = World::new(shape, variables);
    let mut way = Way::new(ground, order, answers);
    way.go(&mut world);
    ledger.visited += world.diagrams.visited();
    // What the written order has as well isn't told again, nor what follows from it.
    let first = faults(&mut world, ground.set, told, 1);
    ledger.unchecked.extend(world.unchecked.iter().cloned());
    ledger.untried.extend(world.untried.iter().chain(&way.untried).copied());
    let mut fault = first.into_iter().next()?;
    fault.reordered = true;
    Some(fault)
}

/// Steps that no way reaches though their conditions allow it: the first of each card.
fn unreached(world: &World, way: &Way, flow: &Flow, ledger: &mut Ledger) {
    let mut last = None;
    let given_up = way.untried.iter().any(|left| left.what == Left::Repeats);
    for (index, stop) in flow.stops.iter().enumerate() {
        let reached = way.reached.get(&index);
        // What wasn't walked for want of time may well be reached.
        if stop.guard.conflict().is_some() || (reached.is_none() && given_up) {
            continue;
        }
        if reached
            .into_iter()
            .flatten()
            .any(|(done, when)| world.was_going(*done, *when))
        {
            continue;
        }
        // What is asked there and can't be answered is told already.
        let told = |fault: &Fault| {
            let span = stop.step.span;
            let asks = matches!(fault.wrong, Wrong::NoAnswer { .. } | Wrong::NeverEnds);
            asks && fault.at.file == span.file && (span.start..span.end).contains(&fault.at.start)
        };
        if ledger.faults.iter().any(told) {
            continue;
        }
        // The steps after it are reached no more than it is.
        if last.replace(()).is_none() {
            let step = Since {
                at: stop.step.span,
                how: How::Ends,
            };
            ledger.faults.push(Fault {
                wrong: Wrong::Unreached,
                at: way.ended.unwrap_or(stop.step.span),
                since: way.ended.map(|_| step),
                more: Vec::new(),
                end: None,
                choices: Vec::new(),
                reordered: false,
            });
        }
    }
}

/// The faults found, in the order in which they came up, each once, with the fewest choices for it; the first so many that aren't known.
fn faults(world: &mut World, set: &Set, known: &BTreeSet<(Wrong, Span)>, most: usize) -> Vec<Fault> {
    world.seal();
    let defaults = Choices::defaults(&set.catalogue);
    let mut liked: BTreeMap<usize, usize> = BTreeMap::new();
    for variable in world.variables.each() {
        liked.insert(variable, world.variables.value(variable, &defaults).unwrap_or(0));
    }
    // One class at one place is one finding, whatever brings it about.
    let mut groups: Vec<(Wrong, Place, bool, Vec<Found>)> = Vec::new();
    let mut index: BTreeMap<(Wrong, Place, bool), usize> = BTreeMap::new();
    for found in std::mem::take(&mut world.found) {
        let key = (found.wrong.class(), found.at.clone(), found.end);
        match index.get(&key) {
            Some(at) => groups.get_mut(*at).into_iter().for_each(|g| g.3.push(found.clone())),
            None => {
                index.insert(key.clone(), groups.len());
                groups.push((key.0, key.1, key.2, vec![found]));
            }
        }
    }
    // Each with what was found of it.
    let mut faults: Vec<(Fault, Vec<Found>)> = Vec::new();
    let mut told: BTreeSet<(Wrong, Span)> = known.clone();
    for (class, place, _, group) in groups {
        if faults.len() >= most {
            break;
        }
        // Where it is told is known before it is worked out for which choices.
        if let Place::Here(at) = &place
            && told.contains(&(class.clone(), *at))
        {
            continue;
        }
        world.diagrams.begin();
        let fault = fault(world, &group, &liked);
        // Where it is found, it is told, if not with the fewest choices.
        if fault.is_none() && world.diagrams.exhausted() {
            let at = match place {
                Place::Here(span) | Place::LastOr(_, span) | Place::Told(Since { at: span, .. }) => span,
                Place::Last(_)
                | Place::Changed(_)
                | Place::Before(_)
                | Place::Spent(_)
                | Place::BeforeSpent(_)
                | Place::Removed(_)
                | Place::Fitted(_)
                | Place::Closing(_)
                | Place::Done(_)
                | Place::Started(_)
                | Place::Step(_) => Span::new(set.file, 0, 0),
            };
            let what = Left::Choices;
            world.untried.insert(Untried { at, what });
        }
        let Some(fault) = fault else { continue };
        if told.insert((class.clone(), fault.at)) {
            faults.push((fault, group));
            continue;
        }
        // Another member of a group, or the end where something needed it before, at the same place: one finding.
        let same = |(other, _): &&mut (Fault, Vec<Found>)| other.at == fault.at && other.wrong.class() == class;
        if let Some((other, found)) = faults.iter_mut().find(same) {
            found.extend(group);
            if fault.choices.len() < other.choices.len() {
                *other = fault;
            }
            // Either of them may be brought about by less than each.
            if !other.choices.is_empty()
                && let Some(either) = self::fault(world, found, &liked)
                && either.at == other.at
                && either.choices.len() < other.choices.len()
                && !world.diagrams.exhausted()
            {
                *other = either;
            }
        }
    }
    faults.into_iter().map(|(fault, _)| fault).collect()
}

fn fault(world: &mut World, group: &[Found], liked: &BTreeMap<usize, usize>) -> Option<Fault> {
    let judged = world.judged(group);
    let (any, care) = (judged.any, judged.care);
    let real = world.diagrams.and(any, care);
    if real == NEVER {
        return None;
    }
    let choices = fewest(world, any, real, care);
    let cube = world.diagrams.cube(&choices);
    let chosen: Ref = world.diagrams.and(real, cube);
    let mut wanted = liked.clone();
    wanted.extend(choices.iter().map(|literal| (literal.variable, literal.value)));
    let mut values = world.diagrams.some_values(chosen, &wanted)?;
    world.complete(&mut values, &judged);
    let (found, _) = (group.iter().zip(&judged.each)).find(|(_, so)| world.diagrams.leaf(**so, &values) == 1)?;
    let at = world.place(&found.at, found.when, &values)?;
    let mut places = found
        .since
        .iter()
        .filter_map(|place| world.place(place, found.when, &values));
    let since = places.next();
    let more = places.collect();
    let mut wrong = found.wrong.clone();
    if let Wrong::Overrun { timer, takes } = &mut wrong {
        let nodes = world.shape.members(&[timer.entity()], None, None);
        let ran = nodes
            .into_iter()
            .filter_map(|node| world.ran(Key::Clock(node), found.when, &values));
        *takes = ran.max().unwrap_or_else(|| takes.clone());
    }
    let end = world.place(&Place::Step(0), found.when, &values).filter(|_| found.end);
    Some(Fault {
        wrong,
        at: at.at,
        since: since.filter(|since| since.how != How::Ends || !found.end),
        more,
        end: end.map(|end| end.at),
        choices,
        reordered: false,
    })
}

/// The fewest choices that bring it about on all ways that there are, and that some way has on which it is so.
fn fewest(world: &mut World, any: Ref, real: Ref, care: Ref) -> Vec<Literal> {
    let free = world.diagrams.not(care);
    let mut anywhere = world.diagrams.or(any, free);
    // An answer that nothing hangs on where it is so may be one that is not asked for there: other ways with it are then none.
    let (asked, all) = (world.diagrams.variables([real]), world.diagrams.variables([anywhere]));
    let answer = |variable: &usize| world.variables.options(*variable).is_empty();
    let apart: BTreeSet<usize> = all.difference(&asked).copied().filter(answer).collect();
    if !apart.is_empty() {
        let not = world.diagrams.not(anywhere);
        let not = world.diagrams.exists_of(not, &apart);
        anywhere = world.diagrams.not(not);
    }
    let choices = world.diagrams.fewest_choices_meeting(anywhere, real);
    // Where finding them took too long, they may be more than are needed.
    pared(world, choices.unwrap_or_default(), anywhere)
}

/// Choices without those that are not needed for something to be so.
fn pared(world: &mut World, choices: Vec<Literal>, so: Ref) -> Vec<Literal> {
    let mut left = choices.clone();
    for literal in choices {
        let fewer: Vec<Literal> = left.iter().copied().filter(|other| *other != literal).collect();
        let cube = world.diagrams.cube(&fewer);
        if world.diagrams.without(cube, so) == NEVER {
            left = fewer;
        }
    }
    left
}
