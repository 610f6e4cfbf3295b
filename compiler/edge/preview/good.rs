//! A document that was laid out, and how what somebody looks at is told.

use super::query::View;
use super::state::State;
use crate::finding::Finding;
use crate::model::{Choices, Set};
use crate::source::{FileSet, Span};
use benchleaf_press::Document;
use std::sync::Arc;

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
