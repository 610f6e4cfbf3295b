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
    all: Vec<Option<Extent>>,
    children: Vec<Vec<usize>>,
}

/// Holds the order of the document against that of the data.
pub fn check(order: &Order, found: &mut Vec<Breach>) {
    order.whole(found);
    order.parts_in_order(found);
    order.rows_in_order(found);
    order.found_before_work(found);
}

/// Tells that something of an item doesn't stand where it must.
pub fn parted(node: &Node, leaf: usize, words: String, found: &mut Vec<Breach>) {
    found.push(Breach::of(node, leaf, Kind::Parted, words));
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
            let Some((item, extent)) = counts.and_then(|item| Some((item, own.get_mut(item)?))) else {
                continue;
            };
            Extent::add(extent, at, one);
            for up in tree.up(item) {
                if let Some(extent) = all.get_mut(up) {
                    Extent::add(extent, at, one);
                }
            }
        }
        let mut children = vec![Vec::new(); tree.nodes.len()];
        for (index, node) in tree.nodes.iter().enumerate() {
            if let Some(inside) = node.parent.and_then(|parent| children.get_mut(parent)) {
                inside.push(index);
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

    /// Where an item itself lies, without those in it; `None` if nothing of it is on the page.
    fn own(&self, index: usize) -> Option<Extent> {
        *self.own.get(index)?
    }

    /// Where an item and all in it lies.
    pub fn all(&self, index: usize) -> Option<Extent> {
        *self.all.get(index)?
    }

    /// Children of an item that come from one field of it.
    pub fn below(&self, index: usize, field: &str) -> impl Iterator<Item = (usize, &'a Node)> {
        let node = self.tree.nodes.get(index);
        let path = node.map(|node| format!("{}.{field}", node.path)).unwrap_or_default();
        let children = self.children.get(index).into_iter().flatten();
        let children = children.filter_map(|child| Some((*child, self.tree.nodes.get(*child)?)));
        children.filter(move |(_, child)| child.path == path)
    }

    /// An item and those in it, if they are so.
    fn within(&self, index: usize, is: impl Fn(&Node) -> bool) -> impl Iterator<Item = (usize, &'a Node)> {
        let nodes = self.tree.nodes.iter().enumerate().skip(index);
        nodes.filter(move |(at, node)| is(node) && self.tree.up(*at).any(|up| up == index))
    }

    /// On one leaf and in one piece, from its messages to its hold points.
    fn whole(&self, found: &mut Vec<Breach>) {
        for (index, node) in self.tree.nodes.iter().enumerate() {
            let Some(extent) = self.all(index).filter(|_| node.whole && !node.again) else {
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
                        named(node)
                    )
                } else {
                    format!("{} stands on leaves {from} to {to}", named(node))
                };
                parted(node, extent.first_leaf, what, found);
            } else if self.is_parted(index, extent) {
                parted(
                    node,
                    extent.first_leaf,
                    format!("something else stands between the parts of {}", named(node)),
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
        let among = self.ink.get(extent.first..=extent.last).unwrap_or_default();
        let works = among
            .iter()
            .filter(|ink| !ink.is(Own::Head) && !ink.is(Own::Foot) && (ink.run().is_some() || ink.room.is_some()));
        works.filter_map(|ink| ink.item).any(other)
    }

    /// True if it goes on overleaf only between rows, or groups of columns, of a grid of boxes.
    fn is_torn(&self, index: usize) -> bool {
        let Some(extent) = self.all(index) else { return false };
        let grids = || self.within(index, |node| node.breaks);
        let over = |leaf: usize| {
            let goes_over = |own: Extent| own.first_leaf <= leaf && own.last_leaf > leaf;
            grids().any(|(at, _)| self.own(at).is_some_and(goes_over))
        };
        (extent.first_leaf..extent.last_leaf).all(over)
    }

    /// The heads of grids that go on overleaf.
    fn heads_again(&self, index: usize, found: &mut Vec<Breach>) {
        for (at, node) in self.within(index, |node| node.headed) {
            let Some(own) = self.own(at) else { continue };
            for leaf in own.first_leaf + 1..=own.last_leaf {
                let runs = self.ink.iter().filter(|ink| ink.leaf == leaf && ink.item == Some(at));
                let told = letters::letters(runs.filter_map(|ink| ink.run().map(|run| (leaf, run))));
                let texts = node.texts.iter();
                let columns = texts.filter(|text| text.field == "columns");
                // A wide grid has some of its columns on each leaf: no row of boxes has more than names stand over it.
                let again = columns.filter(|name| text::says(&told, &name.words)).count();
                if self.widest_row(at, leaf) > again {
                    parted(
                        node,
                        leaf,
                        "a grid goes on overleaf without its head".to_string(),
                        found,
                    );
                }
            }
        }
    }

    /// Most boxes to write in that an item has beside each other on a leaf.
    fn widest_row(&self, item: usize, leaf: usize) -> usize {
        let frames = self.ink.iter().filter(|ink| {
            let is_frame = ink.room.is_some() && ink.drawn().is_some_and(|drawn| drawn.stroked);
            ink.leaf == leaf && ink.item == Some(item) && is_frame
        });
        let places: BTreeMap<usize, f64> = frames.filter_map(|ink| Some((ink.room?, ink.area.top))).collect();
        let beside = |top: &f64| places.values().filter(|other| (*other - top).abs() < 1.0).count();
        places.values().map(beside).max().unwrap_or(0)
    }

    fn is_cut(&self, index: usize) -> bool {
        let is_whole = |node: &Node| node.whole && !node.again;
        let is_over = |extent: Extent| extent.first_leaf != extent.last_leaf;
        self.tree.nodes.get(index).is_some_and(is_whole) && self.all(index).is_some_and(is_over)
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
                let extents = |field: &str| -> Vec<(&Node, Extent)> {
                    if field.is_empty() {
                        return self.own(index).map(|extent| (node, extent)).into_iter().collect();
                    }
                    self.below(index, field)
                        .filter_map(|(at, child)| Some((child, self.all(at)?)))
                        .collect()
                };
                let (before, after) = (extents(first), extents(second));
                for (child, extent) in &before {
                    if after
                        .iter()
                        .any(|(_, next)| next.first < extent.last || extent.is_below(next))
                    {
                        parted(
                            child,
                            extent.first_leaf,
                            format!("{} stands behind what it comes before", named(child)),
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
        let steps = self.below(phase, "runs").flat_map(|(run, _)| self.below(run, "steps"));
        let Some((first_step, start)) = steps
            .filter_map(|(at, step)| Some((step, self.all(at)?)))
            .min_by_key(|(_, e)| e.first)
        else {
            return;
        };
        for (at, message) in self.below(phase, "messages") {
            let Some(extent) = self.all(at) else { continue };
            let is_before = extent.last_leaf + 1 == start.first_leaf;
            if extent.last_leaf != start.first_leaf && !(is_before && self.is_too_high(phase, extent, start)) {
                let words = format!(
                    "{} stands on leaf {}, the step that it comes before on leaf {}",
                    named(message),
                    extent.last_leaf + 1,
                    start.first_leaf + 1
                );
                parted(first_step, extent.first_leaf, words, found);
            }
        }
    }

    /// True if what introduces a phase, to the end of a message, and its first step don't fit on one leaf: less than `SPARE` would be left.
    fn is_too_high(&self, phase: usize, message: Extent, start: Extent) -> bool {
        let Some(whole) = self.all(phase).filter(|whole| whole.first_leaf == message.last_leaf) else {
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
                        named(next),
                        named(one)
                    );
                    parted(next, after.first_leaf, words, found);
                }
            }
        }
    }

    /// How things were left is looked at before they are touched.
    fn found_before_work(&self, found: &mut Vec<Breach>) {
        for (row, extent) in self.tree.nodes.iter().zip(&self.all) {
            let (Some(phase), Some(extent)) = (row.touched, extent) else {
                continue;
            };
            let steps = self.tree.nodes.iter().zip(&self.all);
            let of_phase = |node: &Node| node.path == "card.phases.runs.steps" && node.subject.phase == Some(phase);
            let mut worked = steps.filter(|(node, _)| of_phase(node)).filter_map(|(_, at)| *at);
            if worked.any(|step| step.first < extent.last) {
                parted(
                    row,
                    extent.first_leaf,
                    format!("{} stands behind a step that touches it", named(row)),
                    found,
                );
            }
        }
    }

    /// Each array whose items are printed, with its rows in the order of the data. What marks tell round their sentence, besides what is worked
    /// or filled in, has an order of its own: what must hold first.
    pub fn lists(&self) -> BTreeMap<usize, Vec<(&'a Node, Extent)>> {
        let mut lists: BTreeMap<usize, Vec<(&Node, Extent)>> = BTreeMap::new();
        for (node, extent) in self.tree.nodes.iter().zip(&self.all) {
            if let (Some(list), Some(extent)) = (node.list.filter(|_| !node.again && !is_beside(node)), *extent) {
                lists.entry(list).or_default().push((node, extent));
            }
        }
        lists
    }
}
