//! The words of a card: prose, and safety messages.

use serde::Serialize;

/// A signal word: ANSI Z535.6 / ISO 3864-2 levels. Ordered, least severe first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Signal {
    /// Information only.
    Note,
    /// Damage, no injury.
    Notice,
    /// Could cause minor or moderate injury.
    Caution,
    /// Could cause death or serious injury.
    Warning,
    /// Will cause death or serious injury.
    Danger,
}

impl Signal {
    /// The word as printed, in capitals.
    pub fn word(self) -> &'static str {
        match self {
            Signal::Note => "NOTE",
            Signal::Notice => "NOTICE",
            Signal::Caution => "CAUTION",
            Signal::Warning => "WARNING",
            Signal::Danger => "DANGER",
        }
    }
}

/// A safety message or a note.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Message {
    pub signal: Signal,
    /// Names the hazard; empty if not said.
    pub hazard: Vec<Inline>,
    /// What happens.
    pub consequence: Vec<Block>,
    /// How to avoid it.
    pub avoid: Vec<Block>,
}

/// A block of prose.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Block {
    Paragraph {
        text: Vec<Inline>,
    },
    /// A figure: `path` is relative to the set's folder, the number runs through the card.
    Figure {
        path: String,
        caption: Vec<Inline>,
        number: usize,
    },
    /// Items of a list that are not steps (in an introduction).
    List {
        ordered: bool,
        items: Vec<Vec<Block>>,
    },
    Code {
        text: String,
    },
}

/// A run of prose.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Inline {
    Text {
        text: String,
    },
    Strong {
        text: Vec<Inline>,
    },
    Emphasis {
        text: Vec<Inline>,
    },
    Code {
        text: String,
    },
    /// `url` is printed only as a link target.
    Link {
        text: Vec<Inline>,
        url: String,
    },
    /// A name or figure that came from a register: printed bold.
    Name {
        text: String,
    },
    /// A pointer to a step or card, ready to print: `step 2.3`, `card 4, Rebuild`.
    Pointer {
        text: String,
    },
    Break,
}
