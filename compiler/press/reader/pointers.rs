//! Pointers into pictures: each label is there once, and its line ends where it says. A line to the wrong place sends somebody to another screw.

use std::collections::BTreeMap;

use super::area::Area;
use super::breach::{Breach, Kind};
use super::ink::Ink;
use super::letters::of_ink;
use super::light::{WHITE, contrast, over};
use super::node::{Node, Pointer};
use super::shown::Shown;
use super::tell::MM;
use super::words::named;

/// How far from its place a line may end, in points.
const OFF: f64 = 0.7 * MM;

/// Largest width of what marks the end of a line, in points.
const END: f64 = 4.0 * MM;

/// Light against dark that a line needs, from 1 to 21 (WCAG 2.2, success criterion 1.4.11).
const LEAST_LINE: f64 = 3.0;

/// Looks at the pointers of an item's pictures, which stand on the page in this order.
pub fn check<'a>(node: &Node, ink: impl Iterator<Item = &'a Ink>, shown: &[(&Ink, &Shown)], found: &mut Vec<Breach>) {
    let mut drawn: BTreeMap<usize, Vec<&Ink>> = BTreeMap::new();
    for one in ink {
        if let Some(pointer) = one.pointer {
            drawn.entry(pointer).or_default().push(one);
        }
    }
    let all: usize = node.pictures.iter().map(|picture| picture.pointers.len()).sum();
    let leaf = shown.first().map_or(0, |(picture, _)| picture.leaf);
    if drawn.len() != all {
        let words = format!("{} of {all} pointers are drawn, at {}", drawn.len(), named(node));
        found.push(Breach::of(node, leaf, Kind::Lost, words));
        return;
    }
    for (picture, (on, _)) in node.pictures.iter().zip(shown) {
        for pointer in &picture.pointers {
            let label = |parts: &Vec<&Ink>| {
                of_ink(parts.iter().copied())
                    .iter()
                    .map(|letter| letter.c)
                    .collect::<String>()
            };
            let is_it =
                |parts: &&Vec<&Ink>| label(parts) == pointer.label && parts.iter().all(|ink| ink.leaf == on.leaf);
            if !drawn.values().filter(is_it).any(|parts| ends_at(parts, on, pointer)) {
                let words = format!(
                    "pointer {} doesn't end at its place in the picture, at {}",
                    pointer.label,
                    named(node)
                );
                found.push(Breach::of(node, on.leaf, Kind::Misplaced, words));
            }
        }
    }
}

/// True for what may mark the end of a line: it hides next to nothing of the picture.
pub fn is_end(ink: &Ink) -> bool {
    ink.pointer.is_some() && ink.drawn().is_some() && ink.area.width().max(ink.area.height()) < END
}

/// True if something small is drawn at the place, and the label's line ends there.
fn ends_at(parts: &[&Ink], picture: &Ink, pointer: &Pointer) -> bool {
    let (across, up) = pointer.at;
    let place = (
        picture.area.left + across * picture.area.width(),
        picture.area.bottom - up * picture.area.height(),
    );
    let is_there = |(x, y): (f64, f64)| f64::hypot(x - place.0, y - place.1) < OFF;
    let mut ends = parts.iter().filter(|ink| is_end(ink));
    ends.any(|ink| is_there(ink.area.centre())) && parts.iter().any(|ink| leads(ink, picture, is_there))
}

/// True for a line that ends there and can be seen: beside a picture it lies on white paper, in one on who knows what.
fn leads(ink: &Ink, picture: &Ink, is_there: impl Fn((f64, f64)) -> bool) -> bool {
    let Some(drawn) = ink.drawn().filter(|drawn| drawn.lines.len() == 1 || !is_end(ink)) else {
        return false;
    };
    let is_dark = drawn
        .stroke
        .is_some_and(|stroke| contrast(over(stroke, WHITE), WHITE) >= LEAST_LINE);
    let from = |start: (f64, f64)| is_dark || picture.area.holds(&Area::of([start]), 0.0);
    let mut lines = drawn.lines.iter();
    lines.any(|line| is_there(line.to) && from(line.from) || is_there(line.from) && from(line.to))
}
