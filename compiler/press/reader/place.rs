//! Where ink lies: inside the type area, off other ink, on a ground that it can be read on, and large enough.

use std::collections::BTreeMap;

use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::node::Tree;
use super::piece::{Area, Colour, Drawn, Run, Straight};
use super::words::short;

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

/// The same of a box that holds the number of its fastener.
const LEAST_CELL: f64 = 6.0 * MM;

/// Room to write a figure by hand: width and height.
const LEAST_ROOM: (f64, f64) = (26.0 * MM, 8.0 * MM);

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
pub fn check(tree: &Tree, ink: &[Ink], sizes: &[(f64, f64)], found: &mut Vec<Breach>) {
    for (number, (width, height)) in sizes.iter().enumerate() {
        let of_leaf: Vec<&Ink> = ink.iter().filter(|ink| ink.leaf == number).collect();
        let leaf = Leaf::new(number, of_leaf, *width, *height);
        inside(tree, &leaf, *width, *height, found);
        apart(tree, &leaf, found);
        readable(tree, &leaf, found);
        large_enough(tree, &leaf, found);
    }
    rooms(tree, ink, found);
    cells(tree, ink, found);
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

/// Letters on letters, and lines through letters.
fn apart(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    let mut runs: Vec<(usize, &Ink, &Run)> = leaf.runs().collect();
    runs.sort_by(|(_, a, _), (_, b, _)| a.area.top.total_cmp(&b.area.top));
    for (n, (_, one, run)) in runs.iter().enumerate() {
        for (_, other, beside) in &runs[n + 1..] {
            if other.area.top > one.area.bottom {
                break;
            }
            let (across, down) = one.area.shared(&other.area);
            // The part of a line that has no letters but tails.
            let tail = 0.24 * run.size.max(beside.size);
            if across > 0.12 * run.size.min(beside.size) && down > tail {
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
        let through = lines
            .iter()
            .any(|(n, (from, to))| crosses(&letters, *from, *to) && !covered(leaf, *n, *at, one));
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
        let middle = Area {
            left: (one.area.left + one.area.right) / 2.0,
            right: (one.area.left + one.area.right) / 2.0,
            top: run.base - 0.3 * run.size,
            bottom: run.base - 0.3 * run.size,
        };
        let mut ground = [1.0, 1.0, 1.0, 1.0];
        for (_, area, drawn) in fills.iter().filter(|(n, ..)| *n < at) {
            if area.area.holds(&middle, 0.0) {
                ground = drawn.fill.map_or(ground, |fill| over(fill, ground));
            }
        }
        let seen = run.fill.map(|fill| contrast(over(fill, ground), ground));
        if seen.is_some_and(|seen| seen < LEAST_CONTRAST) {
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

/// Framed boxes to tick, by their sides.
fn cells(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    let framed = |ink: &&Ink| ink.tick.is_some() && ink.drawn().is_some_and(|drawn| drawn.stroked);
    for one in ink.iter().filter(framed) {
        let side = one.area.width().min(one.area.height());
        if side < LEAST_CELL {
            let words = format!("a box to tick is {:.1} mm wide, less than 6 mm", side / MM);
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
