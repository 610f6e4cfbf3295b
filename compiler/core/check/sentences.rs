//! The sentences of steps, as the rules of language read them.

use crate::model::{ActKind, Block, Inline, Procedure};
use crate::source::Span;
use std::borrow::Cow;

/// A paragraph of a step or a sub-step as it will be read.
pub struct Text {
    words: String,
    /// Where its step stands.
    span: Span,
}

/// A sentence of a step or a sub-step.
pub struct Sentence<'a> {
    /// Its words as written, with their signs.
    pub words: Vec<&'a str>,
    /// The same in lower case and without signs; empty where there is nothing else.
    pub bare: Vec<Cow<'a, str>>,
    /// True for the first of its paragraph.
    pub is_first: bool,
    /// Where its step stands.
    pub span: Span,
}

impl<'a> Sentence<'a> {
    fn new(words: Vec<&'a str>, is_first: bool, span: Span) -> Self {
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
        self.bare.get(at).map_or("", |word| word)
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
pub fn bare(word: &str) -> Cow<'_, str> {
    let word = word.trim_matches(|c: char| !c.is_alphanumeric());
    // Most are written so.
    match word.bytes().all(|byte| byte.is_ascii() && !byte.is_ascii_uppercase()) {
        true => Cow::Borrowed(word),
        false => Cow::Owned(word.to_lowercase()),
    }
}

/// Every paragraph of the steps of a procedure.
pub fn texts(procedure: &Procedure) -> Vec<Text> {
    let mut all = Vec::new();
    for (_, step) in procedure.steps() {
        let subs = step.substeps.iter().map(|sub| &sub.text);
        for block in [&step.text].into_iter().chain(subs).flatten() {
            if let Block::Paragraph { span, text } = block {
                let mut words = String::new();
                spell(text, &mut words);
                all.push(Text { words, span: *span });
            }
        }
    }
    all
}

/// Every sentence of some paragraphs.
pub fn of(texts: &[Text]) -> Vec<Sentence<'_>> {
    let mut all = Vec::new();
    for text in texts {
        let mut words: Vec<&str> = Vec::new();
        let mut is_first = true;
        for word in text.words.split_whitespace() {
            words.push(word);
            if word.ends_with(['.', '!', '?', ':', ';']) {
                all.push(Sentence::new(std::mem::take(&mut words), is_first, text.span));
                is_first = false;
            }
        }
        if !words.is_empty() {
            all.push(Sentence::new(words, is_first, text.span));
        }
    }
    all
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
