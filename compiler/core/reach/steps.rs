//! The steps that do acts: their times, tools and consumables.

use super::machine::{Deed, Machine};
use crate::check::walk::{Flow, OnFastener, OnItem, OnState, Place, Stop, What};
use crate::domain::amount::Amount;
use crate::domain::timer::Duration;
use crate::kit::StepRef;
use crate::model::registers::{Consumable, Tool};
use crate::model::{Choices, Entity, Handle, Item, Thing};
use std::collections::BTreeSet;

/// A step that does something.
#[derive(Debug, Clone)]
pub struct Does<'a> {
    pub step: StepRef,
    pub time: Option<Duration>,
    pub tools: Vec<Handle<Tool>>,
    pub uses: Vec<(Handle<Consumable>, Option<&'a Amount>)>,
}

/// The step that does a deed: the first that the choices keep, or else the first at all.
pub fn doing<'a>(flow: &Flow<'a>, choices: &Choices, machine: &Machine, deed: &Deed) -> Option<Does<'a>> {
    let does = |stop: &&Stop<'a>| stop.events.iter().any(|event| is(&event.what, deed, machine));
    let kept = |stop: &&Stop<'a>| {
        let now = |event: &crate::check::walk::Event<'a>| stop.unmet_of(event, choices).next().is_none();
        stop.events
            .iter()
            .any(|event| is(&event.what, deed, machine) && now(event))
    };
    let stop = flow.stops.iter().find(kept).or_else(|| flow.stops.iter().find(does))?;
    Some(of(flow, stop))
}

fn of<'a>(flow: &Flow<'a>, stop: &Stop<'a>) -> Does<'a> {
    let at = Place {
        procedure: stop.procedure,
        step: stop.step.number,
        span: stop.step.span,
    };
    let mut does = Does {
        step: StepRef {
            card: at.procedure.number(),
            procedure: flow.set.procedures[at.procedure].id.clone(),
            step: at.step.to_string(),
        },
        time: None,
        tools: Vec::new(),
        uses: Vec::new(),
    };
    for event in &stop.events {
        if let What::Work(time) = event.what {
            does.time = Some(does.time.map_or_else(|| time.clone(), |sum| sum.plus(time)));
        }
        if let What::Use(Thing::Tool(tool), _) = event.what
            && !does.tools.contains(&tool)
        {
            does.tools.push(tool);
        }
        if let What::Use(Thing::Consumable(consumable), amount) = event.what {
            does.uses.push((consumable, amount));
        }
    }
    does
}

/// How much of a consumable the steps put on a joint or torque: the first that says it.
pub fn amount(flow: &Flow, consumable: Entity, onto: Entity) -> Option<String> {
    use crate::model::{ActKind, Surface};
    let acts = flow.set.procedures.iter().flat_map(|procedure| procedure.steps());
    let acts = acts.flat_map(|(_, step)| step.acts.iter().chain(step.substeps.iter().flat_map(|sub| &sub.acts)));
    acts.filter_map(|act| match &act.kind {
        ActKind::Use(Thing::Consumable(used), Some(amount), Some(on)) => {
            let surface = match on.what {
                Surface::Joint(joint) => joint.entity(),
                Surface::Torque(torque) => torque.entity(),
            };
            (used.entity() == consumable && surface == onto).then(|| amount.to_string())
        }
        _ => None,
    })
    .next()
}

/// True if what happens is what a deed does, for whichever member.
fn is(what: &What, deed: &Deed, machine: &Machine) -> bool {
    let entity = |item: &Item| match item {
        Item::Part(part) => part.entity(),
        Item::Temporary(item) => item.entity(),
    };
    match (what, deed) {
        (What::Item(item, OnItem::Remove(_)), Deed::Remove(seat)) => {
            machine.sits(*seat).iter().any(|node| node.entity == entity(item))
        }
        (What::Item(item, OnItem::Fit(_)), Deed::Put(node) | Deed::Fit(node)) => node.entity == entity(item),
        (What::Item(item, OnItem::Remove(_)), Deed::Take(node)) => node.entity == entity(item),
        (What::Fastener(torque, OnFastener::Loosen), Deed::Loosen(node)) => node.entity == torque.entity(),
        (What::Fastener(torque, OnFastener::Torque), Deed::Tighten(node)) => node.entity == torque.entity(),
        (What::Do(action), Deed::Do(entity)) => action.entity() == *entity,
        (What::State(state, OnState::Set(value, None)), Deed::Set(entity, index)) => {
            state.entity() == *entity && value == index
        }
        (What::Measure(limit), Deed::Measure(node)) => limit.entity() == node.entity,
        (What::Wait(consumable), Deed::Wait(entity)) => consumable.entity() == *entity,
        _ => false,
    }
}

/// Hands-on time of steps, each counted once; and of how many acts it isn't known.
pub fn time(does: &[Option<Does>]) -> (Option<Duration>, usize) {
    let mut counted = BTreeSet::new();
    let mut sum: Option<Duration> = None;
    let mut untimed = 0;
    for does in does {
        match does.as_ref().and_then(|does| Some((&does.step, does.time.as_ref()?))) {
            None => untimed += 1,
            Some((step, time)) => {
                if counted.insert(step.clone()) {
                    sum = Some(sum.map_or_else(|| time.clone(), |sum| sum.plus(time)));
                }
            }
        }
    }
    (sum, untimed)
}

pub fn whole_seconds(time: &Duration) -> Option<u64> {
    time.seconds().ceil().to_string().parse().ok()
}

pub fn said(time: &Duration) -> String {
    whole_seconds(time).map_or_else(|| time.to_string(), Duration::in_words)
}
