//! # A step that tells instead of asking
//!
//! ## What it means
//! A step begins with a sentence in which something "is" or "must be" done, and doesn't say: do it.
//!
//! ## Why it matters
//! Whoever works from the card can't tell what has been done from what is still to do. ASD-STE100 asks for the imperative.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. The seat is wiped with a clean cloth.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Wipe the seat with a clean cloth.
//! ```

use crate::check::sentences::Sentence;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL718",
    name: "told-not-asked",
    severity: Severity::Advice,
    page: include_str!("told_not_asked.rs"),
};

/// What a sentence begins with that isn't a verb.
const BEFORE_NOUNS: [&str; 10] = ["the", "a", "an", "all", "both", "each", "every", "this", "these", "its"];

/// What stands before a participle.
const BEFORE_PARTICIPLES: [&str; 4] = ["is", "are", "be", "been"];

/// Participles of work that don't end as others do.
const IRREGULAR: [&str; 14] = [
    "done", "put", "cut", "held", "taken", "driven", "drawn", "hung", "wound", "ground", "bent", "shut", "set", "sent",
];

pub fn check(sentences: &[Sentence], findings: &mut Vec<Finding>) {
    for sentence in sentences.iter().filter(|sentence| sentence.is_first) {
        let words = &sentence.bare;
        let begins = words.first().is_some_and(|word| BEFORE_NOUNS.contains(&&**word));
        let passive = words.windows(2).any(|pair| match pair {
            [a, b] => {
                let participle = b.len() > 4 && b.ends_with("ed") || IRREGULAR.contains(&&**b);
                BEFORE_PARTICIPLES.contains(&&**a) && participle
            }
            _ => false,
        });
        // "The shaft should turn" asks nobody to turn it and see.
        let hoped = words.iter().any(|word| matches!(&**word, "should" | "shall"));
        if begins && (passive || hoped) {
            let message = "this tells that something is done, and not to do it";
            findings.push(Finding::new(&RULE, sentence.span, message).help("begin with the verb: what is to be done"));
        }
    }
}
