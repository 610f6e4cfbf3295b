//! What is said only where there is something to say.

use crate::fingerprint::{Meaning, Sink};
use crate::source::Sourced;
use crate::words::{Language, Phrase, Speak};
use serde::Serialize;

/// Words that most entries don't have; empty where there are none. A leaf without them has the code that it had before there was such a field.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
#[serde(transparent)]
pub struct Further(pub Phrase);

impl Meaning for Further {
    fn feed(&self, sink: &mut Sink) {
        if !self.0.is_empty() {
            sink.text(stringify!(Further));
            self.0.feed(sink);
        }
    }
}

impl Sourced for Further {}

impl Speak for Further {
    fn speak(&mut self, language: Language) {
        self.0.speak(language);
    }
}
