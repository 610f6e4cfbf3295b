//! Boxes to write in and to tick: framed, large enough and empty; nothing drawn across them; numbered from 1 where they have numbers; each nearer to
//! what it is for than to anything like it.

use std::collections::BTreeMap;

use super::area::Area;
use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::letters;
use super::light::{WHITE, contrast, over};
use super::node::{Node, Tree};
use super::piece::{Colour, Drawn, Straight};
use super::place::crosses;
use super::tell::{MM, report};
use super::text;
use super::words::named;

/// Room to write a figure by hand: width and height.
const LEAST_ROOM: (f64, f64) = (26.0 * MM, 8.0 * MM);

/// The least side that a gloved hand hits, of a box that holds the number of its fastener.
const LEAST_CELL: f64 = 6.0 * MM;

/// Light against dark, from 1 to 21: what a frame needs at least (WCAG 2.2, success criterion 1.4.11), and what a ground to write on may have.
const LEAST_FRAME: f64 = 3.0;
const MOST_GROUND: f64 = 1.5;

/// Half of the thinnest line that every printer prints, in points.
const LEAST_HALF: f64 = 0.1;

/// What two boxes side by side may share, in points: the line between them.
const SHARED: f64 = 2.0;

/// How far in from its frame a box must be empty, in points.
const INSIDE: f64 = 2.0;

/// A box as it lies on its leaf.
struct Framed<'a> {
    parts: Vec<&'a Ink>,
    /// Where its frame lies among all ink.
    at: usize,
    /// Round its frame; the frame of a box to tick is the first thing in it.
    area: Area,
    is_room: bool,
}

/// Looks at every box with a frame.
pub fn check(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    let all = framed(ink);
    for one in &all {
        match one.is_room {
            true => room(tree, one, found),
            false => tick(tree, one, found),
        }
        seen(tree, one, found);
    }
    apart(tree, &all, found);
    empty(tree, ink, &all, found);
    numbered(tree, &all, found);
    near(tree, ink, found);
}

fn framed(ink: &[Ink]) -> Vec<Framed<'_>> {
    let mut all: BTreeMap<(bool, usize), Framed> = BTreeMap::new();
    for (at, one) in ink.iter().enumerate() {
        let places = [one.room.map(|part| (true, part)), one.tick.map(|part| (false, part))];
        for (is_room, part) in places.into_iter().flatten() {
            let framed = all.entry((is_room, part)).or_insert_with(|| Framed {
                parts: Vec::new(),
                at,
                area: Area::NONE,
                is_room,
            });
            framed.parts.push(one);
            let is_frame = one.drawn().is_some_and(|drawn| drawn.stroked);
            if is_frame && !framed.area.is_some() {
                (framed.at, framed.area) = (at, one.area);
            } else if is_frame && is_room {
                framed.area = framed.area.with(one.area);
            }
        }
    }
    all.into_values().collect()
}

/// To write in: large enough, and empty but for signs.
fn room(tree: &Tree, one: &Framed, found: &mut Vec<Breach>) {
    let Some(first) = one.parts.first() else { return };
    if !one.area.is_some() || one.area.width() < LEAST_ROOM.0 || one.area.height() < LEAST_ROOM.1 {
        let (width, height) = match one.area.is_some() {
            true => (one.area.width() / MM, one.area.height() / MM),
            false => (0.0, 0.0),
        };
        let words = format!("a box to write in is {width:.0} by {height:.0} mm, too small to write a figure in");
        report(tree, first, Kind::Small, words, found);
    }
    let mut letters = one
        .parts
        .iter()
        .filter_map(|ink| ink.run())
        .flat_map(|run| &run.clusters);
    if letters.any(|c| c.text.chars().any(char::is_alphanumeric)) {
        let words = "there is print in a box to write in".to_string();
        report(tree, first, Kind::Misplaced, words, found);
    }
}

/// To tick, framed: by its sides, and without anything but its number.
fn tick(tree: &Tree, one: &Framed, found: &mut Vec<Breach>) {
    let Some(first) = one.parts.first().filter(|_| one.area.is_some()) else {
        return;
    };
    let side = one.area.width().min(one.area.height());
    if side < LEAST_CELL {
        let words = format!("a box to tick is {:.1} mm wide, less than 6 mm", side / MM);
        report(tree, first, Kind::Small, words, found);
    }
    let inside = one.area.widened(-INSIDE);
    // The frame and the ground may be two shapes.
    let is_frame = |ink: &Ink, drawn: &Drawn| {
        let outline = drawn.lines.is_empty() || drawn.lines.len() >= 4;
        outline && ink.area.widened(INSIDE).holds(&one.area, 0.0)
    };
    let is_drawn_in = |ink: &Ink| {
        ink.drawn().is_some_and(|drawn| {
            let across = drawn.lines.iter().any(|line| crosses(&inside.widened(line.half), line));
            let patch = drawn.is_filled && inside.reaches(&ink.area, 0.0);
            !is_frame(ink, drawn) && (across || patch)
        })
    };
    let mut letters = one
        .parts
        .iter()
        .filter_map(|ink| ink.run())
        .flat_map(|run| &run.clusters);
    // A tick, or a letter that may be taken for one.
    let is_sign = |text: &str| {
        let mut chars = text.chars();
        chars.any(|c| c.is_alphabetic() || !c.is_ascii() && !c.is_numeric() && !c.is_whitespace())
    };
    if one.parts.iter().any(|ink| is_drawn_in(ink)) || letters.any(|c| is_sign(&c.text)) {
        let words = "a box to tick isn't empty".to_string();
        report(tree, first, Kind::Misplaced, words, found);
    }
}

/// A frame that can be seen, and a ground that a pen can be seen on.
fn seen(tree: &Tree, one: &Framed, found: &mut Vec<Breach>) {
    let Some(first) = one.parts.first() else { return };
    let against_white = |colour: Colour| contrast(over(colour, WHITE), WHITE);
    let drawn = || one.parts.iter().filter_map(|ink| ink.drawn());
    let is_pale = |drawn: &Drawn| {
        let is_thin = drawn.lines.iter().any(|line| line.half < LEAST_HALF);
        is_thin || drawn.stroke.is_none_or(|stroke| against_white(stroke) < LEAST_FRAME)
    };
    let what = if one.is_room { "write in" } else { "tick" };
    if drawn().any(|drawn| drawn.stroked && is_pale(drawn)) {
        let words = format!("the frame of a box to {what} can't be seen");
        report(tree, first, Kind::Misplaced, words, found);
    }
    // Thin areas are lines.
    let grounds = || drawn().filter(|drawn| drawn.is_filled && drawn.lines.len() != 1);
    if grounds().any(|drawn| drawn.fill.is_none_or(|fill| against_white(fill) > MOST_GROUND)) {
        let words = format!("a box to {what} is too dark to {what}");
        report(tree, first, Kind::Misplaced, words, found);
    }
}

/// None over another.
fn apart(tree: &Tree, all: &[Framed], found: &mut Vec<Breach>) {
    let mut boxes: Vec<&Framed> = all.iter().filter(|one| one.area.is_some()).collect();
    let leaf = |one: &Framed| one.parts.first().map_or(0, |ink| ink.leaf);
    boxes.sort_by(|a, b| leaf(a).cmp(&leaf(b)).then(a.area.top.total_cmp(&b.area.top)));
    for (n, one) in boxes.iter().enumerate() {
        let level = boxes
            .iter()
            .skip(n + 1)
            .take_while(|other| leaf(one) == leaf(other) && other.area.top < one.area.bottom);
        for other in level.filter(|other| one.area.reaches(&other.area, SHARED)) {
            if let Some(first) = other.parts.first() {
                let words = "a box runs over another one".to_string();
                report(tree, first, Kind::Misplaced, words, found);
            }
        }
    }
}

/// Nothing of elsewhere in it: no line across, no words, no patch.
fn empty(tree: &Tree, ink: &[Ink], all: &[Framed], found: &mut Vec<Breach>) {
    let mut leaves: BTreeMap<usize, Vec<&Framed>> = BTreeMap::new();
    for one in all.iter().filter(|one| one.area.is_some()) {
        leaves
            .entry(one.parts.first().map_or(0, |ink| ink.leaf))
            .or_default()
            .push(one);
    }
    for (at, other) in ink.iter().enumerate() {
        let Some(boxes) = leaves.get(&other.leaf) else { continue };
        let is_of = |one: &Framed| one.parts.iter().any(|part| std::ptr::eq(*part, other));
        for one in boxes {
            let inside = one.area.widened(-INSIDE);
            if !inside.is_some() || !inside.reaches(&other.area.widened(0.1), 0.0) || is_of(one) {
                continue;
            }
            // What lies under the white ground of a box isn't seen.
            let ground = one.parts.iter().filter_map(|ink| ink.drawn());
            let is_under = at < one.at
                && ground
                    .clone()
                    .any(|drawn| drawn.fill.is_some_and(|fill| fill[3] > 0.95));
            let line = |line: &Straight| crosses(&inside.widened(line.half), line);
            let across = other.drawn().is_some_and(|drawn| drawn.lines.iter().any(line));
            let print = other.run().is_some() && other.area.reaches(&inside, 1.0);
            let patch = at > one.at && other.drawn().is_some_and(|drawn| drawn.is_filled);
            if !is_under && (across || print || patch) {
                let Some(first) = one.parts.first() else { continue };
                let words = "a box has something drawn over it".to_string();
                report(tree, first, Kind::Misplaced, words, found);
            }
        }
    }
}

/// Numbers in boxes to tick count what they are for: each from 1 on, once, or once for each member of a group.
fn numbered(tree: &Tree, all: &[Framed], found: &mut Vec<Breach>) {
    let mut items: BTreeMap<usize, Vec<(&Framed, usize)>> = BTreeMap::new();
    for one in all.iter().filter(|one| !one.is_room) {
        let number = text::numbers(&letters::of_ink(one.parts.iter().copied()));
        let number = number.first().and_then(|number| number.value.parse().ok());
        let item = one.parts.first().and_then(|ink| ink.item);
        if let (Some(item), Some(number)) = (item, number) {
            items.entry(item).or_default().push((one, number));
        }
    }
    for (item, boxes) in items {
        let Some(node) = tree.nodes.get(item) else { continue };
        if let Some(words) = miscounted(node, &boxes) {
            let leaf = boxes
                .first()
                .and_then(|(one, _)| one.parts.first())
                .map_or(0, |ink| ink.leaf);
            found.push(Breach::of(node, leaf, Kind::Lost, words));
        }
    }
}

fn miscounted(node: &Node, boxes: &[(&Framed, usize)]) -> Option<String> {
    let members = node.members.max(1);
    let each = node.ticks.unwrap_or(boxes.len()) / members;
    let count = |number: usize| boxes.iter().filter(|(_, other)| *other == number).count();
    if let Some(number) = (1..=each).find(|number| count(*number) != members) {
        let words = format!("{} boxes have the number {number}, at {}", count(number), named(node));
        return Some(words);
    }
    // Boxes that share a side count on from left to right.
    let touches =
        |one: &Area, next: &Area| (one.right - next.left).abs() < SHARED && (one.top - next.top).abs() < SHARED;
    let mut pairs = boxes.iter().zip(boxes.iter().skip(1));
    let row = pairs.find(|((one, number), (next, following))| {
        touches(&one.area, &next.area) && number.checked_add(1) != Some(*following)
    });
    row.map(|((_, number), (_, following))| format!("box {following} stands behind box {number}, at {}", named(node)))
}

/// How much nearer to something else a box may be than to what it is for, in points.
const NEARER: f64 = 1.0;

/// The boxes of a row stand nearer to its words than to those of a row like it.
fn near(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    /// What a row has on a leaf.
    #[derive(Default)]
    struct Row<'a> {
        boxes: Vec<&'a Ink>,
        words: Vec<Area>,
    }
    let mut lists: BTreeMap<(usize, usize), BTreeMap<usize, Row>> = BTreeMap::new();
    let is_ballot = |ink: &Ink| {
        ink.run()
            .is_some_and(|run| run.clusters.iter().any(|c| c.text.contains('☐')))
    };
    for one in ink {
        let Some(item) = one.item.filter(|item| *item < tree.nodes.len()) else {
            continue;
        };
        let is_box = is_ballot(one) || one.drawn().is_some_and(|drawn| drawn.stroked) && one.tick.is_some();
        // The number of a row tells nothing of what stands in it.
        if !is_box && (one.run().is_none() || one.tick.is_some() || one.room.is_some() || one.is(Own::Number)) {
            continue;
        }
        for (up, node) in tree.around(item) {
            let Some(list) = node.list.filter(|_| node.ticks.is_some_and(|ticks| ticks > 0)) else {
                continue;
            };
            let row = lists.entry((one.leaf, list)).or_default().entry(up).or_default();
            if !is_box {
                row.words.push(one.area);
            } else if up == item {
                row.boxes.push(one);
            }
        }
    }
    for rows in lists.values() {
        for (index, row) in rows {
            let Some(first) = row.boxes.first() else { continue };
            let all = row.boxes.iter().fold(Area::NONE, |area, ink| area.with(ink.area));
            // How far from its words up or down, and straight: beside each other rows may have boxes anywhere.
            let from = |words: &Area| ((-all.shared(words).1).max(0.0), all.distance(words));
            let least = |one: (f64, f64), other: (f64, f64)| (one.0.min(other.0), one.1.min(other.1));
            let nearest = |row: &Row| row.words.iter().map(from).fold((f64::INFINITY, f64::INFINITY), least);
            let own = nearest(row);
            let is_closer = |row: &Row| {
                let (down, straight) = nearest(row);
                down + NEARER < own.0 && straight + NEARER < own.1
            };
            let closer = rows.iter().find(|(other, row)| *other != index && is_closer(row));
            let closer = closer.filter(|_| own.0.is_finite());
            let both = closer.and_then(|(other, _)| Some((tree.nodes.get(*index)?, tree.nodes.get(*other)?)));
            if let Some((node, other)) = both {
                let words = format!("the box of {} stands at {}", named(node), named(other));
                report(tree, first, Kind::Misplaced, words, found);
            }
        }
    }
}
