//! The kinds of tools that mean something, and what such a tool gives.

use crate::check::hazardous_tools::kinds;

/// What a tool of a kind gives or reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gives {
    Torque,
    Angle,
    /// No kind in particular.
    Anything,
    /// Neither a torque nor an angle.
    Other,
}

/// The kinds of the language that bring no hazard; those that do are a table.
const KINDS: [(&str, Gives); 10] = [
    ("torque-wrench", Gives::Torque),
    ("angle-gauge", Gives::Angle),
    ("micrometer", Gives::Other),
    ("bore-gauge", Gives::Other),
    ("dial-indicator", Gives::Other),
    ("feeler", Gives::Other),
    ("depth-gauge", Gives::Other),
    ("caliper", Gives::Other),
    ("gauge", Gives::Anything),
    ("other", Gives::Anything),
];

/// What a tool of this kind gives; `None` if the kind is the author's own.
pub fn gives(kind: &str) -> Option<Gives> {
    let own = KINDS.iter().find(|(known, _)| known.eq_ignore_ascii_case(kind));
    let hazardous = || kinds().find(|known| known.eq_ignore_ascii_case(kind));
    own.map(|(_, gives)| *gives)
        .or_else(|| hazardous().map(|_| Gives::Other))
}
