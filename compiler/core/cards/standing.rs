//! How the machine stands between cards, where work may stop, and what is ticked at the end: the ledger's facts in words.

use super::beside::CloseOut;
use super::card::{Standing, StandingRow};
use super::identity;
use super::torque;
use super::written::text;
use crate::check::Facts;
use crate::check::ledger::{self, Carried, Grip, Open};
use crate::check::walk::event::members;
use crate::check::walk::{Done, Place, Played, Touched};
use crate::model::registers::{Part, Span, Torque};
use crate::model::{Choices, Entity, Handle, Item, ProcedureId, Set, StepNumber};
use crate::source::Span as Written;
use crate::words::{Phrase, joined, phrase, say};
use std::collections::BTreeMap;

/// Puts ledger facts of one set into words for one of its cards.
pub struct Words<'a> {
    pub set: &'a Set,
    /// The card they are for; none for the close-out.
    pub card: Option<ProcedureId>,
}

impl Words<'_> {
    /// What the card that these steps are of finds, each with the phase that touches it first. What is on, loose, switched or running is
    /// always told; of parts that are off only those that some mark of the card touches.
    pub fn found(&self, standing: &ledger::Standing, card: &[Done]) -> Standing {
        let touched = self.touched(card);
        let phase = |thing| touched.get(&thing).map_or_else(String::new, usize::to_string);
        let mut found = self.standing(standing, |thing| touched.contains_key(&thing), phase);
        // As they are come to: where there is no room for them before the first step, they stand with their phase.
        for rows in [&mut found.off, &mut found.loose] {
            rows.sort_by_key(|row| row.touched.parse::<usize>().unwrap_or_default());
        }
        found
    }

    /// What the card that these steps are of leaves, told as [`Words::found`] does.
    pub fn left(&self, standing: &ledger::Standing, card: &[Done]) -> Standing {
        let touched = self.touched(card);
        self.standing(standing, |thing| touched.contains_key(&thing), |_| String::new())
    }

    /// How everything stands.
    pub fn all(&self, standing: &ledger::Standing) -> Standing {
        self.standing(standing, |_| true, |_| String::new())
    }

    /// What these steps touch, with the number of the first phase that does. What is fitted in a part's place touches that part too.
    fn touched(&self, card: &[Done]) -> BTreeMap<Touched, usize> {
        let mut found = BTreeMap::new();
        for done in card {
            for (touched, _) in done.events.iter().filter_map(|event| event.what.touches()) {
                let place = self.place_of(touched).map(|part| Touched::Item(Item::Part(part)));
                for thing in place.into_iter().chain([touched]) {
                    found.entry(thing).or_insert(done.step.number.phase());
                }
            }
        }
        found
    }

    fn standing(
        &self,
        standing: &ledger::Standing,
        is_told: impl Fn(Touched) -> bool,
        phase: impl Fn(Touched) -> String,
    ) -> Standing {
        let catalogue = &self.set.catalogue;
        let fitted = standing.fitted.iter().map(|held| {
            let item = &catalogue.temporary[held.item];
            let at = catalogue.temporary.get(held.item).id.span;
            let touched = phase(Touched::Item(Item::Temporary(held.item)));
            self.row(
                (&item.name, at),
                held.count,
                text(&item.flag).into(),
                &held.since,
                touched,
            )
        });
        let part_of = |part| Touched::Item(Item::Part(part));
        let (own, other): (Vec<_>, Vec<_>) = standing.off.iter().partition(|held| is_told(part_of(held.item)));
        // What is off can't be loose besides, if it is off at every member of its group.
        let is_off = |torque: Handle<Torque>| {
            let part = self.set.links.ties(torque.entity()).part;
            let of_it = own.iter().filter(|held| Some(held.item) == part);
            let off: u32 = of_it.map(|held| held.count).sum();
            let all = members(self.set, torque.entity());
            off > 0 && off >= catalogue.torques[torque].count().saturating_mul(all)
        };
        let fasteners: Vec<_> = (standing.loose.iter()).filter(|loose| !is_off(loose.what.0)).collect();
        let off = own.into_iter().map(|held| {
            let part = &catalogue.parts[held.item];
            let at = catalogue.parts.get(held.item).id.span;
            let touched = phase(part_of(held.item));
            self.row(
                (&part.name, at),
                held.count,
                text(&part.number).into(),
                &held.since,
                touched,
            )
        });
        let loose = fasteners.into_iter().map(|loose| {
            let (torque, grip) = loose.what;
            let members = u32::try_from(loose.members.len()).unwrap_or(u32::MAX);
            let count = catalogue.torques[torque].count().saturating_mul(members);
            let touched = phase(Touched::Torque(torque));
            let grip = if grip == Grip::Snug {
                say::by_hand_only()
            } else {
                say::loose()
            };
            let at = catalogue.torques.get(torque).id.span;
            let name = self.of_members(&catalogue.torques[torque].name, torque.entity(), &loose.members);
            self.row((&name, at), count, grip, &loose.since, touched)
        });
        let states = standing.states.iter().map(|stands| {
            let (state, value) = stands.what;
            let touched = phase(Touched::State(state));
            let at = catalogue.states.get(state).id.span;
            let name = self.of_members(&catalogue.states[state].name, state.entity(), &stands.members);
            let values = &catalogue.states[state].values;
            let value = values.get(value).map_or_else(String::new, |v| v.text.clone());
            self.row((&name, at), 1, value.into(), &stands.since, touched)
        });
        let timers = standing.timers.iter().map(|runs| {
            let touched = phase(Touched::Timer(runs.what));
            let at = catalogue.timers.get(runs.what).id.span;
            let timer = &catalogue.timers[runs.what];
            let rule = timer.span.as_ref().map_or_else(Phrase::default, rule);
            let name = self.of_members(&timer.what, runs.what.entity(), &runs.members);
            self.row((&name, at), 1, rule, &runs.since, touched)
        });
        Standing {
            fitted: fitted.collect(),
            off: off.collect(),
            rest: other.len(),
            loose: loose.collect(),
            states: states.collect(),
            timers: timers.collect(),
        }
    }

    /// The part whose place a touched part takes.
    fn place_of(&self, touched: Touched) -> Option<Handle<Part>> {
        match touched {
            Touched::Item(Item::Part(part)) => Some(self.set.links.place_of(part)),
            Touched::Item(Item::Temporary(_))
            | Touched::Torque(_)
            | Touched::State(_)
            | Touched::Timer(_)
            | Touched::Readings(_) => None,
        }
    }

    /// A name with the members that are meant, if they aren't all of their group.
    fn of_members(&self, name: &str, entity: Entity, some: &[usize]) -> String {
        let group = self.set.links.ties(entity).each;
        let all = group.map_or(&[][..], |group| self.set.catalogue.groups[group].members.as_slice());
        if all.len() <= some.len() {
            return name.to_string();
        }
        let named = some.iter().filter_map(|member| all.get(*member));
        let named: Vec<&str> = named.map(|member| member.text.as_str()).collect();
        format!("{name} ({})", named.join(", "))
    }

    fn row(
        &self,
        (what, at): (&str, Written),
        count: u32,
        detail: Phrase,
        since: &Place,
        touched: String,
    ) -> StandingRow {
        StandingRow {
            what: what.to_string(),
            count: count as usize,
            detail,
            since: self.place(since),
            touched,
            span: Some(at),
        }
    }

    /// A step, with its card if that is another one.
    fn place(&self, place: &Place) -> Phrase {
        let step = place.step.to_string();
        if Some(place.procedure) == self.card {
            step.into()
        } else {
            say::step_on_card(place.procedure.number(), step)
        }
    }

    fn places(&self, places: &[Place]) -> Phrase {
        joined(places.iter().map(|p| self.place(p)), ", ")
    }

    /// Why work can't stop.
    pub fn open(&self, open: &Open) -> Phrase {
        let catalogue = &self.set.catalogue;
        match open {
            Open::Window(timer) => say::open_window(&catalogue.timers[*timer].what),
            Open::Fastener(torque) => say::open_fastener(&catalogue.torques[*torque].name),
            Open::Tool(tool) => say::open_tool(&catalogue.tools[*tool].name),
            Open::Action(action) => say::open_action(&catalogue.actions[*action].name),
            Open::Consumable(consumable) => say::open_consumable(&catalogue.consumables[*consumable].name),
            Open::State(state, value) => {
                let entry = &catalogue.states[*state];
                let value = entry.values.get(*value).map_or("", |value| value.text.as_str());
                say::open_state(&entry.name, value)
            }
            Open::Temporary(item) => say::open_temporary(&catalogue.temporary[*item].name),
        }
    }

    /// Whether work may stop after a step, and what is open there. Of a step the ledger didn't walk nothing is known.
    pub fn stop(&self, carried: Option<&Carried>, step: StepNumber) -> (bool, Vec<Phrase>) {
        let Some(gap) = carried.and_then(|c| c.gaps.iter().find(|g| g.after == step)) else {
            return (false, Vec::new());
        };
        (gap.is_safe(), gap.open.iter().map(|open| self.open(open)).collect())
    }
}

/// What a timer asks, in words.
pub fn rule(span: &Span) -> Phrase {
    match span {
        Span::Within(time) => say::within(time.value.to_string()),
        Span::AtLeast(time) => say::wait_at_least(time.value.to_string()),
    }
}

/// The close-out of a set for some choices.
pub fn close_out(played: &Played, facts: &Facts, choices: &Choices) -> CloseOut {
    let set = played.set;
    let words = Words { set, card: None };
    let found = ledger::close_out(played);
    let catalogue = &set.catalogue;
    let row = |(what, at): (&str, Written), count: u32, detail: Phrase, since: Phrase| StandingRow {
        what: what.to_string(),
        count: count as usize,
        detail,
        since,
        touched: String::new(),
        span: Some(at),
    };
    let temporary = found.temporary.iter().map(|t| {
        let item = &catalogue.temporary[t.item];
        let at = catalogue.temporary.get(t.item).id.span;
        row((&item.name, at), t.count, text(&item.flag).into(), words.places(&t.off))
    });
    let torques = found.torques.iter().map(|t| {
        let spec = torque::row(set, &facts.torques, t.torque, t.at.step);
        let stage = |s: &super::card::Stage| match s.second.is_empty() {
            true => s.figure.said().clone(),
            false => phrase!(s.figure.said(), " (", &s.second, ")"),
        };
        let stages = spec.stages.iter().map(stage).reduce(say::then);
        let at = catalogue.torques.get(t.torque).id.span;
        row(
            (&spec.name, at),
            (spec.count as u32).saturating_mul(members(set, t.torque.entity())),
            match &catalogue.torques[t.torque].again {
                Some(after) => say::once_more(stages.unwrap_or_default(), &after.text),
                None => stages.unwrap_or_default(),
            },
            words.place(&t.at),
        )
    });
    let holds = found.holds.iter().map(|h| {
        let hold = &catalogue.holds[h.hold];
        let who = match hold.second_person {
            true => say::second_person(),
            false => Phrase::default(),
        };
        let at = catalogue.holds.get(h.hold).id.span;
        row((&hold.what, at), 1, who, words.place(&h.at))
    });
    let states = catalogue.states.iter().filter_map(|(_, def)| {
        let finish = def.value.finish.as_ref()?;
        Some(row(
            (&def.value.name, def.id.span),
            1,
            (&finish.text).into(),
            Phrase::default(),
        ))
    });
    CloseOut {
        identity: identity::close_out(set, choices),
        notices: std::iter::once(say::standing_notice())
            .chain(facts.allowed.iter().map(Phrase::from))
            .collect(),
        temporary: temporary.collect(),
        torques: torques.collect(),
        holds: holds.collect(),
        states: states.collect(),
    }
}
