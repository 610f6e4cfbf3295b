//! Where ink lies: inside the type area, off other ink, on a ground that it can be read on, and large enough.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::breach::{Breach, Kind};
use super::ink::{Ink, Own, What};
use super::node::Tree;
use super::piece::{Area, Cluster, Colour, Drawn, Run, Straight};
use super::words::{named, short};

/// Points in a millimetre.
pub const MM: f64 = 72.0 / 25.4;

/// Clear on every side: pouches are welded there.
const CLEAR: f64 = 8.0 * MM;

/// Clear at the binding edge: the punch goes there.
const BINDING: f64 = 15.0 * MM;

/// What rounding may do, in points.
const SLACK: f64 = 0.5;

/// Smallest letters at all, in points.
const LEAST_SIZE: f64 = 9.99;

/// Light against dark, from 1 to 21: what text needs at least (WCAG 2.2, success criterion 1.4.3).
const LEAST_CONTRAST: f64 = 4.5;

/// Side of the square in a box to tick, in em of DejaVu Sans, and the least that a gloved hand hits.
const TICK_EM: f64 = 0.717;
const LEAST_TICK: f64 = 5.0 * MM - SLACK;

/// Room to write a figure by hand: width and height.
const LEAST_ROOM: (f64, f64) = (20.0 * MM, 7.4 * MM);

/// The ink of one leaf, with what is needed to look at it.
struct Leaf<'a> {
    number: usize,
    ink: Vec<&'a Ink>,
    /// What is left between head and foot.
    work: Area,
    /// The code in the corner, which is higher than the foot.
    code: Area,
}

/// Looks at every leaf; `sizes` are width and height of each in points.
pub fn check(tree: &Tree, ink: &[Ink], sizes: &[(f64, f64)], paper: &str, found: &mut Vec<Breach>) {
    on_its_paper(sizes, paper, found);
    for (number, (width, height)) in sizes.iter().enumerate() {
        let of_leaf: Vec<&Ink> = ink.iter().filter(|ink| ink.leaf == number).collect();
        let leaf = Leaf::new(number, of_leaf, *width, *height);
        inside(tree, &leaf, *width, *height, found);
        apart(tree, &leaf, found);
        readable(tree, &leaf, found);
        large_enough(tree, &leaf, found);
    }
    rooms(tree, ink, found);
    pictures(tree, ink, found);
}

/// Papers by their names, in millimetres: ISO 216 and the two of North America.
const PAPERS: [(&str, f64, f64); 4] = [
    ("a4", 210.0, 297.0),
    ("letter", 215.9, 279.4),
    ("a5", 148.0, 210.0),
    ("half-letter", 139.7, 215.9),
];

/// The paper that the leaf is for, so that no printer scales it.
fn on_its_paper(sizes: &[(f64, f64)], paper: &str, found: &mut Vec<Breach>) {
    let Some((_, width, height)) = PAPERS.iter().find(|(name, ..)| *name == paper) else {
        return;
    };
    let same = |size: f64, asked: f64| (size - asked * MM).abs() <= 0.5 * MM;
    for (leaf, (wide, high)) in sizes.iter().enumerate() {
        if !same(*wide, *width) || !same(*high, *height) {
            let words = format!(
                "the leaf is {:.0} by {:.0} mm, which is not {paper}",
                wide / MM,
                high / MM
            );
            found.push(Breach::at(None, leaf, Kind::Misplaced, words));
        }
    }
}

impl<'a> Leaf<'a> {
    fn new(number: usize, ink: Vec<&'a Ink>, width: f64, height: f64) -> Self {
        // The code is areas, its ground among them; head and foot are letters and rules.
        let of = |own: Own, areas: bool| {
            let like = |ink: &&&Ink| ink.is(own) && ink.drawn().is_some_and(|d| !d.stroked) == areas;
            ink.iter()
                .filter(like)
                .fold(Area::NONE, |area, ink| area.with(ink.area))
        };
        let (head, foot) = (of(Own::Head, false), of(Own::Foot, false));
        Leaf {
            number,
            work: Area {
                left: CLEAR,
                right: width - CLEAR,
                top: if head.is_some() { head.bottom } else { CLEAR },
                bottom: if foot.is_some() { foot.top } else { height - CLEAR },
            },
            code: of(Own::Foot, true),
            ink,
        }
    }

    fn runs(&self) -> impl Iterator<Item = (usize, &'a Ink, &'a Run)> {
        self.ink
            .iter()
            .enumerate()
            .filter_map(|(n, ink)| ink.run().map(|run| (n, *ink, run)))
    }

    fn drawn(&self) -> impl Iterator<Item = (usize, &'a Ink, &'a Drawn)> {
        self.ink
            .iter()
            .enumerate()
            .filter_map(|(n, ink)| ink.drawn().map(|drawn| (n, *ink, drawn)))
    }
}

fn told(ink: &Ink) -> String {
    match ink.run() {
        Some(run) => format!(
            "“{}”",
            short(run.clusters.iter().map(|c| c.text.as_str()).collect::<String>().trim())
        ),
        None if ink.drawn().is_some() => "a line or area".to_string(),
        None => "a picture".to_string(),
    }
}

fn report(tree: &Tree, ink: &Ink, kind: Kind, words: String, found: &mut Vec<Breach>) {
    let node = ink.item.and_then(|item| tree.nodes.get(item));
    found.push(Breach::at(node, ink.leaf, kind, words));
}

/// Least width of a picture, in points: what is shown smaller shows nothing.
const LEAST_PICTURE: f64 = 10.0 * MM;

/// Pictures: those that the leaf has, no more and no fewer, each where its words are.
fn pictures(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
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
                "a picture is less than 10 mm large".to_string(),
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

/// Inside the margins, between head and foot, and whole.
fn inside(tree: &Tree, leaf: &Leaf, width: f64, height: f64, found: &mut Vec<Breach>) {
    let clear = Area {
        left: CLEAR,
        top: CLEAR,
        right: width - CLEAR,
        bottom: height - CLEAR,
    };
    for ink in &leaf.ink {
        let is_rule = ink.drawn().is_some();
        let on_every_leaf = ink.is(Own::Head) || ink.is(Own::Foot);
        let left = if is_rule { CLEAR } else { BINDING };
        if !clear.holds(&ink.area, SLACK) || ink.area.left < left - SLACK {
            report(
                tree,
                ink,
                Kind::Misplaced,
                format!("{} runs over the margin", told(ink)),
                found,
            );
            continue;
        }
        // What stands in the margin, such as punch marks, meets neither head nor foot.
        let in_margin = is_rule && (ink.area.right < BINDING || ink.area.left > leaf.work.right);
        if !on_every_leaf
            && !in_margin
            && (ink.area.top < leaf.work.top - SLACK || ink.area.bottom > leaf.work.bottom + SLACK)
        {
            let where_ = if ink.area.top < leaf.work.top - SLACK {
                "head"
            } else {
                "foot"
            };
            report(
                tree,
                ink,
                Kind::Misplaced,
                format!("{} runs into the {where_} of the leaf", told(ink)),
                found,
            );
            continue;
        }
        let (across, down) = leaf.code.shared(&ink.area);
        if leaf.code.is_some() && !ink.is(Own::Foot) && across > SLACK && down > SLACK {
            report(
                tree,
                ink,
                Kind::Misplaced,
                format!("{} runs into the code of the leaf", told(ink)),
                found,
            );
            continue;
        }
        if ink.clip.is_some_and(|clip| !clip.holds(&ink.area, 1.0)) {
            report(tree, ink, Kind::Misplaced, format!("{} is cut off", told(ink)), found);
        }
        if ink.item.is_none() && ink.own.is_empty() && !ink.drawn().is_some_and(|drawn| drawn.plain) {
            report(
                tree,
                ink,
                Kind::Unowned,
                format!("{} belongs to no item of the leaf", told(ink)),
                found,
            );
        }
    }
}

/// Where the letters of a run stand: from the height of its capitals down to its line, without tails.
fn upright(one: &Ink, run: &Run) -> Area {
    Area {
        top: one.area.top.max(run.base - 0.73 * run.size),
        bottom: one.area.bottom.min(run.base),
        ..one.area
    }
}

/// Letters on letters, and lines through letters.
fn apart(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    let mut runs: Vec<(usize, &Ink, &Run)> = leaf.runs().collect();
    runs.sort_by(|(_, a, _), (_, b, _)| a.area.top.total_cmp(&b.area.top));
    for (n, (_, one, run)) in runs.iter().enumerate() {
        for (_, other, beside) in &runs[n + 1..] {
            if other.area.top > one.area.bottom {
                break;
            }
            let (across, down) = upright(one, run).shared(&upright(other, beside));
            let size = run.size.min(beside.size);
            if across > 0.12 * size && down > 0.05 * size {
                let words = format!("{} lies on {}", told(other), told(one));
                report(
                    tree,
                    if other.item.is_some() { other } else { one },
                    Kind::Misplaced,
                    words,
                    found,
                );
            }
        }
    }
    let lines: Vec<(usize, Straight)> = leaf
        .drawn()
        .flat_map(|(n, _, drawn)| drawn.lines.iter().map(move |line| (n, *line)))
        .collect();
    for (at, one, run) in &runs {
        let letters = Area {
            left: one.area.left + 0.6,
            right: one.area.right - 0.6,
            top: run.base - 0.55 * run.size,
            bottom: run.base - 0.03 * run.size,
        };
        let through = lines.iter().any(|(n, line)| {
            crosses(&widened(&letters, line.half), line.from, line.to) && !covered(leaf, *n, *at, one)
        });
        if through {
            report(
                tree,
                one,
                Kind::Misplaced,
                format!("a line runs through {}", told(one)),
                found,
            );
        }
    }
}

/// An area with so much more on every side.
fn widened(area: &Area, by: f64) -> Area {
    Area {
        left: area.left - by,
        top: area.top - by,
        right: area.right + by,
        bottom: area.bottom + by,
    }
}

/// True if an area is painted over a line before the text comes.
fn covered(leaf: &Leaf, line: usize, text: usize, ink: &Ink) -> bool {
    leaf.drawn().any(|(n, area, drawn)| {
        let between = n.min(text) == n && n >= line && n < text || line > text && n > line && n < text;
        between && drawn.is_filled && area.area.holds(&ink.area, 1.5)
    })
}

/// True if a straight line goes through an area (Liang and Barsky's clipping).
fn crosses(area: &Area, from: (f64, f64), to: (f64, f64)) -> bool {
    if !area.is_some() {
        return false;
    }
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let sides = [
        (-dx, from.0 - area.left),
        (dx, area.right - from.0),
        (-dy, from.1 - area.top),
        (dy, area.bottom - from.1),
    ];
    for (p, q) in sides {
        if p == 0.0 {
            if q <= 0.0 {
                return false;
            }
        } else if p < 0.0 {
            enter = enter.max(q / p);
        } else {
            leave = leave.min(q / p);
        }
    }
    enter < leave
}

/// Relative luminance (WCAG 2.2).
fn luminance(colour: Colour) -> f64 {
    let part = |c: f64| {
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * part(colour[0]) + 0.7152 * part(colour[1]) + 0.0722 * part(colour[2])
}

fn contrast(a: Colour, b: Colour) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// How a colour stands out against paper.
pub fn against_white(colour: Colour) -> f64 {
    let white = [1.0, 1.0, 1.0, 1.0];
    contrast(over(colour, white), white)
}

/// A colour over another.
fn over(top: Colour, ground: Colour) -> Colour {
    let a = top[3];
    let mix = |n: usize| top[n] * a + ground[n] * (1.0 - a);
    [mix(0), mix(1), mix(2), 1.0]
}

/// Against its ground, and not under anything.
fn readable(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    let fills: Vec<(usize, &Ink, &Drawn)> = leaf.drawn().filter(|(_, _, drawn)| drawn.is_filled).collect();
    let pictures: Vec<(usize, &Ink)> = leaf
        .ink
        .iter()
        .enumerate()
        .filter(|(_, ink)| ink.run().is_none() && ink.drawn().is_none())
        .map(|(n, ink)| (n, *ink))
        .collect();
    for (at, one, run) in leaf.runs() {
        if let Some(how) = misshapen(run) {
            report(tree, one, Kind::Misplaced, format!("{} {how}", told(one)), found);
        }
        let below: Vec<&(usize, &Ink, &Drawn)> = fills
            .iter()
            .filter(|(n, area, _)| *n < at && reaches(&area.area, &one.area))
            .collect();
        let is_seen = |cluster: &Cluster| {
            let (x, y) = ((cluster.left + cluster.right) / 2.0, run.base - 0.3 * run.size);
            let middle = Area {
                left: x,
                right: x,
                top: y,
                bottom: y,
            };
            let mut ground = Some([1.0, 1.0, 1.0, 1.0]);
            for (_, area, drawn) in &below {
                if area.area.holds(&middle, 0.0) {
                    let under = ground.unwrap_or([1.0, 1.0, 1.0, 1.0]);
                    ground = drawn.fill.map(|fill| over(fill, under));
                }
            }
            let seen = ground
                .zip(run.fill)
                .map(|(ground, fill)| contrast(over(fill, ground), ground));
            seen.is_some_and(|seen| seen >= LEAST_CONTRAST)
        };
        let letters = run.clusters.iter().filter(|c| !c.text.trim().is_empty());
        if !letters.into_iter().all(is_seen) {
            report(
                tree,
                one,
                Kind::Misplaced,
                format!("{} can't be seen against its ground", told(one)),
                found,
            );
        }
        let letters = Area {
            top: run.base - 0.6 * run.size,
            bottom: run.base,
            ..one.area
        };
        let over_it = |area: &Area| {
            let (across, down) = area.shared(&letters);
            across > 1.0 && down > 1.0
        };
        let hidden = fills
            .iter()
            .any(|(n, area, drawn)| *n > at && drawn.fill.is_none_or(|fill| fill[3] > 0.05) && over_it(&area.area))
            || pictures.iter().any(|(_, area)| over_it(&area.area));
        if hidden {
            report(tree, one, Kind::Misplaced, format!("{} is covered", told(one)), found);
        }
    }
}

fn reaches(one: &Area, other: &Area) -> bool {
    let (across, down) = one.shared(other);
    across > 0.0 && down > 0.0
}

/// What is done to letters that makes them others, or hard to read.
fn misshapen(run: &Run) -> Option<&'static str> {
    if run.turned {
        Some("is turned, mirrored or squeezed")
    } else if run.tight {
        Some("has letters that are pushed into each other")
    } else if run.outlined {
        Some("has an outline, which may hide its letters")
    } else {
        None
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

/// Boxes to write in: framed, large enough and empty but for signs.
fn rooms(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_cross_areas_or_pass_by() {
        let area = Area {
            left: 10.0,
            top: 10.0,
            right: 20.0,
            bottom: 14.0,
        };
        assert!(crosses(&area, (0.0, 12.0), (30.0, 12.0)));
        assert!(crosses(&area, (15.0, 0.0), (15.0, 30.0)));
        assert!(crosses(&area, (0.0, 0.0), (30.0, 24.0)));
        assert!(!crosses(&area, (0.0, 9.0), (30.0, 9.0)));
        assert!(!crosses(&area, (0.0, 12.0), (9.0, 12.0)));
        assert!(!crosses(&area, (0.0, 14.0), (30.0, 14.0)));
    }

    #[test]
    fn contrast_is_that_of_the_guidelines() {
        // WCAG 2.2: black on white is 21 : 1; #767676 on white is the lightest grey that reaches 4.5 : 1.
        let (white, black) = ([1.0, 1.0, 1.0, 1.0], [0.0, 0.0, 0.0, 1.0]);
        assert!((contrast(white, black) - 21.0).abs() < 0.01);
        let grey = |level: f64| [level / 255.0, level / 255.0, level / 255.0, 1.0];
        assert!(contrast(grey(118.0), white) >= 4.5 && contrast(grey(119.0), white) < 4.5);
        assert!(contrast(over([0.0, 0.0, 0.0, 0.1], white), white) < 1.5);
    }
}
