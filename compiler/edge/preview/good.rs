//! A document that was laid out, and how what somebody looks at is told.

use super::query::View;
use super::state::State;
use crate::finding::Finding;
use crate::model::{Choices, Set};
use crate::source::{FileSet, Span};
use benchleaf_press::{Document, Fault};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Papers as sets write them.
pub const PAPERS: [&str; 4] = ["a4", "letter", "a5", "half-letter"];

/// A place on a leaf that was written somewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// From 0.
    pub leaf: usize,
    /// Left, top, right and bottom, in points from the top left.
    pub area: [f64; 4],
    pub file: String,
    /// From 1.
    pub line: usize,
}

/// A document that was laid out.
pub struct Good {
    /// The state that it is of.
    pub version: u64,
    pub document: Document,
    pub spots: Vec<Spot>,
    /// What the pages themselves gave: characters that no font has, and what isn't on them as the leaf has it.
    pub findings: Vec<Finding>,
    /// The files that its findings are about.
    pub state: Arc<State>,
    /// Leaves that were drawn, by number and pixels an inch.
    pub pictures: Pictures,
}

/// Pictures as bytes of a PNG.
pub type Pictures = Mutex<BTreeMap<(usize, u32), Arc<Vec<u8>>>>;

impl Good {
    /// A leaf as a picture, drawn once: whoever asks while somebody draws it waits for that one. `None` if there is no such leaf.
    ///
    /// # Errors
    /// If it can't be drawn.
    pub fn picture(&self, leaf: usize, ppi: u32) -> Option<Result<Arc<Vec<u8>>, Fault>> {
        let mut pictures = self.pictures.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(drawn) = pictures.get(&(leaf, ppi)) {
            return Some(Ok(Arc::clone(drawn)));
        }
        let drawn = self.document.png(leaf, ppi)?.map(Arc::new);
        if let Ok(drawn) = &drawn {
            pictures.insert((leaf, ppi), Arc::clone(drawn));
        }
        Some(drawn)
    }

    /// Where what is written at a line of a file stands, or what is before it: its leaf, and which of the leaf's places it is.
    pub fn nearest(&self, file: &str, line: usize) -> Option<(usize, usize)> {
        let own = self.spots.iter().filter(|spot| spot.file == file && spot.line <= line);
        let best = own.max_by_key(|spot| spot.line)?;
        let mut of_leaf = self.spots.iter().filter(|spot| spot.leaf == best.leaf);
        Some((best.leaf, of_leaf.position(|spot| std::ptr::eq(spot, best))?))
    }
}

/// The choices of a view; what the set doesn't have or take is passed over.
pub fn choices(set: &Set, view: &View) -> Choices {
    let mut choices = Choices::defaults(&set.catalogue);
    for (option, value) in &view.options {
        let _ = choices.choose(&set.catalogue, option, value);
    }
    choices
}

/// The file and line, from 1, of a place.
pub fn line_of(files: &FileSet, span: Span) -> (String, usize) {
    let source = files.get(span.file);
    let line = source.lines().position(&source.text, span.start as usize).line;
    (source.path.clone(), line)
}
