//! Steps and phases: which are new, gone, moved or reworded, and what they do otherwise than before.

use super::field::{Field, Verb, mark};
use super::model::{Change, Kind};
use super::pairs::{Item, Pairs, pair};
use super::specs::{self, Renamed, name_now};
use super::view::{Act, StepView, SubView, View, Words, line, words as words_of};
use crate::cards::card::{Count, Counted, How, Phase};
use crate::words::{Phrase, joined, say};

/// Pairs the phases of two cards by their titles.
pub fn phases(old: &View, new: &View) -> Pairs {
    let items = |view: &View| -> Vec<Item> {
        view.phases()
            .iter()
            .map(|p| Item::new(&line(&p.title).english(), []))
            .collect()
    };
    pair(&items(old), &items(new))
}

/// Pairs the steps of two cards by what they say and do.
pub fn steps(renamed: &Renamed, old: &View, new: &View) -> Pairs {
    let items = |view: &View, name: &dyn Fn(&Act) -> String| -> Vec<Item> {
        let one = |step: &StepView| {
            let subs = step.substeps.iter();
            let text = subs.fold(step.words.text.english(), |text, sub| {
                text + "\n" + &sub.words.text.english()
            });
            let acts = step.acts.iter().chain(step.substeps.iter().flat_map(|s| &s.acts));
            Item::new(&text, acts.map(name).collect::<Vec<_>>())
        };
        view.steps.iter().map(one).collect()
    };
    pair(
        &items(old, &|a| act(name_now(renamed, a), a).english()),
        &items(new, &|a| act(a.name, a).english()),
    )
}

/// A mark in words, by the name that its entry has now.
fn act(name: &str, act: &Act) -> Phrase {
    mark(act.verb, name, act.detail.said())
}

/// Tells what became of the steps.
pub fn compare(renamed: &Renamed, old: &View, new: &View, phases: &Pairs, steps: &Pairs, changes: &mut Vec<Change>) {
    for (gone, step) in steps.removed_of(&old.steps) {
        // The next step that is still there, to mark the gap at.
        let next = steps.pairs.iter().filter(|p| p.old > gone).min_by_key(|p| p.old);
        let next = next.and_then(|p| new.steps.get(p.new)).map_or("", |step| step.number);
        let mut change = Change::new(Kind::StepRemoved, say::step(step.number)).step(step.number, next);
        change.old.text = step.words.text.clone();
        changes.push(change);
    }
    for (_, step) in steps.added_of(&new.steps) {
        let mut change = Change::new(Kind::StepAdded, say::step(step.number)).step("", step.number);
        change.new.text = step.words.text.clone();
        changes.push(change);
    }
    for (found, was, is) in steps.of(&old.steps, &new.steps) {
        let stays = phases.pairs.iter().any(|p| p.old == was.phase && p.new == is.phase);
        let heading_kept = phases.pairs.iter().any(|p| p.old == was.phase);
        if found.moved || (!stays && heading_kept) {
            let titled = |step: &StepView, view: &View| {
                let title = view
                    .phases()
                    .get(step.phase)
                    .map_or_else(Phrase::default, |p| line(&p.title));
                if stays || title.is_empty() {
                    Phrase::from(step.number)
                } else {
                    say::step_under(step.number, title)
                }
            };
            let change = Change::new(Kind::StepMoved, say::step(is.number))
                .from_to(titled(was, old), titled(is, new))
                .note(is.words.text.clone())
                .step(was.number, is.number);
            changes.push(change);
        }
        one(renamed, was, is, changes);
    }
}

/// What phases end with.
pub fn counts(old: &View, new: &View, phases: &Pairs, changes: &mut Vec<Change>) {
    for found in &phases.pairs {
        let (Some(was), Some(is)) = (old.phases().get(found.old), new.phases().get(found.new)) else {
            continue;
        };
        if was.end.counted != is.end.counted {
            let change = Change::new(Kind::Carried, say::end_of_phase(is.number));
            changes.push(change.from_to(counted(&was.end.counted), counted(&is.end.counted)));
        }
    }
}

fn counted(counted: &Counted) -> Phrase {
    let row = |count: &Count| {
        let name = match count.count {
            1 => count.name.clone(),
            n => format!("{} × {n}", count.name),
        };
        match count.how {
            How::On => say::counted_on(name),
            How::Tight => say::counted_tight(name),
            How::Off => say::counted_off(name),
            How::Loose => say::counted_loose(name),
        }
    };
    joined(counted.0.iter().map(row), "; ")
}

fn one(renamed: &Renamed, was: &StepView, is: &StepView, changes: &mut Vec<Change>) {
    let subject = say::step(is.number);
    let at = |change: Change| change.step(was.number, is.number);
    words(&subject, &was.words, &is.words, Kind::StepReworded, &at, changes);
    acts(renamed, &subject, &was.acts, &is.acts, &at, changes);
    stops(&subject, was, is, &at, changes);
    if was.any_order != is.any_order {
        let order = |any: bool| if any { say::in_any_order() } else { say::in_this_order() };
        let change = Change::new(Kind::StepCondition, &subject).field(Field::List);
        changes.push(at(change.from_to(order(was.any_order), order(is.any_order))));
    }
    substeps(renamed, was, is, changes);
}

/// Where work may stop.
fn stops(subject: &Phrase, was: &StepView, is: &StepView, at: &impl Fn(Change) -> Change, changes: &mut Vec<Change>) {
    if (was.open, was.safe_stop) == (is.open, is.safe_stop) {
        return;
    }
    let told = |step: &StepView| match (step.open, step.safe_stop) {
        ([], true) => say::may_stop_here(),
        ([], false) => Phrase::default(),
        (open, _) => say::do_not_stop_here(joined(open, "; ")),
    };
    let change = Change::new(Kind::Stop, subject).field(Field::AfterIt);
    changes.push(at(change.from_to(told(was), told(is))));
}

fn substeps(renamed: &Renamed, was: &StepView, is: &StepView, changes: &mut Vec<Change>) {
    let at = |change: Change| {
        let mut change = change.step(was.number, is.number);
        change.place.is_substep = true;
        change
    };
    let items =
        |subs: &[SubView]| -> Vec<Item> { subs.iter().map(|s| Item::new(&s.words.text.english(), [])).collect() };
    let pairs = pair(&items(&was.substeps), &items(&is.substeps));
    let subject = |n: usize| say::sub_step_of(is.number, n + 1);
    for (gone, sub) in pairs.removed_of(&was.substeps) {
        let subject = say::sub_step_of(was.number, gone + 1);
        let change = Change::new(Kind::StepRemoved, subject);
        changes.push(at(change.from_to(sub.words.text.clone(), "")));
    }
    for (added, sub) in pairs.added_of(&is.substeps) {
        let change = Change::new(Kind::StepAdded, subject(added));
        changes.push(at(change.from_to("", sub.words.text.clone())));
    }
    for (found, old, new) in pairs.of(&was.substeps, &is.substeps) {
        let subject = subject(found.new);
        if found.moved {
            let places = (say::sub_step(found.old + 1), say::sub_step(found.new + 1));
            changes.push(at(Change::new(Kind::StepMoved, &subject).from_to(places.0, places.1)));
        }
        words(&subject, &old.words, &new.words, Kind::StepReworded, &at, changes);
        acts(renamed, &subject, &old.acts, &new.acts, &at, changes);
    }
}

/// Words and pictures.
pub fn words(
    subject: &Phrase,
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
        let count = say::pictures;
        let mut change = Change::new(kind, subject).field(Field::Picture);
        if old.pictures.len() == new.pictures.len() {
            change = change.note(say::looks_otherwise());
        } else {
            change = change.from_to(count(old.pictures.len()), count(new.pictures.len()));
        }
        changes.push(at(change));
    }
}

/// What marks do: those alike are passed over in order, those of one verb and name are compared by their figure.
fn acts(
    renamed: &Renamed,
    subject: &Phrase,
    old: &[Act],
    new: &[Act],
    at: &impl Fn(Change) -> Change,
    changes: &mut Vec<Change>,
) {
    let key = |name: &str, a: &Act| Field::Mark(a.verb, name.to_string());
    let was_key = |a: &Act| key(name_now(renamed, a), a);
    let is_key = |a: &Act| key(a.name, a);
    let items = |acts: &[Act], key: &dyn Fn(&Act) -> Field| -> Vec<Item> {
        let item = |a: &Act| Item::new(&key(a).said().english(), [a.detail.canon()]);
        acts.iter().map(item).collect()
    };
    let pairs = pair(&items(old, &was_key), &items(new, &is_key));
    let mut removed: Vec<&Act> = pairs.removed_of(old).map(|(_, act)| act).collect();
    let mut added: Vec<&Act> = pairs.added_of(new).map(|(_, act)| act).collect();
    for (found, was, is) in pairs.of(old, new) {
        if was_key(was) != is_key(is) {
            removed.push(was);
            added.push(is);
            continue;
        }
        if was.detail.canon() != is.detail.canon() {
            let none = Phrase::default();
            let mut change = Change::new(kind(is.verb), subject).field(is_key(is));
            specs::values(&mut change, Some((&was.detail, &none)), Some((&is.detail, &none)));
            changes.push(at(change));
        } else if found.moved {
            let change = Change::new(kind(is.verb), subject).field(is_key(is));
            changes.push(at(change.note(say::in_another_order())));
        }
    }
    for was in removed {
        let text = act(name_now(renamed, was), was);
        changes.push(at(Change::new(kind(was.verb), subject).from_to(text, "")));
    }
    for is in added {
        let text = act(is.name, is);
        changes.push(at(Change::new(kind(is.verb), subject).from_to("", text)));
    }
}

/// Marks that keep somebody from harm, and those that only do work.
fn kind(verb: Verb) -> Kind {
    match verb.guards() {
        true => Kind::StepGuard,
        false => Kind::StepWork,
    }
}

/// Headings and the words under them.
pub fn headings(old: &View, new: &View, pairs: &Pairs, changes: &mut Vec<Change>) {
    let subject = |phase: &Phase| say::phase(phase.number);
    for (_, phase) in pairs.removed_of(old.phases()) {
        let change = Change::new(Kind::Words, subject(phase)).field(Field::Heading);
        changes.push(change.from_to(line(&phase.title), ""));
    }
    for (_, phase) in pairs.added_of(new.phases()) {
        let change = Change::new(Kind::Words, subject(phase)).field(Field::Heading);
        changes.push(change.from_to("", line(&phase.title)));
    }
    let plain = |change: Change| change;
    for (found, was, is) in pairs.of(old.phases(), new.phases()) {
        let subject = subject(is);
        let titles = (line(&was.title), line(&is.title));
        if titles.0 != titles.1 {
            let change = Change::new(Kind::Words, &subject).field(Field::Heading);
            changes.push(change.from_to(titles.0, titles.1.clone()));
        }
        if found.moved {
            let change = Change::new(Kind::StepMoved, &subject);
            changes.push(
                change
                    .from_to(was.number.to_string(), is.number.to_string())
                    .note(titles.1),
            );
        }
        words(
            &subject,
            &words_of(&was.intro),
            &words_of(&is.intro),
            Kind::Words,
            &plain,
            changes,
        );
    }
}
