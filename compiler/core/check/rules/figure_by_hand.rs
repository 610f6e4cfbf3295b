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
//! ---
//! title: Example
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
//! 1. Tighten the [torque head-bolts] to 24 N·m.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! torques: {head-bolts: {torque: 24 N·m, lubrication: dry}}
//! ---
//!
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

/// Figures with units in the words of a block, however they are set: bold, as code, with a soft hyphen inside.
fn figures(block: &Block) -> Vec<Measure> {
    match block {
        Block::Paragraph { text, .. } => figures_in(text),
        Block::Figure { .. } | Block::List { .. } | Block::Code { .. } => Vec::new(),
    }
}

fn figures_in(inlines: &[Inline]) -> Vec<Measure> {
    let mut text = String::new();
    collect(inlines, &mut text);
    let written: Vec<&str> = text
        .split_whitespace()
        .map(|w| w.trim_matches(['(', ')', ',', ';', ':']))
        .collect();
    let seen: Vec<String> = written.iter().map(|word| folded(word)).collect();
    let starts_figure = |w: &str| w.starts_with(|c: char| c.is_ascii_digit());
    let numbered = seen.iter().enumerate().filter(|(_, w)| starts_figure(w));
    let figure = |(n, seen_as): (usize, &String)| {
        let next = seen.get(n + 1).map_or("", |w| w.trim_end_matches('.'));
        // The `l` of `80lbf·in` is a letter after all.
        let as_written = || measure(written.get(n)?.trim_end_matches('.'), "");
        measure(seen_as.trim_end_matches('.'), next).or_else(as_written)
    };
    numbered.filter_map(figure).collect()
}

/// The words of inlines in a row. A mark prints words of its own, which join nothing.
fn collect(inlines: &[Inline], found: &mut String) {
    for inline in inlines {
        match inline {
            Inline::Text(text) | Inline::Code(text) => found.push_str(text),
            Inline::Strong(text) | Inline::Emphasis(text) | Inline::Link { text, .. } => collect(text, found),
            Inline::Mark(_) => found.push_str(" | "),
            Inline::Break => found.push(' '),
        }
    }
}

/// A word as it looks on paper: without what has no form, letters that look like figures or Latin letters as those. In a word without a
/// figure letters are letters.
fn folded(word: &str) -> String {
    let has_digit = word
        .chars()
        .any(|c| c.is_ascii_digit() || ('\u{ff10}'..='\u{ff19}').contains(&c));
    let mut unit = false;
    let mut fold = |c: char| {
        let seen = match c {
            '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}'..='\u{2064}' | '\u{feff}' => return None,
            // Full-width forms.
            '\u{ff10}'..='\u{ff19}' => char::from_u32(u32::from(c) - 0xff10 + u32::from('0')).unwrap_or(c),
            // Greek and Cyrillic capitals and small letters that are drawn like Latin ones.
            'Ν' => 'N',
            'м' | 'М' => 'm',
            'О' | 'о' | 'Ο' | 'ο' => 'o',
            '•' | '∙' | '⋅' => '·',
            c => c,
        };
        let seen = match seen {
            'O' | 'o' if has_digit && !unit => '0',
            'l' | 'I' if has_digit && !unit => '1',
            seen => seen,
        };
        // Behind the first letter that is none of a figure stands its unit.
        unit |= seen.is_alphabetic();
        Some(seen)
    };
    word.chars().filter_map(&mut fold).collect()
}

/// A figure with its unit behind a space or right behind it. The unit is looked up first: reading what is none would go to the length of
/// finding the unit it may have been meant for.
fn measure(word: &str, next: &str) -> Option<Measure> {
    let digits = word.trim_end_matches(|c: char| !c.is_ascii_digit());
    let text = match word.strip_prefix(digits)? {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn found(inlines: Vec<Inline>) -> Vec<String> {
        figures_in(&inlines).iter().map(ToString::to_string).collect()
    }

    fn text(words: &str) -> Inline {
        Inline::Text(words.to_string())
    }

    #[test]
    fn figures_are_found_however_they_are_set() {
        assert_eq!(found(vec![text("to 21 N·m now")]), ["21 N·m"]);
        assert_eq!(
            found(vec![text("to "), Inline::Strong(vec![text("21")]), text(" N·m")]),
            ["21 N·m"]
        );
        assert_eq!(found(vec![text("to "), Inline::Code("21 N·m".to_string())]), ["21 N·m"]);
        for looks_like_it in [
            "2\u{ad}1 N·m",
            "2\u{200b}1 N·m",
            "２１ N·m",
            "21 N·м",
            "2l N·m",
            "21 Ν∙m",
        ] {
            assert_eq!(found(vec![text(looks_like_it)]), ["21 N·m"], "{looks_like_it:?}");
        }
        assert_eq!(found(vec![text("2O N·m")]), ["20 N·m"]);
        assert_eq!(found(vec![text("to 80lbf·in.")]), ["80 lbf·in"]);
        assert!(found(vec![text("oil to m, step 21 of lbf")]).is_empty());
    }
}
