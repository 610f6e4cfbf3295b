//! # A second act in one step
//!
//! ## What it means
//! A sentence of a step says what to do and, behind "then", what to do after it; or it joins two acts on two things by "and".
//!
//! ## Why it matters
//! There is one box, and it is ticked after the first. NUREG-0899 asks for one action in a step: the second act gets missed.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Lift off the lid, then wipe its seat.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Lift off the lid.
//! 2. Wipe the seat of the lid.
//! ```

use crate::check::sentences::Sentence;
use crate::finding::{Finding, Rule, Severity};
use std::borrow::Cow;

pub static RULE: Rule = Rule {
    code: "BL716",
    name: "two-acts",
    severity: Severity::Advice,
    page: include_str!("two_acts.rs"),
};

/// Verbs that begin what is asked of a mechanic.
const ACTS: [&str; 40] = [
    "apply", "bend", "blow", "check", "clean", "close", "cut", "drain", "draw", "drill", "drive", "drop", "fill",
    "fit", "fold", "grease", "hang", "heat", "lift", "loosen", "measure", "oil", "open", "press", "pull", "push",
    "remove", "rinse", "scrape", "screw", "shut", "slide", "spray", "start", "stop", "tighten", "turn", "undo", "wash",
    "wipe",
];

/// What a thing of its own begins with: "and turn it" is the same act on the same thing, "and shut the valve" another.
const THINGS: [&str; 6] = ["the", "a", "an", "all", "both", "each"];

/// A second act on a second thing: `Take out the rag and close the valve.`
fn joined(sentence: &Sentence) -> Option<String> {
    let words = &sentence.bare;
    let is_act = |word: &str| ACTS.contains(&word);
    let begins =
        words.first().is_some_and(|word| is_act(word)) && words.get(1).is_some_and(|word| THINGS.contains(&&**word));
    let second = |three: &[Cow<str>]| match three {
        // What is measured is often so only while something is held or pressed.
        [and, act, _] if and == "and" && matches!(&**act, "measure" | "check") => false,
        [and, act, thing] => and == "and" && is_act(act) && THINGS.contains(&&**thing),
        _ => false,
    };
    let found = words.windows(3).find(|three| begins && second(three))?;
    found.get(1).map(|act| act.to_string())
}

pub fn check(sentences: &[Sentence], findings: &mut Vec<Finding>) {
    for sentence in sentences.iter().filter(|sentence| !sentence.begins_with_condition()) {
        let then = (1..sentence.words.len()).find(|at| {
            let before = sentence.words.get(at - 1).copied().unwrap_or("");
            sentence.bare(*at) == "then" && (before.ends_with([',', ';']) || sentence.bare(at - 1) == "and")
        });
        let message = match then {
            Some(_) => "what stands behind \"then\" has no box of its own".to_string(),
            None => match joined(sentence) {
                Some(act) => format!("\"and {act}\" is another act on another thing, and has no box of its own"),
                None => continue,
            },
        };
        findings.push(Finding::new(&RULE, sentence.span, message).help("make it a step or a sub-step"));
    }
}
