//! What the compiler has to say, as data. Rendering is `report`'s business; the words are the rule's.

use crate::source::Span;
use std::cmp::Ordering;

/// How much a finding matters. Ordered, least first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// A better way; cards are printed.
    Advice,
    /// Probably a mistake; cards are printed.
    Warning,
    /// No card is printed from a set with one of these.
    Error,
}

impl Severity {
    pub fn word(self) -> &'static str {
        match self {
            Severity::Advice => "advice",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A rule: one file of its own, with the check or the wording of its findings beside it.
#[derive(Debug)]
pub struct Rule {
    /// `BL101`; never reused.
    pub code: &'static str,
    /// The fault in words joined by hyphens: `unknown-id`.
    pub name: &'static str,
    pub severity: Severity,
    /// The source file of the rule, whose module documentation is its page.
    pub page: &'static str,
}

impl Rule {
    /// The rule's page: the module documentation of its file, as Markdown.
    pub fn explanation(&self) -> String {
        let lines = self.page.lines().take_while(|l| l.starts_with("//!"));
        let mut text: String = lines
            .flat_map(|l| [l.trim_start_matches("//!").strip_prefix(' ').unwrap_or(""), "\n"])
            .collect();
        text.truncate(text.trim_end().len());
        text
    }
}

impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        self.code == other.code
    }
}

/// A place with words.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    pub span: Span,
    /// May be empty.
    pub text: String,
}

/// A change that cures the finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Fix {
    /// What to do, in the imperative.
    pub text: String,
    /// The exact change, where there is one: this span becomes that text.
    pub replace: Option<(Span, String)>,
    /// True if the change can be made without asking: it gives what is written the form it was meant to have, and guesses no name, word or
    /// figure.
    pub certain: bool,
}

/// One finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    pub rule: &'static Rule,
    /// A plain sentence without its full stop.
    pub message: String,
    pub primary: Label,
    /// Other places that matter, such as the first of two duplicates.
    pub secondary: Vec<Label>,
    pub fix: Option<Fix>,
    /// True if the set raises it to an error with `deny:`.
    pub raised: bool,
}

impl Finding {
    pub fn new(rule: &'static Rule, span: Span, message: impl Into<String>) -> Self {
        let primary = Label {
            span,
            text: String::new(),
        };
        Finding {
            rule,
            message: one_line(message.into()),
            primary,
            secondary: Vec::new(),
            fix: None,
            raised: false,
        }
    }

    /// Words at the main place.
    pub fn label(mut self, text: impl Into<String>) -> Self {
        self.primary.text = text.into();
        self
    }

    /// Another place that matters.
    pub fn also(mut self, span: Span, text: impl Into<String>) -> Self {
        self.secondary.push(Label {
            span,
            text: text.into(),
        });
        self
    }

    /// What to do about it.
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.fix = Some(Fix {
            text: one_line(text.into()),
            replace: None,
            certain: false,
        });
        self
    }

    /// What to do about it, as an exact change that is certain; in words alone where the span doesn't hold what it means letter by letter.
    pub fn replace(mut self, span: Span, with: impl Into<String>, text: impl Into<String>) -> Self {
        if span.is_uneven() {
            return self.help(text);
        }
        self.fix = Some(Fix {
            text: one_line(text.into()),
            replace: Some((span, with.into())),
            certain: true,
        });
        self
    }

    /// What was most likely meant, as an exact change that somebody has to agree to.
    pub fn guess(self, span: Span, with: impl Into<String>, text: impl Into<String>) -> Self {
        let mut finding = self.replace(span, with, text);
        if let Some(fix) = &mut finding.fix {
            fix.certain = false;
        }
        finding
    }

    /// How much it matters: as its rule says, or as an error where its set says so.
    pub fn severity(&self) -> Severity {
        if self.raised {
            Severity::Error
        } else {
            self.rule.severity
        }
    }

    /// Reading order: by file, place, code, message.
    pub fn order(&self, other: &Self) -> Ordering {
        let key = |f: &Self| (f.primary.span, f.rule.code);
        key(self)
            .cmp(&key(other))
            .then_with(|| self.message.cmp(&other.message))
    }
}

/// Words that quote the author may hold the author's line breaks, and a finding's words stand in one line.
fn one_line(text: String) -> String {
    if text.contains(['\n', '\r']) {
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    } else {
        text
    }
}

/// The best of `candidates` for a misspelt `word`, if one is near enough to be worth asking about.
pub fn did_you_mean<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let allowed = (word.chars().count() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let distance = strsim::osa_distance(&lower, &candidate.to_lowercase());
        // Ties go to the name that sorts first, so that the answer does not depend on the order of a register.
        if distance <= allowed && best.is_none_or(|b| (distance, candidate) < b) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// `a`, `b` and `c`, with that or another word before the last.
pub fn listed(words: &[&str], last: &str) -> String {
    match words {
        [first @ .., end] if !first.is_empty() => format!("{} {last} `{end}`", quoted(first)),
        _ => quoted(words),
    }
}

/// `a`, `b`, `c`
pub fn quoted(words: &[&str]) -> String {
    words.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_names_are_suggested_and_far_ones_are_not() {
        assert_eq!(did_you_mean("head-bolt", ["head-bolts", "crank"]), Some("head-bolts"));
        assert_eq!(did_you_mean("xyz", ["head-bolts", "crank"]), None);
        assert_eq!(did_you_mean("ab", ["ac", "aa"]), Some("aa"));
    }
}
