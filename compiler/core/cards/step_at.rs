//! A step as a row of a table names it, on a leaf that may tell of several cards.

use crate::fingerprint::{Exempt, Meaning, Sink, exempt};
use crate::model::StepNumber;
use crate::source::Sourced;
use crate::words::{Language, Phrase, Speak, say};
use serde::{Serialize, Serializer};

/// A step, with its card where that is another one: printed as one text, `2.3` or `card 4, 2.3`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepAt {
    text: Phrase,
    step: String,
}

impl StepAt {
    /// A step of this card.
    pub fn here(step: StepNumber) -> StepAt {
        StepAt::from(step.to_string().as_str())
    }

    /// The same on the card of that number.
    pub fn on(&self, card: usize) -> StepAt {
        StepAt {
            text: say::step_on_card(card, self.step.as_str()),
            step: self.step.clone(),
        }
    }

    pub fn number(&self) -> &str {
        &self.step
    }
}

impl From<&str> for StepAt {
    fn from(step: &str) -> StepAt {
        StepAt {
            text: step.into(),
            step: step.to_string(),
        }
    }
}

impl Serialize for StepAt {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.text.serialize(serializer)
    }
}

impl Sourced for StepAt {}

impl Speak for StepAt {
    fn speak(&mut self, language: Language) {
        let Self { text, step: _ } = self;
        text.speak(language);
    }
}

impl Meaning for StepAt {
    fn feed(&self, sink: &mut Sink) {
        let Self { text, step } = self;
        exempt(Exempt::Number, text);
        sink.words(step);
    }
}
