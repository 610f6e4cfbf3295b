//! Items of a leaf's data by their keys, and what is wanted of each.

use benchleaf_core::source::Span;
use std::collections::BTreeSet;

/// Field of a dictionary that holds its key.
pub const KEY: &str = "key";

/// Before the letters that count.
const PREFIX: &str = "k-";

/// Letters of keys, as digits.
const LETTERS: &[u8; 26] = b"abcdefghijklmnopqrstuvwxyz";

/// What is wanted of a page, by item; an item's place is its key.
pub struct Tree {
    pub nodes: Vec<Node>,
}

/// One dictionary of a leaf's data.
#[derive(Default)]
pub struct Node {
    /// What kind of leaf it is of, and the names of the fields that lead to it, joined by dots.
    pub path: String,
    pub parent: Option<usize>,
    /// The array that it is a row of: unique in its tree.
    pub list: Option<usize>,
    /// Each must be found in what is printed of it, in this order within `prose`.
    pub texts: Vec<Text>,
    /// Boxes to tick.
    pub ticks: Option<usize>,
    /// Boxes to write in.
    pub boxes: Option<usize>,
    /// Members of a group that it is done for; 0 where it is done once.
    pub members: usize,
    /// The pictures among its words, in their order.
    pub pictures: Vec<Picture>,
    /// Where a bolt lies on its part, in millimetres: across, and up.
    pub place: Option<(f64, f64)>,
    /// Side of its drawing that a landmark lies beyond: `top`, `right`, …
    pub side: Option<String>,
    /// The digits of each number that its data has.
    pub figures: BTreeSet<String>,
    /// What a template must tell of it in words of its own, and mustn't.
    pub claims: Claims,
    /// Its signal word: `danger`, `warning`, …
    pub signal: Option<String>,
    /// Stands on one leaf; others may go on over several.
    pub whole: bool,
    /// A grid of boxes that goes on overleaf between two rows, or a torque between two stages, if no leaf holds it.
    pub breaks: bool,
    /// It has a head, which then comes again.
    pub headed: bool,
    /// May be printed more than once: a pattern stands at its step and on its sheet.
    pub again: bool,
    /// What is open behind a step.
    pub open: Vec<String>,
    /// The number of the phase whose steps touch what a card finds: it stands before them.
    pub touched: Option<usize>,
    /// How it stands, said at it or before it.
    pub so: Option<So>,
    pub subject: Subject,
}

/// What a template must say of an item, and mustn't, by the keys of its words.
#[derive(Debug, Default)]
pub struct Claims {
    pub must: Vec<&'static str>,
    pub not: Vec<&'static str>,
    /// Of a run of steps: whether their order is free.
    pub any_order: Option<bool>,
}

/// How a row of what a card finds or leaves stands, as its data has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum So {
    /// In these words.
    Said(String),
    /// In words of the template's own.
    Key(&'static str),
}

/// A picture among words.
pub struct Picture {
    pub path: String,
    pub pointers: Vec<Pointer>,
}

/// A line into a picture.
pub struct Pointer {
    /// What is drawn at its end.
    pub label: String,
    /// What lies there.
    pub name: String,
    /// Shares of the picture's width and height, from its lower left corner.
    pub at: (f64, f64),
}

/// A text as the leaf has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    pub field: String,
    pub words: String,
    /// Sentences, whose order counts.
    pub prose: bool,
    /// Smallest size in points, and whether it must be bold.
    pub least: (f64, bool),
}

/// What of the sources an item comes from, as far as its data says.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Subject {
    /// `2.3`
    pub step: Option<String>,
    pub phase: Option<usize>,
    /// Where it is written, or else what it is in.
    pub span: Option<Span>,
}

/// The key of the item at a place.
pub fn key(mut index: usize) -> String {
    let mut letters = Vec::new();
    loop {
        letters.extend(LETTERS.get(index % LETTERS.len()).copied().map(char::from));
        index /= LETTERS.len();
        if index == 0 {
            break;
        }
    }
    PREFIX.chars().chain(letters.into_iter().rev()).collect()
}

/// The place of an item by its key.
pub fn place(key: &str) -> Option<usize> {
    let letters = key.strip_prefix(PREFIX)?;
    letters.bytes().try_fold(0_usize, |sum, letter| {
        let digit = LETTERS.iter().position(|l| *l == letter)?;
        sum.checked_mul(LETTERS.len())?.checked_add(digit)
    })
}

impl Tree {
    /// The item and all round it, from the inside out.
    pub fn up(&self, index: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(Some(index), |at| self.nodes.get(*at).and_then(|node| node.parent))
    }

    /// The same with what is wanted of each; none where there is no such item.
    pub fn around(&self, index: usize) -> impl Iterator<Item = (usize, &Node)> {
        self.up(index).filter_map(|up| Some((up, self.nodes.get(up)?)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_lead_back() {
        for index in (0..2000).chain([26 * 26, 456_975, 456_976]) {
            let key = key(index);
            assert_eq!(place(&key), Some(index), "{key}");
            // No longer than what the typesetter keeps in a number.
            assert!(key.len() <= 12 && key.bytes().all(|b| b == b'-' || b.is_ascii_lowercase()));
        }
        assert_eq!(place("leaf-part"), None);
        assert_eq!(place("k-A"), None);
    }
}
