//! Reading back: what was laid out, held against the leaf that it was made from, before any bytes are made.
//!
//! ```text
//! Leaf ─▶ tree.rs, asks.rs: what each item asks of the page ─┐
//!                                                            ├─▶ words.rs, place.rs, order.rs ─▶ breaches
//! frames ─▶ ink.rs: what lies where, and in which item ──────┘
//! ```
//!
//! It knows nothing of how a leaf looks: templates wrap what they print of an item in `item(…)`, and their own words in `own(…)`
//! (`lib/item.typ`). What is compared are glyphs and colours in the typesetter's frames, never the source that it was given.

mod asks;
mod breach;
mod ink;
mod node;
mod order;
mod piece;
mod place;
mod signal;
mod spots;
mod stops;
mod tree;
mod words;

use std::collections::BTreeMap;

use benchleaf_core::cards::card::Identity;
use typst_layout::PagedDocument;

pub use breach::{Breach, Kind};
pub use node::{Subject, Tree};
pub use spots::{Spot, spots};
pub use tree::keyed;

use ink::{Ink, Own};

/// Most breaches that are told of one document: where more is wrong, these are enough to find out why.
const MOST: usize = 40;

/// Most of one kind about one step or entry on one leaf.
const OF_EACH: usize = 3;

/// Reads a document back. `tree` is what the leaf asks, `code` what its foot must say on each leaf.
pub fn read(document: &PagedDocument, tree: &Tree, identity: &Identity, code: &str) -> Vec<Breach> {
    let pages = document.pages();
    let ink = ink::read(pages.iter().map(|page| &page.frame));
    let sizes: Vec<(f64, f64)> = pages
        .iter()
        .map(|page| (page.frame.width().to_pt(), page.frame.height().to_pt()))
        .collect();
    let mut found = Vec::new();
    let printed = words::by_item(&ink);
    words::check(tree, &printed, &mut found);
    signal::check(tree, &printed, &mut found);
    words::runs(tree, &ink, &mut found);
    place::check(tree, &ink, &sizes, &mut found);
    order::check(tree, &ink, &mut found);
    stops::check(tree, &ink, &sizes, &mut found);
    on_every_leaf(&ink, pages.len(), identity, code, &mut found);
    found.sort();
    found.dedup();
    few_of_each(&mut found);
    found.truncate(MOST);
    found
}

/// Where a block runs off its leaf each of its lines does: the first ones tell it.
fn few_of_each(found: &mut Vec<Breach>) {
    let mut told: BTreeMap<(usize, Kind, Subject), usize> = BTreeMap::new();
    found.retain(|breach| {
        let count = told
            .entry((breach.leaf, breach.kind, breach.subject.clone()))
            .or_insert(0);
        *count += 1;
        *count <= OF_EACH
    });
}

/// Who the leaf is and which, on every one of them; its code at the foot.
fn on_every_leaf(ink: &[Ink], leaves: usize, identity: &Identity, code: &str, found: &mut Vec<Breach>) {
    // In words already, as all of the leaf.
    let title = identity.title.english();
    for leaf in 0..leaves {
        let of = |own: Own| {
            let like = ink.iter().filter(move |ink| ink.leaf == leaf && ink.is(own));
            words::letters(like.filter_map(|ink| ink.run().map(|run| (leaf, run))))
        };
        let (head, foot) = (of(Own::Head), of(Own::Foot));
        let number = (leaf + 1).to_string();
        let either: Vec<words::Letter> = head.iter().chain(&foot).copied().collect();
        let wanted = [title.as_str(), number.as_str()];
        let mut told = vec![identity.rev.as_str(), identity.date.as_str()];
        for choice in &identity.choices {
            told.push(&choice.option);
            told.push(&choice.value);
        }
        let lacks = |page: &[words::Letter], text: &&str| !text.trim().is_empty() && !words::says(page, text);
        let missing = wanted
            .iter()
            .find(|text| lacks(&head, text))
            .map(|text| (*text, "head"));
        let nowhere = told.iter().find(|text| lacks(&either, text));
        let missing = missing.or(nowhere.map(|text| (*text, "head or foot")));
        let missing = missing.or(Some((code, "foot")).filter(|(code, _)| lacks(&foot, code)));
        if let Some((text, place)) = missing {
            let words = format!("the {place} of the leaf doesn't say “{}”", words::short(text));
            found.push(Breach::at(None, leaf, Kind::Lost, words));
        }
    }
}
