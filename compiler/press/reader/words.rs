//! What is printed of each item, held against what the leaf has: every text whole and once, figures set off from their neighbours, boxes
//! counted.

use std::collections::{BTreeMap, BTreeSet};

use super::breach::{Breach, Kind};
use super::ink::{Ink, Own, What};
use super::node::{Node, Text, Tree};
use super::piece::Run;

/// A letter as it stands on the leaf.
#[derive(Debug, Clone, Copy)]
pub struct Letter {
    pub c: char,
    /// There is room before it: a blank, a gap, another line.
    gap: bool,
    /// It begins a line.
    line: bool,
    /// Height in points; nothing for a text as the leaf has it.
    size: f64,
    bold: bool,
}

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
                let (apart, line) = match before {
                    Some((on, base, end)) if first => {
                        let line = on != leaf
                            || (base - run.base).abs() > 0.6 * run.size
                            || cluster.left < end - 0.6 * run.size;
                        (
                            line || (cluster.left - end).abs() > GAP * run.size && !run.backwards,
                            line,
                        )
                    }
                    Some(_) => (false, false),
                    None => (true, true),
                };
                found.push(Letter {
                    c,
                    gap: blank || apart,
                    line,
                    size: run.size,
                    bold: run.bold,
                });
                first = false;
                blank = false;
            }
            before = Some((leaf, run.base, cluster.left.max(cluster.right)));
        }
        if run.backwards {
            let end = run.clusters.iter().map(|c| c.right).fold(f64::MIN, f64::max);
            before = Some((leaf, run.base, end));
        }
    }
    found
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
fn wanted(text: &str) -> Vec<Letter> {
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
                size: 0.0,
                bold: false,
            });
            gap = false;
        }
    }
    found
}

/// True if the text stands at that place, with the same gaps; a word may be divided at the end of a line.
fn stands(page: &[Letter], at: usize, text: &[Letter]) -> bool {
    let Some(here) = page.get(at..at + text.len()) else {
        return false;
    };
    let same =
        |n: usize, a: &Letter, b: &Letter| a.c == b.c && (n == 0 || if b.gap { a.gap } else { !a.gap || a.line });
    here.iter().zip(text).enumerate().all(|(n, (a, b))| same(n, a, b))
}

/// True if nothing touches it that would make it another word or figure.
fn set_off(page: &[Letter], at: usize, length: usize) -> bool {
    let joins = |left: char, right: char| {
        let part = |c: char| c.is_alphanumeric();
        let sign = |c: char| matches!(c, '.' | ',' | '-' | '−' | '+' | '/');
        part(left) && part(right)
            || sign(left) && right.is_ascii_digit()
            || left.is_ascii_digit() && right.is_ascii_digit()
    };
    let before = at.checked_sub(1).and_then(|n| page.get(n));
    let (Some(first), Some(last)) = (page.get(at), page.get(at + length - 1)) else {
        return true;
    };
    let clear_before = before.is_none_or(|b| first.gap || !joins(b.c, first.c));
    let clear_after = page.get(at + length).is_none_or(|after| {
        after.gap || !(joins(last.c, after.c) || last.c.is_ascii_digit() && matches!(after.c, '.' | ','))
            // A full stop or comma after a figure ends a sentence, unless a digit follows it at once.
            || matches!(after.c, '.' | ',') && page.get(at + length + 1).is_none_or(|next| next.gap || !next.c.is_ascii_digit())
    });
    clear_before && clear_after
}

/// Where a text stands, from a place on.
fn find(page: &[Letter], from: usize, text: &[Letter], alone: bool) -> Option<usize> {
    (from..(page.len() + 1).saturating_sub(text.len()))
        .find(|at| stands(page, *at, text) && (!alone || set_off(page, *at, text.len())))
}

/// A figure, or what holds one: it must be set off.
fn has_figure(text: &str) -> bool {
    text.chars().any(|c| c.is_ascii_digit())
}

/// True if a text stands there as it is, set off where it holds a figure.
pub fn says(page: &[Letter], text: &str) -> bool {
    find(page, 0, &wanted(text), has_figure(text)).is_some()
}

/// What is printed of an item itself, by its place.
pub struct Printed<'a> {
    pub ink: Vec<&'a Ink>,
}

impl<'a> Printed<'a> {
    /// The runs that are its own words; heads that come again are read once.
    pub fn runs(&self) -> impl Iterator<Item = (usize, &'a Run)> {
        let own = self.ink.iter().filter(|ink| {
            !(ink.repeated
                || ink.own_first
                    && matches!(
                        ink.own.first(),
                        Some(Own::Words | Own::TableHead | Own::Tick | Own::Stop)
                    ))
        });
        own.filter_map(|ink| ink.run().map(|run| (ink.leaf, run)))
    }

    pub fn leaf(&self) -> usize {
        self.ink.first().map_or(0, |ink| ink.leaf)
    }
}

/// The ink of each item itself, without that of items in it.
pub fn by_item(ink: &[Ink]) -> BTreeMap<usize, Printed<'_>> {
    let mut all: BTreeMap<usize, Printed> = BTreeMap::new();
    for one in ink {
        // Head and foot come between two leaves of an item that goes on.
        if let Some(item) = one.item.filter(|_| !one.is(Own::Head) && !one.is(Own::Foot)) {
            all.entry(item)
                .or_insert_with(|| Printed { ink: Vec::new() })
                .ink
                .push(one);
        }
    }
    all
}

/// Holds every item against what is printed of it.
pub fn check(tree: &Tree, printed: &BTreeMap<usize, Printed>, found: &mut Vec<Breach>) {
    for (index, node) in tree.nodes.iter().enumerate() {
        let asks = !node.texts.is_empty() || node.ticks.unwrap_or(0) > 0 || node.boxes.unwrap_or(0) > 0;
        let Some(printed) = printed.get(&index) else {
            if asks {
                found.push(Breach::nowhere(node, format!("{} is not on the page", named(node))));
            }
            continue;
        };
        let page = letters(printed.runs());
        texts(node, printed, &page, found);
        counts(node, printed, found);
    }
}

/// What an item is, for somebody who knows the page.
pub fn named(node: &Node) -> String {
    let last = node.path.rsplit('.').next().unwrap_or_default();
    let what = match last {
        "card" | "front" | "out" | "pocket" | "form" | "kit" | "plan" | "record" | "changes" => "the leaf",
        "cover" => "the cover",
        "messages" => "a safety message",
        "steps" => "the step",
        "substeps" => "a sub-step",
        "specs" => "what stands under the step",
        "stages" => "a stage of tightening",
        "passes" => "a pass of tightening",
        "holds" => "a hold point",
        "phases" => "the phase",
        "end" => "the end of a phase",
        "counted" => "a count at the end of a phase",
        "landmarks" => "a landmark",
        "torques" => "a row of torques",
        "measurements" => "a limit",
        "patterns" | "positions" => "a tightening order",
        "hazards" => "a row of the hazards",
        "parts" | "temporary" | "consumables" | "tools" | "lines" => "a row of the list",
        "fitted" | "off" | "loose" | "states" | "timers" => "a row of how the machine stands",
        other => other,
    };
    // The members that a thing is done for don't tell which it is.
    let own = node.texts.iter().find(|text| text.field != "members");
    match own.or(node.texts.first()) {
        Some(text) => format!("{what} “{}”", short(&text.words)),
        None => what.to_string(),
    }
}

/// The beginning of a text.
pub fn short(text: &str) -> String {
    let text: String = text.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).collect();
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("{} …", text[..end].trim_end()),
        None => text,
    }
}

fn texts(node: &Node, printed: &Printed, page: &[Letter], found: &mut Vec<Breach>) {
    let leaf = printed.leaf();
    let all: Vec<Vec<Letter>> = node.texts.iter().map(|text| wanted(&text.words)).collect();
    let mut from: BTreeMap<&str, usize> = BTreeMap::new();
    for (text, letters) in node.texts.iter().zip(&all) {
        let after = if text.prose {
            from.get(text.field.as_str()).copied().unwrap_or(0)
        } else {
            0
        };
        let alone = has_figure(&text.words) && !text.prose;
        match find(page, after, letters, alone) {
            Some(at) => {
                from.insert(text.field.as_str(), at + letters.len());
                let (least, bold) = text.least;
                let large = |at: usize| {
                    page[at..at + letters.len()]
                        .iter()
                        .all(|l| l.size > least - 0.01 && (!bold || l.bold))
                };
                // The same figure may stand beside it, as the second unit.
                let places = std::iter::successors(Some(at), |at| find(page, at + 1, letters, alone));
                if !places.into_iter().any(large) {
                    let how = if bold { " bold" } else { "" };
                    let words = format!(
                        "“{}” is smaller than {least:.0} pt{how}, at {}",
                        short(&text.words),
                        named(node)
                    );
                    found.push(Breach::of(node, leaf, Kind::Small, words));
                }
            }
            None => {
                let words = lacks(node, text, letters, page, after);
                found.push(Breach::of(node, leaf, Kind::Lost, words));
                continue;
            }
        }
        // Twice on the page, once on the leaf.
        // A wide grid comes in parts, each with the names of its rows.
        let in_parts = node.headed && text.field == "rows";
        if letters.len() >= 4 && has_figure(&text.words) && node.list.is_some() && !node.again && !in_parts {
            let count = |page: &[Letter]| {
                (0..page.len())
                    .filter(|at| stands(page, *at, letters) && set_off(page, *at, letters.len()))
                    .count()
            };
            let asked: usize = all.iter().map(|other| count(other)).sum();
            // What goes on overleaf has its heads on each leaf.
            let leaves: BTreeSet<usize> = printed.ink.iter().map(|ink| ink.leaf).collect();
            let letters_of = |leaf: &usize| self::letters(printed.runs().filter(|(at, _)| at == leaf));
            let on = |leaf: &usize| count(&letters_of(leaf));
            let told = match node.breaks {
                true => leaves.iter().map(on).max().unwrap_or(0),
                false => count(page),
            };
            if told > asked {
                found.push(Breach::of(
                    node,
                    leaf,
                    Kind::Lost,
                    format!("{} says “{}” {told} times on the page", named(node), short(&text.words)),
                ));
            }
        }
    }
}

/// Words for a text that isn't found as it is.
fn lacks(node: &Node, text: &Text, letters: &[Letter], page: &[Letter], after: usize) -> String {
    let what = named(node);
    let shown = short(&text.words);
    let bare = |letters: &[Letter]| letters.iter().map(|l| l.c).collect::<String>();
    let (page_text, wanted) = (bare(page), bare(letters));
    if page_text.contains(&wanted) {
        return if after > 0 && find(page, 0, letters, false).is_some() {
            format!("“{shown}” stands before what comes ahead of it, at {what}")
        } else {
            format!("“{shown}” is not set off from what stands beside it, at {what}")
        };
    }
    // How much of it is there.
    let chars: Vec<char> = wanted.chars().collect();
    let start: String = chars.iter().take(8).collect();
    if chars.len() > 12 && page_text.contains(&start) {
        return format!("“{shown}” is printed in part or otherwise, at {what}");
    }
    format!("“{shown}” is not printed, at {what}")
}

const TICK: char = '☐';

/// Boxes to tick and to write in.
fn counts(node: &Node, printed: &Printed, found: &mut Vec<Breach>) {
    let leaf = printed.leaf();
    if let Some(asked) = node.ticks {
        let ticks = printed
            .ink
            .iter()
            .filter(|ink| !ink.repeated)
            .filter_map(|ink| ink.run());
        let told: usize = ticks
            .flat_map(|run| &run.clusters)
            .map(|c| c.text.chars().filter(|c| *c == TICK).count())
            .sum();
        let framed = printed
            .ink
            .iter()
            .filter(|ink| ink.drawn().is_some_and(|drawn| drawn.stroked));
        let framed: BTreeSet<usize> = framed.filter_map(|ink| ink.tick).collect();
        let told = told + framed.len();
        if told != asked {
            let words = format!("{} has {} to tick on the page, not {asked}", named(node), boxes(told));
            found.push(Breach::of(node, leaf, Kind::Lost, words));
        }
    }
    if let Some(asked) = node.boxes {
        let rooms: BTreeSet<usize> = printed.ink.iter().filter_map(|ink| ink.room).collect();
        if rooms.len() != asked {
            let words = format!(
                "{} has {} to write in on the page, not {asked}",
                named(node),
                boxes(rooms.len())
            );
            found.push(Breach::of(node, leaf, Kind::Lost, words));
        }
    }
}

fn boxes(count: usize) -> String {
    match count {
        0 => "no box".to_string(),
        1 => "1 box".to_string(),
        n => format!("{n} boxes"),
    }
}

/// Letters no font has, and pieces of different items that run into each other.
pub fn runs(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    let mut before: Option<&Ink> = None;
    for one in ink {
        let What::Run(run) = &one.what else { continue };
        let node = one.item.and_then(|item| tree.nodes.get(item));
        if !run.missing.is_empty() {
            let words = format!("no font has “{}”: it is printed as an empty box", short(&run.missing));
            found.push(Breach::at(node, one.leaf, Kind::Lost, words));
        }
        if let Some((last, then)) = before.and_then(|b| b.run().map(|then| (b, then))) {
            let touches = last.leaf == one.leaf
                && last.item != one.item
                && (then.base - run.base).abs() < 0.1
                && (one.area.left - last.area.right).abs() < 0.08 * run.size;
            let ends = then.clusters.last().and_then(|c| c.text.chars().last());
            let starts = run.clusters.first().and_then(|c| c.text.chars().next());
            let joined = ends.zip(starts).is_some_and(|(a, b)| {
                a.is_alphanumeric() && b.is_alphanumeric() && (a.is_ascii_digit() || b.is_ascii_digit())
            });
            if touches && joined {
                let node = node.or(last.item.and_then(|item| tree.nodes.get(item)));
                found.push(Breach::at(
                    node,
                    one.leaf,
                    Kind::Lost,
                    "two figures or words of it run into each other".to_string(),
                ));
            }
        }
        before = Some(one);
    }
}

#[cfg(test)]
mod tests {
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
        ] {
            assert!(!holds(&format!("to {other} now"), "21 N·m"), "{other}");
        }
        assert!(!holds("to 21.5", "21"));
        assert!(!holds("to 0,21", "21"));
    }

    #[test]
    fn divided_words_and_directions_have_no_form() {
        assert!(find(&page("Donau\u{ad}dampf"), 0, &wanted("Donaudampf"), false).is_some());
        assert!(find(&page("\u{2068}abc\u{2069}"), 0, &wanted("abc"), false).is_some());
    }
}
