//! Characters that a card would print and no font has, as findings at the place where they were written.

use serde::Serialize;

use super::world::missing_glyphs;
use benchleaf_core::cards::rules::missing_glyph;
use benchleaf_core::finding::Finding;
use benchleaf_core::source::{FileId, FileSet};

/// Looks through every text of a leaf. `written_in` are the files its words come from, the likeliest first.
pub fn unprintable(files: &FileSet, written_in: &[FileId], leaf: &impl Serialize) -> Vec<Finding> {
    // The leaf as one text holds all its texts, and punctuation that every font has. Leaves hold only strings and numbers, which
    // always serialise.
    let texts = serde_json::to_string(leaf).unwrap_or_default();
    missing_glyph::check(files, written_in, &missing_glyphs(&texts))
}
