//! Names of fields, for those who look for them where no head is read. Learning them from the readers takes too long for that
//! (`head/probe.rs`), so they are listed; a test there holds the lists against the readers.

use crate::syntax::registers::REGISTERS;

/// Fields that a head may have beside registers.
pub const BESIDE_REGISTERS: [&str; 19] = [
    "benchleaf",
    "allow",
    "deny",
    "title",
    "id",
    "rev",
    "date",
    "after",
    "about",
    "source",
    "tried",
    "machine",
    "applies-to",
    "notice",
    "style",
    "shop",
    "only",
    "never",
    "procedures",
];

/// True for what a set, a shop or a procedure may begin with.
pub fn of_a_head(name: &str) -> bool {
    BESIDE_REGISTERS.contains(&name) || REGISTERS.iter().any(|register| register.field() == name)
}

/// Words that begin a remark as well as a field, and two that begin nothing but a remark.
pub const REMARKS: [&str; 14] = [
    "note", "e.g", "i.e", "source", "about", "of", "at", "says", "what", "left", "right", "top", "bottom", "order",
];

/// Fields of entries and of what stands in them.
#[rustfmt::skip]
pub const INSIDE: [&str; 105] = [
    "accuracy", "adapter", "after", "again", "amount", "angle", "at", "at-least",
    "bottom", "calc", "calibrated-until", "circle", "closed-by", "columns", "confirmed", "contains",
    "count", "covers", "cure", "default", "deviation", "diameter", "drag", "drive",
    "each", "engagement", "face", "fastener", "file", "finish", "fitted", "flag",
    "gauge", "gauge-ratio", "grid", "grip", "hazard", "hazards", "into", "keeps",
    "kind", "landmarks", "language", "left", "length", "limit", "loosen", "lubricant",
    "lubrication", "marked", "members", "name", "needs", "never-with", "note", "number",
    "of", "only", "open", "order", "out", "paper", "part", "passes",
    "pattern", "pitch", "pitch-x", "pitch-y", "points", "price", "qty", "range",
    "record", "renew", "replaces", "resolution", "reuse", "right", "rows", "says",
    "second-person", "secures", "sets", "spares", "stages", "start", "step", "takes",
    "thread", "threads", "to-fit", "to-loosen", "to-remove", "to-tighten", "tolerance", "tool",
    "top", "torque", "units", "unsafe", "values", "wear", "what", "where",
    "within",
];

/// True for a field whose name hardly begins a remark.
pub fn begins_no_remark(name: &str) -> bool {
    !REMARKS.contains(&name) && (of_a_head(name) || INSIDE.contains(&name))
}
