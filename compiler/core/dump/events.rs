//! What happens in a set: each event with the conditions for it, and as it is played for the default choices.

use super::model::conditions;
use super::names::{item, state, thing};
use super::place;
use crate::check::walk::event::Touched;
use crate::check::walk::{Flow, Happened, OnFastener, OnItem, OnState, OnTimer, Place, Stop, What, play};
use crate::model::registers::Action;
use crate::model::{Choices, Handle, Set};
use crate::source::FileSet;
use serde_json::{Value, json};

pub fn events(files: &FileSet, set: &Set) -> Value {
    let flow = Flow::new(set);
    let played = play(&flow, &Choices::defaults(&set.catalogue));
    let all = flow.stops.iter().flat_map(|stop| of_stop(files, set, stop));
    let by_default = played.events().map(|one| happened(files, set, one));
    json!({ "all": all.collect::<Value>(), "default": by_default.collect::<Value>() })
}

fn of_stop(files: &FileSet, set: &Set, stop: &Stop) -> Vec<Value> {
    let events = stop.events.iter().map(|event| {
        let only = stop.phase.only.iter().chain(&stop.step.only).chain(event.only);
        json!({
            "card": stop.procedure.number(),
            "step": stop.step.number.to_string(),
            "at": place(files, event.at),
            "only": conditions(set, only),
            "what": words(set, &event.what),
        })
    });
    events.collect()
}

fn happened(files: &FileSet, set: &Set, event: &Happened) -> Value {
    let Happened {
        at,
        member,
        what,
        on,
        started,
    } = event;
    let Place { procedure, step, span } = at;
    let started = started.map(|started| format!("card {}, {}", started.procedure.number(), started.step));
    json!({
        "card": procedure.number(),
        "step": step.to_string(),
        "at": place(files, *span),
        "what": words(set, what),
        "member": member,
        "on": if matches!(what, What::Item(..)) { json!(on) } else { Value::Null },
        "started": started,
    })
}

/// The id of what an event is about.
fn touched(set: &Set, thing: Touched) -> &str {
    let catalogue = &set.catalogue;
    match thing {
        Touched::Item(of) => item(set, of),
        Touched::Torque(torque) => &catalogue.torques.get(torque).id.text,
        Touched::State(state) => &catalogue.states.get(state).id.text,
        Touched::Timer(timer) => &catalogue.timers.get(timer).id.text,
        Touched::Readings(limit) => &catalogue.limits.get(limit).id.text,
    }
}

/// An event in words: `fit plug 2`, `need drain=open for open-drain`.
fn words(set: &Set, what: &What) -> String {
    let catalogue = &set.catalogue;
    let action = |action: Handle<Action>| catalogue.actions.get(action).id.text.as_str();
    let by = |asks: Option<Handle<Action>>| asks.map_or_else(String::new, |asks| format!(" for {}", action(asks)));
    match *what {
        What::Item(of, OnItem::Fit(count)) => format!("fit {} {count}", item(set, of)),
        What::Item(of, OnItem::Remove(count)) => format!("remove {} {count}", item(set, of)),
        What::Item(of, OnItem::Barred(asks)) => format!("never {} with {}", action(asks), item(set, of)),
        What::Fastener(torque, on) => {
            let verb = match on {
                OnFastener::Loosen => "loosen",
                OnFastener::Snug => "snug",
                OnFastener::Torque => "torque",
            };
            format!("{verb} {}", catalogue.torques.get(torque).id.text)
        }
        What::State(of, OnState::Set(value, asks)) => format!("set {}{}", state(set, of, value), by(asks)),
        What::State(of, OnState::Need(value, asks)) => format!("need {}{}", state(set, of, value), by(asks)),
        What::Timer(timer, OnTimer::Start) => format!("start {}", catalogue.timers.get(timer).id.text),
        What::Timer(timer, OnTimer::End) => format!("end {}", catalogue.timers.get(timer).id.text),
        What::Use(used, amount) => {
            let amount = amount.map_or_else(String::new, |amount| format!(" {amount}"));
            format!("use {}{amount}", thing(set, used))
        }
        What::Measure(limit) => format!("measure {}", catalogue.limits.get(limit).id.text),
        What::Do(asks) => format!("do {}", action(asks)),
        What::Hold(hold) => format!("hold {}", catalogue.holds.get(hold).id.text),
        What::Work(time) => format!("work {time}"),
        What::Look(thing) => format!("look at {}", touched(set, thing)),
        What::Spread(consumable, joint) => {
            let on = &catalogue.joints.get(joint).id.text;
            format!("spread {} on {on}", catalogue.consumables.get(consumable).id.text)
        }
        What::Wait(consumable) => format!("wait {}", catalogue.consumables.get(consumable).id.text),
    }
}
