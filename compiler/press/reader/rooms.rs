//! Boxes to write in and pictures: framed, large enough and empty; those that the leaf has, no more and no fewer.

use super::breach::{Breach, Kind};
use super::ink::{Ink, What};
use super::light::{contrast, over};
use super::node::Tree;
use super::piece::{Area, Colour};
use super::tell::{MM, report};
use super::words::named;
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// Room to write a figure by hand: width and height.
const LEAST_ROOM: (f64, f64) = (20.0 * MM, 7.4 * MM);

/// Boxes to write in: framed, large enough and empty but for signs.
pub fn rooms(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    let mut all: BTreeMap<usize, Vec<&Ink>> = BTreeMap::new();
    for one in ink {
        if let Some(room) = one.room {
            all.entry(room).or_default().push(one);
        }
    }
    let mut frames_of: Vec<(&Ink, Area)> = Vec::new();
    for parts in all.values() {
        let frames = parts
            .iter()
            .filter(|ink| ink.drawn().is_some_and(|drawn| drawn.stroked));
        let area = frames.fold(Area::NONE, |area, ink| area.with(ink.area));
        let Some(first) = parts.first() else { continue };
        if !area.is_some() || area.width() < LEAST_ROOM.0 || area.height() < LEAST_ROOM.1 {
            let (width, height) = if area.is_some() {
                (area.width() / MM, area.height() / MM)
            } else {
                (0.0, 0.0)
            };
            let words = format!("a box to write in is {width:.0} by {height:.0} mm, too small to write a figure in");
            report(tree, first, Kind::Small, words, found);
        }
        seen_as_box(tree, first, parts, found);
        frames_of.push((first, area));
        let words = parts
            .iter()
            .filter_map(|ink| ink.run())
            .any(|run| run.clusters.iter().any(|c| c.text.chars().any(char::is_alphanumeric)));
        if words {
            report(
                tree,
                first,
                Kind::Misplaced,
                "there is print in a box to write in".to_string(),
                found,
            );
        }
    }
    frames_of.sort_by(|(a, one), (b, other)| {
        (a.leaf, one.top)
            .partial_cmp(&(b.leaf, other.top))
            .unwrap_or(Ordering::Equal)
    });
    for (n, (first, area)) in frames_of.iter().enumerate() {
        let level = frames_of
            .iter()
            .skip(n + 1)
            .take_while(|(ink, other)| ink.leaf == first.leaf && other.top < area.bottom);
        for (other, beside) in level {
            let (across, down) = area.shared(beside);
            if across > SHARED && down > SHARED {
                let words = "a box to write in runs over another one".to_string();
                report(tree, other, Kind::Misplaced, words, found);
            }
        }
    }
}

/// What two boxes side by side may share, in points: the line between them.
const SHARED: f64 = 2.0;

/// Light against dark, from 1 to 21: what a frame needs at least (WCAG 2.2, success criterion 1.4.11), and what a ground to write on may have.
const LEAST_FRAME: f64 = 3.0;
const MOST_GROUND: f64 = 1.5;

/// A frame that can be seen, and a ground that a pen can be seen on.
fn seen_as_box(tree: &Tree, first: &Ink, parts: &[&Ink], found: &mut Vec<Breach>) {
    let white = [1.0, 1.0, 1.0, 1.0];
    let against_white = |colour: Colour| contrast(over(colour, white), white);
    let drawn = || parts.iter().filter_map(|ink| ink.drawn());
    let pale = drawn().any(|d| d.stroked && d.stroke.is_none_or(|stroke| against_white(stroke) < LEAST_FRAME));
    // Thin areas are lines.
    let grounds = || drawn().filter(|d| d.is_filled && (d.lines.is_empty() || d.lines.len() > 1));
    let dark = grounds().any(|d| d.fill.is_none_or(|fill| against_white(fill) > MOST_GROUND));
    if pale {
        let words = "the frame of a box to write in can't be seen".to_string();
        report(tree, first, Kind::Misplaced, words, found);
    }
    if dark {
        let words = "a box to write in is too dark to write in".to_string();
        report(tree, first, Kind::Misplaced, words, found);
    }
}

/// Least width of a picture, in points: what is shown smaller shows nothing.
const LEAST_PICTURE: f64 = MM;

/// Pictures: those that the leaf has, no more and no fewer, each where its words are.
pub fn pictures(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    let mut told: BTreeMap<usize, usize> = BTreeMap::new();
    for one in ink.iter().filter(|ink| matches!(ink.what, What::Picture)) {
        let item = one
            .item
            .filter(|item| tree.nodes.get(*item).is_some_and(|node| node.pictures > 0));
        match item {
            Some(item) => *told.entry(item).or_default() += 1,
            None => report(
                tree,
                one,
                Kind::Unowned,
                "a picture belongs to no item of the leaf".to_string(),
                found,
            ),
        }
        if one.area.width().max(one.area.height()) < LEAST_PICTURE {
            report(
                tree,
                one,
                Kind::Small,
                "a picture is less than 1 mm large".to_string(),
                found,
            );
        }
    }
    for (index, node) in tree.nodes.iter().enumerate() {
        let count = told.get(&index).copied().unwrap_or(0);
        if count != node.pictures {
            let leaf = ink.iter().find(|ink| ink.item == Some(index)).map_or(0, |ink| ink.leaf);
            let words = format!(
                "{} has {count} of its {} pictures on the page",
                named(node),
                node.pictures
            );
            found.push(Breach::of(node, leaf, Kind::Lost, words));
        }
    }
}
