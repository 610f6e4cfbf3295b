//! # A part that can't come off
//!
//! ## What it means
//! What a part needs to come off is something that nothing in the registers brings about. Looked for only in sets that say what covers or
//! secures what.
//!
//! ## Why it matters
//! Either the registers leave out how it is done, or they ask for something that never is so; `benchleaf reach` can't tell the way to it.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover, covers: [gear]}
//!   gear: {name: gear, to-remove: [puller]}
//!   puller: {name: puller, fitted: no}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Lift off the [remove cover].
//! 2. Look at the [use gear] and the [use puller].
//! 3. Set the [fit cover] on.
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover, covers: [gear]}
//!   gear: {name: gear, to-remove: [puller]}
//! temporary:
//!   puller: {name: puller}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Lift off the [remove cover].
//! 2. Set on the [fit puller] and draw off the [remove gear].
//! 3. Take off the [remove puller].
//! 4. Push on the [fit gear].
//! 5. Set the [fit cover] on.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL463",
    name: "no-way-off",
    severity: Severity::Advice,
    page: include_str!("no_way_off.rs"),
};

/// A part, why it stays on, and the choices in words, if it is so for some alone.
pub fn finding(at: Span, id: &str, why: &str, choices: &str) -> Finding {
    Finding::new(&RULE, at, format!("`{id}` has no way off{choices}: {why}"))
        .help("say what brings that about, or take what asks for it away")
}
