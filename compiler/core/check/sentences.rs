//! The sentences of steps, as the rules of language read them.

use crate::model::{ActKind, Block, Inline, Set};
use crate::source::Span;

/// A sentence of a step or a sub-step.
pub struct Sentence {
    /// Its words as written, with their signs.
    pub words: Vec<String>,
    /// The same in lower case and without signs; empty where there is nothing else.
    pub bare: Vec<String>,
    /// True for the first of its paragraph.
    pub is_first: bool,
    /// Where its step stands.
    pub span: Span,
}

impl Sentence {
    fn new(words: Vec<String>, is_first: bool, span: Span) -> Sentence {
        let bare = words.iter().map(|word| bare(word)).collect();
        Sentence {
            words,
            bare,
            is_first,
            span,
        }
    }

    /// A word in lower case and without signs; empty where there is none.
    pub fn bare(&self, at: usize) -> &str {
        self.bare.get(at).map_or("", String::as_str)
    }

    /// True if it begins with what must be so.
    pub fn begins_with_condition(&self) -> bool {
        CONDITIONS.contains(&self.bare(0))
    }
}

/// Words that make what follows them hang on something.
pub const CONDITIONS: [&str; 3] = ["if", "when", "unless"];

/// Words before a condition that make a question of it, or let it ask nothing: *see if*, *even if*.
pub const QUESTIONS: [&str; 14] = [
    "see", "check", "look", "feel", "hear", "listen", "test", "ask", "note", "tell", "know", "out", "as", "even",
];

/// A word in lower case and without signs.
pub fn bare(word: &str) -> String {
    word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase()
}

/// Every sentence of the steps of a set whose leaves are English: the rules know no other language.
pub fn of(set: &Set) -> Vec<Sentence> {
    let mut all = Vec::new();
    if set.language != "en" {
        return all;
    }
    for (_, step) in set.procedures.iter().flat_map(|procedure| procedure.steps()) {
        gather(&step.text, &mut all);
        step.substeps.iter().for_each(|sub| gather(&sub.text, &mut all));
    }
    all
}

fn gather(text: &[Block], all: &mut Vec<Sentence>) {
    for block in text {
        let Block::Paragraph { span, text: inlines } = block else {
            continue;
        };
        let mut spelt = String::new();
        spell(inlines, &mut spelt);
        let mut words: Vec<String> = Vec::new();
        let mut is_first = true;
        for word in spelt.split_whitespace() {
            words.push(word.to_string());
            if word.ends_with(['.', '!', '?', ':', ';']) {
                all.push(Sentence::new(std::mem::take(&mut words), is_first, *span));
                is_first = false;
            }
        }
        if !words.is_empty() {
            all.push(Sentence::new(words, is_first, *span));
        }
    }
}

/// The words as they will be read: a mark that prints a name is one word, `x`, others none.
pub fn spell(inlines: &[Inline], out: &mut String) {
    for inline in inlines {
        match inline {
            Inline::Text(text) => out.push_str(text),
            Inline::Code(_) => out.push('x'),
            Inline::Strong(text) | Inline::Emphasis(text) | Inline::Link { text, .. } => spell(text, out),
            Inline::Break => out.push(' '),
            Inline::Mark(act) => match act.kind {
                ActKind::Need(..)
                | ActKind::Set(..)
                | ActKind::Start(_)
                | ActKind::End(_)
                | ActKind::Hold(_)
                | ActKind::Label(_)
                | ActKind::Time(_)
                | ActKind::Only
                | ActKind::Wait(_)
                | ActKind::Mark(_)
                | ActKind::Each
                | ActKind::If(_)
                | ActKind::Repeat(_)
                | ActKind::Stop => {}
                ActKind::Torque(_)
                | ActKind::Snug(_)
                | ActKind::Loosen(_)
                | ActKind::Measure(..)
                | ActKind::Fit(..)
                | ActKind::Remove(..)
                | ActKind::Use(..)
                | ActKind::Do(_)
                | ActKind::Step { .. }
                | ActKind::See(_) => out.push('x'),
            },
        }
    }
}
