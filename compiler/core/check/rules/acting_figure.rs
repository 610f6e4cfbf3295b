//! # A figure that acts and has no mark
//!
//! ## What it means
//! A sentence says to tighten, set, measure, heat, fill or wait to a figure, and its step has no mark for that: the figure is plain words.
//! The same in the title of a card, a heading, a message, or the name of an entry.
//!
//! ## Why it matters
//! A figure in plain words has no box, is in no table, is not converted, and nobody checks that a bolt can take it or a tool can reach it.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Close
//! ---
//!
//! 1. Torque the cover screws to 9 N·m.
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Close
//! torques:
//!   cover-screws: {torque: 9 N·m, lubrication: dry}
//! ---
//!
//! 1. Tighten the [torque cover-screws].
//! ```

use crate::check::hazards::{plain, plain_block};
use crate::domain::quantity::{Dimension, Unit};
use crate::domain::verbs::{self, Verb};
use crate::finding::{Finding, Rule, Severity};
use crate::model::Block;
use crate::model::{Act, ActKind, Message, Set};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL712",
    name: "acting-figure",
    severity: Severity::Warning,
    page: include_str!("acting_figure.rs"),
};

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for procedure in &set.procedures {
        look(
            &procedure.title,
            &[],
            procedure.span,
            "the title of this card",
            findings,
        );
        look_blocks(
            &procedure.intro,
            &[],
            procedure.span,
            "the card's introduction",
            findings,
        );
        procedure.messages.iter().for_each(|m| look_message(m, findings));
        for phase in &procedure.phases {
            look(&plain(&phase.title), &[], phase.span, "this heading", findings);
            look_blocks(&phase.intro, &[], phase.span, "the words under this heading", findings);
            phase.messages.iter().for_each(|m| look_message(m, findings));
        }
        for (_, step) in procedure.steps() {
            step.messages.iter().for_each(|m| look_message(m, findings));
            let whole: Vec<&Act> = step
                .acts
                .iter()
                .chain(step.substeps.iter().flat_map(|s| &s.acts))
                .collect();
            look_blocks(&step.text, &whole, step.span, "this step", findings);
            for sub in &step.substeps {
                look_blocks(&sub.text, &whole, sub.span, "this sub-step", findings);
            }
        }
    }
    names(set, findings);
}

fn look_message(message: &Message, findings: &mut Vec<Finding>) {
    look(&plain(&message.hazard), &[], message.span, "this message", findings);
    for blocks in [&message.consequence, &message.avoid] {
        look_blocks(blocks, &[], message.span, "this message", findings);
    }
}

fn look_blocks(blocks: &[Block], acts: &[&Act], span: Span, place: &str, findings: &mut Vec<Finding>) {
    blocks
        .iter()
        .for_each(|block| look(&plain_block(block), acts, span, place, findings));
}

/// Names that hold the figure of their own entry, and holds that say one.
fn names(set: &Set, findings: &mut Vec<Finding>) {
    for (_, def) in set.catalogue.torques.iter() {
        let figure = figures(&def.value.name)
            .into_iter()
            .find(|f| f.dimension == Dimension::Torque);
        if let Some(figure) = figure {
            findings.push(in_name(def.id.span, &figure, "torque:"));
        }
    }
    for (_, def) in set.catalogue.holds.iter() {
        look(&def.value.what, &[], def.id.span, "this hold point", findings);
    }
}

fn in_name(span: Span, figure: &Figure, field: &str) -> Finding {
    let message = format!("the name of this entry holds the figure {}", figure.text);
    Finding::new(&RULE, span, message).help(format!(
        "keep the figure in `{field}` alone, which prints it beside the name"
    ))
}

fn look(text: &str, acts: &[&Act], span: Span, place: &str, findings: &mut Vec<Finding>) {
    // Few texts hold a figure at all.
    if !holds_number(text) {
        return;
    }
    for sentence in sentences(text).into_iter().filter(|sentence| holds_number(sentence)) {
        let all = figures(sentence);
        let Some((verb, figure)) = all.iter().find_map(|figure| Some((acting(sentence, figure)?, figure))) else {
            continue;
        };
        if acts.iter().any(|act| carries(act, &verb.mark, figure.dimension)) {
            continue;
        }
        let mark = if figure.dimension == Dimension::Torque {
            "torque"
        } else {
            verb.mark.as_str()
        };
        let message = format!(
            "{} in {place} is a figure to work to, and stands in words alone: nothing checks it",
            figure.text
        );
        findings.push(Finding::new(&RULE, span, message).help(help(mark)));
        return;
    }
}

fn holds_number(text: &str) -> bool {
    // The fractions are no ASCII.
    let may = |byte: u8| byte.is_ascii_digit() || !byte.is_ascii();
    text.bytes().any(may) && text.contains(|c: char| c.is_ascii_digit() || FRACTIONS.contains(&c))
}

fn help(mark: &str) -> &'static str {
    match mark {
        "torque" => "put the figure into `torques:` and name it in a step with `[torque ID]`",
        "use" => "say how much with `[use ID 2 L]`",
        "start" => "put the time into `timers:`, and let `[start ID]` and `[end ID]` stand at its ends",
        _ => "put the figure into `limits:` and name it in a step with `[measure ID]`",
    }
}

/// True if an act is the one that a figure of such a verb belongs to.
fn carries(act: &Act, mark: &str, dimension: Dimension) -> bool {
    match &act.kind {
        // A figure beside the mark that prints it is told of by itself.
        ActKind::Torque(_) | ActKind::Snug(_) => matches!(dimension, Dimension::Torque | Dimension::Angle),
        ActKind::Measure(..) => mark != "use",
        ActKind::Use(..) => mark == "use",
        ActKind::Start(_) | ActKind::End(_) | ActKind::Time(_) | ActKind::Hold(_) => dimension == Dimension::Time,
        ActKind::Loosen(_)
        | ActKind::Fit(..)
        | ActKind::Remove(..)
        | ActKind::Need(..)
        | ActKind::Set(..)
        | ActKind::Do(_)
        | ActKind::Label(_)
        | ActKind::Step { .. }
        | ActKind::See(_)
        | ActKind::Only
        | ActKind::Wait(_)
        | ActKind::Mark(_)
        | ActKind::Each
        | ActKind::If(_)
        | ActKind::Repeat(_)
        | ActKind::Stop => false,
    }
}

/// A figure with its unit in some words.
struct Figure {
    dimension: Dimension,
    /// As it is written.
    text: String,
    /// Where it begins.
    at: usize,
}

const FRACTIONS: [char; 7] = ['½', '¼', '¾', '⅛', '⅜', '⅝', '⅞'];

/// Words that may follow `3 in` where inches are meant.
const AFTER_INCHES: [&str; 12] = [
    "of",
    "deep",
    "wide",
    "long",
    "from",
    "above",
    "below",
    "apart",
    "gap",
    "at",
    "clear",
    "clearance",
];

fn figures(text: &str) -> Vec<Figure> {
    let trim = |c: char| matches!(c, '(' | ')' | ',' | ';' | ':' | '!' | '?' | '*' | '"');
    let words: Vec<(usize, &str)> = text
        .split_whitespace()
        .map(|word| (word.as_ptr() as usize - text.as_ptr() as usize, word.trim_matches(trim)))
        .collect();
    let is_number =
        |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | '–' | '-' | '±' | '…') || FRACTIONS.contains(&c);
    let mut found = Vec::new();
    for (n, (at, word)) in words.iter().enumerate() {
        if !word.starts_with(|c: char| c.is_ascii_digit() || FRACTIONS.contains(&c)) {
            continue;
        }
        let length = word.find(|c: char| !is_number(c)).unwrap_or(word.len());
        let Some((number, own)) = word.split_at_checked(length) else {
            continue;
        };
        let own = own.trim_end_matches('.');
        let next = |k: usize| words.get(n + k).map_or("", |(_, word)| word.trim_end_matches('.'));
        let unit = if own.is_empty() {
            // `9 ft lb`
            let two = format!("{} {}", next(1), next(2));
            let inches = next(1) == "in"
                && !(next(2).is_empty()
                    || words.get(n + 1).is_some_and(|w| w.1.ends_with('.'))
                    || AFTER_INCHES.contains(&next(2)));
            if inches {
                continue;
            }
            Unit::find(&two)
                .filter(|_| !next(2).is_empty())
                .map(|unit| (unit, two))
                .or_else(|| Some((Unit::find(next(1))?, next(1).to_string())))
        } else {
            Unit::find(own).map(|unit| (unit, own.to_string()))
        };
        if let Some((unit, written)) = unit {
            let space = if own.is_empty() { " " } else { "" };
            found.push(Figure {
                dimension: unit.dimension(),
                text: format!("{number}{space}{written}"),
                at: *at,
            });
        }
    }
    found
}

/// The sentences of a text.
fn sentences(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut start = 0;
    for (at, c) in text.char_indices() {
        let ends = matches!(c, '.' | '!' | '?' | ';')
            && text
                .get(at + 1..)
                .is_some_and(|after| after.starts_with(char::is_whitespace));
        if ends {
            found.extend(text.get(start..at));
            start = at + 1;
        }
    }
    found.extend(text.get(start..));
    found
}

/// Words after which a verb may tell what to do.
const LEADS: [&str; 7] = ["and", "then", "to", "be", "not", "now", "or"];

/// The verb before a figure that acts on it: at the head of the sentence, or after a comma, `and`, `then`, `to` or `must be`.
fn acting(sentence: &str, figure: &Figure) -> Option<&'static Verb> {
    let mut before = "";
    for word in sentence.split_whitespace() {
        let at = word.as_ptr() as usize - sentence.as_ptr() as usize;
        if at >= figure.at {
            return None;
        }
        let leads = before.is_empty()
            || before.ends_with([',', ':'])
            || LEADS.iter().any(|lead| before.eq_ignore_ascii_case(lead));
        if leads
            && let Some((verb, _)) = sentence.get(at..).and_then(verbs::leading)
            && verb.dimensions.contains(&figure.dimension)
        {
            return Some(verb);
        }
        before = word;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_that_act_are_told_from_those_that_do_not() {
        let acts = |text: &str| {
            sentences(text)
                .into_iter()
                .any(|s| figures(s).iter().any(|f| acting(s, f).is_some()))
        };
        for text in [
            "Torque the screws to 9 Nm.",
            "Now and then tighten them to 7½ lbf·ft",
            "Look, then set the gap to 0.4 mm",
            "Heat the bearing to 110 °C.",
            "Fill it with 2 L of oil",
            "Wait 10 min",
            "Tighten to 9 ft lb.",
            "Set it 3 in from the edge",
            "Set it to 3 in",
            "Set the stop (3 in.) now",
            "Look here. Set the gap to 0.4 mm",
        ] {
            assert!(acts(text), "{text}");
        }
        for text in [
            "Run a 3 mm bead inside the bolt holes",
            "Square the ring 25 mm down",
            "Use the 5 mm key",
            "Lift it by 10 mm. Tighten nothing.",
            "Set 3 in the tray",
            "The set has 4 mm keys",
            "Set the dial. It is 10 mm wide.",
            "Lift it by 10 mm, then set it down.",
        ] {
            assert!(!acts(text), "{text}");
        }
    }
}
