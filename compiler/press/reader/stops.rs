//! Where work must not stop: the bar in the outer margin, and what it says, beside every step behind which something is open.

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
        let own: Vec<&Ink> = ink
            .iter()
            .filter(|ink| ink.item == Some(index) && ink.run().is_some())
            .collect();
        let Some(leaf) = own.first().map(|ink| ink.leaf) else {
            continue;
        };
        let step = (own.iter().filter(|ink| ink.leaf == leaf)).fold(Area::NONE, |area, ink| area.with(ink.area));
        let width = sizes.get(leaf).map_or(0.0, |(width, _)| *width);
        let is_seen = |drawn: &Drawn| {
            let light = drawn.fill.map(|fill| contrast(over(fill, WHITE), WHITE));
            light.is_none_or(|light| light >= LEAST_CONTRAST)
        };
        let bars = ink.iter().filter(|ink| {
            let is_bar = ink
                .drawn()
                .is_some_and(|drawn| drawn.is_filled && drawn.plain && is_seen(drawn));
            is_bar && ink.leaf == leaf && ink.area.left > width - OUTER && ink.area.width() > LEAST_BAR
        });
        let beside = |bar: &Ink| bar.area.top < step.top + SLACK && bar.area.bottom > step.bottom - SLACK;
        if !bars.clone().any(beside) {
            lacks(
                node,
                leaf,
                "no bar stands beside a step behind which work must not stop".to_string(),
                found,
            );
        }
        let told = letters::letters(
            ink.iter()
                .filter(|ink| ink.leaf == leaf && ink.is(Own::Stop))
                .filter_map(|ink| ink.run().map(|run| (leaf, run))),
        );
        if let Some(open) = node.open.iter().find(|open| !text::says(&told, open)) {
            let words = format!("no bar says “{}”, at {}", short(open), named(node));
            lacks(node, leaf, words, found);
        }
    }
}

fn lacks(node: &Node, leaf: usize, words: String, found: &mut Vec<Breach>) {
    found.push(Breach::of(node, leaf, Kind::Lost, words));
}
