//! What is wrong with a page, as data.

use super::node::{Node, Subject};

/// What sort of promise is broken. Each has a rule of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Something of the leaf is not on the page, in part, twice or otherwise than it was written.
    Lost,
    /// It lies outside the type area, on other ink, is cut or can't be seen.
    Misplaced,
    /// It is parted from what it belongs with, or stands in another order.
    Parted,
    /// Ink that belongs to no item.
    Unowned,
    /// Letters, boxes or margins smaller than is safe to work from.
    Small,
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Breach {
    /// Leaf of the document, from 1; 0 where it is on none.
    pub leaf: usize,
    pub kind: Kind,
    pub subject: Subject,
    /// What is wrong, without its place and without a full stop.
    pub words: String,
}

impl Breach {
    /// About an item; `leaf` counts from 0.
    pub fn of(node: &Node, leaf: usize, kind: Kind, words: String) -> Breach {
        Breach::at(Some(node), leaf, kind, words)
    }

    /// About an item that is on no leaf.
    pub fn nowhere(node: &Node, words: String) -> Breach {
        Breach {
            leaf: 0,
            kind: Kind::Lost,
            subject: node.subject.clone(),
            words,
        }
    }

    /// About ink that may belong to no item.
    pub fn at(node: Option<&Node>, leaf: usize, kind: Kind, words: String) -> Breach {
        Breach {
            leaf: leaf + 1,
            kind,
            subject: node.map(|node| node.subject.clone()).unwrap_or_default(),
            words,
        }
    }
}
