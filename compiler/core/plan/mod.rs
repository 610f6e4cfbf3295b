//! When to do what: the work of a set cut at its safe stopping points, packed into sittings, with the waits and cures between them.
//!
//! ```text
//! set ─▶ blocks (work between two safe stops) ─▶ pack (which block when) ─▶ plan ─▶ table, Gantt leaf, calendar
//! ```
//!
//! One pair of hands is planned for. Work stops only where [`carried`](crate::check::ledger::carried) says that it may, so never inside
//! a window. Cards are done in the set's order where one comes `after` another or both touch the same part, fastener, state, timer or
//! reading; others may fill a wait.

// A new mark, verb or dimension must be answered wherever one is told from another.
#![deny(clippy::wildcard_enum_match_arm)]

mod axis;
mod blocks;
pub mod data;
pub mod leaf;
mod calendar;
mod cells;
mod critical;
mod pack;
mod table;

pub use calendar::calendar;
pub use data::{Bar, Leg, Moment, Plan, Sitting, Wait};
pub use table::table;

use crate::cards::{rule, sheets};
use crate::check::Facts;
use crate::check::walk::{Flow, OnTimer, What, play};
use crate::domain::timer::Duration;
use crate::model::{Choices, ProcedureId, Set};
use crate::plan::leaf::{PlanBasis, WorkRow};
use crate::words::{Phrase, say};
use blocks::{Block, Blocks};
use jiff::civil::DateTime;
use pack::{Problem, Sittings};
use rust_decimal::prelude::ToPrimitive;

/// What is asked of a plan.
#[derive(Debug, Clone)]
pub struct Ask {
    /// Longest stretch of work; `None`: no end.
    pub sitting: Option<Duration>,
    /// From the start of a sitting to the start of the next.
    pub every: Duration,
    /// Hands-on time of a step that says none.
    pub unstated: Duration,
    /// When the first sitting begins, by the clock on the wall.
    pub start: Option<DateTime>,
}

/// The plan of a set for some choices. Pure: the same set, choices and ask give the same plan.
pub fn plan(set: &Set, facts: &Facts, choices: &Choices, ask: &Ask) -> Plan {
    let blocks = blocks::blocks(set, &facts.calcs, choices, &ask.unstated);
    let sittings = Sittings {
        length: ask.sitting.as_ref().map(seconds),
        every: seconds(&ask.every).max(1),
    };
    let problem = Problem {
        lengths: blocks.all.iter().map(|b| b.length).collect(),
        chains: blocks.chains.clone(),
        after: blocks.after.clone(),
        waits: blocks.waits.iter().map(|w| w.lag).collect(),
        sittings,
    };
    let schedule = pack::pack(&problem);
    let critical = critical::path(&problem);
    let moment = |at: u64| moment(at, ask.start);
    let mut plan = Plan {
        set: set.id.clone(),
        title: set.title.clone(),
        machine: set.machine.clone(),
        hands_on: Duration::in_words(blocks.hands_on()),
        elapsed: Duration::in_words(schedule.end(&problem)),
        unstated: blocks.unstated,
        unstated_each: ask.unstated.to_string(),
        sitting: ask.sitting.as_ref().map_or_else(String::new, Duration::to_string),
        every: ask.every.to_string(),
        sittings: Vec::new(),
        waits: Vec::new(),
        critical: critical::legs(set, &blocks, &critical),
        critical_length: Duration::in_words(critical.length),
        optimal: schedule.optimal,
        remarks: Vec::new(),
    };
    for (block, start) in &schedule.starts {
        let index = sittings.number(*start);
        let known = plan
            .sittings
            .last()
            .is_some_and(|s| sittings.number(s.start.seconds) == index);
        if !known {
            plan.sittings.push(Sitting {
                number: plan.sittings.len() + 1,
                start: moment(*start),
                end: moment(*start),
                work: Vec::new(),
            });
        }
        let on_path = critical.blocks.contains(block);
        if let (Some(sitting), Some(block)) = (plan.sittings.last_mut(), blocks.all.get(*block)) {
            sitting.add(set, block, *start, on_path, &moment);
        }
    }
    for (index, wait) in blocks.waits.iter().enumerate() {
        let Some(start) = schedule.start(wait.lag.from).map(|s| s + wait.lag.from_offset) else {
            continue;
        };
        let (id, what) = wait.what.words(set);
        plan.waits.push(Wait {
            timer: id.to_string(),
            what: what.to_string(),
            length: Duration::in_words(wait.lag.length),
            start: moment(start),
            end: moment(start + wait.lag.length),
            critical: critical.parts.iter().any(|(_, w)| *w == Some(index)),
        });
    }
    plan.waits.sort_by_key(|w| (w.end.seconds, w.start.seconds));
    plan.remarks = remarks(set, &blocks, &sittings);
    plan
}

impl Sitting {
    fn add(&mut self, set: &Set, block: &Block, start: u64, critical: bool, moment: &dyn Fn(u64) -> Moment) {
        for (procedure, steps) in block.by_procedure() {
            let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
                continue;
            };
            let (from, to) = (start + first.offset, start + last.offset + last.length);
            self.end = moment(to.max(self.end.seconds));
            let goes_on = self
                .work
                .last_mut()
                .filter(|bar| bar.card == procedure.number() && bar.end.seconds == from && bar.critical == critical);
            if let Some(bar) = goes_on {
                bar.to = last.number.to_string();
                bar.end = moment(to);
                continue;
            }
            let of = &set.procedures[procedure];
            self.work.push(Bar {
                card: procedure.number(),
                procedure: of.id.clone(),
                title: of.title.clone(),
                from: first.number.to_string(),
                to: last.number.to_string(),
                start: moment(from),
                end: moment(to),
                critical,
            });
        }
    }
}

/// What a plan of a set is made from, for some choices.
pub fn basis(set: &Set, choices: &Choices) -> PlanBasis {
    let mut work = Vec::new();
    let played = play(&Flow::new(set), choices);
    for (procedure, steps) in set.procedures.iter().zip(&played.cards) {
        for done in steps {
            let times = done.events.iter().filter_map(|event| {
                let What::Work(time) = event.what else { return None };
                Some(time.clone())
            });
            let waits = done.events.iter().filter_map(|event| {
                if let What::Wait(consumable) = event.what {
                    let entry = &set.catalogue.consumables[consumable];
                    let cure = entry.cure.as_ref()?;
                    return Some(say::cure_of(&entry.name, cure.value.to_string()));
                }
                let What::Timer(timer, on) = event.what else {
                    return None;
                };
                let timer = &set.catalogue.timers[timer];
                let asked = timer.span.as_ref().map_or_else(Phrase::default, rule);
                Some(match on {
                    OnTimer::Start => say::start_of(&timer.what, asked),
                    OnTimer::End => say::end_of(&timer.what, asked),
                })
            });
            work.push(WorkRow {
                card: procedure.title.clone(),
                step: done.step.number.to_string(),
                waits: waits.collect(),
                time: times
                    .reduce(|a, b| a.plus(&b))
                    .map_or_else(String::new, |t| t.to_string()),
            });
        }
    }
    PlanBasis {
        identity: sheets::identity(set, choices, "plan", say::plan_of_the_work()),
        cards: sheets::cards(set, choices),
        work,
    }
}

/// Blocks that are longer than a sitting: they get one of their own and run over.
fn remarks(set: &Set, blocks: &Blocks, sittings: &Sittings) -> Vec<Phrase> {
    let Some(length) = sittings.length else {
        return Vec::new();
    };
    let long = blocks.all.iter().filter(|b| b.length > length);
    let words = |block: &Block| {
        let (Some(first), Some(last)) = (block.steps.first(), block.steps.last()) else {
            return Phrase::default();
        };
        let id = |procedure: ProcedureId| &set.procedures[procedure].id;
        say::longer_than_a_sitting(
            format!("{} {}", id(first.procedure), first.number),
            format!("{} {}", id(last.procedure), last.number),
            Duration::in_words(block.length),
        )
    };
    long.map(words).collect()
}

/// Whole seconds, rounded up: a plan that is a little long is better than one that is a little short.
fn seconds(duration: &Duration) -> u64 {
    // Thirty thousand years: sums of thousands of these still fit.
    const LONGEST: u64 = 1_000_000_000_000;
    duration.seconds().ceil().to_u64().unwrap_or(LONGEST).min(LONGEST)
}

fn moment(seconds: u64, start: Option<DateTime>) -> Moment {
    let span = jiff::SignedDuration::from_secs(i64::try_from(seconds).unwrap_or(i64::MAX));
    let at = start.and_then(|start| start.checked_add(span).ok());
    Moment {
        seconds,
        at: at.map_or_else(String::new, |at| at.to_string()),
    }
}
