//! Where ink lies: inside the type area, whole, and off other ink.

use super::area::Area;
use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::leaf::{CLEAR, Leaf};
use super::node::Tree;
use super::piece::{Run, Straight, Turn};
use super::tell::{MM, SLACK, report, told};

/// Clear at the binding edge: the punch goes there.
const BINDING: f64 = 15.0 * MM;

/// How far a letter may hang over the edge of the type.
const HANGING: f64 = 1.6 * MM;

/// Looks at a leaf.
pub fn check(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    inside(tree, leaf, found);
    apart(tree, leaf, found);
}

/// Inside the margins, between head and foot, and whole.
fn inside(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    let clear = Area {
        left: CLEAR,
        top: CLEAR,
        right: leaf.width - CLEAR,
        bottom: leaf.height - CLEAR,
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
        // Letters at the end of a line may hang over by part of a full stop; of what is drawn, a box to tick or write in may not.
        let is_box = ink.room.is_some() || ink.tick.is_some();
        let hangs = match ink.drawn() {
            None => Some(HANGING),
            Some(drawn) => (drawn.stroked && is_box).then_some(SLACK),
        };
        let over = |(edge, hangs): (f64, f64)| ink.area.left < edge - HANGING && ink.area.right > edge + hangs;
        if !on_every_leaf && leaf.edge.zip(hangs).is_some_and(over) {
            report(
                tree,
                ink,
                Kind::Misplaced,
                format!("{} runs over the edge of the type", told(ink)),
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
        if ink.cut {
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
    if run.turn != Turn::Upright {
        return one.area;
    }
    Area {
        top: one.area.top.max(run.base - 0.73 * run.size),
        bottom: one.area.bottom.min(run.base),
        ..one.area
    }
}

/// Where a line would be taken for a part of its letters.
pub fn middle(one: &Ink, run: &Run) -> Area {
    if run.turn != Turn::Upright {
        return one.area.widened(-0.2 * run.size);
    }
    Area {
        left: one.area.left + 0.6,
        right: one.area.right - 0.6,
        top: run.base - 0.55 * run.size,
        bottom: run.base - 0.03 * run.size,
    }
}

/// Letters on letters, and lines through letters.
fn apart(tree: &Tree, leaf: &Leaf, found: &mut Vec<Breach>) {
    let mut runs: Vec<(usize, &Ink, &Run)> = leaf.runs().collect();
    runs.sort_by(|(_, a, _), (_, b, _)| a.area.top.total_cmp(&b.area.top));
    for (n, (_, one, run)) in runs.iter().enumerate() {
        for (_, other, beside) in runs.iter().skip(n + 1) {
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
        let letters = middle(one, run);
        let through = lines
            .iter()
            .any(|(n, line)| crosses(&letters.widened(line.half), line) && !covered(leaf, *n, *at, one));
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
        let is_between = line <= n && n < text;
        is_between && drawn.is_filled && area.area.holds(&ink.area, 1.5)
    })
}

/// True if a straight line goes through an area (Liang and Barsky's clipping).
pub fn crosses(area: &Area, line: &Straight) -> bool {
    let (from, to) = (line.from, line.to);
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
        let through = |from, to| crosses(&area, &Straight { from, to, half: 0.5 });
        assert!(through((0.0, 12.0), (30.0, 12.0)));
        assert!(through((15.0, 0.0), (15.0, 30.0)));
        assert!(through((0.0, 0.0), (30.0, 24.0)));
        assert!(!through((0.0, 9.0), (30.0, 9.0)));
        assert!(!through((0.0, 12.0), (9.0, 12.0)));
        assert!(!through((0.0, 14.0), (30.0, 14.0)));
        // Past a corner: it is left on one side before it is reached on the other.
        assert!(!through((0.0, 0.0), (30.0, 60.0)) && !through((30.0, 60.0), (0.0, 0.0)));
        assert!(!through((0.0, 24.0), (60.0, 0.0)));
    }
}
