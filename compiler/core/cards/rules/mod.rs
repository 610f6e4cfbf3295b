//! Faults of cards: one file a rule.

pub mod ink_of_no_item;
pub mod lost_on_paper;
pub mod misplaced_on_paper;
pub mod missing_glyph;
pub mod parted_on_paper;
pub mod too_small_on_paper;
