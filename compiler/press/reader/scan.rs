//! The code to scan at the foot of a leaf: its modules, held against those that its code comes to (ISO/IEC 18004).

use super::super::code::Code;
use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::piece::Area;
use super::place::{self, MM};

/// Least side of the dark square: at arm's length a phone's camera still tells modules of 0.67 mm apart (a rule of thumb, no source).
const LEAST_SIDE: f64 = 14.0 * MM - 0.5;

/// Modules that stay white around it (ISO/IEC 18004, 9.1).
const QUIET: f64 = 4.0;

/// Light against dark, from 1 to 21, of what counts as black; what is lighter than the other is a ground.
const BLACK: f64 = 15.0;
const GROUND: f64 = 1.2;

/// Looks for the code of a leaf.
pub fn check(ink: &[&Ink], leaf: usize, code: &Code, found: &mut Vec<Breach>) {
    let mut report = |kind: Kind, words: &str| found.push(Breach::at(None, leaf, kind, words.to_string()));
    let is_module = |ink: &&&Ink| {
        let dark = |d: &super::piece::Drawn| {
            d.is_filled && !d.stroked && d.fill.is_none_or(|fill| place::against_white(fill) > GROUND)
        };
        ink.is(Own::Foot) && ink.drawn().is_some_and(dark)
    };
    let marks: Vec<&&Ink> = ink.iter().filter(is_module).collect();
    let drawn = || marks.iter().filter_map(|ink| ink.drawn());
    let parts: Vec<Area> = drawn().flat_map(|drawn| drawn.parts.iter().copied()).collect();
    let square = parts.iter().fold(Area::NONE, |all, part| all.with(*part));
    if !square.is_some() {
        report(Kind::Lost, "the leaf has no code to scan");
        return;
    }
    if square.width().min(square.height()) < LEAST_SIDE {
        report(Kind::Small, "the code to scan is less than 14 mm wide");
    }
    if drawn().any(|drawn| drawn.fill.is_none_or(|fill| place::against_white(fill) < BLACK)) {
        report(Kind::Misplaced, "the code to scan is not black");
    }
    if !is_drawn(&parts, &square, code) {
        report(Kind::Lost, "the code to scan is not that of the leaf");
    }
    let quiet = QUIET * square.width() / code.side.max(1) as f64 - 1.0;
    let is_ground = |ink: &Ink| ink.is(Own::Foot) && ink.drawn().is_some_and(|d| !d.stroked);
    let too_near = ink.iter().filter(|ink| !is_ground(ink)).any(|ink| {
        let (across, down) = square.shared(&ink.area);
        across > -quiet && down > -quiet
    });
    if too_near {
        report(Kind::Misplaced, "something stands too near to the code to scan");
    }
}

/// True if the middle of each module is dark where the code is, and light elsewhere.
fn is_drawn(parts: &[Area], square: &Area, code: &Code) -> bool {
    let side = code.side.max(1) as f64;
    let (wide, high) = (square.width() / side, square.height() / side);
    let middle = |n: usize| n as f64 + 0.5;
    (0..code.side).all(|row| {
        let y = square.top + middle(row) * high;
        let in_row: Vec<&Area> = parts.iter().filter(|part| part.top <= y && y <= part.bottom).collect();
        (0..code.side).all(|column| {
            let x = square.left + middle(column) * wide;
            let dark = in_row.iter().any(|part| part.left <= x && x <= part.right);
            let asked = code
                .runs
                .iter()
                .any(|(from, at, length)| *at == row && (*from..from + length).contains(&column));
            dark == asked
        })
    })
}
