//! # A sentence that is too long to work from
//!
//! ## What it means
//! A sentence of a step has more than 20 words. A name from a register and a figure with its unit count as one word each.
//!
//! ## Why it matters
//! At arm's length, with hands busy, a reader holds one short instruction at a time. ASD-STE100 allows 20 words in an instruction.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! parts: {cover: {name: cover}}
//! torques: {cover-screws: {torque: 9 N·m, lubrication: dry}}
//! ---
//!
//! 1. Undo the [loosen cover-screws] a little at a time in a crossing order until they are all loose and the cover can be lifted off without force.
//! 2. Lift off the [remove cover].
//! 3. Set on the [fit cover].
//! 4. Tighten the [torque cover-screws].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! parts: {cover: {name: cover}}
//! torques: {cover-screws: {torque: 9 N·m, lubrication: dry}}
//! ---
//!
//! 1. Undo the [loosen cover-screws] a quarter turn at a time, crossing.
//! 2. Lift off the [remove cover].
//! 3. Set on the [fit cover].
//! 4. Tighten the [torque cover-screws].
//! ```

use crate::check::sentences::spell;
use crate::finding::{Finding, Rule, Severity};
use crate::model::{Block, Inline, Set};

pub static RULE: Rule = Rule {
    code: "BL701",
    name: "long-sentence",
    severity: Severity::Advice,
    page: include_str!("long_sentence.rs"),
};

/// Words an instruction may have (ASD-STE100).
const MOST: usize = 20;

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for procedure in &set.procedures {
        for (_, step) in procedure.steps() {
            look(&step.text, findings);
            step.substeps.iter().for_each(|sub| look(&sub.text, findings));
        }
    }
}

fn look(text: &[Block], findings: &mut Vec<Finding>) {
    for block in text {
        let Block::Paragraph { span, text: inlines } = block else {
            continue;
        };
        // Few steps come near; the others need no counting.
        if gaps(inlines) < MOST {
            continue;
        }
        let longest = sentences(inlines).into_iter().max().unwrap_or(0);
        if longest > MOST {
            let message = format!("a sentence of this step has {longest} words; {MOST} can be worked from");
            findings.push(Finding::new(&RULE, *span, message).help("split it, or make it sub-steps"));
        }
    }
}

/// White space, and what may be a part of some: there is at most one word more.
fn gaps(inlines: &[Inline]) -> usize {
    let of = |inline: &Inline| match inline {
        Inline::Text(text) => text.bytes().filter(|byte| !byte.is_ascii_graphic()).count(),
        Inline::Strong(text) | Inline::Emphasis(text) | Inline::Link { text, .. } => gaps(text),
        Inline::Break => 1,
        Inline::Code(_) | Inline::Mark(_) => 0,
    };
    inlines.iter().map(of).sum()
}

/// Words of each sentence.
fn sentences(inlines: &[Inline]) -> Vec<usize> {
    let mut words = String::new();
    spell(inlines, &mut words);
    let mut counts = vec![0];
    let mut after_number = false;
    for word in words.split_whitespace() {
        // A figure and its unit are one word.
        let is_unit = after_number && !word.starts_with(|c: char| c.is_ascii_digit());
        after_number = word.ends_with(|c: char| c.is_ascii_digit());
        let known_unit =
            is_unit && crate::domain::quantity::Unit::find(word.trim_end_matches(['.', ',', ';', ':'])).is_some();
        if let Some(count) = counts.last_mut() {
            *count += usize::from(!known_unit);
        }
        if word.ends_with(['.', '!', '?', ':', ';']) {
            counts.push(0);
        }
    }
    counts
}
