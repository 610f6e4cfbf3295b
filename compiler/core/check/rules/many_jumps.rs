//! # More than one jump in a phase
//!
//! ## What it means
//! Two or more steps of a phase send the reader to another phase or card: `[see …]`, and `[step …]` in a sentence that says to go there or to do it
//! again. Ways back to a step of the same phase aren't counted, nor is what only tells where something was done or left.
//!
//! ## Why it matters
//! Whoever leafs away from a card with one hand full loses the place in it; twice in a phase, and the second time the wrong place is found again.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! ## Drain
//!
//! 1. Drain the case. [label drained]
//! 2. Wash the case. [label washed]
//!
//! ## Look
//!
//! 1. If oil still runs out, do [step drained] again.
//! 2. If grit is left, do [step washed] again.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! ## Drain
//!
//! 1. Drain the case.
//! 2. If oil still runs out, let it drain.
//! 3. Wash the case. [label washed]
//!
//! ## Look
//!
//! 1. If grit is left, do [step washed] again.
//! ```

use crate::check::sentences::{bare, spell};
use crate::finding::{Finding, Rule, Severity};
use crate::model::{ActKind, Block, Phase, ProcedureId, Set, Step};
use crate::source::Span;
use std::borrow::Cow;

pub static RULE: Rule = Rule {
    code: "BL720",
    name: "many-jumps",
    severity: Severity::Advice,
    page: include_str!("many_jumps.rs"),
};

/// Words that send somebody to a step, rather than tell of it; of English alone, as all rules of language.
const SENDS: [&str; 6] = [" repeat ", " again ", " go back ", " go to ", " go on ", " as in "];

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for (id, procedure) in set.procedures.named() {
        for phase in &procedure.phases {
            let steps = phase.runs.iter().flat_map(|run| &run.steps);
            let jumps: Vec<Span> = steps.filter_map(|step| away(id, phase, step)).collect();
            if let [first, .., last] = jumps.as_slice() {
                let told = format!("{} steps of this phase send the reader elsewhere", jumps.len());
                let help = "say here what is to be done, and send the reader away once at most";
                let finding = Finding::new(&RULE, *last, told).also(*first, "so does this one");
                findings.push(finding.help(help));
            }
        }
    }
}

/// Where a step sends the reader to another phase or card.
fn away(here: ProcedureId, phase: &Phase, step: &Step) -> Option<Span> {
    let below = step.substeps.iter().flat_map(|sub| &sub.acts);
    let mut all = step.acts.iter().chain(below);
    let sends = || {
        let mut words = String::new();
        let texts = step.substeps.iter().map(|sub| &sub.text).chain([&step.text]);
        for block in texts.flatten() {
            if let Block::Paragraph { text, .. } = block {
                spell(text, &mut words);
                words.push(' ');
            }
        }
        let words: Vec<Cow<str>> = words.split_whitespace().map(bare).collect();
        let words = format!(" {} ", words.join(" "));
        SENDS.iter().any(|sends| words.contains(sends))
    };
    let is_away = |kind: &ActKind| {
        let sees = matches!(kind, ActKind::See(procedure) if *procedure != here);
        let points =
            matches!(kind, ActKind::Step { procedure, number } if *procedure != here || number.phase() != phase.number);
        sees || points && sends()
    };
    all.find(|act| is_away(&act.kind)).map(|act| act.span)
}
