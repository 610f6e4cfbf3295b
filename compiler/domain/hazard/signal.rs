//! Signal words: how grave a hazard is, and how its panel looks.

use std::fmt;
use std::sync::OnceLock;

use serde::Deserialize;

use crate::table;

const WORDS: &str = include_str!("../../tables/signal-words.csv");
const COLOURS: &str = include_str!("../../tables/safety-colours.csv");

/// The word a safety message starts with. Orders from the least grave to the gravest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SignalWord {
    /// Damage only; nobody is hurt.
    Notice,
    /// Minor or moderate injury could result.
    Caution,
    /// Death or serious injury could result.
    Warning,
    /// Death or serious injury will result.
    Danger,
}

#[derive(Deserialize)]
struct Row {
    word: String,
    injury: String,
    meaning: String,
    panel: String,
    letters: String,
    alert_symbol: String,
    source: String,
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("signal-words.csv", WORDS))
}

/// How the panel that carries a signal word looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Panel {
    /// Colour of the panel.
    pub ground: &'static str,
    /// Colour and cut of the letters.
    pub letters: &'static str,
    /// Whether the safety alert symbol (triangle with exclamation mark) stands before the word.
    pub alert_symbol: bool,
}

impl SignalWord {
    /// All four, the gravest first.
    pub const ALL: [SignalWord; 4] = [
        SignalWord::Danger,
        SignalWord::Warning,
        SignalWord::Caution,
        SignalWord::Notice,
    ];

    /// The word in capitals, as it is printed.
    pub fn word(self) -> &'static str {
        match self {
            SignalWord::Danger => "DANGER",
            SignalWord::Warning => "WARNING",
            SignalWord::Caution => "CAUTION",
            SignalWord::Notice => "NOTICE",
        }
    }

    /// The signal word of that spelling, in any case.
    pub fn from_word(word: &str) -> Option<SignalWord> {
        SignalWord::ALL
            .into_iter()
            .find(|known| known.word().eq_ignore_ascii_case(word.trim()))
    }

    /// The word for a message about several hazards: the gravest of them.
    pub fn gravest(words: impl IntoIterator<Item = SignalWord>) -> Option<SignalWord> {
        words.into_iter().max()
    }

    /// What the word says happens if the hazard isn't avoided.
    pub fn meaning(self) -> &'static str {
        &self.row().meaning
    }

    /// Whether the word is kept for injury to persons.
    pub fn is_for_injury(self) -> bool {
        self.row().injury == "yes"
    }

    /// How its panel looks in colour.
    pub fn panel(self) -> Panel {
        let row = self.row();
        Panel {
            ground: &row.panel,
            letters: &row.letters,
            alert_symbol: row.alert_symbol == "yes",
        }
    }

    /// Where meaning and colours are from.
    pub fn source(self) -> &'static str {
        &self.row().source
    }

    fn row(self) -> &'static Row {
        // The table is embedded; a test finds all four words in it.
        table()
            .iter()
            .find(|row| row.word == self.word())
            .unwrap_or_else(|| table::broken(format_args!("signal-words.csv: no {}", self.word())))
    }
}

impl fmt::Display for SignalWord {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.word())
    }
}

/// A safety colour and its Munsell notation.
#[derive(Clone, Debug, Deserialize)]
pub struct SafetyColour {
    /// `safety red`.
    pub colour: String,
    /// The notation of ANSI Z535.1.
    pub munsell: String,
    /// Where it is from.
    pub source: String,
}

/// Every safety colour the tables hold.
pub fn safety_colours() -> &'static [SafetyColour] {
    static ROWS: OnceLock<Vec<SafetyColour>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("safety-colours.csv", COLOURS))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_four_words_are_in_the_table() {
        table::assert_sourced("signal-words.csv", WORDS);
        table::assert_sourced("safety-colours.csv", COLOURS);
        for word in SignalWord::ALL {
            assert_eq!(word.row().word, word.word());
            assert_eq!(SignalWord::from_word(&word.word().to_lowercase()), Some(word));
        }
        assert!(SignalWord::ALL.windows(2).all(|pair| pair[0] > pair[1]));
        assert!(!SignalWord::Notice.is_for_injury() && !SignalWord::Notice.panel().alert_symbol);
        assert_eq!(
            SignalWord::gravest([SignalWord::Caution, SignalWord::Warning]),
            Some(SignalWord::Warning)
        );
        assert_eq!(safety_colours().len(), 2);
    }
}
