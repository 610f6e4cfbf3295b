//! The fingerprint: a short check code of what a leaf says, printed on it and in its QR code. A leaf is hashed as the very data that is
//! printed, so the same code means the same words, drawings and pictures.
//!
//! ```text
//! leaf data ─▶ Meaning::feed ─▶ Sink (SHA-256) ─▶ its first 35 bits as 7 characters, and 1 that checks them: `WD47-9V4K`
//! ```
//!
//! Every struct of a leaf is declared by `leaf!`, which asks of each field whether it is said or exempt, and takes the struct apart
//! without leaving any out: a new field doesn't compile until somebody says.

mod code;
mod declare;

pub use code::{Code, FORM, Misread};
pub(crate) use declare::leaf;

use crate::source::Sourced;
use crate::words::{Arg, Key, Phrase, Piece, Said, Speak, Tag};
use sha2::{Digest as _, Sha256};

/// Changes when what is hashed or how changes: codes of another form say nothing about this one's. The check character of a code
/// hangs on its form too (see [`mod@code`]).
const VERSION: &str = "benchleaf leaf 4";

/// A whole digest, for comparing without any doubt.
pub type Digest = [u8; 32];

/// Why a printed field is no part of what a code stands for. The list is closed: each has its reason in DEVELOPERS.md.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exempt {
    /// The revision: a label of the state, and not what it says.
    Revision,
    /// The date of a revision.
    Date,
    /// The DRAFT mark.
    Draft,
    /// What a thing costs, and what there is to say of that.
    Price,
    /// How the leaf is laid out.
    Paper,
    /// Numbers of leaves and cards: a card that is put in before another makes no other out of date.
    Number,
    /// Since which step something stands so.
    Since,
    /// Marks of what changed since another revision.
    ChangeMark,
    /// Where it stands in the sources: spans, ids, paths and addresses that aren't printed.
    Span,
    /// What was asked for or written down by hand: arguments, serial numbers, readings. The leaf prints it.
    Argument,
    /// What another field says already, for a template that prints it loud.
    Repeated,
}

/// Passes over a field that is exempt.
pub fn exempt<T: ?Sized>(_why: Exempt, _value: &T) {}

/// What a piece of a leaf says.
pub trait Meaning {
    /// Puts everything that it says into the sink.
    fn feed(&self, sink: &mut Sink);

    /// The same of several in their order; runs of prose are one text however they are cut up.
    fn feed_all(items: &[Self], sink: &mut Sink)
    where
        Self: Sized,
    {
        sink.number(items.len());
        items.iter().for_each(|item| item.feed(sink));
    }
}

/// A kind of leaf: its name keeps two kinds with the same words apart.
pub trait Kind: Meaning + Speak + Sourced {
    /// As templates call its data.
    const NAME: &'static str;
}

/// Everything that a leaf says, hashed.
pub fn digest<L: Kind>(leaf: &L) -> Digest {
    let mut sink = Sink(Sha256::new());
    sink.text(VERSION);
    sink.text(L::NAME);
    leaf.feed(&mut sink);
    sink.0.finalize().into()
}

/// The code of a leaf.
pub fn code<L: Kind>(leaf: &L) -> Code {
    Code::of(&digest(leaf))
}

/// Takes texts with their lengths before them, so that no two lists run together into the same bytes.
pub struct Sink(Sha256);

impl Sink {
    pub fn number(&mut self, number: usize) {
        self.0.update((number as u64).to_le_bytes());
    }

    /// Words: white space and line breaks between them say nothing.
    pub fn words(&mut self, text: &str) {
        self.text(&squeezed(text));
    }

    /// A text to the letter.
    pub fn text(&mut self, text: &str) {
        self.number(text.len());
        self.0.update(text.as_bytes());
    }
}

/// Text with each run of white space as one space and none at its ends.
pub fn squeezed(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

impl Meaning for String {
    fn feed(&self, sink: &mut Sink) {
        sink.words(self);
    }
}

/// The language decides what keys are printed as; its region doesn't.
impl Meaning for Tag {
    fn feed(&self, sink: &mut Sink) {
        sink.text(self.language().map_or(self, |language| language.code()));
    }
}

/// Keys and what is put into their words, whatever a table makes of them.
impl Meaning for Phrase {
    fn feed(&self, sink: &mut Sink) {
        sink.number(self.pieces().len());
        for piece in self.pieces() {
            match piece {
                Piece::Written(text) | Piece::Figure(text) => sink.words(text),
                Piece::Capital(phrase) => phrase.feed(sink),
                Piece::Said(Said { key, args }) => {
                    let Key {
                        name,
                        args: names,
                        counts: _,
                    } = key;
                    sink.text(name);
                    for (name, arg) in names.iter().zip(args) {
                        sink.text(name);
                        match arg {
                            Arg::Text(phrase) => phrase.feed(sink),
                            Arg::Count(count) => sink.number(*count),
                        }
                    }
                }
            }
        }
    }
}

impl Meaning for &str {
    fn feed(&self, sink: &mut Sink) {
        sink.words(self);
    }
}

impl Meaning for bool {
    fn feed(&self, sink: &mut Sink) {
        sink.number(usize::from(*self));
    }
}

impl Meaning for usize {
    fn feed(&self, sink: &mut Sink) {
        sink.number(*self);
    }
}

impl<T: Meaning> Meaning for Vec<T> {
    fn feed(&self, sink: &mut Sink) {
        T::feed_all(self, sink);
    }
}

impl<T: Meaning> Meaning for Option<T> {
    fn feed(&self, sink: &mut Sink) {
        sink.number(usize::from(self.is_some()));
        if let Some(value) = self {
            value.feed(sink);
        }
    }
}
