//! Safety messages: which are gone, which say less than they did, which say more. What a message covers is part of what it says.

use super::field::Field;
use super::model::{Change, Kind};
use super::pairs::{Item, Pairs};
use super::view::{View, Words, line, words};
use crate::cards::card::{Message, Signal};
use crate::words::{Phrase, joined, say};

/// What a message stands before: phases and steps by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Scope {
    Card,
    Phase(usize),
    Step(usize),
}

struct Placed<'a> {
    scope: Scope,
    message: &'a Message,
    hazard: Phrase,
    consequence: Words,
    avoid: Words,
    item: Item,
}

/// Compares the messages of two cards whose phases and steps are paired.
pub fn compare(old: &View, new: &View, phases: &Pairs, steps: &Pairs, changes: &mut Vec<Change>) {
    let (was, is) = (all(old), all(new));
    let partner = |scope: Scope| match scope {
        Scope::Card => Some(Scope::Card),
        Scope::Phase(n) => phases.pairs.iter().find(|p| p.old == n).map(|p| Scope::Phase(p.new)),
        Scope::Step(n) => steps.pairs.iter().find(|p| p.old == n).map(|p| Scope::Step(p.new)),
    };
    let mut taken: Vec<Option<usize>> = vec![None; was.len()];
    let mut free: Vec<usize> = (0..is.len()).collect();
    type Alike<'t> = &'t dyn Fn(&Placed, &Placed) -> bool;
    let in_place: Alike = &|o, n| partner(o.scope) == Some(n.scope);
    let same_words: Alike = &|o, n| o.item.likeness(&n.item) >= 1.0;
    let same_hazard: Alike = &|o, n| {
        let hazard = |p: &Placed| p.hazard.english().to_lowercase();
        !o.hazard.is_empty() && hazard(o) == hazard(n)
    };
    let similar: Alike = &|o, n| o.item.likeness(&n.item) >= 0.5;
    // In the same place, then anywhere; the same words, then the same hazard, then much the same words.
    let passes: [[Alike; 2]; 6] = [
        [in_place, same_words],
        [in_place, same_hazard],
        [in_place, similar],
        [same_words, same_words],
        [same_hazard, same_hazard],
        [similar, similar],
    ];
    for pass in passes {
        for (o, old) in was.iter().enumerate() {
            if taken[o].is_none()
                && let Some(at) = free.iter().position(|n| pass.iter().all(|alike| alike(old, &is[*n])))
            {
                taken[o] = Some(free.remove(at));
            }
        }
    }
    for (old_message, partner_at) in was.iter().zip(taken) {
        match partner_at {
            Some(at) => pair(old, new, old_message, &is[at], partner(old_message.scope), changes),
            None => {
                let kind = if old_message.message.signal == Signal::Note {
                    Kind::Words
                } else {
                    Kind::MessageDropped
                };
                let place = covers(old, old_message.scope);
                let mut change = named(kind, &old_message.hazard, old_message.message.signal, &place);
                change.old.text = old_message.whole();
                if let Scope::Step(n) = old_message.scope {
                    change.place.old_step = old.steps[n].number.to_string();
                }
                change = match (partner(old_message.scope), old_message.scope) {
                    (Some(scope), _) => at_step(change, new, scope),
                    (None, Scope::Phase(_)) => change.note(say::with_its_phase()),
                    (None, _) => change.note(say::with_its_step()),
                };
                changes.push(change);
            }
        }
    }
    for n in free {
        let placed = &is[n];
        let kind = if placed.message.signal == Signal::Note {
            Kind::Words
        } else {
            Kind::MessageAdded
        };
        let place = covers(new, placed.scope);
        let mut change = named(kind, &placed.hazard, placed.message.signal, &place);
        change.new.text = placed.whole();
        changes.push(at_step(change, new, placed.scope));
    }
}

fn all<'a>(view: &View<'a>) -> Vec<Placed<'a>> {
    let put = |scope| move |message: &'a Message| Placed::new(scope, message);
    let mut found: Vec<Placed> = view.card.cover.messages.iter().map(put(Scope::Card)).collect();
    for (n, phase) in view.phases().iter().enumerate() {
        found.extend(phase.messages.iter().map(put(Scope::Phase(n))));
    }
    for (n, step) in view.steps.iter().enumerate() {
        found.extend(step.messages.iter().map(put(Scope::Step(n))));
    }
    found
}

impl<'a> Placed<'a> {
    fn new(scope: Scope, message: &'a Message) -> Placed<'a> {
        let mut placed = Placed {
            scope,
            message,
            hazard: line(&message.hazard),
            consequence: words(&message.consequence),
            avoid: words(&message.avoid),
            item: Item::new("", []),
        };
        placed.item = Item::new(&placed.whole().english(), []);
        placed
    }

    /// Every word of it.
    fn whole(&self) -> Phrase {
        let parts = [&self.hazard, &self.consequence.text, &self.avoid.text];
        joined(parts.into_iter().filter(|p| !p.is_empty()), " / ")
    }
}

/// `the card`, `phase 2`, `step 2.3`.
fn covers(view: &View, scope: Scope) -> Phrase {
    match scope {
        Scope::Card => say::the_card(),
        Scope::Phase(n) => say::phase(view.phases()[n].number),
        Scope::Step(n) => say::step(view.steps[n].number),
    }
}

fn named(kind: Kind, hazard: &Phrase, level: Signal, place: &Phrase) -> Change {
    let subject = match hazard.is_empty() {
        true => say::message_for(level.word(), place),
        false => say::message_named(level.word(), hazard, place),
    };
    Change::new(kind, subject)
}

fn at_step(mut change: Change, new: &View, scope: Scope) -> Change {
    match scope {
        Scope::Step(n) => change.place.step = new.steps[n].number.to_string(),
        // What covers a phase stands above its first step.
        Scope::Phase(n) => {
            let first = new.steps.iter().find(|s| s.phase == n);
            change.place.step = first.map_or_else(String::new, |s| s.number.to_string());
        }
        Scope::Card => {}
    }
    change
}

/// How much of a card a scope covers.
fn breadth(scope: Scope) -> u8 {
    match scope {
        Scope::Card => 2,
        Scope::Phase(_) => 1,
        Scope::Step(_) => 0,
    }
}

/// What changed about one message.
fn pair(old: &View, new: &View, was: &Placed, is: &Placed, stays_at: Option<Scope>, changes: &mut Vec<Change>) {
    let (before, after) = (was.message, is.message);
    let note_only = before.signal == Signal::Note && after.signal == Signal::Note;
    let place = covers(new, is.scope);
    let mut put = |kind: Kind, field: Field, from: Phrase, to: Phrase| {
        let kind = if note_only { Kind::Words } else { kind };
        let change = named(kind, &is.hazard, after.signal, &place)
            .field(field)
            .from_to(from, to);
        changes.push(at_step(change, new, is.scope));
    };
    let direction = |weaker: bool| {
        if weaker {
            Kind::MessageWeakened
        } else {
            Kind::MessageStrengthened
        }
    };
    if before.signal != after.signal {
        let words = (before.signal.word(), after.signal.word());
        put(direction(after.signal < before.signal), Field::Level, words.0, words.1);
    }
    if stays_at != Some(is.scope) {
        let weaker = breadth(is.scope) <= breadth(was.scope);
        put(direction(weaker), Field::Covers, covers(old, was.scope), place.clone());
    }
    if was.hazard != is.hazard {
        let kind = if is.hazard.is_empty() {
            Kind::MessageWeakened
        } else {
            Kind::MessageReworded
        };
        put(kind, Field::Hazard, was.hazard.clone(), is.hazard.clone());
    }
    for (field, from, to) in [
        (Field::Consequence, &was.consequence, &is.consequence),
        (Field::Avoid, &was.avoid, &is.avoid),
    ] {
        let says = |words: &Words| !words.text.is_empty() || !words.pictures.is_empty();
        if from == to {
            continue;
        }
        let kind = match (says(from), says(to)) {
            (true, false) => Kind::MessageWeakened,
            (false, true) => Kind::MessageStrengthened,
            _ => Kind::MessageReworded,
        };
        put(kind, field, from.text.clone(), to.text.clone());
    }
}
