//! # A condition behind its act
//!
//! ## What it means
//! A sentence of a step says what to do and then, behind it, "if", "when" or "unless".
//!
//! ## Why it matters
//! A reader does what is read first. A condition that is read after the act is read too late: NUREG-0899 and DOE-STD-1029 ask for it in front.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Replace the ring if its gap is too wide.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. IF the gap of the ring is too wide, THEN replace it.
//! ```

use crate::check::sentences::{CONDITIONS, QUESTIONS, Sentence};
use crate::finding::{Finding, Rule, Severity};

pub static RULE: Rule = Rule {
    code: "BL715",
    name: "trailing-condition",
    severity: Severity::Advice,
    page: include_str!("trailing_condition.rs"),
};

pub fn check(sentences: &[Sentence], findings: &mut Vec<Finding>) {
    for sentence in sentences {
        if sentence.begins_with_condition() || sentence.bare(0) == "otherwise" {
            continue;
        }
        let behind = (1..sentence.words.len()).find(|at| {
            let asks = CONDITIONS.contains(&sentence.bare(*at));
            let before = sentence.bare(at - 1);
            // Behind "and" it asks more of what a condition in front asks already.
            asks && !QUESTIONS.contains(&before) && !["and", "or"].contains(&before)
        });
        if let Some(at) = behind {
            let message = format!(
                "\"{} …\" stands behind what is to be done: it is read too late",
                sentence.bare(at)
            );
            findings.push(Finding::new(&RULE, sentence.span, message).help("begin with it: `IF …, THEN …`"));
        }
    }
}
