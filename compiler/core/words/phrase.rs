//! A phrase: texts as an author wrote them, figures that were worked out, and keys of the tables with what is put into them.

use super::{Language, Part};
use serde::{Serialize, Serializer};
use std::fmt;

/// A text of a leaf that no language has been chosen for yet. Empty where there is nothing to say.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Phrase(Vec<Piece>);

/// A piece of a phrase; they follow each other without a space.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Piece {
    /// As an author wrote it, or a sign that every language has.
    Written(String),
    /// A figure that was worked out, with a point for its decimals: each language has its own mark there.
    Figure(String),
    /// Words of the tables.
    Said(Said),
    /// With a capital first letter.
    Capital(Phrase),
}

/// A key and what is put into its words, in the order of its declaration.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Said {
    pub key: Key,
    pub args: Vec<Arg>,
}

/// A key of the tables. Only `say.rs` makes them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Key {
    pub name: &'static str,
    pub args: &'static [&'static str],
    /// Those of them that are whole numbers.
    pub counts: &'static [bool],
}

/// What is put into the words of a key.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Arg {
    Text(Phrase),
    /// A whole number, which words can agree with.
    Count(usize),
}

impl Phrase {
    pub(super) fn said(key: Key, args: Vec<Arg>) -> Phrase {
        Phrase(vec![Piece::Said(Said { key, args })])
    }

    /// A figure that was worked out, units and signs included: `4.5 lbf·ft`.
    pub fn figure(text: impl Into<String>) -> Phrase {
        Phrase::of(Piece::Figure(text.into()))
    }

    fn of(piece: Piece) -> Phrase {
        let mut phrase = Phrase::default();
        phrase.push(piece);
        phrase
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn pieces(&self) -> &[Piece] {
        &self.0
    }

    /// Puts another phrase behind.
    #[must_use]
    pub fn then(mut self, next: impl Into<Phrase>) -> Phrase {
        next.into().0.into_iter().for_each(|piece| self.push(piece));
        self
    }

    /// The same with a capital first letter, if asked: at the beginning of a sentence.
    #[must_use]
    pub fn capitalised(self, capital: bool) -> Phrase {
        match capital && !self.is_empty() {
            true => Phrase(vec![Piece::Capital(self)]),
            false => self,
        }
    }

    /// With each run of white space as one space and none at its ends.
    #[must_use]
    pub fn squeezed(&self) -> Phrase {
        let mut out = Phrase::default();
        let mut gap = false;
        for piece in &self.0 {
            let Piece::Written(text) = piece else {
                let before = if gap && !out.is_empty() { " " } else { "" };
                out = out.then(before);
                out.push(piece.clone());
                gap = false;
                continue;
            };
            let mut squeezed = String::with_capacity(text.len());
            for c in text.chars() {
                if c.is_whitespace() {
                    gap = true;
                    continue;
                }
                if gap && !(out.is_empty() && squeezed.is_empty()) {
                    squeezed.push(' ');
                }
                gap = false;
                squeezed.push(c);
            }
            out = out.then(squeezed);
        }
        out
    }

    /// With a stroke where a line ends.
    #[must_use]
    pub fn one_line(&self) -> Phrase {
        let mut out = Phrase::default();
        for piece in &self.0 {
            match piece {
                Piece::Written(text) => out.push(Piece::Written(text.replace('\n', " / "))),
                Piece::Figure(_) | Piece::Said(_) | Piece::Capital(_) => out.push(piece.clone()),
            }
        }
        out
    }

    fn push(&mut self, piece: Piece) {
        match (self.0.last_mut(), piece) {
            (Some(Piece::Written(text)), Piece::Written(more)) => text.push_str(&more),
            (_, Piece::Written(text) | Piece::Figure(text)) if text.is_empty() => {}
            (_, piece) => self.0.push(piece),
        }
    }

    /// In the words of a language.
    pub fn in_language(&self, language: Language) -> String {
        let mut out = String::new();
        self.write(language, &mut out);
        out
    }

    /// For a terminal.
    pub fn english(&self) -> String {
        self.in_language(Language::English)
    }

    fn write(&self, language: Language, out: &mut String) {
        for piece in &self.0 {
            match piece {
                Piece::Written(text) => out.push_str(text),
                Piece::Figure(text) => out.push_str(&language.figure(text)),
                Piece::Said(said) => said.write(language, out),
                Piece::Capital(phrase) => {
                    let text = phrase.in_language(language);
                    let mut chars = text.chars();
                    out.extend(chars.next().into_iter().flat_map(char::to_uppercase));
                    out.push_str(chars.as_str());
                }
            }
        }
    }
}

impl Said {
    fn write(&self, language: Language, out: &mut String) {
        let arg = |name: &str| {
            let at = self.key.args.iter().position(|known| *known == name);
            at.and_then(|at| self.args.get(at))
        };
        for part in language.text(self.key).parts() {
            match part {
                Part::Words(words) => out.push_str(words),
                Part::Value(name) => match arg(name) {
                    Some(Arg::Text(phrase)) => phrase.write(language, out),
                    Some(Arg::Count(count)) => out.push_str(&count.to_string()),
                    None => {}
                },
                Part::Plural(name, one, other) => match arg(name) {
                    Some(Arg::Count(count)) => out.push_str(if language.is_one(*count) { one } else { other }),
                    Some(Arg::Text(_)) | None => {}
                },
            }
        }
    }
}

/// In English, for a terminal.
impl fmt::Display for Phrase {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(&self.english())
    }
}

/// A leaf that is to be printed has been put into words before; a phrase that hasn't is data for a program, which is in English.
impl Serialize for Phrase {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.english())
    }
}

impl From<String> for Phrase {
    fn from(text: String) -> Phrase {
        Phrase::of(Piece::Written(text))
    }
}

impl From<&String> for Phrase {
    fn from(text: &String) -> Phrase {
        Phrase::from(text.clone())
    }
}

impl From<&str> for Phrase {
    fn from(text: &str) -> Phrase {
        Phrase::from(text.to_string())
    }
}

impl From<&Phrase> for Phrase {
    fn from(phrase: &Phrase) -> Phrase {
        phrase.clone()
    }
}

/// Several phrases with a sign between them.
pub(crate) fn joined(phrases: impl IntoIterator<Item = impl Into<Phrase>>, sign: &str) -> Phrase {
    let mut out = Phrase::default();
    for (n, phrase) in phrases.into_iter().enumerate() {
        let before = if n == 0 { "" } else { sign };
        out = out.then(before).then(phrase);
    }
    out
}

/// Texts, figures and phrases one behind the other: `phrase!(state, ": ", value)`.
macro_rules! phrase {
    ($($piece:expr),+ $(,)?) => {
        $crate::words::Phrase::default()$(.then($piece))+
    };
}

pub(crate) use phrase;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::say;

    #[test]
    fn a_phrase_is_put_into_words() {
        let place = say::step_on_card(4, "2.3");
        assert_eq!(place.english(), "card 4, 2.3");
        assert_eq!(place.in_language(Language::German), "Karte 4, 2.3");
        let mixed = phrase!("Pumpe", ": ", place.capitalised(true));
        assert_eq!(mixed.english(), "Pumpe: Card 4, 2.3");
        assert_eq!(joined(["a", "b"], ", ").english(), "a, b");
    }

    #[test]
    fn only_figures_that_were_worked_out_get_another_mark() {
        let both = phrase!("4.5 N·m", " (", Phrase::figure("3.32 lbf·ft"), ")");
        assert_eq!(both.english(), "4.5 N·m (3.32 lbf·ft)");
        assert_eq!(both.in_language(Language::German), "4.5 N·m (3,32 lbf·ft)");
        assert_eq!(
            Phrase::figure("1.2 to 1.3 mm. 4").in_language(Language::German),
            "1,2 to 1,3 mm. 4"
        );
    }

    #[test]
    fn nothing_is_empty() {
        assert!(phrase!("", String::new(), Phrase::figure("")).is_empty());
        assert!(Phrase::default().capitalised(true).is_empty());
    }
}
