//! One card against its former self.

use super::model::{CardDiff, Change, Chosen, Fate, Kind};
use super::pairs::Pairs;
use super::steps::Both;
use super::{messages, specs, steps};
use crate::check::Facts;
use crate::fingerprint::{Code, Digest, Printable, digest, of_procedure};
use crate::meaning::{Field, Meaning, SetMeaning};
use crate::model::{Choices, Procedure, Set};
use crate::source::FileSet;

/// A set of one side, with its meanings.
pub struct Half<'a> {
    pub set: &'a Set,
    pub whole: SetMeaning<'a>,
    /// Of each procedure.
    pub meanings: Vec<Meaning<'a>>,
    pub digests: Vec<Digest>,
}

impl<'a> Half<'a> {
    pub fn new(files: &'a FileSet, set: &'a Set, facts: &Facts) -> Half<'a> {
        let whole = SetMeaning::new(files, set, facts);
        let meanings: Vec<Meaning> = (0..set.procedures.len()).map(|n| whole.whole(n)).collect();
        let digests = meanings.iter().map(|m| digest(&whole, m)).collect();
        Half {
            set,
            whole,
            meanings,
            digests,
        }
    }

    fn procedure(&self, position: usize) -> &Procedure {
        &self.set.procedures[position]
    }

    /// The code of the card for the default choices.
    fn code(&self, position: usize) -> String {
        // With nothing to choose the card means what its procedure does.
        if self.set.catalogue.options.iter().next().is_none() {
            return Code::of(&self.digests[position]).to_string();
        }
        let choices = Choices::defaults(&self.set.catalogue);
        Code::of(&digest(&self.whole, &self.whole.card(position, &choices))).to_string()
    }
}

/// A card that is on one side alone.
pub fn lone(half: &Half, position: usize, fate: Fate) -> CardDiff {
    let procedure = half.procedure(position);
    let mut card = blank(procedure, position, fate);
    let (rev, code) = (procedure.rev.clone(), half.code(position));
    if fate == Fate::Added {
        (card.new_rev, card.new_code) = (rev, code);
    } else {
        (card.old_rev, card.old_code) = (rev, code);
    }
    card
}

fn blank(procedure: &Procedure, position: usize, fate: Fate) -> CardDiff {
    CardDiff {
        procedure: procedure.id.clone(),
        title: procedure.title.clone(),
        position: position + 1,
        fate,
        was: String::new(),
        old_rev: String::new(),
        new_rev: String::new(),
        rev_not_raised: false,
        old_code: String::new(),
        new_code: String::new(),
        others: Vec::new(),
        changes: Vec::new(),
        same: Vec::new(),
    }
}

/// A card that is on both sides; `None` if there is nothing to say.
pub fn compare(old: (&Half, usize), new: (&Half, usize)) -> Option<CardDiff> {
    let (was, is) = (old.0.procedure(old.1), new.0.procedure(new.1));
    let unlike = old.0.digests[old.1] != new.0.digests[new.1];
    let mut card = blank(is, new.1, Fate::Kept);
    let meanings = (&old.0.meanings[old.1], &new.0.meanings[new.1]);
    let wholes = (&old.0.whole, &new.0.whole);
    let partners = specs::compare(wholes, meanings, &mut card.changes, &mut card.same);
    let both = Both {
        old: wholes.0,
        new: wholes.1,
        partners: &partners,
    };
    if unlike {
        changes(both, meanings, &mut card.changes);
        card.changes.sort_by_key(|c| c.kind);
        codes(old, new, &mut card);
    }
    if was.id != is.id {
        card.was = was.id.clone();
        card.same
            .push(format!("the procedure was `{}` and is `{}`", was.id, is.id));
    }
    if was.tried != is.tried {
        let mark = if is.tried { "no longer marked" } else { "now marked" };
        card.same.push(format!("{mark} DRAFT"));
    }
    (card.old_rev, card.new_rev) = (was.rev.clone(), is.rev.clone());
    card.rev_not_raised = unlike && !is.rev.is_empty() && was.rev == is.rev;
    (unlike || !card.same.is_empty()).then_some(card)
}

/// The codes of the card for its default choices, and those of every other choice that are not what they were.
fn codes(old: (&Half, usize), new: (&Half, usize), card: &mut CardDiff) {
    let without_choice = |half: &Half| half.set.catalogue.options.iter().next().is_none();
    if without_choice(old.0) && without_choice(new.0) {
        (card.old_code, card.new_code) = (old.0.code(old.1), new.0.code(new.1));
        return;
    }
    let was = of_procedure(&old.0.whole, old.0.set, old.1);
    let is = of_procedure(&new.0.whole, new.0.set, new.1);
    for (n, now) in is.into_iter().enumerate() {
        let old = former(&was, &now).map_or_else(String::new, |c| c.code.to_string());
        let new = now.code.to_string();
        if n == 0 {
            (card.old_code, card.new_code) = (old, new);
        } else if old != new {
            let choices = now.choices;
            card.others.push(Chosen { choices, old, new });
        }
    }
}

/// What a card was: the one of the same choices, or the first of no other choice where the card has come to depend on more or fewer options.
fn former<'a>(was: &'a [Printable], now: &Printable) -> Option<&'a Printable> {
    let agrees = |card: &&Printable| {
        let mut both = card
            .choices
            .iter()
            .flat_map(|a| now.choices.iter().map(move |b| (a, b)));
        both.all(|(a, b)| a.0 != b.0 || a.1 == b.1)
    };
    let same = was.iter().find(|card| card.choices == now.choices);
    same.or_else(|| was.iter().find(agrees))
}

fn changes(wholes: Both, meanings: (&Meaning, &Meaning), changes: &mut Vec<Change>) {
    let (old, new) = meanings;
    let phases: Pairs = steps::phases(old, new);
    let pairs: Pairs = steps::steps(wholes, old, new);
    messages::compare(old, new, &phases, &pairs, changes);
    steps::compare(wholes, old, new, &phases, &pairs, changes);
    steps::headings(old, new, &phases, changes);
    steps::intro(old, new, changes);
    head("the set", &old.head.of_set, &new.head.of_set, changes);
    head("the card", &old.head.own, &new.head.own, changes);
    if changes.is_empty() {
        // Such as two headings that changed places with nothing under them.
        let note = "steps or headings have other numbers";
        changes.push(Change::new(Kind::Numbers, "the card").note(note));
    }
}

/// Fields above the steps.
fn head(subject: &str, old: &[Field], new: &[Field], changes: &mut Vec<Change>) {
    let text = |fields: &[Field], name: &str| {
        let field = fields.iter().find(|f| f.name == name);
        field.map_or_else(String::new, |f| f.value.shown())
    };
    let mut names: Vec<&str> = old.iter().chain(new).map(|f| f.name).collect();
    names.dedup();
    names.sort_unstable();
    names.dedup();
    for name in names {
        let (was, is) = (text(old, name), text(new, name));
        if was == is {
            continue;
        }
        let kind = match name {
            "after" => Kind::Order,
            // The set's own cautions.
            "notice" if is.is_empty() => Kind::MessageDropped,
            "notice" => Kind::MessageReworded,
            _ => Kind::Words,
        };
        changes.push(Change::new(kind, subject).field(name).from_to(was, is));
    }
}
