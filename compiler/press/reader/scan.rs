//! The code of a leaf for a phone: dark where it should be, and light beside it. Who scans another leaf's code is told that an old card is a new one;
//! who can't scan it doesn't ask.

use super::super::code::Code;
use super::area::Area;
use super::breach::{Breach, Kind};
use super::ink::{Ink, Own, What};
use super::leaf::Leaf;
use super::light::{BLACK, WHITE, contrast, luminance, over};
use super::piece::{Colour, Drawn};
use super::place::crosses;
use super::tell::MM;

/// Parts from which on areas at the foot are taken for a code: a template may draw none, or as a picture.
const LEAST_PARTS: usize = 40;

/// Longest side of an area that may be a part of a code by itself, in points: rules of the foot are longer.
const LARGEST: f64 = 26.0 * MM;

/// Light against dark that a reader needs, from 1 to 21 (ISO/IEC 15415 has symbol contrast of 40 % as its grade C: some 2.5 to 1 on white).
const LEAST_CONTRAST: f64 = 2.5;

/// Looks at the code of a leaf.
pub fn check(leaf: &Leaf, code: &Code, found: &mut Vec<Breach>) {
    let Some(parts) = parts(leaf).filter(|_| code.side > 0) else {
        return;
    };
    // Every symbol has dark corners at three of its ends, so that its dark parts reach over all of it.
    let whole = parts.iter().copied().fold(Area::NONE, Area::with);
    let (wide, high) = (whole.width() / code.side as f64, whole.height() / code.side as f64);
    let mut asked = vec![false; code.side * code.side];
    for (x, y, length) in &code.runs {
        asked
            .iter_mut()
            .skip(y * code.side + x)
            .take(*length)
            .for_each(|dark| *dark = true);
    }
    let near: Vec<&Ink> = leaf
        .ink
        .iter()
        .copied()
        .filter(|ink| ink.area.reaches(&whole, 0.0))
        .collect();
    let seen = |at: usize| {
        let x = whole.left + ((at % code.side) as f64 + 0.5) * wide;
        let y = whole.top + ((at / code.side) as f64 + 0.5) * high;
        seen(&near, (x, y))
    };
    // The lightest module that must be dark, and the darkest that must be light; a gradient may be either.
    let (mut dark, mut light) = (BLACK, WHITE);
    for (at, is_dark) in asked.iter().enumerate() {
        let colour = seen(at);
        if *is_dark {
            dark = lighter(dark, colour.unwrap_or(WHITE));
        } else {
            light = darker(light, colour.unwrap_or(BLACK));
        }
    }
    let mut tell = |words: String| found.push(Breach::at(None, leaf.number, Kind::Lost, words));
    if (wide - high).abs() > 0.05 * high || luminance(dark) >= luminance(light) {
        tell(format!("the code to scan doesn't say “{}”", code.text));
    } else if contrast(dark, light) < LEAST_CONTRAST {
        tell("the code to scan is too pale to be read".to_string());
    }
}

fn lighter(one: Colour, other: Colour) -> Colour {
    if luminance(one) > luminance(other) { one } else { other }
}

fn darker(one: Colour, other: Colour) -> Colour {
    if luminance(one) < luminance(other) { one } else { other }
}

/// The areas at the foot that a code consists of: dark ones, or any where too few are dark for one; drawn in one go, or each by itself. `None` if no
/// code is drawn.
fn parts(leaf: &Leaf) -> Option<Vec<Area>> {
    let foot = || {
        leaf.drawn()
            .filter(|(_, ink, drawn)| ink.is(Own::Foot) && drawn.is_filled)
    };
    let is_dark = |drawn: &Drawn| {
        let light = drawn.fill.map(|fill| contrast(over(fill, WHITE), WHITE));
        light.is_some_and(|light| light >= LEAST_CONTRAST)
    };
    let by_itself = |ink: &Ink, drawn: &Drawn| {
        let is_one = drawn.plain && ink.area.width().max(ink.area.height()) < LARGEST;
        (drawn.parts.is_empty() && is_one).then_some(ink.area)
    };
    let gather = |(dark, alone): (bool, bool)| -> Vec<Area> {
        let wanted = foot().filter(|(_, _, drawn)| !dark || is_dark(drawn));
        wanted
            .flat_map(|(_, ink, drawn)| {
                drawn
                    .parts
                    .iter()
                    .copied()
                    .chain(by_itself(ink, drawn).filter(|_| alone))
            })
            .collect()
    };
    let ways = [(true, false), (true, true), (false, false), (false, true)];
    ways.into_iter().map(gather).find(|parts| parts.len() >= LEAST_PARTS)
}

/// The colour that is seen at a place, with all that is painted over it; `None` for a picture, a gradient or a pattern.
fn seen(ink: &[&Ink], (x, y): (f64, f64)) -> Option<Colour> {
    let place = Area::of([(x, y)]);
    let mut colour = Some(WHITE);
    let paint = |colour: &mut Option<Colour>, fill: Option<Colour>| {
        *colour = fill.zip(*colour).map(|(fill, ground)| over(fill, ground));
    };
    for one in ink.iter().filter(|ink| ink.area.holds(&place, 0.0)) {
        match &one.what {
            What::Picture(_) => colour = None,
            What::Run(_) => {}
            What::Drawn(drawn) => {
                let is_in = drawn.parts.is_empty() || drawn.parts.iter().any(|part| part.holds(&place, 0.0));
                if drawn.is_filled && is_in {
                    paint(&mut colour, drawn.fill);
                }
                if drawn.lines.iter().any(|line| crosses(&place.widened(line.half), line)) {
                    paint(&mut colour, drawn.stroke);
                }
            }
        }
    }
    colour
}
