//! # A mark behind an "if"
//!
//! ## What it means
//! A sentence says "if …", "unless …" or "otherwise", and a mark in it fits, takes off, tightens, loosens, does, sets, starts or ends something.
//! The mark counts as done in every case: what the words ask is not read. The same under a heading, and in the sub-steps of a step, that says so.
//!
//! ## Why it matters
//! What is proved of the set is then proved of a job in which the condition was always met. Where it isn't, a part is missing or a bolt loose, and
//! nothing tells.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! parts: {ring: {name: piston ring}}
//! ---
//!
//! 1. If it is worn, take off the [remove ring].
//! 2. Fit the [fit ring].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! parts: {ring: {name: piston ring}}
//! options:
//!   worn: {what: The ring is worn, values: {yes: It is scored, no: It is bright}, default: no}
//! ---
//!
//! 1. Take off the [remove ring]. [only worn=yes]
//! 2. Fit the [fit ring]. [only worn=yes]
//! ```

use crate::check::hazards::plain;
use crate::check::sentences::{QUESTIONS, bare};
use crate::finding::{Finding, Rule, Severity};
use crate::model::{Act, ActKind, Block, Inline, Phase, Set, Step};
use crate::source::Span;
use std::borrow::Cow;

pub static RULE: Rule = Rule {
    code: "BL713",
    name: "mark-behind-if",
    severity: Severity::Warning,
    page: include_str!("mark_behind_if.rs"),
};

/// Words that make what follows hang on something.
const CONDITIONS: [&str; 4] = ["if", "unless", "otherwise", "else"];

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for phase in set.procedures.iter().flat_map(|p| &p.phases) {
        if phase.only.is_empty() && phase.ifs.is_empty() {
            look_phase(phase, findings);
        }
    }
}

fn look_phase(phase: &Phase, findings: &mut Vec<Finding>) {
    let steps = || phase.runs.iter().flat_map(|run| &run.steps);
    if begins(&plain(&phase.title)) {
        let acts = steps().flat_map(|step| step.acts.iter().chain(step.substeps.iter().flat_map(|s| &s.acts)));
        if let Some(act) = acts.into_iter().find(|act| acts_on(&act.kind)) {
            findings.push(told(act.span, "its heading").also(phase.span, "this heading asks"));
        }
        return;
    }
    steps()
        .filter(|step| step.only.is_empty() && step.ifs.is_empty())
        .for_each(|step| look_step(step, findings));
}

fn look_step(step: &Step, findings: &mut Vec<Finding>) {
    let asks = !step.substeps.is_empty() && step.text.iter().any(leads);
    look(&step.text, findings);
    for sub in step.substeps.iter().filter(|sub| sub.only.is_empty()) {
        match sub.acts.iter().find(|act| asks && acts_on(&act.kind)) {
            Some(act) => findings.push(told(act.span, "the step above it").also(step.span, "this step asks")),
            None => look(&sub.text, findings),
        }
    }
}

fn told(span: Span, whose: &str) -> Finding {
    let message = format!("this counts as done in every case: what {whose} asks with its \"if\" is not read");
    Finding::new(&RULE, span, message).help(
        "let an option decide with `[only OPTION=VALUE]`, or say it without the condition if it is done in every case",
    )
}

/// True of marks after which the walk over the steps takes something to be otherwise.
fn acts_on(kind: &ActKind) -> bool {
    match kind {
        ActKind::Torque(_)
        | ActKind::Snug(_)
        | ActKind::Loosen(_)
        | ActKind::Fit(..)
        | ActKind::Remove(..)
        | ActKind::Set(..)
        | ActKind::Do(_)
        | ActKind::Start(_)
        | ActKind::End(_) => true,
        ActKind::Measure(..)
        | ActKind::Use(..)
        | ActKind::Need(..)
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
        | ActKind::Stop => false,
    }
}

fn look(blocks: &[Block], findings: &mut Vec<Finding>) {
    for block in blocks {
        match block {
            Block::Paragraph { text, .. } if acts_in(text) => {
                let mut pieces = Vec::new();
                spell(text, &mut pieces);
                let behind = sentences(&pieces).into_iter().filter_map(behind);
                findings.extend(behind.map(|act| told(act.span, "its sentence")));
            }
            Block::List { items, .. } => items.iter().for_each(|blocks| look(blocks, findings)),
            Block::Paragraph { .. } | Block::Figure { .. } | Block::Code { .. } => {}
        }
    }
}

/// True if some mark of a text acts; in most there is none, and their words need no looking at.
fn acts_in(text: &[Inline]) -> bool {
    text.iter().any(|inline| match inline {
        Inline::Mark(act) => acts_on(&act.kind),
        Inline::Strong(text) | Inline::Emphasis(text) | Inline::Link { text, .. } => acts_in(text),
        Inline::Text(_) | Inline::Code(_) | Inline::Break => false,
    })
}

/// A word as it is written, or a mark.
#[derive(Clone, Copy)]
enum Piece<'a> {
    Word(&'a str),
    Mark(&'a Act),
}

fn spell<'a>(inlines: &'a [Inline], pieces: &mut Vec<Piece<'a>>) {
    for inline in inlines {
        match inline {
            Inline::Text(text) | Inline::Code(text) => pieces.extend(text.split_whitespace().map(Piece::Word)),
            Inline::Strong(text) | Inline::Emphasis(text) | Inline::Link { text, .. } => spell(text, pieces),
            Inline::Mark(act) => pieces.push(Piece::Mark(act)),
            Inline::Break => {}
        }
    }
}

/// The sentences of a run of words and marks. A mark that stands behind a full stop, as those do that print nothing, belongs to the sentence
/// before it.
fn sentences<'p, 'a>(pieces: &'p [Piece<'a>]) -> Vec<&'p [Piece<'a>]> {
    let mut found = Vec::new();
    let (mut start, mut ended) = (0, false);
    for (n, piece) in pieces.iter().enumerate() {
        if let Piece::Word(word) = piece {
            // A lone full stop belongs to the mark before it.
            if ended && word.contains(char::is_alphanumeric) {
                found.extend(pieces.get(start..n));
                (start, ended) = (n, false);
            }
            ended |= word.ends_with(['.', '!', '?', ';']);
        }
    }
    found.extend(pieces.get(start..));
    found
}

/// The first mark of a sentence that hangs on a condition in it.
fn behind<'a>(sentence: &[Piece<'a>]) -> Option<&'a Act> {
    let acting = |piece: &Piece<'a>| match piece {
        Piece::Mark(act) if acts_on(&act.kind) => Some(*act),
        Piece::Mark(_) | Piece::Word(_) => None,
    };
    let (at, asks) = condition(sentence)?;
    // What stands right before it hangs on it too: `Fit the [fit shim] if the gap is wide`.
    let (before, after) = sentence.split_at_checked(at)?;
    let before = before.iter().rev().take_while(|piece| match piece {
        Piece::Word(word) => !word.ends_with([',', ':']) && !matches!(&*bare(word), "and" | "then" | "but" | "or"),
        Piece::Mark(_) => true,
    });
    let before = before.filter_map(acting).last();
    // `(if there is one)` asks for no more than what stands in the brackets.
    let end = match asks.starts_with('(') {
        true => after.iter().position(closes),
        false => None,
    };
    before.or_else(|| after.iter().take(end.unwrap_or(after.len())).find_map(acting))
}

fn closes(piece: &Piece) -> bool {
    matches!(piece, Piece::Word(word) if word.contains(')'))
}

/// The word of a sentence that makes it hang on something, as it is written, and its position.
fn condition<'a>(sentence: &[Piece<'a>]) -> Option<(usize, &'a str)> {
    let mut before = Cow::Borrowed("");
    for (n, piece) in sentence.iter().enumerate() {
        let Piece::Word(word) = piece else {
            before = Cow::Borrowed("");
            continue;
        };
        let word_alone = bare(word);
        if CONDITIONS.contains(&&*word_alone) && !QUESTIONS.contains(&&*before) {
            return Some((n, word));
        }
        before = word_alone;
    }
    None
}

/// True if a text begins with a condition.
fn begins(text: &str) -> bool {
    text.split_whitespace()
        .next()
        .is_some_and(|word| CONDITIONS.contains(&&*bare(word)))
}

/// True if a block ends with a sentence that begins with a condition and leads over to what stands below it.
fn leads(block: &Block) -> bool {
    let Block::Paragraph { text, .. } = block else {
        return false;
    };
    let text = plain(text);
    let text = text.trim_end();
    let last = text.rsplit(['.', '!', '?', ';']).next().unwrap_or(text);
    text.ends_with(':') && begins(last)
}
