//! What can be seen: letters upright and in their own shapes, against a ground that they can be read on, under nothing, and large enough.

use super::area::Area;
use super::breach::{Breach, Kind};
use super::ink::{Ink, Own, What};
use super::leaf::Leaf;
use super::light::{WHITE, contrast, over};
use super::node::Tree;
use super::piece::{Cluster, Drawn, Run, Turn};
use super::pointers;
use super::tell::{MM, SLACK, report, told};

/// Smallest letters at all, in points.
const LEAST_SIZE: f64 = 9.99;

/// Light against dark, from 1 to 21: what text needs at least (WCAG 2.2, success criterion 1.4.3).
const LEAST_CONTRAST: f64 = 4.5;

/// Side of the square in a box to tick, in em of DejaVu Sans, and the least that a gloved hand hits.
const TICK_EM: f64 = 0.717;
const LEAST_TICK: f64 = 5.0 * MM - SLACK;

/// Looks at the letters and pictures of a leaf.
pub fn check(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    shaped(tree, leaf, found);
    readable(tree, leaf, found);
    uncovered_pictures(tree, leaf, found);
    large_enough(tree, leaf, found);
}

/// What is done to letters that makes them others, or hard to read. A template may turn words of its own, such as the head of a narrow column.
fn misshapen(ink: &Ink, run: &Run) -> Option<&'static str> {
    let own = ink.own_first && matches!(ink.own.first(), Some(Own::Words | Own::TableHead | Own::Heading));
    match run.turn {
        Turn::Distorted => Some("is mirrored, slanted or squeezed"),
        Turn::Turned if !own => Some("is turned"),
        _ if run.tight => Some("has letters that are pushed into each other"),
        _ if run.outlined => Some("has an outline, which may hide its letters"),
        _ => None,
    }
}

fn shaped(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    for (_, one, run) in leaf.runs() {
        if let Some(how) = misshapen(one, run) {
            report(tree, one, Kind::Misplaced, format!("{} {how}", told(one)), found);
        }
    }
}

/// Against its ground, letter by letter, and not under anything.
fn readable(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    let fills: Vec<(usize, &Ink, &Drawn)> = leaf.drawn().filter(|(_, _, drawn)| drawn.is_filled).collect();
    let pictures: Vec<&Ink> = pictures(leaf).map(|(_, ink)| ink).collect();
    for (at, one, run) in leaf.runs() {
        let below: Vec<&(usize, &Ink, &Drawn)> = fills
            .iter()
            .filter(|(n, area, _)| *n < at && area.area.reaches(&one.area, 0.0))
            .collect();
        // Letters all in one colour on the bare leaf are looked at once.
        let letters = run.clusters.iter().filter(|c| !c.text.trim().is_empty());
        let letters = letters.take(if below.is_empty() { 1 } else { usize::MAX });
        if !letters.into_iter().all(|cluster| is_seen(one, run, cluster, &below)) {
            report(
                tree,
                one,
                Kind::Misplaced,
                format!("{} can't be seen against its ground", told(one)),
                found,
            );
        }
        let letters = match run.turn {
            Turn::Upright => Area {
                top: run.base - 0.6 * run.size,
                bottom: run.base,
                ..one.area
            },
            _ => one.area,
        };
        let over_it = |area: &Area| area.reaches(&letters, 1.0);
        let hidden = fills
            .iter()
            .any(|(n, area, drawn)| *n > at && is_dense(drawn) && over_it(&area.area))
            || pictures.iter().any(|ink| over_it(&ink.area));
        if hidden {
            report(tree, one, Kind::Misplaced, format!("{} is covered", told(one)), found);
        }
    }
}

/// True if an area lets nothing through that lies under it, or may not.
fn is_dense(drawn: &Drawn) -> bool {
    drawn.fill.is_none_or(|fill| fill[3] > 0.05)
}

/// True if a letter can be told from what it stands on. A gradient or a pattern has no light of its own that could be told, neither in letters nor
/// under them.
fn is_seen(one: &Ink, run: &Run, cluster: &Cluster, below: &[&(usize, &Ink, &Drawn)]) -> bool {
    let (x, y) = match run.turn {
        Turn::Upright => ((cluster.left + cluster.right) / 2.0, run.base - 0.3 * run.size),
        _ => one.area.centre(),
    };
    let middle = Area {
        left: x,
        right: x,
        top: y,
        bottom: y,
    };
    let mut ground = Some(WHITE);
    for (_, area, drawn) in below {
        if area.area.holds(&middle, 0.0) {
            ground = drawn.fill.map(|fill| over(fill, ground.unwrap_or(WHITE)));
        }
    }
    let seen = ground
        .zip(run.fill)
        .map(|(ground, fill)| contrast(over(fill, ground), ground));
    seen.is_some_and(|seen| seen >= LEAST_CONTRAST)
}

fn pictures<'a>(leaf: &Leaf<'a>) -> impl Iterator<Item = (usize, &'a Ink)> {
    let all = leaf.ink.iter().enumerate();
    all.filter(|(_, ink)| matches!(ink.what, What::Picture(_)))
        .map(|(n, ink)| (n, *ink))
}

/// How far an area may reach over a picture, in points.
const OVER_PICTURE: f64 = 2.0;

/// Nothing is painted over a picture but the ends of pointers.
fn uncovered_pictures(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    for (at, one) in pictures(leaf) {
        let over = |ink: &Ink| ink.area.reaches(&one.area, OVER_PICTURE);
        let patch = |(n, ink, drawn): (usize, &Ink, &Drawn)| {
            n > at && drawn.is_filled && is_dense(drawn) && over(ink) && !pointers::is_end(ink)
        };
        if leaf.drawn().any(patch) || pictures(leaf).any(|(n, other)| n > at && over(other)) {
            report(tree, one, Kind::Misplaced, "a picture is covered".to_string(), found);
        }
    }
}

fn large_enough(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    for (_, one, run) in leaf.runs() {
        if run.size < LEAST_SIZE {
            let words = format!(
                "{} is {:.1} pt high on leaf {}, less than 10 pt",
                told(one),
                run.size,
                leaf.number + 1
            );
            report(tree, one, Kind::Small, words, found);
        }
        let is_tick = run.clusters.iter().any(|c| c.text.contains('☐'));
        if is_tick && run.size * TICK_EM < LEAST_TICK {
            let words = format!(
                "a box to tick is {:.1} mm wide, less than 5 mm",
                run.size * TICK_EM / MM
            );
            report(tree, one, Kind::Small, words, found);
        }
    }
}
