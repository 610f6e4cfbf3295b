//! The code of a leaf for a phone: dark where it should be. Who scans another leaf's code is told that an old card is a new one.

use super::super::code::Code;
use super::breach::{Breach, Kind};
use super::ink::Own;
use super::leaf::Leaf;
use super::light::{WHITE, contrast, over};
use super::piece::Drawn;

/// Parts from which on dark areas at the foot are taken for a code: a template may draw none, or as a picture.
const LEAST_PARTS: usize = 40;

/// Light against dark that a reader needs, from 1 to 21 (ISO/IEC 15415 has symbol contrast of 40 % as its grade C: some 2.5 to 1 on white).
const LEAST_CONTRAST: f64 = 2.5;

/// Looks at the code of a leaf.
pub fn check(leaf: &Leaf, code: &Code, found: &mut Vec<Breach>) {
    let is_dark = |drawn: &&Drawn| {
        let dark = drawn
            .fill
            .is_some_and(|fill| contrast(over(fill, WHITE), WHITE) >= LEAST_CONTRAST);
        dark && !drawn.stroked
    };
    let foot = leaf.drawn().filter(|(_, ink, _)| ink.is(Own::Foot));
    let parts: Vec<_> = foot
        .map(|(_, _, drawn)| drawn)
        .filter(is_dark)
        .flat_map(|drawn| drawn.parts.iter().copied())
        .collect();
    let Some(whole) = parts.iter().copied().reduce(|one, other| one.with(other)) else {
        return;
    };
    if parts.len() < LEAST_PARTS || code.side == 0 {
        return;
    }
    // Every symbol has dark corners at three of its ends, so that its dark parts reach over all of it.
    let (wide, high) = (whole.width() / code.side as f64, whole.height() / code.side as f64);
    let mut asked = vec![false; code.side * code.side];
    for (x, y, length) in &code.runs {
        asked
            .iter_mut()
            .skip(y * code.side + x)
            .take(*length)
            .for_each(|dark| *dark = true);
    }
    let is_right = |(at, dark): (usize, &bool)| {
        let x = whole.left + ((at % code.side) as f64 + 0.5) * wide;
        let y = whole.top + ((at / code.side) as f64 + 0.5) * high;
        let has = |part: &super::area::Area| part.left < x && x < part.right && part.top < y && y < part.bottom;
        parts.iter().any(has) == *dark
    };
    if (wide - high).abs() > 0.05 * high || !asked.iter().enumerate().all(is_right) {
        let words = format!("the code to scan doesn't say “{}”", code.text);
        found.push(Breach::at(None, leaf.number, Kind::Lost, words));
    }
}
