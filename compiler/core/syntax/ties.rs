//! How entries hold, cover and need each other, as written.

use super::{Name, Only};
use crate::source::Span;
use serde::Serialize;

/// What must be so: a thing (`gear`), a thing that is not there or not tight (`gear=off`, `nut=loose`), a state (`power=off|locked`).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Need {
    pub span: Span,
    pub id: Name,
    /// What follows the sign; empty for the thing itself.
    pub values: Vec<Name>,
}

/// Fields of a register that tie an entry to others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tie {
    Secures,
    Covers,
    Contains,
    Needs,
    NeverWith,
    ToFit,
    ToRemove,
    ToLoosen,
    ToTighten,
    Only,
    Each,
}

/// What an entry says of others. Every list is empty, and every option `None`, where it says nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ties {
    /// What stays on while this holds it.
    pub secures: Vec<Name>,
    /// What nobody gets at while this is on.
    pub covers: Vec<Name>,
    /// What is built and taken apart while this is off.
    pub contains: Vec<Name>,
    pub needs: Vec<Need>,
    pub never_with: Vec<Name>,
    pub to_fit: Vec<Need>,
    pub to_remove: Vec<Need>,
    pub to_loosen: Vec<Need>,
    pub to_tighten: Vec<Need>,
    /// Choices for which it is there; all must hold.
    pub only: Vec<Only>,
    /// The group of which there is one for each member.
    pub each: Option<Name>,
}

/// An answer that a reading gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Answer {
    Out,
    In,
    Low,
    High,
}

/// The words of an answer in `[if LIMIT …]`.
pub const ANSWERS: [(&str, Answer); 4] = [
    ("out", Answer::Out),
    ("in", Answer::In),
    ("low", Answer::Low),
    ("high", Answer::High),
];

impl Answer {
    /// The word that names it.
    pub fn word(self) -> &'static str {
        ANSWERS
            .iter()
            .find(|(_, answer)| *answer == self)
            .map_or("", |(word, _)| word)
    }
}

/// `[if LIMIT out]`, `[if CASE]`, `[if not CASE]`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct If {
    pub span: Span,
    pub id: Name,
    /// What the reading is; `None` where a case is asked.
    pub answer: Option<Answer>,
    /// True for `not`.
    pub not: bool,
}

/// `[each GROUP]`, `[each GROUP in turn]`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PerMember {
    pub span: Span,
    pub group: Name,
    pub in_turn: bool,
}

/// A procedure that several sets share: where it lies, and its place here.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    pub id: Name,
    /// From the set's folder.
    pub file: Option<Name>,
    pub after: Vec<Name>,
    pub only: Vec<Only>,
}
