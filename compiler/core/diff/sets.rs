//! Which set and which card of one state is which of the other.

use super::Side;
use super::cards::{self, Half};
use super::front;
use super::model::{CardDiff, Change, Diff, Fate, SetDiff, Shared};
use super::pairs::{Item, pair};
use super::view::View;
use crate::check::Facts;
use crate::model::{Each, ProcedureId, Set};
use crate::source::{FileSet, folder, lies_in};
use crate::spread;
use crate::words::say;

/// Share of words in common from which two procedures are one that got another name.
const SAME_PROCEDURE: f64 = 0.6;

/// Every wanted set of which there is anything to say: in the new model's order, those that are gone last. A set with errors is no more than
/// told. `wanted` is asked of the set as it was; of none, where it is new.
pub fn compare(old: Side, new: Side, wanted: &dyn Fn(Option<&Set>) -> bool, diff: &mut Diff) {
    let found = &mut diff.sets;
    let (uncompared, remarks) = (&mut diff.uncompared, &mut diff.remarks);
    let mut broken = |one: Member| {
        let blocked = one.side.is_blocked(one.at);
        if blocked {
            uncompared.push(one.set.title.clone());
            remarks.push(say::not_compared(&one.set.title, one.side.name));
        }
        blocked
    };
    let mut left: Vec<Member> = members(old).collect();
    let mut partners: Vec<(Member, Option<Member>)> = members(new).map(|one| (one, None)).collect();
    let alike: [fn(&Set, &Set) -> bool; 3] = [
        |a, b| a.folder == b.folder,
        |a, b| a.id == b.id,
        |a, b| a.title == b.title && a.machine == b.machine,
    ];
    for alike in alike {
        for (new, partner) in partners.iter_mut().filter(|(_, partner)| partner.is_none()) {
            if let Some(at) = left.iter().position(|old| alike(old.set, new.set)) {
                *partner = Some(left.remove(at));
            }
        }
    }
    for (new, partner) in partners {
        if !wanted(partner.map(|old| old.set)) {
            continue;
        }
        match partner {
            Some(old) if broken(old) || broken(new) => {}
            Some(old) => found.extend(both(old, new)),
            None if broken(new) => {}
            None => found.push(lone(new, Fate::Added)),
        }
    }
    let gone = left.into_iter().filter(|old| wanted(Some(old.set)));
    let gone = gone.filter(|old| !broken(*old));
    found.extend(gone.map(|old| lone(old, Fate::Removed)));
}

/// A set of one side, by its place in the model.
#[derive(Clone, Copy)]
struct Member<'a> {
    side: Side<'a>,
    at: usize,
    set: &'a Set,
    facts: &'a Facts,
}

fn members(side: Side) -> impl Iterator<Item = Member> {
    let sets = side.model.sets.iter().zip(side.facts).enumerate();
    sets.map(move |(at, (set, facts))| Member { side, at, set, facts })
}

impl<'a> Member<'a> {
    fn half(self) -> Half<'a> {
        Half::new(self.side.files, self.set, self.facts)
    }
}

fn blank(set: &Set, fate: Fate) -> SetDiff {
    SetDiff {
        id: set.id.clone(),
        title: set.title.clone(),
        fate,
        was: String::new(),
        shared: Vec::new(),
        cards: Vec::new(),
        reordered: Vec::new(),
    }
}

fn lone(one: Member, fate: Fate) -> SetDiff {
    let half = one.half();
    let mut diff = blank(half.set, fate);
    let ids = half.set.procedures.ids();
    diff.cards = ids.map(|id| cards::lone(&half, id, fate)).collect();
    diff
}

fn both(old: Member, new: Member) -> Option<SetDiff> {
    let (was, is) = (old.set, new.set);
    let mut diff = blank(is, Fate::Kept);
    if was.folder != is.folder {
        diff.was = was.folder.clone();
    } else if same_files(old.side.files, new.side.files, &is.folder) {
        return None;
    }
    let texts = was.procedures.len();
    let (was, is) = spread::both(texts, || old.half(), || new.half());
    diff.cards.extend(front::compare(&was, &is));
    let (partners, gone) = procedures(&was, &is);
    let compared = |(n, partner): (ProcedureId, &Option<ProcedureId>)| match partner {
        Some(o) => cards::compare((&was, *o), (&is, n)),
        None => Some(cards::lone(&is, n, Fate::Added)),
    };
    let compared = spread::over(partners.named().collect(), texts, compared);
    diff.cards.extend(compared.into_iter().flatten());
    diff.cards
        .extend(gone.into_iter().map(|o| cards::lone(&was, o, Fate::Removed)));
    diff.reordered = reordered(&partners, &is);
    diff.shared = shared(&mut diff.cards);
    let anything = diff.matters() || !diff.was.is_empty() || !diff.cards.is_empty();
    // The cards of a big set take their time to be given back, too.
    spread::both(texts, || drop(was), || drop(is));
    anything.then_some(diff)
}

/// True if every file that a set could have anything from is the same to the byte.
fn same_files(old: &FileSet, new: &FileSet, set: &str) -> bool {
    let concerns = |path: &str| lies_in(folder(path), set) || lies_in(set, folder(path));
    let texts = |files: &FileSet| -> Vec<(String, usize)> {
        let ids = files.ids().filter(|id| concerns(&files.get(*id).path));
        ids.map(|id| (files.get(id).path.clone(), files.get(id).text.len()))
            .collect()
    };
    let same_texts = || {
        old.ids().filter(|id| concerns(&old.get(*id).path)).all(|id| {
            let file = old.get(id);
            new.find(&file.path)
                .is_some_and(|other| new.get(other).text == file.text)
        })
    };
    texts(old) == texts(new) && same_texts() && old.assets() == new.assets()
}

/// By new procedure its old one, and the old ones that are gone: by id, then meaning, then title, then words.
fn procedures(was: &Half, is: &Half) -> (Each<Option<ProcedureId>>, Vec<ProcedureId>) {
    let (old, new) = (&was.set.procedures, &is.set.procedures);
    let mut left: Vec<ProcedureId> = old.ids().collect();
    let mut partners: Each<Option<ProcedureId>> = new.iter().map(|_| None).collect();
    let passes: [&dyn Fn(ProcedureId, ProcedureId) -> bool; 3] = [
        &|o, n| old[o].id == new[n].id,
        &|o, n| was.usual(o).map(|v| v.digest) == is.usual(n).map(|v| v.digest),
        &|o, n| old[o].title == new[n].title,
    ];
    for alike in passes {
        for (n, partner) in partners.named_mut().filter(|(_, partner)| partner.is_none()) {
            if let Some(at) = left.iter().position(|o| alike(*o, n)) {
                *partner = Some(left.remove(at));
            }
        }
    }
    let item = |half: &Half, n: ProcedureId| {
        let steps = half.usual(n).map_or_else(Vec::new, |v| View::new(&v.card).steps);
        Item::new(
            &steps
                .iter()
                .map(|s| s.words.text.english())
                .collect::<Vec<_>>()
                .join("\n"),
            [],
        )
    };
    for (n, partner) in partners.named_mut().filter(|(_, partner)| partner.is_none()) {
        let now = item(is, n);
        let likeness = |o: ProcedureId| item(was, o).likeness(&now);
        let best = left.iter().enumerate().map(|(at, o)| (likeness(*o), at));
        let best = best.filter(|(share, _)| *share >= SAME_PROCEDURE);
        if let Some((_, at)) = best.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1))) {
            *partner = Some(left.remove(at));
        }
    }
    (partners, left)
}

/// Titles of the cards that changed places.
fn reordered(partners: &Each<Option<ProcedureId>>, is: &Half) -> Vec<String> {
    let kept: Vec<(ProcedureId, ProcedureId)> = partners.named().filter_map(|(n, o)| Some(((*o)?, n))).collect();
    let items = |places: Vec<ProcedureId>| -> Vec<Item> {
        let numbers = places.iter().map(|place| place.number().to_string());
        numbers.map(|number| Item::new(&number, [])).collect()
    };
    let mut old: Vec<ProcedureId> = kept.iter().map(|(o, _)| *o).collect();
    let new = old.clone();
    old.sort_unstable();
    let pairs = pair(&items(old), &items(new)).pairs;
    let moved = pairs.iter().filter(|p| p.moved);
    let moved = moved.filter_map(|p| kept.get(p.new));
    moved.map(|(_, n)| is.set.procedures[*n].title.clone()).collect()
}

/// Takes out what several cards share: a torque of the set is told once, with the cards that print it.
fn shared(cards: &mut [CardDiff]) -> Vec<Shared> {
    let key = |change: &Change| {
        let Change {
            kind,
            subject,
            field,
            old,
            new,
            ..
        } = change;
        (
            *kind,
            subject.english(),
            field.said().english(),
            old.text.english(),
            new.text.english(),
        )
    };
    let sharable = |change: &Change| {
        change.place.step.is_empty()
            && change.place.old_step.is_empty()
            && change.subject != say::the_card()
            && (!change.place.register.is_empty() || change.subject == say::the_set())
    };
    let mut found: Vec<Shared> = Vec::new();
    let mut index = std::collections::BTreeMap::new();
    for card in cards.iter() {
        for change in card.changes.iter().filter(|c| sharable(c)) {
            let at = *index.entry(key(change)).or_insert_with(|| {
                found.push(Shared {
                    change: change.clone(),
                    cards: Vec::new(),
                });
                found.len() - 1
            });
            if let Some(shared) = found.get_mut(at) {
                shared.cards.push(card.title.clone());
            }
        }
    }
    for card in cards.iter_mut() {
        for change in card.changes.iter_mut().filter(|c| sharable(c)) {
            let shared = index.get(&key(change)).and_then(|at| found.get(*at));
            change.shared = shared.is_some_and(|shared| shared.cards.len() > 1);
        }
    }
    found.retain(|shared| shared.cards.len() > 1);
    found.sort_by_key(|shared| (shared.change.class, shared.change.kind));
    found
}
