//! A step as a row of a table names it.

use crate::fingerprint::{Exempt, Meaning, Sink, exempt};
use crate::model::StepNumber;
use serde::{Serialize, Serializer};

/// A step, with its card where that is another one: printed as one text, `2.3` or `card 4, 2.3`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepAt {
    text: String,
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
            text: format!("card {card}, {}", self.step),
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
            text: step.to_string(),
            step: step.to_string(),
        }
    }
}

impl Serialize for StepAt {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl Meaning for StepAt {
    fn feed(&self, sink: &mut Sink) {
        let Self { text, step } = self;
        exempt(Exempt::Number, text);
        sink.words(step);
    }
}
