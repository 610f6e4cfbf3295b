//! How fasteners sit.

/// How fasteners sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grip {
    Tight,
    Loose,
    /// Started by hand.
    Snug,
}
