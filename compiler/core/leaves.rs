//! Every leaf that can be printed from a set, for every combination of its options, with its code: what a code found on a wall is
//! looked up in.

use crate::cards::card::Card;
use crate::cards::sheets;
use crate::cards::{self, Deck};
use crate::check::Facts;
use crate::fingerprint::{Code, Digest, digest};
use crate::kit::{self, Kit};
use crate::model::{Choices, Each, ProcedureId, Set};
use crate::plan;
use crate::record;
use crate::source::FileSet;
use crate::spread;
use std::sync::Arc;

/// Most combinations of choices that a set is looked at for.
const MOST_COMBINATIONS: usize = 256;

/// Most pairs of kits that are compared with each other.
const MOST_PAIRS: usize = 256;

/// What sort of leaf it is, and of which procedure where it is of one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    Card(ProcedureId),
    /// What is the same on every card.
    SetSheet,
    CloseOut,
    /// Torques and limits of the whole set.
    Pocket,
    PocketOf(ProcedureId),
    /// What is kept of the whole set.
    Form,
    FormOf(ProcedureId),
    Kit,
    /// Two kits side by side.
    KitAgainst,
    Plan,
    /// The report of a job on a card.
    Record(ProcedureId),
}

impl Sort {
    /// The procedure it is of.
    pub fn procedure(self) -> Option<ProcedureId> {
        match self {
            Sort::Card(at) | Sort::PocketOf(at) | Sort::FormOf(at) | Sort::Record(at) => Some(at),
            Sort::SetSheet | Sort::CloseOut | Sort::Pocket | Sort::Form | Sort::Kit | Sort::KitAgainst | Sort::Plan => {
                None
            }
        }
    }

    /// What it is called; a card by its title alone.
    pub fn word(self) -> &'static str {
        match self {
            Sort::Card(_) => "",
            Sort::SetSheet => "set sheet",
            Sort::CloseOut => "close-out",
            Sort::Pocket | Sort::PocketOf(_) => "pocket card",
            Sort::Form | Sort::FormOf(_) => "record leaf",
            Sort::Kit => "kit list",
            Sort::KitAgainst => "kit lists compared",
            Sort::Plan => "plan",
            Sort::Record(_) => "job record",
        }
    }
}

/// A leaf that can be printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printable {
    pub sort: Sort,
    /// Option and value, for every option that it depends on.
    pub choices: Vec<(String, String)>,
    pub code: Code,
}

/// A card for some choices.
pub struct Version {
    /// Option and value, for every option that the card depends on.
    pub choices: Vec<(String, String)>,
    pub card: Arc<Card>,
    pub digest: Digest,
}

/// Every leaf of a set (for up to 256 combinations of its options, the defaults first).
pub fn of_set(files: &FileSet, set: &Set, facts: &Facts) -> Vec<Printable> {
    let all = combinations(set);
    let kits: Vec<(&Choices, Kit)> = (all.iter())
        .map(|choices| (choices, kit::kit(set, facts, choices)))
        .collect();
    let mut made: Each<Vec<Made>> = set.procedures.iter().map(|_| Vec::new()).collect();
    let mut whole: Vec<Printable> = Vec::new();
    let decks: Vec<Deck> = all
        .iter()
        .map(|choices| Deck::new(files, set, facts, choices))
        .collect();
    let mut decked: Vec<cards::Made> = Vec::new();
    for deck in &decks {
        decked.push(deck.made_after(&decked));
    }
    for (((choices, kit), deck), cards) in kits.iter().zip(&decks).zip(decked) {
        of_whole(deck, &cards, kit, &mut whole);
        let chosen = every_choice(set, choices);
        for (procedure, card, digest) in cards.into_cards() {
            if let Some(versions) = made.of_mut(procedure) {
                versions.push((chosen.clone(), card, digest));
            }
        }
    }
    let versions: Each<Vec<Version>> = made.into_iter().map(distinct).collect();
    let mut found = of_procedures(versions);
    found.extend(whole);
    found.extend(comparisons(set, &kits));
    found
}

/// What is printed of each procedure alone.
fn of_procedures(versions: Each<Vec<Version>>) -> Vec<Printable> {
    let mut found: Vec<Printable> = Vec::new();
    for (procedure, versions) in versions.into_named() {
        for version in versions {
            let code = Code::of(&version.digest);
            let record = digest(&record::leaf::basis(&version.card.identity, code));
            let form = digest(&cards::form_of(&version.card));
            let alone = digest(&cards::pocket_of(&version.card));
            let mut put = |sort, code| {
                found.push(Printable {
                    sort,
                    choices: version.choices.clone(),
                    code,
                });
            };
            put(Sort::Card(procedure), code);
            put(Sort::PocketOf(procedure), Code::of(&alone));
            put(Sort::FormOf(procedure), Code::of(&form));
            put(Sort::Record(procedure), Code::of(&record));
        }
    }
    found
}

/// The cards of some procedures of a set, as [`of_set`] has them among all else.
pub fn cards_of(files: &FileSet, set: &Set, facts: &Facts, wanted: &dyn Fn(ProcedureId) -> bool) -> Vec<Printable> {
    let made = versions_of(files, set, facts, &combinations(set), wanted);
    let of = |(procedure, versions): (ProcedureId, Vec<Version>)| {
        versions.into_iter().map(move |version| Printable {
            sort: Sort::Card(procedure),
            choices: version.choices,
            code: Code::of(&version.digest),
        })
    };
    made.into_named().flat_map(of).collect()
}

/// The leaves about a whole set for some choices, but for comparisons.
fn of_whole(deck: &Deck, cards: &cards::Made, kit: &Kit, found: &mut Vec<Printable>) {
    let (set, choices) = (deck.set(), deck.choices());
    let close_out = deck.close_out();
    let chosen: Vec<(String, String)> = (close_out.identity.choices.iter())
        .map(|c| (c.option.clone(), c.value.clone()))
        .collect();
    put_once(found, Sort::SetSheet, &chosen, digest(&cards.set_sheet()));
    put_once(found, Sort::CloseOut, &chosen, digest(&close_out));
    put_once(found, Sort::Pocket, &chosen, digest(&cards.pocket()));
    put_once(found, Sort::Form, &chosen, digest(&cards.record_form()));
    put_once(found, Sort::Plan, &chosen, digest(&plan::basis(set, choices)));
    let sheet = kit::leaf::sheet(kit_identity(set, choices), sheets::cards(set, choices), kit);
    let chosen: Vec<(String, String)> = (kit.choices.iter())
        .map(|c| (c.option.clone(), c.value.clone()))
        .collect();
    put_once(found, Sort::Kit, &chosen, digest(&sheet));
}

/// Two kits side by side, for every two combinations.
fn comparisons(set: &Set, kits: &[(&Choices, Kit)]) -> Vec<Printable> {
    let mut found: Vec<Printable> = Vec::new();
    if kits.len() * kits.len() > MOST_PAIRS {
        return found;
    }
    for (choices, left) in kits {
        for (_, right) in kits.iter().filter(|(other, _)| other != choices) {
            let comparison = kit::compare(left, right);
            let sheet = kit::leaf::against(kit_identity(set, choices), left, right, &comparison);
            put_once(&mut found, Sort::KitAgainst, &[], digest(&sheet));
        }
    }
    found
}

fn put_once(found: &mut Vec<Printable>, sort: Sort, choices: &[(String, String)], digest: Digest) {
    let printable = Printable {
        sort,
        choices: choices.to_vec(),
        code: Code::of(&digest),
    };
    if !found.contains(&printable) {
        found.push(printable);
    }
}

/// Who the leaf of what must come off is.
pub fn reach_identity(set: &Set, choices: &Choices) -> crate::cards::card::Identity {
    sheets::identity(set, choices, "reach", crate::words::say::while_you_are_there())
}

/// Who the kit list of a set is.
pub fn kit_identity(set: &Set, choices: &Choices) -> crate::cards::card::Identity {
    sheets::identity(set, choices, "kit", crate::words::say::kit_list())
}

/// The cards of a set in its order, each for every combination of the options that it depends on: by its own conditions, or by what it
/// takes over from cards before it. The defaults come first, where there is the card for them; a card is there for the choices of its `only`
/// alone.
pub fn versions(files: &FileSet, set: &Set, facts: &Facts) -> Each<Vec<Version>> {
    versions_of(files, set, facts, &combinations(set), &|_| true)
}

/// A card with every option and its value, and what it says.
type Made = (Vec<(String, String)>, Arc<Card>, Digest);

/// Of some procedures; of the others none.
fn versions_of(
    files: &FileSet,
    set: &Set,
    facts: &Facts,
    all: &[Choices],
    wanted: &dyn Fn(ProcedureId) -> bool,
) -> Each<Vec<Version>> {
    let mut made: Each<Vec<Made>> = set.procedures.iter().map(|_| Vec::new()).collect();
    for choices in all {
        let chosen = every_choice(set, choices);
        let deck = Deck::new(files, set, facts, choices);
        let there = |procedure: &ProcedureId| wanted(*procedure) && choices.meet(&set.procedures[*procedure].only);
        let there: Vec<ProcedureId> = set.procedures.ids().filter(there).collect();
        let make = |procedure| {
            let card = deck.card(procedure);
            let digest = digest(&card);
            (procedure, Arc::new(card), digest)
        };
        for (procedure, card, digest) in spread::over(there, set.procedures.len(), make) {
            if let Some(cards) = made.of_mut(procedure) {
                cards.push((chosen.clone(), card, digest));
            }
        }
    }
    made.into_iter().map(distinct).collect()
}

/// Of the cards for every combination, one for each combination of the options that make a difference.
fn distinct(made: Vec<Made>) -> Vec<Version> {
    let options: Vec<String> = made
        .first()
        .map_or_else(Vec::new, |(chosen, ..)| chosen.iter().map(|c| c.0.clone()).collect());
    let matters = |option: &String| {
        let beside = |one: &[(String, String)], other: &[(String, String)]| {
            let others = |(o, _): &&(String, String)| o != option;
            one.iter().filter(others).eq(other.iter().filter(others))
        };
        let named = |card: &Card| card.identity.choices.iter().any(|c| c.option == *option);
        made.iter().any(|(chosen, card, digest)| {
            named(card) || made.iter().any(|(other, _, d)| d != digest && beside(other, chosen))
        })
    };
    let kept: Vec<String> = options.iter().filter(|o| matters(o)).cloned().collect();
    let mut versions: Vec<Version> = Vec::new();
    for (mut choices, card, digest) in made {
        choices.retain(|(option, _)| kept.contains(option));
        if !versions.iter().any(|v| v.choices == choices) {
            versions.push(Version { choices, card, digest });
        }
    }
    versions
}

/// Every option that some card of the set depends on, by its id, as chosen.
fn every_choice(set: &Set, choices: &Choices) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for procedure in set.procedures.ids() {
        all.extend(
            cards::chosen(set, procedure, choices)
                .into_iter()
                .map(|c| (c.option, c.value)),
        );
    }
    all.sort();
    all.dedup();
    all
}

/// Every combination of the options that some card of a set depends on, the defaults first.
fn combinations(set: &Set) -> Vec<Choices> {
    let defaults = Choices::defaults(&set.catalogue);
    let mut all = vec![defaults.clone()];
    let mut names: Vec<(String, String)> = every_choice(set, &defaults);
    names.dedup_by(|a, b| a.0 == b.0);
    for (option, chosen) in names {
        let options = set.catalogue.options.iter().filter(|(_, def)| def.id.text == option);
        let mut values: Vec<&str> = options
            .flat_map(|(_, d)| d.value.values.iter().map(|(v, _)| v.text.as_str()))
            .collect();
        values.sort_by_key(|value| *value != chosen);
        values.dedup();
        let with = |base: &Choices, value: &&str| {
            let mut choices = base.clone();
            choices.choose(&set.catalogue, &option, value).ok().map(|_| choices)
        };
        let spread = all
            .iter()
            .flat_map(|base| values.iter().filter_map(move |value| with(base, value)));
        all = spread.take(MOST_COMBINATIONS).collect();
    }
    all
}
