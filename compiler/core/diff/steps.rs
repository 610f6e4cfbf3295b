//! Steps and phases: which are new, gone, moved or reworded, and what they do otherwise than before.

use super::model::{Change, Kind};
use super::pairs::{Item, Pairs, pair};
use super::specs;
use crate::meaning::{Act, Meaning, Phase, SetMeaning, Step, SubStep, Words};
use crate::model::Entity;
use std::collections::BTreeMap;

/// Pairs the phases of two cards by their titles.
pub fn phases(old: &Meaning, new: &Meaning) -> Pairs {
    let items = |meaning: &Meaning| -> Vec<Item> { meaning.phases.iter().map(|p| Item::new(&p.title, [])).collect() };
    pair(&items(old), &items(new))
}

/// Pairs the steps of two cards by what they say and do.
pub fn steps(whole: Both, old: &Meaning, new: &Meaning) -> Pairs {
    let items = |meaning: &Meaning, name: &dyn Fn(&Act) -> String| -> Vec<Item> {
        let one = |step: &Step| {
            let subs = step.substeps.iter();
            let text = subs.fold(step.words.text.clone(), |text, sub| text + "\n" + &sub.words.text);
            let acts = step.acts.iter().chain(step.substeps.iter().flat_map(|s| &s.acts));
            Item::new(&text, acts.map(name).collect::<Vec<_>>())
        };
        meaning.steps.iter().map(one).collect()
    };
    pair(
        &items(old, &|a| act(whole.old_name(a), a)),
        &items(new, &|a| act(whole.new_name(a), a)),
    )
}

/// A mark in words: `fit rear cover: 2`.
fn act(name: &str, act: &Act) -> String {
    let detail = act.detail.shown();
    match (name.is_empty(), detail.is_empty()) {
        (_, true) => format!("{} {name}", act.verb),
        (true, false) => format!("{} {detail}", act.verb),
        (false, false) => format!("{} {name}: {detail}", act.verb),
    }
}

/// Both sets, and which entry of the old card is which of the new one.
#[derive(Clone, Copy)]
pub struct Both<'s, 'a> {
    pub old: &'s SetMeaning<'a>,
    pub new: &'s SetMeaning<'a>,
    pub partners: &'s BTreeMap<Entity, Entity>,
}

impl<'s> Both<'s, '_> {
    /// What an old mark names; by its new name where it has one, since a renamed entry is told of once.
    fn old_name(&self, act: &Act) -> &'s str {
        let Some(entity) = act.entity else { return "" };
        let (old, new) = (self.old, self.new);
        match self.partners.get(&entity) {
            Some(partner) => new.entries.get(partner).map_or("", |e| e.name),
            None => old.entries.get(&entity).map_or("", |e| e.name),
        }
    }

    fn new_name(&self, act: &Act) -> &'s str {
        let new = self.new;
        act.entity.and_then(|e| new.entries.get(&e)).map_or("", |e| e.name)
    }
}

/// Tells what became of the steps.
pub fn compare(whole: Both, old: &Meaning, new: &Meaning, phases: &Pairs, steps: &Pairs, changes: &mut Vec<Change>) {
    for gone in &steps.removed {
        let step = &old.steps[*gone];
        // The next step that is still there, to mark the gap at.
        let next = steps.pairs.iter().filter(|p| p.old > *gone).min_by_key(|p| p.old);
        let next = next.map_or("", |p| new.steps[p.new].number);
        let mut change = Change::new(Kind::StepRemoved, format!("step {}", step.number))
            .only(&step.only)
            .step(step.number, next);
        change.old.text = step.words.text.clone();
        changes.push(change);
    }
    for added in &steps.added {
        let step = &new.steps[*added];
        let mut change = Change::new(Kind::StepAdded, format!("step {}", step.number))
            .only(&step.only)
            .step("", step.number);
        change.new.text = step.words.text.clone();
        changes.push(change);
    }
    for found in &steps.pairs {
        let (was, is) = (&old.steps[found.old], &new.steps[found.new]);
        let stays = phases.pairs.iter().any(|p| p.old == was.phase && p.new == is.phase);
        let heading_kept = phases.pairs.iter().any(|p| p.old == was.phase);
        if found.moved || (!stays && heading_kept) {
            let titled = |step: &Step, meaning: &Meaning| {
                let title = meaning.phases.get(step.phase).map_or("", |p| p.title.as_str());
                if stays || title.is_empty() {
                    step.number.to_string()
                } else {
                    format!("{} under “{title}”", step.number)
                }
            };
            let change = Change::new(Kind::StepMoved, format!("step {}", is.number))
                .from_to(titled(was, old), titled(is, new))
                .note(is.words.text.clone())
                .step(was.number, is.number);
            changes.push(change);
        }
        one(whole, was, is, changes);
    }
}

fn one(whole: Both, was: &Step, is: &Step, changes: &mut Vec<Change>) {
    let subject = format!("step {}", is.number);
    let at = |change: Change| change.step(was.number, is.number);
    words(&subject, &was.words, &is.words, Kind::StepReworded, &at, changes);
    acts(whole, &subject, &was.acts, &is.acts, &at, changes);
    conditions(&subject, &was.only, &is.only, &at, changes);
    if was.any_order != is.any_order {
        let order = |any: bool| if any { "in any order" } else { "in this order" };
        let change = Change::new(Kind::StepCondition, subject.clone()).field("list");
        changes.push(at(change.from_to(order(was.any_order), order(is.any_order))));
    }
    substeps(whole, was, is, changes);
}

fn substeps(whole: Both, was: &Step, is: &Step, changes: &mut Vec<Change>) {
    let at = |change: Change| {
        let mut change = change.step(was.number, is.number);
        change.place.is_substep = true;
        change
    };
    let items = |subs: &[SubStep]| -> Vec<Item> { subs.iter().map(|s| Item::new(&s.words.text, [])).collect() };
    let pairs = pair(&items(&was.substeps), &items(&is.substeps));
    let subject = |n: usize| format!("step {}, sub-step {}", is.number, n + 1);
    for gone in &pairs.removed {
        let sub = &was.substeps[*gone];
        let subject = format!("step {}, sub-step {}", was.number, gone + 1);
        let change = Change::new(Kind::StepRemoved, subject).only(&sub.only);
        changes.push(at(change.from_to(sub.words.text.clone(), "")));
    }
    for added in &pairs.added {
        let sub = &is.substeps[*added];
        let change = Change::new(Kind::StepAdded, subject(*added)).only(&sub.only);
        changes.push(at(change.from_to("", sub.words.text.clone())));
    }
    for found in &pairs.pairs {
        let (old, new) = (&was.substeps[found.old], &is.substeps[found.new]);
        let subject = subject(found.new);
        if found.moved {
            let places = (
                format!("sub-step {}", found.old + 1),
                format!("sub-step {}", found.new + 1),
            );
            changes.push(at(
                Change::new(Kind::StepMoved, subject.clone()).from_to(places.0, places.1)
            ));
        }
        words(&subject, &old.words, &new.words, Kind::StepReworded, &at, changes);
        acts(whole, &subject, &old.acts, &new.acts, &at, changes);
        conditions(&subject, &old.only, &new.only, &at, changes);
    }
}

/// Words and pictures.
fn words(
    subject: &str,
    old: &Words,
    new: &Words,
    kind: Kind,
    at: &impl Fn(Change) -> Change,
    changes: &mut Vec<Change>,
) {
    if old.text != new.text {
        changes.push(at(
            Change::new(kind, subject).from_to(old.text.clone(), new.text.clone())
        ));
    }
    if old.pictures != new.pictures {
        let count = |n: usize| format!("{n} picture{}", if n == 1 { "" } else { "s" });
        let mut change = Change::new(kind, subject).field("picture");
        if old.pictures.len() == new.pictures.len() {
            change = change.note("looks otherwise");
        } else {
            change = change.from_to(count(old.pictures.len()), count(new.pictures.len()));
        }
        changes.push(at(change));
    }
}

fn conditions(subject: &str, old: &str, new: &str, at: &impl Fn(Change) -> Change, changes: &mut Vec<Change>) {
    if old != new {
        let always = |only: &str| {
            if only.is_empty() {
                "always".to_string()
            } else {
                format!("only {only}")
            }
        };
        changes.push(at(
            Change::new(Kind::StepCondition, subject).from_to(always(old), always(new))
        ));
    }
}

/// What marks do: those alike are passed over in order, those of one verb and name are compared by their figure.
fn acts(
    whole: Both,
    subject: &str,
    old: &[Act],
    new: &[Act],
    at: &impl Fn(Change) -> Change,
    changes: &mut Vec<Change>,
) {
    let key = |name: &str, a: &Act| format!("{} {name}", a.verb);
    let was_key = |a: &Act| key(whole.old_name(a), a);
    let is_key = |a: &Act| key(whole.new_name(a), a);
    let items = |acts: &[Act], key: &dyn Fn(&Act) -> String| -> Vec<Item> {
        let item = |a: &Act| Item::new(&key(a), [a.detail.canon.clone()]);
        acts.iter().map(item).collect()
    };
    let pairs = pair(&items(old, &was_key), &items(new, &is_key));
    let (mut removed, mut added) = (pairs.removed, pairs.added);
    for found in &pairs.pairs {
        let (was, is) = (&old[found.old], &new[found.new]);
        if was_key(was) != is_key(is) {
            removed.push(found.old);
            added.push(found.new);
            continue;
        }
        if was.detail.canon != is.detail.canon {
            let mut change = Change::new(Kind::StepWork, subject).field(is_key(is));
            let sets = (whole.old.set, whole.new.set);
            specs::values(&mut change, sets, Some(&was.detail), Some(&is.detail));
            changes.push(at(change));
        } else if found.moved {
            let change = Change::new(Kind::StepWork, subject).field(is_key(is));
            changes.push(at(change.note("comes in another order")));
        }
    }
    for n in removed {
        let text = act(whole.old_name(&old[n]), &old[n]);
        changes.push(at(Change::new(Kind::StepWork, subject).from_to(text, "")));
    }
    for n in added {
        let text = act(whole.new_name(&new[n]), &new[n]);
        changes.push(at(Change::new(Kind::StepWork, subject).from_to("", text)));
    }
}

/// Headings and the words under them.
pub fn headings(old: &Meaning, new: &Meaning, pairs: &Pairs, changes: &mut Vec<Change>) {
    let subject = |phase: &Phase| format!("phase {}", phase.number);
    for gone in &pairs.removed {
        let phase = &old.phases[*gone];
        changes.push(
            Change::new(Kind::Words, subject(phase))
                .field("heading")
                .from_to(phase.title.clone(), ""),
        );
    }
    for added in &pairs.added {
        let phase = &new.phases[*added];
        changes.push(
            Change::new(Kind::Words, subject(phase))
                .field("heading")
                .from_to("", phase.title.clone()),
        );
    }
    let plain = |change: Change| change;
    for found in &pairs.pairs {
        let (was, is) = (&old.phases[found.old], &new.phases[found.new]);
        let subject = subject(is);
        if was.title != is.title {
            let change = Change::new(Kind::Words, subject.clone()).field("heading");
            changes.push(change.from_to(was.title.clone(), is.title.clone()));
        }
        if found.moved {
            let change = Change::new(Kind::StepMoved, subject.clone());
            changes.push(
                change
                    .from_to(was.number.to_string(), is.number.to_string())
                    .note(is.title.clone()),
            );
        }
        words(&subject, &was.intro, &is.intro, Kind::Words, &plain, changes);
        conditions(&subject, &was.only, &is.only, &plain, changes);
    }
}

/// Words above the first heading.
pub fn intro(old: &Meaning, new: &Meaning, changes: &mut Vec<Change>) {
    words(
        "the card's introduction",
        &old.intro,
        &new.intro,
        Kind::Words,
        &|change| change,
        changes,
    );
}
