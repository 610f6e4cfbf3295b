//! How things stand between procedures, and where work may stop, for one combination of choices.

use super::fasteners::Grip;
use super::flow::{Flow, Stop};
use super::items;
use crate::check::hazardous_tools;
use crate::model::registers::{self, Action, Hazard, Part, State, Temporary, Timer, Tool, Torque};
use crate::model::{ActKind, Choices, Handle, Item, Set, StepNumber, Thing};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// A step, for pointing at.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Position of the procedure in the set.
    pub procedure: usize,
    pub step: StepNumber,
    /// The mark.
    pub span: Span,
}

/// Something counted, and the step since which it is so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holding<T> {
    pub item: T,
    pub count: u32,
    pub since: Place,
}

/// Fasteners that are not tight.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LooseFastener {
    pub torque: Handle<Torque>,
    /// Never [`Grip::Tight`].
    pub grip: Grip,
    pub since: Place,
}

/// How things stand at one moment; each list in the order of its register.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Standing {
    /// Temporary items that are on.
    pub fitted: Vec<Holding<Handle<Temporary>>>,
    /// Parts of the machine that are off it and whose place nothing has taken.
    pub off: Vec<Holding<Handle<Part>>>,
    pub loose: Vec<LooseFastener>,
    /// States with another value than at the start: the value's index, and where it was set.
    pub states: Vec<(Handle<State>, usize, Place)>,
    /// Timers that run, and where they were started.
    pub timers: Vec<(Handle<Timer>, Place)>,
}

/// Why work can't stop at a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Open {
    /// A window runs.
    Window(Handle<Timer>),
    /// Started by hand and not tightened, or loosened with nothing taken off since.
    Fastener(Handle<Torque>),
    /// A load may hang on it until the phase ends.
    Tool(Handle<Tool>),
    /// It set something turning (`hazard: rotation`), which may turn until the phase ends.
    Action(Handle<Action>),
}

/// The gap after a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// The step before the gap: its number in the procedure.
    pub after: StepNumber,
    /// What is open there; nothing: work may stop here for the day.
    pub open: Vec<Open>,
}

impl Gap {
    /// True if work may stop here.
    pub fn is_safe(&self) -> bool {
        self.open.is_empty()
    }
}

/// What one procedure takes over and hands on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Carried {
    /// Position of the procedure in the set.
    pub procedure: usize,
    pub carried_in: Standing,
    pub carried_out: Standing,
    /// One for each step that the choices keep, in order.
    pub gaps: Vec<Gap>,
}

/// What every procedure of a set takes over and hands on, in the set's order, for one combination of choices.
///
/// Only what is declared and marked is known; where the set has faults, the numbers follow the marks as far as they make sense.
pub fn carried(set: &Set, choices: &Choices) -> Vec<Carried> {
    let flow = Flow::new(set);
    let mut walk = Walk::new(set);
    let mut out = Vec::new();
    for procedure in 0..set.procedures.len() {
        let carried_in = walk.standing();
        let steps: Vec<&Stop> = flow
            .stops
            .iter()
            .filter(|s| s.procedure == procedure && s.guard.holds(&flow.variables, choices))
            .collect();
        let mut gaps = Vec::new();
        for (index, stop) in steps.iter().enumerate() {
            walk.step(&flow, stop, choices);
            let last = steps
                .get(index + 1)
                .is_none_or(|next| next.phase.number != stop.phase.number);
            if last {
                walk.tools.clear();
                walk.turning.clear();
            }
            gaps.push(Gap {
                after: stop.step.number,
                open: walk.open(),
            });
        }
        out.push(Carried {
            procedure,
            carried_in,
            carried_out: walk.standing(),
            gaps,
        });
    }
    out
}

/// How things stand around one step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moment {
    pub before: Standing,
    /// What is open behind it; nothing: work may stop there.
    pub open: Vec<Open>,
}

/// How things stand around a step of a procedure, for one combination of choices; `None` if these leave it out.
pub fn moment(set: &Set, choices: &Choices, procedure: usize, step: StepNumber) -> Option<Moment> {
    let flow = Flow::new(set);
    let mut walk = Walk::new(set);
    let stops: Vec<&Stop> = flow
        .stops
        .iter()
        .filter(|s| s.guard.holds(&flow.variables, choices))
        .collect();
    for (n, stop) in stops.iter().enumerate() {
        let here = stop.procedure == procedure && stop.step.number == step;
        let before = here.then(|| walk.standing());
        walk.step(&flow, stop, choices);
        let same_phase = |next: &&Stop| next.procedure == stop.procedure && next.phase.number == stop.phase.number;
        if !stops.get(n + 1).is_some_and(same_phase) {
            walk.tools.clear();
            walk.turning.clear();
        }
        if let Some(before) = before {
            let open = walk.open();
            return Some(Moment { before, open });
        }
    }
    None
}

/// A walk under one combination of choices.
struct Walk<'a> {
    set: &'a Set,
    temporary: BTreeMap<Handle<Temporary>, (u32, Place)>,
    /// How many of a part are on, once some act has touched it.
    parts: BTreeMap<Handle<Part>, (u32, Place)>,
    loose: BTreeMap<Handle<Torque>, (Grip, Place)>,
    states: BTreeMap<Handle<State>, (usize, Place)>,
    timers: BTreeMap<Handle<Timer>, Place>,
    /// Loosened with nothing taken off since.
    undone: BTreeSet<Handle<Torque>>,
    /// Lifting tools in use in this phase.
    tools: BTreeSet<Handle<Tool>>,
    /// Actions of this phase that set something turning.
    turning: BTreeSet<Handle<Action>>,
}

impl<'a> Walk<'a> {
    fn new(set: &'a Set) -> Self {
        Walk {
            set,
            temporary: BTreeMap::new(),
            parts: BTreeMap::new(),
            loose: BTreeMap::new(),
            states: BTreeMap::new(),
            timers: BTreeMap::new(),
            undone: BTreeSet::new(),
            tools: BTreeSet::new(),
            turning: BTreeSet::new(),
        }
    }

    fn step(&mut self, flow: &Flow, stop: &Stop, choices: &Choices) {
        for deed in stop.deeds.iter().filter(|d| d.guard.holds(&flow.variables, choices)) {
            let place = Place {
                procedure: stop.procedure,
                step: stop.step.number,
                span: deed.act.span,
            };
            self.act(&deed.act.kind, place);
        }
    }

    fn act(&mut self, kind: &ActKind, place: Place) {
        let catalogue = &self.set.catalogue;
        match kind {
            ActKind::Fit(Item::Temporary(item), count) => {
                let qty = catalogue.temporary[*item].qty;
                let on = self.temporary.get(item).map_or(0, |(on, _)| *on);
                let on = on.saturating_add(count.unwrap_or(qty)).min(qty);
                self.temporary.insert(*item, (on, place));
            }
            ActKind::Remove(Item::Temporary(item), count) => {
                let on = self.temporary.get(item).map_or(0, |(on, _)| *on);
                let left = on.saturating_sub(count.unwrap_or(on));
                match self.temporary.get_mut(item) {
                    Some(entry) if left > 0 => entry.0 = left,
                    _ => drop(self.temporary.remove(item)),
                }
            }
            ActKind::Fit(Item::Part(part), count) => {
                let qty = catalogue.parts[*part].qty;
                let on = self.on(*part).saturating_add(count.unwrap_or(qty)).min(qty);
                self.parts.insert(*part, (on, place));
            }
            ActKind::Remove(Item::Part(part), count) => {
                self.undone.clear();
                let on = self
                    .on(*part)
                    .saturating_sub(count.unwrap_or(catalogue.parts[*part].qty));
                self.parts.insert(*part, (on, place));
            }
            ActKind::Loosen(torque) => {
                self.undone.insert(*torque);
                self.loose.insert(*torque, (Grip::Loose, place));
            }
            ActKind::Snug(torque) => {
                self.loose.insert(*torque, (Grip::Snug, place));
            }
            ActKind::Torque(torque) => {
                self.undone.remove(torque);
                self.loose.remove(torque);
            }
            ActKind::Set(state, value) => {
                self.states.insert(*state, (*value, place));
            }
            ActKind::Do(action) => {
                if catalogue.actions[*action].hazards.contains(&Hazard::Rotation) {
                    self.turning.insert(*action);
                }
                let links = self.set.links.actions.get(action);
                for (state, value) in links.iter().flat_map(|links| &links.sets) {
                    self.states.insert(*state, (*value, place.clone()));
                }
            }
            ActKind::Start(timer) => {
                self.timers.insert(*timer, place);
            }
            ActKind::End(timer) => {
                self.timers.remove(timer);
            }
            ActKind::Use(Thing::Tool(tool), _) => {
                let hazards = hazardous_tools::of_tool(&catalogue.tools[*tool]);
                if hazards.iter().any(|(hazard, _)| *hazard == Hazard::Lifting) {
                    self.tools.insert(*tool);
                }
            }
            ActKind::Measure(_)
            | ActKind::Use(..)
            | ActKind::Need(..)
            | ActKind::Hold(_)
            | ActKind::Label(_)
            | ActKind::Step { .. }
            | ActKind::See(_)
            | ActKind::Time(_)
            | ActKind::Only => {}
        }
    }

    /// How many of a part are on.
    fn on(&self, part: Handle<Part>) -> u32 {
        let entry = &self.set.catalogue.parts[part];
        let at_start = if entry.fitted { entry.qty } else { 0 };
        self.parts.get(&part).map_or(at_start, |(on, _)| *on)
    }

    fn standing(&self) -> Standing {
        let set = self.set;
        let fitted = self.temporary.iter().map(|(item, (count, since))| Holding {
            item: *item,
            count: *count,
            since: since.clone(),
        });
        let mut in_place: BTreeSet<Handle<Part>> = BTreeSet::new();
        for (part, _) in set.catalogue.parts.iter() {
            let root = items::root(set, part);
            if root != part && self.on(part) > 0 {
                in_place.insert(root);
            }
        }
        let off = self.parts.iter().filter_map(|(part, (on, since))| {
            let entry = &set.catalogue.parts[*part];
            let empty = entry.fitted && *on < entry.qty && !in_place.contains(part);
            // A single-use part that nothing is said to replace is off for good; that is no loose end.
            let for_good = entry.reuse == registers::Reuse::No && !set.links.replaces.values().any(|old| old == part);
            (empty && !for_good).then(|| Holding {
                item: *part,
                count: entry.qty - on,
                since: since.clone(),
            })
        });
        let states = self.states.iter().filter_map(|(state, (value, place))| {
            let entry = &set.catalogue.states[*state];
            let now = entry.values.get(*value)?;
            let at_start = entry.start.as_ref().is_some_and(|start| start.text == now.text);
            (!at_start).then(|| (*state, *value, place.clone()))
        });
        let loose = self.loose.iter().map(|(torque, (grip, since))| LooseFastener {
            torque: *torque,
            grip: *grip,
            since: since.clone(),
        });
        Standing {
            fitted: fitted.collect(),
            off: off.collect(),
            loose: loose.collect(),
            states: states.collect(),
            timers: self.timers.iter().map(|(t, place)| (*t, place.clone())).collect(),
        }
    }

    fn open(&self) -> Vec<Open> {
        let timers = &self.set.catalogue.timers;
        let window = |t: &Handle<Timer>| matches!(timers[*t].span, Some(registers::Span::Within(_)));
        let windows = self.timers.keys().filter(|t| window(t)).map(|t| Open::Window(*t));
        let snug = self.loose.iter().filter(|(_, (grip, _))| *grip == Grip::Snug);
        let fasteners: BTreeSet<Handle<Torque>> = snug.map(|(t, _)| *t).chain(self.undone.iter().copied()).collect();
        let fasteners = fasteners.into_iter().map(Open::Fastener);
        windows
            .chain(fasteners)
            .chain(self.tools.iter().map(|t| Open::Tool(*t)))
            .chain(self.turning.iter().map(|a| Open::Action(*a)))
            .collect()
    }
}
