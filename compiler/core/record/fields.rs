//! What a record may hold: its lists with the fields of an entry of each, and the fields of its head.

use crate::words::{Phrase, say};

/// A list of a record.
#[derive(Debug)]
pub struct List {
    /// The field of the record that holds it.
    pub name: &'static str,
    /// One entry, with its article.
    pub entry: fn() -> Phrase,
    pub fields: &'static [&'static str],
}

/// Every list of a record.
pub const LISTS: [List; 6] = [
    List {
        name: "readings",
        entry: say::a_reading,
        fields: &["limit", "step", "member", "figure", "value", "values"],
    },
    List {
        name: "torques",
        entry: say::a_torque,
        fields: &["torque", "step", "member", "figure", "of", "tightened", "tool"],
    },
    List {
        name: "timers",
        entry: say::a_timer,
        fields: &["timer", "rule", "start", "end"],
    },
    List {
        name: "holds",
        entry: say::a_hold,
        fields: &["hold", "step", "by", "second", "at"],
    },
    List {
        name: "carried",
        entry: say::what_was_put_off,
        fields: &["what", "from", "reason", "due", "done"],
    },
    List {
        name: "deferred",
        entry: say::what_is_put_off,
        fields: &["what", "reason", "due"],
    },
];

/// Fields of a record that hold one text.
pub const TEXTS: [&str; 10] = [
    "log",
    "set",
    "procedure",
    "rev",
    "fingerprint",
    "serial",
    "by",
    "started",
    "finished",
    "remarks",
];

/// Fields of a record that hold a map.
pub const MAPS: [&str; 2] = ["options", "parts"];

/// The field of a reading that holds one value for each place.
pub const BY_PLACE: &str = "values";
