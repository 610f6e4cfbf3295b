//! One card against its former self, for every choice.

use super::field::Field;
use super::model::{CardDiff, Change, Chosen, Fate, Kind};
use super::pairs::Pairs;
use super::view::{View, words};
use super::{carried, class, messages, specs, steps};
use crate::check::Facts;
use crate::fingerprint::Code;
use crate::leaves::{Version, versions};
use crate::model::{Each, Procedure, ProcedureId, Set, equals};
use crate::source::FileSet;
use crate::words::{Phrase, joined, phrase, say};

/// A set of one side, with its cards.
pub struct Half<'a> {
    pub files: &'a FileSet,
    pub set: &'a Set,
    pub facts: &'a Facts,
    /// Of each procedure, the card for the default choices first; where there is none for them, that for the first choices for which there is.
    pub cards: Each<Vec<Version>>,
}

impl<'a> Half<'a> {
    pub fn new(files: &'a FileSet, set: &'a Set, facts: &'a Facts) -> Half<'a> {
        Half {
            files,
            set,
            facts,
            cards: versions(files, set, facts),
        }
    }

    fn procedure(&self, id: ProcedureId) -> &Procedure {
        &self.set.procedures[id]
    }

    /// The card for the default choices, or the first that there is.
    pub fn usual(&self, id: ProcedureId) -> Option<&Version> {
        self.cards.of(id)?.first()
    }

    /// Its code.
    fn code(&self, id: ProcedureId) -> String {
        self.usual(id).map_or_else(String::new, code)
    }
}

fn code(version: &Version) -> String {
    Code::of(&version.digest).to_string()
}

/// A card that is on one side alone.
pub fn lone(half: &Half, id: ProcedureId, fate: Fate) -> CardDiff {
    let procedure = half.procedure(id);
    let mut card = blank(procedure, id, fate);
    let (rev, code) = (procedure.rev.clone(), half.code(id));
    if fate == Fate::Added {
        (card.new_rev, card.new_code) = (rev, code);
    } else {
        (card.old_rev, card.old_code) = (rev, code);
        // Every print of it is to be taken down.
        let others = half.cards[id].iter().skip(1);
        card.withdrawn = others.map(withdrawn).collect();
    }
    card
}

fn blank(procedure: &Procedure, id: ProcedureId, fate: Fate) -> CardDiff {
    CardDiff {
        procedure: procedure.id.clone(),
        title: procedure.title.clone(),
        position: id.number(),
        fate,
        was: String::new(),
        old_rev: String::new(),
        new_rev: String::new(),
        rev_not_raised: false,
        old_code: String::new(),
        new_code: String::new(),
        others: Vec::new(),
        withdrawn: Vec::new(),
        usual: Vec::new(),
        changes: Vec::new(),
        same: Vec::new(),
    }
}

/// A card that is on both sides; `None` if there is nothing to say.
pub fn compare(old: (&Half, ProcedureId), new: (&Half, ProcedureId)) -> Option<CardDiff> {
    let (was, is) = (old.0.procedure(old.1), new.0.procedure(new.1));
    let (before, after) = (&old.0.cards[old.1], &new.0.cards[new.1]);
    let mut card = blank(is, new.1, Fate::Kept);
    let mut unlike = false;
    // What changed on the card of each choice that there was before.
    let mut told: Vec<(&Version, Vec<Change>)> = Vec::new();
    for (n, now) in after.iter().enumerate() {
        let former = former(before, now);
        let mut changes = Vec::new();
        if let Some(former) = former.filter(|f| f.digest != now.digest) {
            changes = changed(former, now, &mut card.same);
        }
        let codes = (former.map_or_else(String::new, code), code(now));
        unlike |= codes.0 != codes.1;
        if n == 0 {
            (card.old_code, card.new_code) = codes;
            card.usual = changes.clone();
        } else if codes.0 != codes.1 {
            card.others.push(Chosen {
                choices: now.choices.clone(),
                old: codes.0,
                new: codes.1,
                changes: changes.clone(),
            });
        }
        if former.is_some() {
            told.push((now, changes));
        }
    }
    card.changes = together(&told);
    let heirs: Vec<&Version> = after.iter().filter_map(|now| former(before, now)).collect();
    let gone = before
        .iter()
        .filter(|v| !heirs.iter().any(|heir| std::ptr::eq(*heir, *v)));
    // The same leaf for another choice is still good.
    let gone = gone.filter(|v| !after.iter().any(|now| now.digest == v.digest));
    card.withdrawn = gone.map(withdrawn).collect();
    if was.id != is.id {
        card.was = was.id.clone();
        card.same.push(say::procedure_was(&was.id, &is.id));
    }
    if was.tried != is.tried {
        card.same.push(match is.tried {
            true => say::no_longer_draft(),
            false => say::now_draft(),
        });
    }
    if unlike && card.changes.is_empty() && card.withdrawn.is_empty() && card.same.is_empty() {
        // Such as two headings that changed places with nothing under them.
        let change = Change::new(Kind::Numbers, say::the_card());
        card.changes.push(change.note(say::other_numbers()));
    }
    card.same.dedup();
    (card.old_rev, card.new_rev) = (was.rev.clone(), is.rev.clone());
    card.rev_not_raised = !card.changes.is_empty() && !is.rev.is_empty() && was.rev == is.rev;
    (unlike || !card.same.is_empty() || !card.withdrawn.is_empty()).then_some(card)
}

fn withdrawn(version: &Version) -> Chosen {
    Chosen {
        choices: version.choices.clone(),
        old: code(version),
        new: String::new(),
        changes: Vec::new(),
    }
}

/// What a card was: the one of the same choices, or the first of no other choice where the card has come to depend on more or fewer options.
pub fn former<'a>(was: &'a [Version], now: &Version) -> Option<&'a Version> {
    let agrees = |card: &&Version| {
        let mut both = card
            .choices
            .iter()
            .flat_map(|a| now.choices.iter().map(move |b| (a, b)));
        both.all(|(a, b)| a.0 != b.0 || a.1 == b.1)
    };
    let same = was.iter().find(|card| card.choices == now.choices);
    same.or_else(|| was.iter().find(agrees))
}

/// What changed from one card to another, most serious first. `same` takes what only looks like a change.
pub fn changed(old: &Version, new: &Version, same: &mut Vec<Phrase>) -> Vec<Change> {
    let (old, new) = (View::new(&old.card), View::new(&new.card));
    let mut changes = Vec::new();
    let renamed = specs::compare(&old, &new, &mut changes, same);
    let phases: Pairs = steps::phases(&old, &new);
    let pairs: Pairs = steps::steps(&renamed, &old, &new);
    messages::compare(&old, &new, &phases, &pairs, &mut changes);
    steps::compare(&renamed, &old, &new, &phases, &pairs, &mut changes);
    steps::headings(&old, &new, &phases, &mut changes);
    carried::compare(old.card, new.card, &mut changes);
    head(&old, &new, &mut changes);
    if changes.is_empty() {
        // What a phase moved is told with the marks that move it, unless they print nothing else.
        steps::counts(&old, &new, &phases, &mut changes);
    }
    class::put(&mut changes);
    changes
}

/// What the cards of several choices say of their changes, each once; one that only some choices have says which.
fn together(told: &[(&Version, Vec<Change>)]) -> Vec<Change> {
    let mut all: Vec<(Change, Vec<&Version>)> = Vec::new();
    for (version, changes) in told {
        for change in changes {
            match all
                .iter_mut()
                .find(|(known, of)| known == change && !of.iter().any(|v| std::ptr::eq(*v, *version)))
            {
                Some((_, of)) => of.push(version),
                None => all.push((change.clone(), vec![version])),
            }
        }
    }
    let versions: Vec<&Version> = told.iter().map(|(version, _)| *version).collect();
    let one = |(change, of): (Change, Vec<&Version>)| change.only(condition(&of, &versions));
    let mut changes: Vec<Change> = all.into_iter().map(one).collect();
    class::put(&mut changes);
    changes
}

/// What sets some versions of a card apart from the others: `seal = new`; nothing if they are all of them.
fn condition(some: &[&Version], all: &[&Version]) -> Phrase {
    if some.len() == all.len() {
        return Phrase::default();
    }
    let values = |of: &[&Version], option: &str| -> Vec<String> {
        let own = of.iter().flat_map(|v| v.choices.iter().filter(|(o, _)| o == option));
        let mut values: Vec<String> = Vec::new();
        own.for_each(|(_, value)| {
            if !values.contains(value) {
                values.push(value.clone())
            }
        });
        values
    };
    let options = all.first().map_or(&[][..], |v| &v.choices);
    let part = |(option, _): &(String, String)| {
        let own = values(some, option);
        (own.len() < values(all, option).len()).then(|| equals(option, own.iter().map(String::as_str)))
    };
    joined(options.iter().filter_map(part), ", ")
}

/// What stands above the steps.
fn head(old: &View, new: &View, changes: &mut Vec<Change>) {
    let told = |view: &View| {
        let (id, cover) = (&view.card.identity, &view.card.cover);
        let after: Vec<&str> = cover.after.iter().map(|c| c.title.as_str()).collect();
        let left_out = cover.left_out.iter().map(|l| phrase!(&l.number, " (", &l.only, ")"));
        let (set, card) = (say::the_set, say::the_card);
        [
            (set(), Field::Machine, Kind::Words, Phrase::from(&id.machine)),
            (set(), Field::SetTitle, Kind::Words, Phrase::from(&id.set_title)),
            (card(), Field::Title, Kind::Words, id.title.clone()),
            (card(), Field::Source, Kind::Words, Phrase::from(&id.source)),
            (card(), Field::After, Kind::Order, joined(after, ", ")),
            (card(), Field::LeftOut, Kind::StepCondition, joined(left_out, ", ")),
        ]
    };
    for ((subject, field, kind, was), (.., is)) in told(old).into_iter().zip(told(new)) {
        if was == is {
            continue;
        }
        changes.push(Change::new(kind, subject).field(field).from_to(was, is));
    }
    let intro = (words(&old.card.cover.about), words(&new.card.cover.about));
    let plain = |change: Change| change;
    steps::words(
        &say::card_introduction(),
        &intro.0,
        &intro.1,
        Kind::Words,
        &plain,
        changes,
    );
    for (n, (was, is)) in old.phases().iter().zip(new.phases()).enumerate() {
        if was.number != is.number && was.title.is_empty() == is.title.is_empty() && n == 0 {
            let change = Change::new(Kind::Numbers, say::the_card()).field(Field::FirstHeading);
            changes.push(change.from_to(was.number.to_string(), is.number.to_string()));
        }
    }
}
