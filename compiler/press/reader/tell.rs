//! What is wrong with a place on a leaf, in words, and the measures that all who look at places share.

use super::breach::{Breach, Kind};
use super::ink::Ink;
use super::node::Tree;
use super::words::short;

/// Points in a millimetre.
pub const MM: f64 = 72.0 / 25.4;

/// What rounding may do, in points.
pub const SLACK: f64 = 0.5;

/// What a piece of ink is, for somebody who looks at the leaf.
pub fn told(ink: &Ink) -> String {
    match ink.run() {
        Some(run) => format!(
            "“{}”",
            short(run.clusters.iter().map(|c| c.text.as_str()).collect::<String>().trim())
        ),
        None if ink.drawn().is_some() => "a line or area".to_string(),
        None => "a picture".to_string(),
    }
}

pub fn report(tree: &Tree, ink: &Ink, kind: Kind, words: String, found: &mut Vec<Breach>) {
    let node = ink.item.and_then(|item| tree.nodes.get(item));
    found.push(Breach::at(node, ink.leaf, kind, words));
}
