//! What a leaf would print and what it printed, as findings at the place where it was written.

use serde::Serialize;

use super::reader::{Breach, Kind};
use super::world::missing_glyphs;
use benchleaf_core::cards::card::Identity;
use benchleaf_core::cards::rules::{
    ink_of_no_item, lost_on_paper, misplaced_on_paper, missing_glyph, parted_on_paper, too_small_on_paper,
};
use benchleaf_core::finding::Finding;
use benchleaf_core::source::{FileId, FileSet, Span};

/// Looks through every text of a leaf. `written_in` are the files its words come from, the likeliest first.
pub fn unprintable(files: &FileSet, written_in: &[FileId], leaf: &impl Serialize) -> Vec<Finding> {
    // The leaf as one text holds all its texts, and punctuation that every font has. Leaves hold only strings and numbers, which
    // always serialise.
    let texts = serde_json::to_string(leaf).unwrap_or_default();
    missing_glyph::check(files, written_in, &missing_glyphs(&texts))
}

/// True for a source text that has, or may write otherwise, a character that no font has: only then is it worth looking through the
/// leaves that come of it.
pub fn may_be_unprintable(text: &str) -> bool {
    let otherwise = ["&", "\\u", "\\U", "\\x"].iter().any(|sign| text.contains(sign));
    otherwise || !missing_glyphs(text).is_empty()
}

/// What reading back found, at the place of what it is about.
pub fn finding(breach: &Breach, identity: &Identity, span: Span) -> Finding {
    let found = match breach.kind {
        Kind::Lost => lost_on_paper::found,
        Kind::Misplaced => misplaced_on_paper::found,
        Kind::Parted => parted_on_paper::found,
        Kind::Unowned => ink_of_no_item::found,
        Kind::Small => too_small_on_paper::found,
    };
    found(span, &named(breach, identity), &breach.words)
}

/// `leaf 3 of “Fit the head” on a5`.
fn named(breach: &Breach, identity: &Identity) -> String {
    let (title, paper) = (&identity.title, &identity.paper);
    match breach.leaf {
        0 => format!("“{title}” on {paper}"),
        leaf => format!("leaf {leaf} of “{title}” on {paper}"),
    }
}
