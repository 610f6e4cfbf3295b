//! Faults of cards: one file a rule.

pub mod missing_glyph;
