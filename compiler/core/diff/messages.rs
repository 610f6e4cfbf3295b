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
    /// The same in words: `the card`, `phase 2`, `step 2.3`.
    covers: Phrase,
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
    let mut partners: Vec<(&Placed, Option<&Placed>)> = was.iter().map(|old| (old, None)).collect();
    let mut free: Vec<&Placed> = is.iter().collect();
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
        for (old, found) in partners.iter_mut().filter(|(_, found)| found.is_none()) {
            if let Some(at) = free.iter().position(|new| pass.iter().all(|alike| alike(old, new))) {
                *found = Some(free.remove(at));
            }
        }
    }
    for (old_message, found) in partners {
        match found {
            Some(placed) => pair(new, old_message, placed, partner(old_message.scope), changes),
            None => {
                let kind = if old_message.message.signal == Signal::Note {
                    Kind::Words
                } else {
                    Kind::MessageDropped
                };
                let mut change = named(kind, old_message);
                change.old.text = old_message.whole();
                if let Scope::Step(n) = old_message.scope {
                    change.place.old_step = number(old, n);
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
    for placed in free {
        let kind = if placed.message.signal == Signal::Note {
            Kind::Words
        } else {
            Kind::MessageAdded
        };
        let mut change = named(kind, placed);
        change.new.text = placed.whole();
        changes.push(at_step(change, new, placed.scope));
    }
}

fn all<'a>(view: &View<'a>) -> Vec<Placed<'a>> {
    let mut found = Vec::new();
    let mut put = |scope, covers: Phrase, messages: &'a [Message]| {
        found.extend(messages.iter().map(|one| Placed::new(scope, &covers, one)));
    };
    put(Scope::Card, say::the_card(), &view.card.cover.messages);
    for (n, phase) in view.phases().iter().enumerate() {
        put(Scope::Phase(n), say::phase(phase.number), &phase.messages);
    }
    for (n, step) in view.steps.iter().enumerate() {
        put(Scope::Step(n), say::step(step.number), step.messages);
    }
    found
}

impl<'a> Placed<'a> {
    fn new(scope: Scope, covers: &Phrase, message: &'a Message) -> Placed<'a> {
        let mut placed = Placed {
            scope,
            covers: covers.clone(),
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

fn named(kind: Kind, placed: &Placed) -> Change {
    let level = placed.message.signal.word();
    let subject = match placed.hazard.is_empty() {
        true => say::message_for(level, &placed.covers),
        false => say::message_named(level, &placed.hazard, &placed.covers),
    };
    Change::new(kind, subject)
}

/// The number of a step by its index; empty if there is none.
fn number(view: &View, step: usize) -> String {
    view.steps
        .get(step)
        .map_or_else(String::new, |step| step.number.to_string())
}

fn at_step(mut change: Change, new: &View, scope: Scope) -> Change {
    match scope {
        Scope::Step(n) => change.place.step = number(new, n),
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
fn pair(new: &View, was: &Placed, is: &Placed, stays_at: Option<Scope>, changes: &mut Vec<Change>) {
    let (before, after) = (was.message, is.message);
    let note_only = before.signal == Signal::Note && after.signal == Signal::Note;
    let mut put = |kind: Kind, field: Field, from: Phrase, to: Phrase| {
        let kind = if note_only { Kind::Words } else { kind };
        let change = named(kind, is).field(field).from_to(from, to);
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
        put(direction(weaker), Field::Covers, was.covers.clone(), is.covers.clone());
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
