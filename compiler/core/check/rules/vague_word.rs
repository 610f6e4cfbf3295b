//! # A word that nobody can measure
//!
//! ## What it means
//! A sentence of a step says "slowly", "as required", "if necessary" or the like, which each reader takes otherwise.
//!
//! ## Why it matters
//! NUREG-0899 and HSE HSG48 ask for figures, and for pass or fail to be said: what is "sufficient" is known to the author alone.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Lower the shaft slowly.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Lower the shaft in 20 s or more.
//! ```

use crate::check::sentences::Sentence;
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL717",
    name: "vague-word",
    severity: Severity::Advice,
    page: include_str!("vague_word.rs"),
};

/// Words that stand alone, and what two words say together.
const VAGUE: [&str; 18] = [
    "slowly",
    "quickly",
    "often",
    "frequently",
    "periodically",
    "sufficient",
    "sufficiently",
    "adequate",
    "adequately",
    "appropriate",
    "appropriately",
    "properly",
    "reasonable",
    "reasonably",
    "suitable",
    "suitably",
    "slightly",
    "roughly",
];
const VAGUE_PAIRS: [(&str, &str); 10] = [
    ("as", "required"),
    ("as", "necessary"),
    ("as", "needed"),
    ("if", "necessary"),
    ("if", "required"),
    ("if", "needed"),
    ("low", "enough"),
    ("high", "enough"),
    ("tight", "enough"),
    ("long", "enough"),
];

pub fn check(sentences: &[Sentence], findings: &mut Vec<Finding>) {
    for sentence in sentences {
        let words = &sentence.bare;
        let alone = words
            .iter()
            .find(|word| VAGUE.contains(&&***word))
            .map(|word| word.to_string());
        let pair = words.windows(2).find_map(|pair| match pair {
            [a, b] if VAGUE_PAIRS.contains(&(&**a, &**b)) => Some(format!("{a} {b}")),
            _ => None,
        });
        if let Some(words) = alone.or(pair) {
            let message = format!("\"{words}\" is what each reader makes of it");
            findings
                .push(Finding::new(&RULE, sentence.span, message).help("say how much, how long or what is to be seen"));
        }
    }
}
