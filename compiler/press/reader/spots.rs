//! Where on the leaves it stands what was written in the sources: what a click on a page is about.

use std::collections::BTreeMap;

use typst_layout::PagedDocument;

use super::area::Area;
use super::ink;
use super::node::{Subject, Tree};

/// A part of a leaf that one step, phase or entry was printed in.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// From 0.
    pub leaf: usize,
    /// Left, top, right and bottom, in points from the leaf's top left.
    pub area: [f64; 4],
    pub subject: Subject,
}

/// The spots of a document, the larger ones before those that lie in them.
pub fn spots(document: &PagedDocument, tree: &Tree) -> Vec<Spot> {
    let mut areas: BTreeMap<(usize, &Subject), Area> = BTreeMap::new();
    let nobody = Subject::default();
    for ink in ink::read(document.pages().iter().map(|page| &page.frame)) {
        let Some(node) = ink.item.and_then(|item| tree.nodes.get(item)) else {
            continue;
        };
        if node.subject != nobody && ink.area.is_some() {
            let area = areas.entry((ink.leaf, &node.subject)).or_insert(Area::NONE);
            *area = area.with(ink.area);
        }
    }
    let mut spots: Vec<(f64, Spot)> = areas
        .into_iter()
        .map(|((leaf, subject), area)| {
            let Area {
                left,
                top,
                right,
                bottom,
            } = area;
            let spot = Spot {
                leaf,
                area: [left, top, right, bottom],
                subject: subject.clone(),
            };
            (area.width() * area.height(), spot)
        })
        .collect();
    spots.sort_by(|(one, a), (other, b)| a.leaf.cmp(&b.leaf).then(other.total_cmp(one)));
    spots.into_iter().map(|(_, spot)| spot).collect()
}
