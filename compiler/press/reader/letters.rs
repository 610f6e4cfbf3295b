//! Letters in the order in which they are read, and whether a text stands among them as it is: whole, with its gaps, set off from what would make
//! another figure of it.

use super::ink::Ink;
use super::piece::Run;

/// A letter as it stands on the leaf.
#[derive(Debug, Clone, Copy)]
pub struct Letter {
    pub c: char,
    /// There is room before it: a blank, a gap, another line.
    gap: bool,
    /// It begins a line, or a column.
    pub line: bool,
    /// It stands higher or lower than the letter before, or before it, and yet on its line: no part of the same word.
    shifted: bool,
    /// Who reads doesn't come to it from the letter before: it stands before it on its line, or above it.
    astray: bool,
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

/// The letters of some runs of text, in the order in which they are read.
pub fn letters<'a>(runs: impl IntoIterator<Item = (usize, &'a Run)>) -> Vec<Letter> {
    let mut found: Vec<Letter> = Vec::new();
    // Leaf, line, and where the last letter ended.
    let mut before: Option<(usize, f64, f64)> = None;
    let mut blank = false;
    // The letter before was pulled away from what follows; it reads from right to left.
    let (mut pulled, mut backwards) = (false, false);
    for (leaf, run) in in_reading_order(runs) {
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

/// Runs in which one reads from right to left come from the typesetter as they stand; here they follow each other as they are read.
fn in_reading_order<'a>(runs: impl IntoIterator<Item = (usize, &'a Run)>) -> Vec<(usize, &'a Run)> {
    let mut all: Vec<(usize, &Run)> = runs.into_iter().collect();
    let mut at = 0;
    while at < all.len() {
        if !all[at].1.backwards {
            at += 1;
            continue;
        }
        let same_line = |n: usize| {
            all.get(n)
                .is_some_and(|(leaf, run)| *leaf == all[at].0 && (run.base - all[at].1.base).abs() < 0.1)
        };
        let has_letters =
            |run: &Run| !run.backwards && run.clusters.iter().any(|c| c.text.chars().any(char::is_alphabetic));
        let mut end = at;
        let mut next = at + 1;
        while same_line(next) && !has_letters(all[next].1) {
            if all[next].1.backwards {
                end = next;
            }
            next += 1;
        }
        all[at..=end].reverse();
        at = end + 1;
    }
    all
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

/// True if the text stands at that place, with the same gaps, in reading order; a word may be divided at the end of a line, a figure never.
pub fn stands(page: &[Letter], at: usize, text: &[Letter]) -> bool {
    let Some(here) = page.get(at..at + text.len()) else {
        return false;
    };
    let same = |n: usize, a: &Letter, b: &Letter| {
        let joined = || !a.shifted && (!a.gap || a.line && !is_in_figure(text, n));
        a.c == b.c && (n == 0 || !a.astray && if b.gap { a.gap } else { joined() })
    };
    here.iter().zip(text).enumerate().all(|(n, (a, b))| same(n, a, b))
}

/// True between two digits of a figure.
fn is_in_figure(text: &[Letter], at: usize) -> bool {
    let part = |at: usize| {
        text.get(at)
            .is_some_and(|l| l.c.is_ascii_digit() || matches!(l.c, '.' | ','))
    };
    part(at) && at.checked_sub(1).is_some_and(part) && !is_in_long_word(text, at)
}

/// Letters up to which codes are never divided.
const CODE: usize = 22;

/// True within a word that is too long for some columns, and so may be divided anywhere.
fn is_in_long_word(text: &[Letter], at: usize) -> bool {
    let before = text.iter().take(at + 1).rev().position(|l| l.gap).unwrap_or(at);
    let after = text.iter().skip(at + 1).take_while(|l| !l.gap).count();
    before + 1 + after > CODE
}

/// True if a figure and the unit behind it stand on two lines.
pub fn is_parted(page: &[Letter], at: usize, length: usize) -> bool {
    let pairs = page.get(at..at + length).unwrap_or_default().windows(2);
    pairs
        .filter(|pair| pair[0].c.is_ascii_digit() && pair[1].line)
        .any(|pair| !pair[1].c.is_ascii_digit())
}

/// What makes another figure of one that it touches, if a figure stands on its other side too.
fn joins_figures(c: char) -> bool {
    matches!(c, '/' | '×' | '*' | '^' | ':' | '·')
}

/// True if nothing touches it that would make it another word or figure.
pub fn set_off(page: &[Letter], at: usize, length: usize) -> bool {
    let (Some(first), Some(last)) = (page.get(at), page.get(at + length - 1)) else {
        return true;
    };
    let is_minus = |c: char| matches!(c, '-' | '−' | '–' | '+');
    let joins = |left: char, right: char| {
        let sign = |c: char| is_minus(c) || matches!(c, '.' | ',' | '/');
        left.is_alphanumeric() && right.is_alphanumeric()
            || sign(left) && right.is_ascii_digit()
            || is_minus(left) && is_minus(right)
    };
    let before = at.checked_sub(1).and_then(|n| page.get(n));
    let touches = |before: &Letter| {
        let beyond = at.checked_sub(2).and_then(|n| page.get(n));
        let joined = !before.gap && beyond.is_some_and(|beyond| beyond.c.is_alphanumeric());
        joins(before.c, first.c) || joins_figures(before.c) && first.c.is_ascii_digit() && joined
    };
    // A minus with a blank behind it is one all the same; a hyphen that begins a line leads an entry of a list.
    let is_negative = |before: &Letter| {
        let minus = before.c == '−' || before.c == '-' && !before.line;
        minus && before.gap && !first.line && first.c.is_ascii_digit() && !is_range(page, at)
    };
    let clear_before = before.is_none_or(|before| !is_negative(before) && (first.gap || !touches(before)));
    let clear_after = page.get(at + length).is_none_or(|after| {
        let next = page.get(at + length + 1).filter(|next| !next.gap);
        let goes_on = next.is_some_and(|next| next.c.is_ascii_digit());
        let joined = match after.c {
            // A full stop or comma after a figure ends a sentence, unless a digit follows it at once.
            '.' | ',' => last.c.is_ascii_digit() && goes_on,
            c if joins_figures(c) => goes_on,
            c => joins(last.c, c),
        };
        after.gap || !joined
    });
    clear_before && clear_after
}

/// True if a figure stands before the sign that stands before a figure: both are a range.
fn is_range(page: &[Letter], at: usize) -> bool {
    let sign = at.saturating_sub(1);
    let before = page.get(sign.saturating_sub(UNIT)..sign).unwrap_or_default();
    before.iter().any(|letter| letter.c.is_ascii_digit())
}

/// Letters within which the digits of a figure stand before its end.
const UNIT: usize = 6;

/// Where a text stands, from a place on.
pub fn find(page: &[Letter], from: usize, text: &[Letter], alone: bool) -> Option<usize> {
    (from..(page.len() + 1).saturating_sub(text.len()))
        .find(|at| stands(page, *at, text) && (!alone || set_off(page, *at, text.len())))
}

/// A figure, or what holds one: it must be set off.
pub fn has_figure(text: &str) -> bool {
    text.chars().any(|c| c.is_ascii_digit())
}

/// True if a text stands there as it is, set off where it holds a figure.
pub fn says(page: &[Letter], text: &str) -> bool {
    find(page, 0, &wanted(text), has_figure(text)).is_some()
}

/// How often a text stands on a page.
pub fn times(page: &[Letter], text: &str) -> usize {
    let text = wanted(text);
    let last = (page.len() + 1).saturating_sub(text.len());
    (0..if text.is_empty() { 0 } else { last })
        .filter(|at| stands(page, *at, &text))
        .count()
}

/// A whole number on a page: digits with nothing between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    pub value: String,
    /// Which line it stands on, counted in the order of reading.
    pub line: usize,
    /// The places of its first digit and of what follows its last one.
    pub from: usize,
    pub to: usize,
}

pub fn numbers(page: &[Letter]) -> Vec<Number> {
    let mut found: Vec<Number> = Vec::new();
    let mut line = 0;
    for (at, letter) in page.iter().enumerate() {
        line += usize::from(letter.line);
        if !letter.c.is_ascii_digit() {
            continue;
        }
        match found.last_mut().filter(|number| number.to == at && !letter.gap) {
            Some(number) => {
                number.value.push(letter.c);
                number.to = at + 1;
            }
            None => found.push(Number {
                value: letter.c.to_string(),
                line,
                from: at,
                to: at + 1,
            }),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::piece::{Cluster, Turn};
    use super::*;

    fn page(text: &str) -> Vec<Letter> {
        wanted(text)
    }

    #[test]
    fn a_figure_is_found_only_as_it_is() {
        let holds = |on: &str, text: &str| find(&page(on), 0, &wanted(text), true).is_some();
        assert!(holds("Tighten 21 N·m now", "21 N·m"));
        assert!(holds("Tighten (21 N·m)", "21\u{a0}N·m"));
        assert!(holds("Tighten to 21.", "21"));
        for other in [
            "12 N·m",
            "121 N·m",
            "2 1 N·m",
            "21N·m",
            "21 N·mm",
            "1.21 N·m",
            "−21 N·m",
            "2.1 N·m",
            "−−21 N·m",
            "–21 N·m",
            "− 21 N·m",
            "3×21 N·m",
            "1:21 N·m",
            "21 N·m/2",
        ] {
            assert!(!holds(&format!("to {other} now"), "21 N·m"), "{other}");
        }
        for other in ["×21 N·m", "5 – 21 N·m", "5 - 21 N·m", ":21 N·m", "21 N·m/turn"] {
            assert!(holds(&format!("to {other} now"), "21 N·m"), "{other}");
        }
        assert!(!holds("to --0.6 mm", "-0.6 mm"));
        assert!(!holds("to 21.5", "21"));
        assert!(!holds("to 0,21", "21"));
    }

    #[test]
    fn divided_words_and_directions_have_no_form() {
        assert!(find(&page("Donau\u{ad}dampf"), 0, &wanted("Donaudampf"), false).is_some());
        assert!(find(&page("\u{2068}abc\u{2069}"), 0, &wanted("abc"), false).is_some());
    }

    #[test]
    fn words_are_read_where_the_eye_goes() {
        let run = |text: &str, left: f64, base: f64| {
            let letter = |(n, c): (usize, char)| Cluster {
                text: c.to_string(),
                left: left + 6.0 * n as f64,
                right: left + 6.0 * (n + 1) as f64,
                apart: false,
            };
            Run {
                clusters: text.chars().enumerate().map(letter).collect(),
                size: 10.0,
                bold: false,
                base,
                fill: None,
                outlined: false,
                turn: Turn::Upright,
                tight: false,
                missing: String::new(),
                backwards: false,
            }
        };
        let says = |runs: &[(Run, usize)], text: &str| {
            let page = letters(runs.iter().map(|(run, leaf)| (*leaf, run)));
            find(&page, 0, &wanted(text), false).is_some()
        };
        let below = [(run("shut", 50.0, 20.0), 0), (run("it", 50.0, 34.0), 0)];
        assert!(says(&below, "shut it"));
        let above = [(run("shut", 50.0, 34.0), 0), (run("it", 50.0, 20.0), 0)];
        assert!(!says(&above, "shut it"));
        let before = [(run("shut", 50.0, 20.0), 0), (run("it", 20.0, 20.0), 0)];
        assert!(!says(&before, "shut it"));
        let column = [(run("shut", 50.0, 90.0), 0), (run("it", 150.0, 20.0), 0)];
        assert!(says(&column, "shut it"));
        let overleaf = [(run("shut", 50.0, 90.0), 0), (run("it", 50.0, 20.0), 1)];
        assert!(says(&overleaf, "shut it"));
        // A word may be divided between two lines, a figure never, and no part of either is raised.
        let divided =
            |text: &str, rest: &str, base: f64, left: f64| [(run(text, 50.0, 20.0), 0), (run(rest, left, base), 0)];
        assert!(says(&divided("Donau", "dampf", 34.0, 50.0), "Donaudampf"));
        assert!(!says(&divided("17", "5", 34.0, 50.0), "175"));
        assert!(!says(&divided("17", "5", 16.0, 62.0), "175"));
        assert!(says(&divided("17", "5", 20.0, 62.0), "175"));
    }

    #[test]
    fn numbers_and_units_stand_on_one_line() {
        let mut page = page("to 21 N·m now");
        let at = find(&page, 0, &wanted("21 N·m"), true).unwrap();
        assert!(!is_parted(&page, at, 5));
        page[at + 2].line = true;
        assert!(is_parted(&page, at, 5));
        let told: Vec<String> = numbers(&page).into_iter().map(|number| number.value).collect();
        assert_eq!(told, ["21"]);
    }
}
