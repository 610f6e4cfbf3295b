//! Letters in the order in which they are read.

use super::ink::Ink;
use super::piece::Run;

/// A letter as it stands on the leaf.
#[derive(Debug, Clone, Copy)]
pub struct Letter {
    pub c: char,
    /// There is room before it: a blank, a gap, another line.
    pub gap: bool,
    /// It begins a line, or a column.
    pub line: bool,
    /// It stands higher or lower than the letter before, or before it, and yet on its line: no part of the same word.
    pub shifted: bool,
    /// Who reads doesn't come to it from the letter before: it stands before it on its line, or above it.
    pub astray: bool,
    /// Height in points; nothing for a text as the leaf has it.
    pub size: f64,
    pub bold: bool,
}

/// How far letters of one word may stand higher or lower than each other, in points.
const SHIFT: f64 = 0.5;

/// Room between two letters, in em, that parts words.
const GAP: f64 = 0.14;

/// True for what has no form of its own: where a word may be divided, which way it reads.
pub fn is_formless(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fe00}'..='\u{fe0f}')
}

/// The letters of some runs of text, which come from the typesetter in the order in which they are read, whichever way they run.
pub fn letters<'a>(runs: impl IntoIterator<Item = (usize, &'a Run)>) -> Vec<Letter> {
    let mut found: Vec<Letter> = Vec::new();
    // Leaf, line, and where the last letter ended.
    let mut before: Option<(usize, f64, f64)> = None;
    let mut blank = false;
    // The letter before was pulled away from what follows; it reads from right to left.
    let (mut pulled, mut backwards) = (false, false);
    for (leaf, run) in runs {
        let mut first = true;
        for cluster in &run.clusters {
            for c in cluster.text.chars() {
                if c.is_whitespace() {
                    blank = true;
                    continue;
                }
                if is_formless(c) || c.is_control() {
                    continue;
                }
                let step = match before.filter(|_| first) {
                    Some(before) => Step::to(before, leaf, run, cluster.left, backwards),
                    None => Step::default(),
                };
                found.push(Letter {
                    c,
                    gap: found.is_empty() || blank || pulled || step.gap,
                    line: found.is_empty() || step.line,
                    shifted: step.shifted,
                    astray: step.astray,
                    size: run.size,
                    bold: run.bold,
                });
                (first, blank, pulled) = (false, false, false);
            }
            pulled |= cluster.apart;
            before = Some((leaf, run.base, cluster.left.max(cluster.right)));
        }
        backwards = run.backwards;
        if run.backwards {
            let end = run.clusters.iter().map(|c| c.right).fold(f64::MIN, f64::max);
            before = Some((leaf, run.base, end));
        }
    }
    found
}

/// How the eye goes from the end of one run to the next.
#[derive(Default)]
struct Step {
    gap: bool,
    line: bool,
    shifted: bool,
    astray: bool,
}

impl Step {
    fn to((on, base, end): (usize, f64, f64), leaf: usize, run: &Run, left: f64, backwards: bool) -> Step {
        let down = run.base - base;
        let level = down.abs() <= 0.6 * run.size;
        let back = left < end - 0.6 * run.size;
        let turns = run.backwards || backwards;
        let below = on != leaf || !level && down > 0.0;
        // The next column begins higher, at the right.
        let column = !level && down < 0.0 && left > end;
        let line = below || column || back && turns;
        let away = (left - end).abs() > GAP * run.size && !run.backwards;
        Step {
            gap: line || away || !level,
            line,
            shifted: !line && (back || down.abs() > SHIFT),
            astray: !line && !turns && (back || !level),
        }
    }
}

/// The letters of some ink; heads that come again are read once.
pub fn of_ink<'a>(ink: impl IntoIterator<Item = &'a Ink>) -> Vec<Letter> {
    let first = ink.into_iter().filter(|ink| !ink.repeated);
    letters(first.filter_map(|ink| ink.run().map(|run| (ink.leaf, run))))
}

/// The same of a text as the leaf has it.
pub fn wanted(text: &str) -> Vec<Letter> {
    let mut found = Vec::new();
    let mut gap = true;
    for c in text.chars() {
        if c.is_whitespace() {
            gap = true;
        } else if !is_formless(c) && !c.is_control() {
            found.push(Letter {
                c,
                gap,
                line: false,
                shifted: false,
                astray: false,
                size: 0.0,
                bold: false,
            });
            gap = false;
        }
    }
    found
}
