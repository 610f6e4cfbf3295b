//! How the machine stands between cards, where work may stop, and what is ticked at the end: the ledger's facts in words.

use super::beside::CloseOut;
use super::card::{Standing, StandingRow};
use super::identity::{self, STANDING_NOTICE};
use super::torque;
use super::written::text;
use crate::check::Facts;
use crate::check::ledger::{self, Carried, Grip, Open};
use crate::check::walk::{Place, Played};
use crate::model::registers::Span;
use crate::model::{Choices, ProcedureId, Set, StepNumber};

/// Puts ledger facts of one set into words for one of its cards.
pub struct Words<'a> {
    pub set: &'a Set,
    /// The card they are for; none for the close-out.
    pub card: Option<ProcedureId>,
}

impl Words<'_> {
    pub fn standing(&self, standing: &ledger::Standing) -> Standing {
        let catalogue = &self.set.catalogue;
        let fitted = standing.fitted.iter().map(|held| {
            let item = &catalogue.temporary[held.item];
            self.row(&item.name, held.count, text(&item.flag), &held.since)
        });
        let off = standing.off.iter().map(|held| {
            let part = &catalogue.parts[held.item];
            self.row(&part.name, held.count, text(&part.number), &held.since)
        });
        let loose = standing.loose.iter().map(|fastener| {
            let torque = &catalogue.torques[fastener.torque];
            let grip = if fastener.grip == Grip::Snug {
                "by hand only"
            } else {
                "loose"
            };
            self.row(&torque.name, torque.count(), grip.to_string(), &fastener.since)
        });
        let states = standing.states.iter().map(|(state, value, since)| {
            let state = &catalogue.states[*state];
            let value = state.values.get(*value).map_or_else(String::new, |v| v.text.clone());
            self.row(&state.name, 1, value, since)
        });
        let timers = standing.timers.iter().map(|(timer, since)| {
            let timer = &catalogue.timers[*timer];
            let rule = timer.span.as_ref().map_or_else(String::new, rule);
            self.row(&timer.what, 1, rule, since)
        });
        Standing {
            fitted: fitted.collect(),
            off: off.collect(),
            loose: loose.collect(),
            states: states.collect(),
            timers: timers.collect(),
        }
    }

    fn row(&self, what: &str, count: u32, detail: String, since: &Place) -> StandingRow {
        StandingRow {
            what: what.to_string(),
            count: count as usize,
            detail,
            since: self.place(since),
        }
    }

    /// A step, with its card if that is another one.
    fn place(&self, place: &Place) -> String {
        if Some(place.procedure) == self.card {
            place.step.to_string()
        } else {
            format!("card {}, {}", place.procedure.number(), place.step)
        }
    }

    fn places(&self, places: &[Place]) -> String {
        places.iter().map(|p| self.place(p)).collect::<Vec<_>>().join(", ")
    }

    /// Whether work may stop after a step, and what is open there. Of a step the ledger didn't walk nothing is known.
    pub fn stop(&self, carried: Option<&Carried>, step: StepNumber) -> (bool, Vec<String>) {
        let Some(gap) = carried.and_then(|c| c.gaps.iter().find(|g| g.after == step)) else {
            return (false, Vec::new());
        };
        let catalogue = &self.set.catalogue;
        let word = |open: &Open| match open {
            Open::Window(timer) => format!("clock: {}", catalogue.timers[*timer].what),
            Open::Fastener(torque) => format!("not tight: {}", catalogue.torques[*torque].name),
            Open::Tool(tool) => format!("in use: {}", catalogue.tools[*tool].name),
            Open::Action(action) => format!("may turn: {}", catalogue.actions[*action].name),
            Open::Consumable(consumable) => format!("open: {}", catalogue.consumables[*consumable].name),
            Open::State(state, value) => {
                let entry = &catalogue.states[*state];
                let value = entry.values.get(*value).map_or("", |value| value.text.as_str());
                format!("not left so: {}: {value}", entry.name)
            }
            Open::Temporary(item) => format!("not left on: {}", catalogue.temporary[*item].name),
        };
        (gap.is_safe(), gap.open.iter().map(word).collect())
    }
}

/// What a timer asks, in words.
fn rule(span: &Span) -> String {
    match span {
        Span::Within(time) => format!("within {}", time.value),
        Span::AtLeast(time) => format!("at least {}", time.value),
    }
}

/// The close-out of a set for some choices.
pub fn close_out(played: &Played, facts: &Facts, choices: &Choices) -> CloseOut {
    let set = played.set;
    let words = Words { set, card: None };
    let found = ledger::close_out(played);
    let catalogue = &set.catalogue;
    let row = |what: &str, count: u32, detail: String, since: String| StandingRow {
        what: what.to_string(),
        count: count as usize,
        detail,
        since,
    };
    let temporary = found.temporary.iter().map(|t| {
        let item = &catalogue.temporary[t.item];
        row(&item.name, t.count, text(&item.flag), words.places(&t.off))
    });
    let torques = found.torques.iter().map(|t| {
        let spec = torque::row(set, &facts.torques, t.torque, t.at.step);
        let stage = |s: &super::card::Stage| match s.second.as_str() {
            "" => s.figure.to_string(),
            second => format!("{} ({second})", s.figure),
        };
        let stages: Vec<String> = spec.stages.iter().map(stage).collect();
        row(
            &spec.name,
            spec.count as u32,
            stages.join(", then "),
            words.place(&t.at),
        )
    });
    let holds = found.holds.iter().map(|h| {
        let hold = &catalogue.holds[h.hold];
        let who = if hold.second_person { "second person" } else { "" };
        row(&hold.what, 1, who.to_string(), words.place(&h.at))
    });
    let states = catalogue.states.iter().filter_map(|(_, def)| {
        let finish = def.value.finish.as_ref()?;
        Some(row(&def.value.name, 1, finish.text.clone(), String::new()))
    });
    CloseOut {
        identity: identity::close_out(set, choices),
        notices: std::iter::once(STANDING_NOTICE.to_string())
            .chain(facts.allowed.clone())
            .collect(),
        temporary: temporary.collect(),
        torques: torques.collect(),
        holds: holds.collect(),
        states: states.collect(),
    }
}
