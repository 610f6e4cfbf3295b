//! Reading back: what was laid out, held against the leaf that it was made from, before any bytes are made.
//!
//! ```text
//! Leaf ─▶ tree.rs, asks.rs: what each item asks of the page ─┐
//!                                                            ├─▶ words.rs, sight.rs, order.rs … ─▶ breaches
//! frames ─▶ ink.rs: what lies where, and in which item ──────┘
//! ```
//!
//! It knows nothing of how a leaf looks: templates wrap what they print of an item in `item(…)`, and their own words in `own(…)`
//! (`lib/item.typ`). What is compared are glyphs and colours in the typesetter's frames, never the source that it was given.

mod area;
mod asks;
#[cfg(test)]
mod asks_tests;
mod boxes;
mod breach;
mod claims;
mod drawing;
mod figures;
mod ink;
mod leaf;
mod leaves;
mod letters;
mod light;
mod node;
mod order;
mod overleaf;
mod pictures;
mod piece;
mod place;
mod pointers;
mod prose;
mod scan;
mod shown;
mod sight;
mod signal;
mod spots;
mod standing;
mod stops;
mod tell;
mod text;
mod tree;
mod words;

use std::collections::BTreeMap;

use benchleaf_core::cards::card::Identity;
use benchleaf_core::words::Language;
use typst_layout::PagedDocument;

use super::assets::Assets;
use super::code::Code;
use order::Order;

pub use breach::{Breach, Kind};
pub use node::{Subject, Tree};
pub use spots::{Spot, spots};
pub use tree::keyed;

/// Most breaches that are told of one document: where more is wrong, these are enough to find out why.
const MOST: usize = 40;

/// Most of one kind about one step or entry on one leaf.
const OF_EACH: usize = 3;

/// Reads a document back. `tree` is what the leaf asks, `code` what its foot must say on each leaf, `assets` the pictures that it was made with.
pub fn read(
    document: &PagedDocument,
    tree: &Tree,
    identity: &Identity,
    code: Option<&Code>,
    assets: &Assets,
) -> Vec<Breach> {
    let pages = document.pages();
    let ink = ink::read(pages.iter().map(|page| &page.frame));
    let sizes: Vec<(f64, f64)> = pages
        .iter()
        .map(|page| (page.frame.width().to_pt(), page.frame.height().to_pt()))
        .collect();
    let mut found = Vec::new();
    let printed = words::by_item(&ink);
    words::check(tree, &printed, &mut found);
    words::runs(tree, &ink, &mut found);
    figures::check(tree, &printed, &mut found);
    signal::check(tree, &printed, &mut found);
    claims::check(tree, &ink, &printed, Language::find(&identity.language), &mut found);
    claims::places(tree, &ink, &mut found);
    for leaf in leaf::all(&ink, &sizes) {
        place::check(tree, &leaf, &mut found);
        sight::check(tree, &leaf, &mut found);
        if let Some(code) = code {
            scan::check(&leaf, code, &mut found);
        }
    }
    boxes::check(tree, &ink, &mut found);
    pictures::check(tree, &ink, assets, &mut found);
    drawing::check(tree, &ink, &mut found);
    drawing::landmarks(tree, &ink, &mut found);
    let order = Order::new(tree, &ink);
    order::check(&order, &mut found);
    overleaf::check(&order, &mut found);
    stops::check(tree, &ink, &sizes, &mut found);
    standing::check(tree, &ink, Language::find(&identity.language), &mut found);
    let code = code.map_or("", |code| code.text.as_str());
    leaves::check(&ink, &sizes, identity, code, &mut found);
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
