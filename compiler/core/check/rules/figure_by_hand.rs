//! # A figure written by hand beside its spec
//!
//! ## What it means
//! The sentence of a step holds a torque beside a `[torque …]` mark, or repeats a bound of a limit beside its `[measure …]`. The card prints the figure from the register anyway.
//!
//! ## Why it matters
//! Two copies of one figure part company at the first correction, and nobody at the bench can tell which one was corrected.
//!
//! ## Example
//! ```markdown
//! 1. Tighten the [torque head-bolts] to 24 N·m.
//! ```
//!
//! ## Instead
//! ```markdown
//! 1. Tighten the [torque head-bolts].
//! ```

use crate::domain::quantity::{Dimension, Measure, Unit};
use crate::finding::{Finding, Rule, Severity};
use crate::model::{Act, ActKind, Set};
use crate::model::{Block, Inline};
use crate::source::Span;
use std::cmp::Ordering;

pub static RULE: Rule = Rule {
    code: "BL702",
    name: "figure-by-hand",
    severity: Severity::Warning,
    page: include_str!("figure_by_hand.rs"),
};

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for procedure in &set.procedures {
        for (_, step) in procedure.steps() {
            look(set, &step.text, &step.acts, step.span, findings);
            step.substeps
                .iter()
                .for_each(|sub| look(set, &sub.text, &sub.acts, sub.span, findings));
        }
    }
}

fn look(set: &Set, text: &[Block], acts: &[Act], span: Span, findings: &mut Vec<Finding>) {
    // Most steps print no figure; their words need no looking at.
    if !acts
        .iter()
        .any(|a| matches!(a.kind, ActKind::Torque(_) | ActKind::Measure(..)))
    {
        return;
    }
    for figure in text.iter().flat_map(figures) {
        for act in acts {
            let Some((id, spec)) = repeats(set, act, &figure) else {
                continue;
            };
            let message = format!("{figure} is written by hand beside `{id}`, which prints its own figure");
            findings.push(
                Finding::new(&RULE, span, message)
                    .also(spec, "the figure is here")
                    .help("take it out of the sentence"),
            );
        }
    }
}

/// The entry that a mark prints a figure of, if the sentence has one of its kind too.
fn repeats<'a>(set: &'a Set, act: &Act, figure: &Measure) -> Option<(&'a str, Span)> {
    match act.kind {
        ActKind::Torque(handle) if figure.dimension() == Dimension::Torque => {
            let def = set.catalogue.torques.get(handle);
            Some((&def.id.text, def.id.span))
        }
        ActKind::Measure(handle, _) => {
            let def = set.catalogue.limits.get(handle);
            let bounds = def.value.limit.as_ref()?.value.bounds();
            let same = |bound: &Measure| bound.compare(figure) == Some(Ordering::Equal);
            let found = bounds.low.iter().chain(&bounds.high).any(same);
            found.then_some((def.id.text.as_str(), def.id.span))
        }
        ActKind::Torque(_)
        | ActKind::Snug(_)
        | ActKind::Loosen(_)
        | ActKind::Fit(..)
        | ActKind::Remove(..)
        | ActKind::Use(..)
        | ActKind::Need(..)
        | ActKind::Set(..)
        | ActKind::Do(_)
        | ActKind::Start(_)
        | ActKind::End(_)
        | ActKind::Hold(_)
        | ActKind::Label(_)
        | ActKind::Step { .. }
        | ActKind::See(_)
        | ActKind::Time(_)
        | ActKind::Only
        | ActKind::Wait(_)
        | ActKind::Mark(_)
        | ActKind::Each
        | ActKind::If(_)
        | ActKind::Repeat(_)
        | ActKind::Stop => None,
    }
}

/// Figures with units in the words of a block.
fn figures(block: &Block) -> Vec<Measure> {
    let mut found = Vec::new();
    if let Block::Paragraph(inlines) = block {
        collect(inlines, &mut found);
    }
    found
}

fn collect(inlines: &[Inline], found: &mut Vec<Measure>) {
    for inline in inlines {
        match inline {
            Inline::Text(text) => {
                let words: Vec<&str> = text
                    .split_whitespace()
                    .map(|w| w.trim_matches(['(', ')', ',', ';', ':']))
                    .collect();
                let starts_figure = |w: &str| w.starts_with(|c: char| c.is_ascii_digit());
                for (n, word) in words.iter().enumerate().filter(|(_, w)| starts_figure(w)) {
                    let next = words.get(n + 1).map_or("", |w| w.trim_end_matches('.'));
                    found.extend(measure(word.trim_end_matches('.'), next));
                }
            }
            Inline::Strong(text) | Inline::Emphasis(text) | Inline::Link { text, .. } => collect(text, found),
            Inline::Code(_) | Inline::Mark(_) | Inline::Break => {}
        }
    }
}

/// A figure with its unit behind a space or right behind it. The unit is looked up first: reading what is none would go to the length of
/// finding the unit it may have been meant for.
fn measure(word: &str, next: &str) -> Option<Measure> {
    let digits = word.trim_end_matches(|c: char| !c.is_ascii_digit());
    let text = match &word[digits.len()..] {
        "" => {
            Unit::find(next)?;
            format!("{word} {next}")
        }
        unit => {
            Unit::find(unit)?;
            word.to_string()
        }
    };
    Measure::parse(&text).ok()
}
