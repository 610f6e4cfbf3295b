//! How things stand between procedures, and where work may stop, for one combination of choices.

use super::fasteners::{Fasteners, Grip, OfMember, Stands, alike};
use super::held::Held;
use crate::check::hazardous_tools;
use crate::check::walk::event::{at_start, members, whole};
use crate::check::walk::{Done, Happened, OnItem, OnState, OnTimer, Place, Played, What};
use crate::model::registers::{self, Action, Consumable, Hazard, Part, State, Temporary, Timer, Tool, Torque};
use crate::model::{Each, Entity, Handle, Item, ProcedureId, Set, StepNumber, Thing};
use std::collections::{BTreeMap, BTreeSet};

/// Something counted, and the step since which it is so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holding<T> {
    pub item: T,
    pub count: u32,
    pub since: Place,
}

/// How things stand at one moment; each list in the order of its register.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Standing {
    /// Temporary items that are on.
    pub fitted: Vec<Holding<Handle<Temporary>>>,
    /// Parts of the machine that are off it and whose place nothing has taken.
    pub off: Vec<Holding<Handle<Part>>>,
    pub loose: Vec<Stands<(Handle<Torque>, Grip)>>,
    /// States with another value than at the start, by the value's index.
    pub states: Vec<Stands<(Handle<State>, usize)>>,
    /// Timers that run.
    pub timers: Vec<Stands<Handle<Timer>>>,
}

/// Why work can't stop at a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Open {
    /// A window runs.
    Window(Handle<Timer>),
    /// Not tight while a part is on that it holds; or, where nobody says what it holds, started by hand and not tightened, or loosened with
    /// nothing taken off since.
    Fastener(Handle<Torque>),
    /// A load may hang on it until the phase ends.
    Tool(Handle<Tool>),
    /// It set something turning (`hazard: rotation`), which may turn until the phase ends.
    Action(Handle<Action>),
    /// It is on a joint that isn't closed, and stays open only for a while.
    Consumable(Handle<Consumable>),
    /// A value at which nobody leaves the machine.
    State(Handle<State>, usize),
    /// It must not be left on.
    Temporary(Handle<Temporary>),
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
    pub carried_in: Standing,
    pub carried_out: Standing,
    /// One for each step that the choices keep, in order.
    pub gaps: Vec<Gap>,
}

/// What every procedure of a set takes over and hands on, in the set's order.
///
/// Only what is declared and marked is known; where the set has faults, the numbers follow the marks as far as they make sense.
pub fn carried(played: &Played) -> Each<Carried> {
    let held = Held::new(played.set, &played.absent);
    let mut now = Now::new(played.set, &held);
    let mut out = Vec::new();
    for steps in &played.cards {
        let carried_in = now.standing();
        let mut gaps = Vec::new();
        let mut aside = None;
        for done in steps {
            let open = now.passed(done, &mut aside);
            gaps.push(Gap {
                after: done.step.number,
                open,
            });
        }
        // What is done only where a reading is out is no part of how things stand after it.
        out.push(Carried {
            carried_in,
            carried_out: now.standing(),
            gaps,
        });
    }
    out.into_iter().collect()
}

/// How things stand around one step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moment {
    pub before: Standing,
    /// What is open behind it; nothing: work may stop there.
    pub open: Vec<Open>,
}

/// How things stand around a step of a procedure; `None` if the choices leave it out.
pub fn moment(played: &Played, procedure: ProcedureId, step: StepNumber) -> Option<Moment> {
    let held = Held::new(played.set, &played.absent);
    let mut now = Now::new(played.set, &held);
    for (id, steps) in played.cards.named() {
        let mut aside: Option<Now> = None;
        for done in steps {
            let here = id == procedure && done.step.number == step;
            let way = aside.as_ref().filter(|_| done.aside).unwrap_or(&now);
            let before = here.then(|| way.standing());
            let open = now.passed(done, &mut aside);
            if let Some(before) = before {
                return Some(Moment { before, open });
            }
        }
    }
    None
}

/// How things stand at one moment, each thing with the place since which it is so.
#[derive(Clone)]
struct Now<'a> {
    set: &'a Set,
    held: &'a Held,
    temporary: BTreeMap<Handle<Temporary>, (u32, Place)>,
    /// How many of a part are on, once some event has touched it.
    parts: BTreeMap<Handle<Part>, (u32, Place)>,
    fasteners: Fasteners,
    states: BTreeMap<OfMember<Handle<State>>, (usize, Place)>,
    timers: BTreeMap<OfMember<Handle<Timer>>, Place>,
    /// Lifting tools in use in this phase.
    tools: BTreeSet<Handle<Tool>>,
    /// Actions of this phase that set something turning.
    turning: BTreeSet<Handle<Action>>,
    /// On joints that aren't closed.
    joints: BTreeSet<Handle<Consumable>>,
}

impl<'a> Now<'a> {
    fn new(set: &'a Set, held: &'a Held) -> Self {
        let mut now = Now {
            set,
            held,
            temporary: BTreeMap::new(),
            parts: BTreeMap::new(),
            fasteners: Fasteners::default(),
            states: BTreeMap::new(),
            timers: BTreeMap::new(),
            tools: BTreeSet::new(),
            turning: BTreeSet::new(),
            joints: BTreeSet::new(),
        };
        // What holds nothing yet was never tightened.
        let torques = set.catalogue.torques.iter().map(|(torque, _)| torque);
        let never = torques.filter(|torque| held.holds(*torque) && !now.has_held(*torque));
        let never: Vec<_> = never.flat_map(|torque| now.each(torque, None)).collect();
        now.fasteners.slacken(never);
        now
    }

    /// A thing of one member, or of each.
    fn members<T: Copy>(
        &self,
        entity: Entity,
        thing: T,
        member: Option<usize>,
    ) -> impl Iterator<Item = OfMember<T>> + use<T> {
        let all = members(self.set, entity) as usize;
        let range = member.map_or(0..all, |member| member..member + 1);
        range.map(move |member| (thing, member))
    }

    /// The same of fasteners.
    fn each(
        &self,
        torque: Handle<Torque>,
        member: Option<usize>,
    ) -> impl Iterator<Item = OfMember<Handle<Torque>>> + use<> {
        self.members(torque.entity(), torque, member)
    }

    /// True if a part is on that fasteners hold.
    fn has_held(&self, torque: Handle<Torque>) -> bool {
        self.held.parts(torque).any(|part| self.on(part) > 0)
    }

    /// Fasteners that hold a part's place aren't tight any more.
    fn slacken(&mut self, part: Handle<Part>) {
        let of = self.held.by(self.set.links.place_of(part));
        let of: Vec<_> = of.iter().flat_map(|torque| self.each(*torque, None)).collect();
        self.fasteners.slacken(of);
    }

    /// A step is passed: done, or, where it is done only if a reading is out, done on the way beside this one, which `aside` keeps from
    /// step to step of a card. Gives what is open behind it on either way: work stops where it may on both.
    fn passed(&mut self, done: &Done, aside: &mut Option<Self>) -> Vec<Open> {
        let mut open = BTreeSet::new();
        if done.aside {
            let way = aside.get_or_insert_with(|| self.clone());
            way.done(done);
            open.extend(way.open());
        } else {
            *aside = None;
            self.done(done);
        }
        open.extend(self.open());
        open.into_iter().collect()
    }

    /// A step is done.
    fn done(&mut self, done: &Done) {
        done.events.iter().for_each(|event| self.happened(event));
        self.joints.clone_from(&done.open);
        if done.ends_phase {
            self.tools.clear();
            self.turning.clear();
        }
    }

    fn happened(&mut self, event: &Happened) {
        let catalogue = &self.set.catalogue;
        match event.what {
            What::Item(item, on) => self.item(item, on, event),
            What::Fastener(torque, on) => {
                let holds = self.held.holds(torque);
                for fastener in self.each(torque, event.member) {
                    self.fasteners.happened(fastener, on, holds, event.at);
                }
            }
            What::State(state, OnState::Set(value, _)) => {
                for of in self.members(state.entity(), state, event.member) {
                    self.states.insert(of, (value, event.at));
                }
            }
            What::Timer(timer, OnTimer::Start) => {
                for of in self.members(timer.entity(), timer, event.member) {
                    self.timers.insert(of, event.at);
                }
            }
            What::Timer(timer, OnTimer::End) => {
                for of in self.members(timer.entity(), timer, event.member) {
                    self.timers.remove(&of);
                }
            }
            What::Do(action) => {
                if catalogue.actions[action].hazards.contains(&Hazard::Rotation) {
                    self.turning.insert(action);
                }
            }
            What::Use(Thing::Tool(tool), _) => {
                let hazards = hazardous_tools::of_tool(&catalogue.tools[tool]);
                if hazards.iter().any(|(hazard, _)| *hazard == Hazard::Lifting) {
                    self.tools.insert(tool);
                }
            }
            What::Use(Thing::Part(_) | Thing::Temporary(_) | Thing::Consumable(_), _)
            | What::State(_, OnState::Need(..))
            | What::Measure(_)
            | What::Hold(_)
            | What::Work(_)
            | What::Look(_)
            | What::Spread(..)
            | What::Wait(_) => {}
        }
    }

    fn item(&mut self, item: Item, on: OnItem, event: &Happened) {
        match (item, on) {
            (_, OnItem::Barred(_)) => {}
            (Item::Temporary(item), OnItem::Fit(_)) => {
                self.temporary.insert(item, (event.on, event.at));
            }
            (Item::Temporary(item), OnItem::Remove(_)) => match self.temporary.get_mut(&item) {
                Some(entry) if event.on > 0 => entry.0 = event.on,
                _ => drop(self.temporary.remove(&item)),
            },
            (Item::Part(part), OnItem::Fit(_)) => {
                self.parts.insert(part, (event.on, event.at));
                self.slacken(part);
            }
            (Item::Part(part), OnItem::Remove(_)) => {
                self.fasteners.parted();
                self.parts.insert(part, (event.on, event.at));
                if event.on == 0 {
                    self.slacken(part);
                }
            }
        }
    }

    /// How many of a part are on.
    fn on(&self, part: Handle<Part>) -> u32 {
        let touched = self.parts.get(&part).map(|(on, _)| *on);
        touched.unwrap_or_else(|| at_start(self.set, Item::Part(part)))
    }

    fn standing(&self) -> Standing {
        let set = self.set;
        let fitted = self.temporary.iter().map(|(item, (count, since))| Holding {
            item: *item,
            count: *count,
            since: *since,
        });
        let replacing = self.held.replacing().iter().filter(|(part, _)| self.on(*part) > 0);
        let in_place: BTreeSet<Handle<Part>> = replacing.map(|(_, place)| *place).collect();
        let off = self.parts.iter().filter_map(|(part, (on, since))| {
            let entry = &set.catalogue.parts[*part];
            let all = whole(set, Item::Part(*part));
            let empty = entry.fitted && *on < all && !in_place.contains(part);
            // A single-use part that nothing is said to replace is off for good; that is no loose end.
            let for_good = entry.reuse == registers::Reuse::No && !set.links.replaces.values().any(|old| old == part);
            (empty && !for_good).then(|| Holding {
                item: *part,
                count: all - on,
                since: *since,
            })
        });
        let states = self.states.iter().filter_map(|((state, member), (value, since))| {
            let entry = &set.catalogue.states[*state];
            let now = entry.values.get(*value)?;
            let at_start = entry.start.as_ref().is_some_and(|start| start.text == now.text);
            (!at_start).then_some((((*state, *value), *member), *since))
        });
        Standing {
            fitted: fitted.collect(),
            off: off.collect(),
            loose: self.fasteners.loose(),
            states: alike(states),
            timers: alike(self.timers.iter().map(|(of, since)| (*of, *since))),
        }
    }

    fn open(&self) -> Vec<Open> {
        let perilous = self.set.catalogue.states.iter().flat_map(|(state, def)| {
            let values = &self.set.links.ties(state.entity()).perilous;
            let start = def.value.start.as_ref();
            let at_start = start.and_then(|start| def.value.values.iter().position(|value| value.text == start.text));
            let each = self.members(state.entity(), state, None);
            let now = each.filter_map(move |of| self.states.get(&of).map(|(value, _)| *value).or(at_start));
            now.filter(|now| values.contains(now)).map(move |now| (state, now))
        });
        let states = perilous.map(|(state, value)| Open::State(state, value));
        let items = self
            .temporary
            .keys()
            .filter(|item| self.set.catalogue.temporary[**item].perilous);
        let items = items.map(|item| Open::Temporary(*item));
        let timers = &self.set.catalogue.timers;
        let window = |t: Handle<Timer>| matches!(timers[t].span, Some(registers::Span::Within(_)));
        let windows = self.timers.keys().map(|(timer, _)| *timer).filter(|t| window(*t));
        let windows = windows.map(Open::Window);
        // Of those that hold parts it is known whether one is on.
        let fasteners = self
            .fasteners
            .open(|torque| self.held.holds(torque), |torque| self.has_held(torque));
        let fasteners = fasteners.into_iter().map(Open::Fastener);
        windows
            .chain(fasteners)
            .chain(self.tools.iter().map(|t| Open::Tool(*t)))
            .chain(self.turning.iter().map(|a| Open::Action(*a)))
            .chain(self.joints.iter().map(|c| Open::Consumable(*c)))
            .chain(states)
            .chain(items)
            .collect()
    }
}
