//! What is printed of each item, held against what the leaf has: every text whole and once, figures set off from their neighbours, boxes
//! counted.

use std::collections::{BTreeMap, BTreeSet};

use super::breach::{Breach, Kind};
use super::ink::{Ink, Own, What};
use super::letters::{Letter, letters, wanted};
use super::node::{Node, Text, Tree};
use super::piece::Run;
use super::text::{find, has_figure, is_dashed, is_parted, set_off, stands};

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
                        Some(
                            Own::Words
                                | Own::TableHead
                                | Own::Tick
                                | Own::Stop
                                | Own::Told
                                | Own::Number
                                | Own::Pointer
                        )
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

/// True for a hazard of a card that its head needn't name: the message that does stands on the first leaf too.
fn is_told_at_once(tree: &Tree, node: &Node, printed: &BTreeMap<usize, Printed>) -> bool {
    let hazard = |node: &Node| {
        let text = node.texts.iter().find(|text| text.field == "hazard")?;
        Some((node.signal.clone(), text.words.clone()))
    };
    // Where it is met is told nowhere else.
    let is_of_all = !node.texts.iter().any(|text| text.field == "at");
    is_of_all
        && node.path == "card.cover.hazards"
        && tree.nodes.iter().enumerate().any(|(index, message)| {
            message.path == "card.cover.messages"
                && hazard(message).is_some_and(|of| Some(of) == hazard(node))
                && printed.get(&index).is_some_and(|printed| printed.leaf() == 0)
        })
}

/// Holds every item against what is printed of it.
pub fn check(tree: &Tree, printed: &BTreeMap<usize, Printed>, found: &mut Vec<Breach>) {
    for (index, node) in tree.nodes.iter().enumerate() {
        let asks = !node.texts.is_empty() || node.ticks.unwrap_or(0) > 0 || node.boxes.unwrap_or(0) > 0;
        let Some(printed) = printed.get(&index) else {
            if asks && !is_told_at_once(tree, node, printed) {
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
    // What it is called tells which it is, the members that it is done for don't.
    let of = |field: &str| node.texts.iter().find(|text| text.field == field && last == "specs");
    let best = ["name", "what", "limit", "fastener"].into_iter().find_map(of);
    let own = node.texts.iter().find(|text| text.field != "members");
    match best.or(own).or(node.texts.first()) {
        Some(text) => format!("{what} “{}”", short(&text.words)),
        None => what.to_string(),
    }
}

/// The beginning of a text.
pub fn short(text: &str) -> String {
    let text: String = text.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).collect();
    match text.char_indices().nth(40).and_then(|(end, _)| text.get(..end)) {
        Some(start) => format!("{} …", start.trim_end()),
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
                    page.iter()
                        .skip(at)
                        .take(letters.len())
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
                // What leads a list elsewhere changes what a tool is set to, or a limit.
                if bold && is_dashed(page, at) {
                    let words = format!("a dash stands before “{}”, at {}", short(&text.words), named(node));
                    found.push(Breach::of(node, leaf, Kind::Lost, words));
                }
                if bold && is_parted(page, at, letters.len()) {
                    let words = format!("the unit of “{}” stands on another line", short(&text.words));
                    found.push(Breach::of(node, leaf, Kind::Parted, words));
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
        let columns = node.texts.iter().filter(|text| text.field == "columns").count();
        // What is printed in parts says its limit with each, and two parts may stand on one leaf.
        let with_each = node.breaks && ["limit", "range", "second"].contains(&text.field.as_str());
        let in_parts = columns > 1 && text.field == "rows" || with_each;
        if letters.len() >= 4 && has_figure(&text.words) && node.list.is_some() && !node.again && !in_parts {
            let count = |page: &[Letter]| {
                (0..page.len())
                    .filter(|at| stands(page, *at, letters) && set_off(page, *at, letters.len()))
                    .count()
            };
            let asked: usize = all.iter().map(|other| count(other)).sum();
            // What goes on overleaf has its heads on each leaf.
            let leaves: BTreeSet<usize> = printed.ink.iter().map(|ink| ink.leaf).collect();
            let letters_of = |leaf: &usize| super::letters::letters(printed.runs().filter(|(at, _)| at == leaf));
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
