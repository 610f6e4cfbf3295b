//! What may stand as nobody should leave it, when a card or a way ends.
//!
//! A set may have thousands of states, of which a card moves a few: only those are looked at that may stand so.

use super::shape::{Node, Shape};
use crate::model::Handle;
use crate::model::registers::{Register, Temporary};
use std::collections::BTreeSet;

/// States and temporary items that may stand as nobody should leave them.
#[derive(Debug, Default)]
pub struct Perils {
    pub states: BTreeSet<Node>,
    pub items: BTreeSet<Node>,
}

impl Perils {
    /// At the start, before anything was looked at, any may.
    pub fn new(shape: &Shape) -> Perils {
        let all = |nodes: Vec<Node>| nodes.into_iter().filter(|node| is_perilous(shape, *node)).collect();
        Perils {
            states: all(shape.states()),
            items: all(shape.temporary()),
        }
    }

    /// A state, part or temporary item stands in another way. True if it is one that nobody should leave in some way.
    pub fn changed(&mut self, shape: &Shape, node: Node) -> bool {
        if !is_perilous(shape, node) {
            return false;
        }
        let all = if node.is(Register::States) {
            &mut self.states
        } else {
            &mut self.items
        };
        all.insert(node);
        true
    }
}

/// True of a state or temporary item that nobody should leave in some way that it may stand.
fn is_perilous(shape: &Shape, node: Node) -> bool {
    let item: Option<Handle<Temporary>> = crate::model::handle(node.entity);
    match item {
        Some(item) => shape.set.catalogue.temporary[item].perilous,
        None => !shape.ties(node.entity).perilous.is_empty(),
    }
}
