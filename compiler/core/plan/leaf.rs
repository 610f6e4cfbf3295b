//! A plan as a leaf, drawn to scale: one drawing of the whole, and one for each sitting, so that the nights between them take no room.
//!
//! Places in a drawing are shares of its width. All sittings are drawn to one scale: that of the longest.

use super::axis::Axis;
use crate::cards::card::{CardRef, Identity};
use crate::domain::timer::Duration;
use crate::fingerprint::{Kind, leaf};
use crate::plan::data::{Bar, Leg, Moment, Plan, Sitting, Wait};
use crate::words::{Phrase, plain};
use jiff::civil::DateTime;
use serde::Serialize;

pub use super::axis::Tick;

/// Most parts an axis is divided into. Half a sheet has room for six times of day; of the dates, some.
const PARTS_OF_ALL: u64 = 6;
const PARTS_OF_SITTING: u64 = 6;

leaf! {
    /// When to do what. Its code stands for what comes from the set: what was asked for on the command line, and what follows from that,
    /// is printed and no part of it.
    pub struct PlanSheet {
        /// As on the cards; `procedure` is `plan`.
        says identity: Identity,
        /// The cards that steps are of.
        says cards: Vec<CardRef>,
        /// What is planned, in the order of the set.
        #[serde(skip)]
        says work: Vec<WorkRow>,
        exempt(Argument) hands_on: String,
        exempt(Argument) elapsed: String,
        /// Length of a sitting, empty for none, and the time from one's start to the next's.
        exempt(Argument) sitting: String,
        exempt(Argument) every: String,
        /// Steps that say no time, and what was taken for each.
        exempt(Argument) unstated: usize,
        exempt(Argument) unstated_each: String,
        /// True if times are by the clock, false if they are counted from the start.
        exempt(Argument) clock: bool,
        exempt(Argument) overview: Overview,
        exempt(Argument) sittings: Vec<SittingSheet>,
        exempt(Argument) waits: Vec<WaitRow>,
        /// What decides how long it takes at least, and the sum of it.
        exempt(Argument) critical: Vec<Leg>,
        exempt(Argument) critical_length: String,
        /// False where there were too many orders to try them all.
        exempt(Argument) optimal: bool,
        exempt(Argument) remarks: Vec<Phrase>,
    }
}

leaf! {
    /// What a plan is made from: the same code as the plan's, whatever was asked for.
    pub struct PlanBasis {
        says identity: Identity,
        says cards: Vec<CardRef>,
        says work: Vec<WorkRow>,
    }
}

leaf! {
    /// What the set says of a step that is planned.
    pub struct WorkRow {
        /// Title of the card.
        says card: String,
        says step: String,
        /// Hands-on time; empty if not said.
        says time: String,
        /// Waits and windows that it starts and ends.
        says waits: Vec<Phrase>,
    }
}

impl Kind for PlanSheet {
    const NAME: &'static str = "plan";
}

impl Kind for PlanBasis {
    const NAME: &'static str = "plan";
}

/// The whole from its start to its end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overview {
    pub ticks: Vec<Tick>,
    pub sittings: Vec<Span>,
    pub waits: Vec<BarRow>,
}

/// A sitting on the drawing of the whole.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Span {
    pub number: usize,
    pub left: f64,
    pub right: f64,
}

/// A sitting with a drawing of its own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SittingSheet {
    pub number: usize,
    pub start: String,
    pub end: String,
    pub length: String,
    /// Where it ends on the drawing.
    pub right: f64,
    pub ticks: Vec<Tick>,
    /// Work in its order, then the waits that run meanwhile.
    pub rows: Vec<BarRow>,
}

/// A bar of a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BarRow {
    /// A wait rather than work.
    pub wait: bool,
    /// Number of the card; 0 for a wait.
    pub card: usize,
    /// Title of the card, or what the wait is for.
    pub what: String,
    /// First and last step; empty for a wait.
    pub from: String,
    pub to: String,
    pub length: String,
    pub start: String,
    pub end: String,
    pub critical: bool,
    pub left: f64,
    pub right: f64,
    /// It began before the drawing does, or ends after it.
    pub begun: bool,
    pub goes_on: bool,
}

/// A wait.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaitRow {
    pub what: String,
    pub length: String,
    pub start: String,
    pub end: String,
    pub critical: bool,
}

// Times, titles and steps: nothing of them is said in words.
plain!(Overview, SittingSheet, WaitRow);

/// The leaf of a plan.
pub fn sheet(basis: PlanBasis, plan: &Plan) -> PlanSheet {
    let PlanBasis { identity, cards, work } = basis;
    let longest = plan.sittings.iter().map(|s| length(&s.start, &s.end)).max();
    let scale = longest.unwrap_or(0).max(1);
    PlanSheet {
        identity,
        cards,
        work,
        hands_on: plan.hands_on.clone(),
        elapsed: plan.elapsed.clone(),
        sitting: plan.sitting.clone(),
        every: plan.every.clone(),
        unstated: plan.unstated,
        unstated_each: plan.unstated_each.clone(),
        clock: plan.sittings.first().is_some_and(|s| !s.start.at.is_empty()),
        overview: overview(plan),
        sittings: plan.sittings.iter().map(|s| sitting(plan, s, scale)).collect(),
        waits: plan.waits.iter().map(wait_row).collect(),
        critical: plan.critical.clone(),
        critical_length: plan.critical_length.clone(),
        optimal: plan.optimal,
        remarks: plan.remarks.clone(),
    }
}

fn overview(plan: &Plan) -> Overview {
    let moments = || {
        let sittings = plan.sittings.iter().flat_map(|s| [&s.start, &s.end]);
        sittings.chain(plan.waits.iter().flat_map(|w| [&w.start, &w.end]))
    };
    let (first, last) = (moments().min_by_key(|m| m.seconds), moments().max_by_key(|m| m.seconds));
    let (from, to) = (first.map_or(0, |m| m.seconds), last.map_or(0, |m| m.seconds));
    let axis = Axis {
        start: first.and_then(clock),
        length: to.saturating_sub(from),
        scale: to.saturating_sub(from).max(1),
        parts: PARTS_OF_ALL,
        days: true,
    };
    let share = |m: &Moment| axis.share(m.seconds.saturating_sub(from));
    Overview {
        ticks: axis.ticks(),
        sittings: plan
            .sittings
            .iter()
            .map(|s| Span {
                number: s.number,
                left: share(&s.start),
                right: share(&s.end),
            })
            .collect(),
        waits: plan.waits.iter().map(|w| wait_bar(w, from, to, &axis)).collect(),
    }
}

fn sitting(plan: &Plan, sitting: &Sitting, scale: u64) -> SittingSheet {
    let (from, to) = (sitting.start.seconds, sitting.end.seconds);
    let axis = Axis {
        start: clock(&sitting.start),
        length: to.saturating_sub(from),
        scale,
        parts: PARTS_OF_SITTING,
        days: false,
    };
    let meanwhile = plan
        .waits
        .iter()
        .filter(|w| w.start.seconds < to && w.end.seconds > from);
    let mut rows: Vec<BarRow> = sitting.work.iter().map(|bar| work_bar(bar, from, &axis)).collect();
    rows.extend(meanwhile.map(|wait| wait_bar(wait, from, to, &axis)));
    SittingSheet {
        number: sitting.number,
        start: when(&sitting.start),
        end: when(&sitting.end),
        length: Duration::in_words(to.saturating_sub(from)),
        right: axis.share(to.saturating_sub(from)),
        ticks: axis.ticks(),
        rows,
    }
}

fn work_bar(bar: &Bar, from: u64, axis: &Axis) -> BarRow {
    let share = |m: &Moment| axis.share(m.seconds.saturating_sub(from));
    BarRow {
        wait: false,
        card: bar.card,
        what: bar.title.clone(),
        from: bar.from.clone(),
        to: bar.to.clone(),
        length: Duration::in_words(length(&bar.start, &bar.end)),
        start: when(&bar.start),
        end: when(&bar.end),
        critical: bar.critical,
        left: share(&bar.start),
        right: share(&bar.end),
        begun: false,
        goes_on: false,
    }
}

/// A wait on a drawing from one moment to another, cut off at its ends.
fn wait_bar(wait: &Wait, from: u64, to: u64, axis: &Axis) -> BarRow {
    let share = |m: &Moment| axis.share(m.seconds.clamp(from, to) - from);
    BarRow {
        wait: true,
        card: 0,
        what: wait.what.clone(),
        from: String::new(),
        to: String::new(),
        length: wait.length.clone(),
        start: when(&wait.start),
        end: when(&wait.end),
        critical: wait.critical,
        left: share(&wait.start),
        right: share(&wait.end),
        begun: wait.start.seconds < from,
        goes_on: wait.end.seconds > to,
    }
}

fn wait_row(wait: &Wait) -> WaitRow {
    WaitRow {
        what: wait.what.clone(),
        length: wait.length.clone(),
        start: when(&wait.start),
        end: when(&wait.end),
        critical: wait.critical,
    }
}

fn length(start: &Moment, end: &Moment) -> u64 {
    end.seconds.saturating_sub(start.seconds)
}

/// The time on the wall; `None` for a plan without a start.
fn clock(moment: &Moment) -> Option<DateTime> {
    moment.at.parse().ok()
}

/// `2026-03-02 18:00`; without a clock, how long after the start.
fn when(moment: &Moment) -> String {
    match moment.at.is_empty() {
        true => format!("+ {}", Duration::in_words(moment.seconds)),
        false => moment.at.strip_suffix(":00").unwrap_or(&moment.at).replace('T', " "),
    }
}
