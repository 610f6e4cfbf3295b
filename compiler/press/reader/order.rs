//! What stands with what, and in which order: steps whole, messages before their steps, holds behind them, headings over what they head,
//! heads of tables on every leaf.

use std::collections::BTreeMap;

use super::area::Area;
use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::letters;
use super::node::{Node, Tree};
use super::text;
use super::words::named;

/// Where an item and all in it lies, by the places of its ink in the document.
#[derive(Debug, Clone, Copy)]
pub struct Extent {
    pub first: usize,
    pub last: usize,
    pub first_leaf: usize,
    pub last_leaf: usize,
    /// On its first leaf.
    area: Area,
}

/// How much higher than what it comes behind something may begin, in points: numbers and boxes are higher than words.
const HIGHER: f64 = 4.0;

/// What may be left free under what fits on a leaf, in points: gaps, and what a template keeps to be sure.
const SPARE: f64 = 12.0 * super::tell::MM;

impl Extent {
    /// True if it begins lower on its leaf than another, whatever the order of the document is.
    fn is_below(&self, other: &Extent) -> bool {
        let beside = other.area.left >= self.area.right - 1.0;
        self.first_leaf == other.first_leaf && self.area.top > other.area.top + HIGHER && !beside
    }

    fn add(extent: &mut Option<Extent>, at: usize, ink: &Ink) {
        match extent {
            Some(extent) => {
                extent.first = extent.first.min(at);
                extent.last = extent.last.max(at);
                if ink.leaf < extent.first_leaf {
                    extent.first_leaf = ink.leaf;
                    extent.area = ink.area;
                } else if ink.leaf == extent.first_leaf {
                    extent.area = extent.area.with(ink.area);
                }
                extent.last_leaf = extent.last_leaf.max(ink.leaf);
            }
            None => {
                *extent = Some(Extent {
                    first: at,
                    last: at,
                    first_leaf: ink.leaf,
                    last_leaf: ink.leaf,
                    area: ink.area,
                });
            }
        }
    }
}

/// True for what is told beside a sentence and asks for no box.
fn is_beside(node: &Node) -> bool {
    node.path.starts_with("card.phases.")
        && node.path.ends_with(".specs")
        && node.ticks.is_none()
        && node.boxes.is_none()
}

/// Where all items of a document lie.
pub struct Order<'a> {
    pub tree: &'a Tree,
    pub ink: &'a [Ink],
    /// Of the item itself, without those in it.
    own: Vec<Option<Extent>>,
    /// With those in it.
    pub all: Vec<Option<Extent>>,
    children: Vec<Vec<usize>>,
}

/// Holds the order of the document against that of the data.
pub fn check(order: &Order, found: &mut Vec<Breach>) {
    order.whole(found);
    order.parts_in_order(found);
    order.rows_in_order(found);
}

impl<'a> Order<'a> {
    pub fn new(tree: &'a Tree, ink: &'a [Ink]) -> Self {
        let mut own = vec![None; tree.nodes.len()];
        let mut all = vec![None; tree.nodes.len()];
        for (at, one) in ink.iter().enumerate() {
            // Rules are in nobody's way, and an item ends where the next letters begin.
            let is_rule = one.drawn().is_some_and(|drawn| drawn.plain) && one.room.is_none();
            let counts = one
                .item
                .filter(|_| !one.is(Own::Head) && !one.is(Own::Foot) && !is_rule);
            let Some(item) = counts.filter(|item| *item < tree.nodes.len()) else {
                continue;
            };
            Extent::add(&mut own[item], at, one);
            for up in tree.up(item) {
                Extent::add(&mut all[up], at, one);
            }
        }
        let mut children = vec![Vec::new(); tree.nodes.len()];
        for (index, node) in tree.nodes.iter().enumerate() {
            if let Some(parent) = node.parent {
                children[parent].push(index);
            }
        }
        Order {
            tree,
            ink,
            own,
            all,
            children,
        }
    }

    fn name(&self, index: usize) -> String {
        named(&self.tree.nodes[index])
    }

    pub fn report(&self, index: usize, leaf: usize, words: String, found: &mut Vec<Breach>) {
        found.push(Breach::of(&self.tree.nodes[index], leaf, Kind::Parted, words));
    }

    /// Children of an item that come from one field of it.
    pub fn below(&self, index: usize, field: &str) -> impl Iterator<Item = usize> {
        let path = &self.tree.nodes[index].path;
        let path = format!("{path}.{field}");
        self.children[index]
            .iter()
            .copied()
            .filter(move |child| self.tree.nodes[*child].path == path)
    }

    /// On one leaf and in one piece, from its messages to its hold points.
    fn whole(&self, found: &mut Vec<Breach>) {
        for (index, node) in self.tree.nodes.iter().enumerate() {
            let Some(extent) = self.all[index].filter(|_| node.whole && !node.again) else {
                continue;
            };
            let told = node
                .parent
                .is_some_and(|parent| self.tree.up(parent).any(|up| self.is_cut(up) && !self.is_torn(up)));
            if told {
                continue;
            }
            let torn = self.is_torn(index);
            if self.is_cut(index) && torn {
                self.heads_again(index, found);
            } else if self.is_cut(index) {
                let (from, to) = (extent.first_leaf + 1, extent.last_leaf + 1);
                let what = if node.path == "card.phases.runs.steps" {
                    format!(
                        "{}, with its messages, tables and hold points, stands on leaves {from} to {to}",
                        self.name(index)
                    )
                } else {
                    format!("{} stands on leaves {from} to {to}", self.name(index))
                };
                self.report(index, extent.first_leaf, what, found);
            } else if self.is_parted(index, extent) {
                self.report(
                    index,
                    extent.first_leaf,
                    format!("something else stands between the parts of {}", self.name(index)),
                    found,
                );
            }
        }
    }

    /// True if the ink of another item stands among its own. What is round it all may have words between, and what is printed again at
    /// several places, such as a pattern, stands between nothing.
    fn is_parted(&self, index: usize, extent: Extent) -> bool {
        let other = |item: usize| {
            let again = self.tree.nodes.get(item).is_none_or(|node| node.again);
            !again && !self.tree.up(item).any(|up| up == index) && !self.tree.up(index).any(|up| up == item)
        };
        let among = &self.ink[extent.first..=extent.last];
        let works = among
            .iter()
            .filter(|ink| !ink.is(Own::Head) && !ink.is(Own::Foot) && (ink.run().is_some() || ink.room.is_some()));
        works.filter_map(|ink| ink.item).any(other)
    }

    /// True if it goes on overleaf only between rows, or groups of columns, of a grid of boxes.
    fn is_torn(&self, index: usize) -> bool {
        let Some(extent) = self.all[index] else { return false };
        let grids = || {
            (index..self.tree.nodes.len())
                .filter(|at| self.tree.nodes[*at].breaks && self.tree.up(*at).any(|up| up == index))
        };
        let over = |leaf: usize| {
            let goes_over = |at: usize| self.own[at].is_some_and(|own| own.first_leaf <= leaf && own.last_leaf > leaf);
            grids().any(goes_over)
        };
        (extent.first_leaf..extent.last_leaf).all(over)
    }

    /// The heads of grids that go on overleaf.
    fn heads_again(&self, index: usize, found: &mut Vec<Breach>) {
        for at in (index..self.tree.nodes.len())
            .filter(|at| self.tree.nodes[*at].headed && self.tree.up(*at).any(|up| up == index))
        {
            let Some(own) = self.own[at] else { continue };
            for leaf in own.first_leaf + 1..=own.last_leaf {
                let runs = self.ink.iter().filter(|ink| ink.leaf == leaf && ink.item == Some(at));
                let told = letters::letters(runs.filter_map(|ink| ink.run().map(|run| (leaf, run))));
                let texts = self.tree.nodes[at].texts.iter();
                let mut columns = texts.filter(|text| text.field == "columns");
                let again = columns.any(|name| text::says(&told, &name.words));
                let boxes = self
                    .ink
                    .iter()
                    .any(|ink| ink.leaf == leaf && ink.item == Some(at) && ink.room.is_some());
                if boxes && !again {
                    self.report(at, leaf, "a grid goes on overleaf without its head".to_string(), found);
                }
            }
        }
    }

    fn is_cut(&self, index: usize) -> bool {
        let node = &self.tree.nodes[index];
        node.whole && !node.again && self.all[index].is_some_and(|extent| extent.first_leaf != extent.last_leaf)
    }

    /// A phase's intro, its messages, its steps, its end; a step's messages, the step, its hold points.
    fn parts_in_order(&self, found: &mut Vec<Breach>) {
        for (index, node) in self.tree.nodes.iter().enumerate() {
            let in_order: &[(&str, &str)] = match node.path.as_str() {
                "card.phases.runs.steps" => &[
                    ("messages", ""),
                    ("messages", "specs"),
                    ("", "substeps"),
                    ("", "holds"),
                    ("substeps", "holds"),
                    ("specs", "holds"),
                ],
                "card.phases" => &[("", "messages"), ("messages", "runs"), ("", "runs"), ("runs", "end")],
                _ => continue,
            };
            for (first, second) in in_order.iter().copied() {
                let extents = |field: &str| -> Vec<(usize, Extent)> {
                    if field.is_empty() {
                        return self.own[index].map(|extent| (index, extent)).into_iter().collect();
                    }
                    self.below(index, field)
                        .filter_map(|child| self.all[child].map(|extent| (child, extent)))
                        .collect()
                };
                let (before, after) = (extents(first), extents(second));
                for (child, extent) in &before {
                    if after
                        .iter()
                        .any(|(_, next)| next.first < extent.last || extent.is_below(next))
                    {
                        self.report(
                            *child,
                            extent.first_leaf,
                            format!("{} stands behind what it comes before", self.name(*child)),
                            found,
                        );
                    }
                }
            }
            if node.path == "card.phases" {
                self.phase_messages(index, found);
            }
        }
    }

    /// A message for a phase stands directly before its first step; on the leaf before it only where no leaf holds all that introduces the phase and
    /// that step. The leaf of the step then says the message in short, as every leaf that goes on in a phase (`overleaf.rs`).
    fn phase_messages(&self, phase: usize, found: &mut Vec<Breach>) {
        let steps = self.below(phase, "runs").flat_map(|run| self.below(run, "steps"));
        let Some((first_step, start)) = steps
            .filter_map(|step| self.all[step].map(|extent| (step, extent)))
            .min_by_key(|(_, e)| e.first)
        else {
            return;
        };
        for message in self.below(phase, "messages") {
            let Some(extent) = self.all[message] else { continue };
            let is_before = extent.last_leaf + 1 == start.first_leaf;
            if extent.last_leaf != start.first_leaf && !(is_before && self.is_too_high(phase, extent, start)) {
                let words = format!(
                    "{} stands on leaf {}, the step that it comes before on leaf {}",
                    self.name(message),
                    extent.last_leaf + 1,
                    start.first_leaf + 1
                );
                self.report(first_step, extent.first_leaf, words, found);
            }
        }
    }

    /// True if what introduces a phase, to the end of a message, and its first step don't fit on one leaf: less than `SPARE` would be left.
    fn is_too_high(&self, phase: usize, message: Extent, start: Extent) -> bool {
        let Some(whole) = self.all[phase].filter(|whole| whole.first_leaf == message.last_leaf) else {
            return false;
        };
        let on = |own: Own| {
            let of_leaf = self.ink.iter().filter(move |ink| ink.leaf == start.first_leaf);
            of_leaf.filter(move |ink| ink.is(own)).map(|ink| ink.area)
        };
        let head = on(Own::Head).map(|area| area.bottom).fold(0.0, f64::max);
        let foot = on(Own::Foot).map(|area| area.top).fold(f64::INFINITY, f64::min);
        let introduced = message.area.bottom - whole.area.top;
        let worked = start.area.bottom - start.area.top;
        start.first_leaf == start.last_leaf && introduced + worked > foot - head - SPARE
    }

    /// Rows as the data has them, from the top down or from the left to the right.
    fn rows_in_order(&self, found: &mut Vec<Breach>) {
        for (_, rows) in self.lists() {
            for pair in rows.windows(2) {
                let &[(one, before), (next, after)] = pair else {
                    continue;
                };
                let beside = after.area.left >= before.area.right - 1.0;
                let lower = after.area.top >= before.area.top - 1.0;
                // Rows of two tables at once: a group that is torn begins on its own leaf.
                let wrong = after.first < before.first || after.first_leaf == before.first_leaf && !beside && !lower;
                if wrong {
                    let words = format!(
                        "{} comes before {}, which it follows on the leaf",
                        self.name(next),
                        self.name(one)
                    );
                    self.report(next, after.first_leaf, words, found);
                }
            }
        }
    }

    /// Each array whose items are printed, with its rows in the order of the data. What marks tell round their sentence, besides what is worked
    /// or filled in, has an order of its own: what must hold first.
    pub fn lists(&self) -> BTreeMap<usize, Vec<(usize, Extent)>> {
        let mut lists: BTreeMap<usize, Vec<(usize, Extent)>> = BTreeMap::new();
        for (index, node) in self.tree.nodes.iter().enumerate() {
            if let (Some(list), Some(extent)) = (node.list.filter(|_| !node.again && !is_beside(node)), self.all[index])
            {
                lists.entry(list).or_default().push((index, extent));
            }
        }
        lists
    }
}
