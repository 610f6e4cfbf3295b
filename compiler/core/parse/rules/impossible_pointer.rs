//! # A pointer that can't be drawn
//!
//! ## What it means
//! The place of a pointer lies beside its picture or isn't one place, or its label has more than two letters.
//!
//! ## Why it matters
//! A number beside a picture that points at nothing sends somebody looking for what isn't there.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! pictures:
//!   rings: {file: ring-gaps.svg, points: {1: {at: [120 %, 50 %], says: gap}}}
//! ---
//!
//! 1. Turn the rings: ![Ring gaps](ring-gaps.svg)
//! ```
//! ```svg ring-gaps.svg
//! <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15" fill="none" stroke="#000"/></svg>
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! pictures:
//!   rings: {file: ring-gaps.svg, points: {1: {at: [88 %, 50 %], says: gap}}}
//! ---
//!
//! 1. Turn the rings: ![Ring gaps](ring-gaps.svg)
//! ```
//! ```svg ring-gaps.svg
//! <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15" fill="none" stroke="#000"/></svg>
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL210",
    name: "impossible-pointer",
    severity: Severity::Error,
    page: include_str!("impossible_pointer.rs"),
};

/// How a place is written.
const PLACE: &str = "give shares of the picture's width and height, from its lower left corner: `[40 %, 60 %]`";

/// It is one figure, or more than two.
pub fn no_place(span: Span) -> Finding {
    Finding::new(&RULE, span, "a place in a picture is two shares").help(PLACE)
}

pub fn beside(span: Span) -> Finding {
    Finding::new(&RULE, span, "this place lies beside the picture").help(PLACE)
}

pub fn long(label: &Name) -> Finding {
    Finding::new(
        &RULE,
        label.span,
        format!("`{}` is too long to be drawn at a pointer", label.text),
    )
    .help("label it with a number, or with a letter or two; words go into `says`")
}
