//! Where work must not stop: the bar in the outer margin, and what it says, beside every step behind which something is open.

use std::collections::BTreeMap;

use super::area::Area;
use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::letters;
use super::light::{WHITE, contrast, over};
use super::node::{Node, Tree};
use super::piece::Drawn;
use super::tell::MM;
use super::text;
use super::words::{named, short};

/// Least width of the bar.
const LEAST_BAR: f64 = 2.0 * MM;

/// Light against dark that a bar needs, from 1 to 21 (WCAG 2.2, success criterion 1.4.11); a hatched one has no light of its own that could be told.
const LEAST_CONTRAST: f64 = 3.0;

/// How far a bar may begin below its step or end above it.
const SLACK: f64 = 2.0 * MM;

/// Text may reach so far to the outer edge at most: the bar stands farther out.
const OUTER: f64 = 14.0 * MM;

/// Tells of steps that have no bar, or whose bar doesn't say what is open.
pub fn check(tree: &Tree, ink: &[Ink], sizes: &[(f64, f64)], found: &mut Vec<Breach>) {
    for (index, node) in tree.nodes.iter().enumerate().filter(|(_, node)| !node.open.is_empty()) {
        for (leaf, step) in places(tree, ink, index) {
            let width = sizes.get(leaf).map_or(0.0, |(width, _)| *width);
            let on_leaf: Vec<&Ink> = ink.iter().filter(|ink| ink.leaf == leaf).collect();
            beside(node, &on_leaf, (leaf, step), width, found);
        }
    }
}

/// Where a step stands: its sentence, and on each leaf behind that what goes on of it.
fn places(tree: &Tree, ink: &[Ink], index: usize) -> BTreeMap<usize, Area> {
    let mut places: BTreeMap<usize, Area> = BTreeMap::new();
    let mut add = |one: &Ink| {
        let area = places.entry(one.leaf).or_insert(Area::NONE);
        *area = area.with(one.area);
    };
    let own = || ink.iter().filter(|ink| ink.item == Some(index) && ink.run().is_some());
    let Some(first) = own().next().map(|ink| ink.leaf) else {
        return places;
    };
    own().filter(|ink| ink.leaf == first).for_each(&mut add);
    // What stands in an item follows it in the tree.
    let end = (index + 1..tree.nodes.len()).find(|at| !tree.up(*at).any(|up| up == index));
    let inside = index..end.unwrap_or(tree.nodes.len());
    let is_in = |ink: &Ink| ink.item.is_some_and(|item| inside.contains(&item));
    ink.iter()
        .filter(|ink| ink.leaf > first && !ink.is(Own::Head) && !ink.is(Own::Foot))
        .filter(|ink| (ink.run().is_some() || ink.room.is_some()) && is_in(ink))
        .for_each(&mut add);
    places
}

/// Holds what stands beside a step on one leaf against what is open behind it.
fn beside(node: &Node, ink: &[&Ink], (leaf, step): (usize, Area), width: f64, found: &mut Vec<Breach>) {
    let is_seen = |drawn: &Drawn| {
        let light = drawn.fill.map(|fill| contrast(over(fill, WHITE), WHITE));
        light.is_none_or(|light| light >= LEAST_CONTRAST)
    };
    let mut bars = ink.iter().filter(|ink| {
        let is_bar = ink
            .drawn()
            .is_some_and(|drawn| drawn.is_filled && drawn.plain && is_seen(drawn));
        is_bar && ink.area.left > width - OUTER && ink.area.width() > LEAST_BAR
    });
    if !bars.any(|bar| bar.area.top < step.top + SLACK && bar.area.bottom > step.bottom - SLACK) {
        lacks(
            node,
            leaf,
            "no bar stands beside a step behind which work must not stop".to_string(),
            found,
        );
    }
    let told = ink.iter().filter(|ink| ink.is(Own::Stop));
    let told = letters::letters(told.filter_map(|ink| ink.run().map(|run| (leaf, run))));
    if let Some(open) = node.open.iter().find(|open| !text::says(&told, open)) {
        let words = format!("no bar says “{}”, at {}", short(open), named(node));
        lacks(node, leaf, words, found);
    }
}

fn lacks(node: &Node, leaf: usize, words: String, found: &mut Vec<Breach>) {
    found.push(Breach::of(node, leaf, Kind::Lost, words));
}
