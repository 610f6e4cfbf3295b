//! Whether a text stands among letters as it is: whole, with its gaps, set off from what would make another figure of it.

use super::letters::{Letter, wanted};

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
    let here = page.get(at..at + length).unwrap_or_default();
    here.iter()
        .zip(here.iter().skip(1))
        .any(|(one, next)| one.c.is_ascii_digit() && next.line && !next.c.is_ascii_digit())
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

/// True if a dash stands before a figure and isn't that of a range: whoever reads it takes it for a minus, wherever the line begins.
pub fn is_dashed(page: &[Letter], at: usize) -> bool {
    let before = at.checked_sub(1).and_then(|n| page.get(n));
    let dash = before.is_some_and(|before| matches!(before.c, '-' | '−' | '–'));
    dash && page.get(at).is_some_and(|first| first.c.is_ascii_digit()) && !is_range(page, at)
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
    use super::super::letters::letters;
    use super::super::piece::{Cluster, Run, Turn};
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
            "- 21 N·m",
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
    fn a_dash_before_a_figure_is_a_minus_unless_it_is_of_a_range() {
        let dashed = |on: &str| {
            let page = page(on);
            is_dashed(&page, find(&page, 0, &wanted("21 mm"), false).unwrap())
        };
        assert!(dashed("- 21 mm") && dashed("gap – 21 mm") && dashed("−21 mm"));
        assert!(!dashed("21 mm") && !dashed("gap 21 mm") && !dashed("5 – 21 mm") && !dashed("5 mm – 21 mm"));
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
