//! # The picture isn't there
//!
//! ## What it means
//! An image names a file that isn't among the set's files, or lies outside of them.
//!
//! ## Why it matters
//! The step that says "as in the figure" would have none.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Turn the rings: ![Ring gaps](ring-gap.svg)
//! ```
//! ```svg ring-gaps.svg
//! <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15" fill="none" stroke="#000"/></svg>
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Turn the rings: ![Ring gaps](ring-gaps.svg)
//! ```
//! ```svg ring-gaps.svg
//! <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15" fill="none" stroke="#000"/></svg>
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL113",
    name: "missing-picture",
    severity: Severity::Error,
    page: include_str!("missing_picture.rs"),
};

pub fn finding(path: &Name) -> Finding {
    let message = match path.text.as_str() {
        "" => "this picture names no file".to_string(),
        name => format!("there is no picture `{name}`"),
    };
    Finding::new(&RULE, path.span, message)
        .help("write its path relative to this file, inside the folders that are compiled")
}
