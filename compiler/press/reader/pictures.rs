//! Pictures: those that the leaf has, no more and no fewer, each where its words are and as it was drawn.

use std::collections::BTreeMap;

use super::super::assets::Assets;
use super::breach::{Breach, Kind};
use super::ink::{Ink, What};
use super::node::{Picture, Tree};
use super::pointers;
use super::shown::Shown;
use super::tell::{MM, report};
use super::words::{named, short};

/// Least width of a picture, in points: what is shown smaller shows nothing.
const LEAST_PICTURE: f64 = MM;

/// How much wider or narrower than it was drawn a picture may come: nobody sees less.
const STRETCH: f64 = 0.03;

/// Looks at every picture.
pub fn check(tree: &Tree, ink: &[Ink], assets: &Assets, found: &mut Vec<Breach>) {
    let mut told: BTreeMap<usize, Vec<(&Ink, &Shown)>> = BTreeMap::new();
    for one in ink {
        let What::Picture(shown) = &one.what else { continue };
        // A sign of the template's own, such as a shop's mark in the head.
        if one.own_first {
            continue;
        }
        let item = one
            .item
            .filter(|item| tree.nodes.get(*item).is_some_and(|node| !node.pictures.is_empty()));
        match item {
            Some(item) => told.entry(item).or_default().push((one, shown)),
            None => {
                let words = "a picture belongs to no item of the leaf".to_string();
                report(tree, one, Kind::Unowned, words, found);
            }
        }
        drawn(tree, one, shown, found);
    }
    for (index, node) in tree.nodes.iter().enumerate() {
        let shown = told.get(&index).map(Vec::as_slice).unwrap_or_default();
        if shown.is_empty() && node.pictures.is_empty() {
            continue;
        }
        let leaf = shown.first().map(|(ink, _)| ink.leaf);
        let leaf = leaf.or(ink.iter().find(|ink| ink.item == Some(index)).map(|ink| ink.leaf));
        let mut tell = |words| found.push(Breach::of(node, leaf.unwrap_or(0), Kind::Lost, words));
        if shown.len() != node.pictures.len() {
            let (count, all) = (shown.len(), node.pictures.len());
            tell(format!("{} has {count} of its {all} pictures on the page", named(node)));
            continue;
        }
        for (Picture { path, pointers: _ }, (_, shown)) in node.pictures.iter().zip(shown) {
            let asked = assets.0.get(path);
            if shown.bytes.as_ref().zip(asked).is_some_and(|(one, other)| one != other) {
                tell(format!(
                    "another picture stands for “{}”, at {}",
                    short(path),
                    named(node)
                ));
            }
        }
        pointers::check(node, ink.iter().filter(|ink| ink.item == Some(index)), shown, found);
    }
}

fn drawn(tree: &Tree, one: &Ink, shown: &Shown, found: &mut Vec<Breach>) {
    if one.area.width().max(one.area.height()) < LEAST_PICTURE {
        let words = "a picture is less than 1 mm large".to_string();
        report(tree, one, Kind::Small, words, found);
    }
    if shown.mirrored {
        let words = "a picture is mirrored".to_string();
        report(tree, one, Kind::Misplaced, words, found);
    } else if shown.turned {
        let words = "a picture is turned or leans".to_string();
        report(tree, one, Kind::Misplaced, words, found);
    }
    if (shown.stretch - 1.0).abs() > STRETCH {
        let words = "a picture is stretched".to_string();
        report(tree, one, Kind::Misplaced, words, found);
    }
}
