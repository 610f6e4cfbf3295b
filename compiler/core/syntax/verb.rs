//! The verbs of marks: the one list of them.

/// What a mark asks for, by its first word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verb {
    Torque,
    Snug,
    Loosen,
    Measure,
    Fit,
    Remove,
    Use,
    Need,
    Set,
    Do,
    Start,
    End,
    Hold,
    Label,
    Step,
    See,
    Time,
    Only,
    Wait,
    Mark,
    Each,
    If,
    Repeat,
    Stop,
}

/// Every verb with its word.
const VERBS: [(&str, Verb); 24] = [
    ("torque", Verb::Torque),
    ("snug", Verb::Snug),
    ("loosen", Verb::Loosen),
    ("measure", Verb::Measure),
    ("fit", Verb::Fit),
    ("remove", Verb::Remove),
    ("use", Verb::Use),
    ("need", Verb::Need),
    ("set", Verb::Set),
    ("do", Verb::Do),
    ("start", Verb::Start),
    ("end", Verb::End),
    ("hold", Verb::Hold),
    ("label", Verb::Label),
    ("step", Verb::Step),
    ("see", Verb::See),
    ("time", Verb::Time),
    ("only", Verb::Only),
    ("wait", Verb::Wait),
    ("mark", Verb::Mark),
    ("each", Verb::Each),
    ("if", Verb::If),
    ("repeat", Verb::Repeat),
    ("stop", Verb::Stop),
];

impl Verb {
    /// The verb of a word, which is written in small letters.
    pub fn of(word: &str) -> Option<Verb> {
        VERBS.iter().find(|(known, _)| *known == word).map(|(_, verb)| *verb)
    }

    /// Every word, in the order of the language's description.
    pub fn words() -> impl Iterator<Item = &'static str> {
        VERBS.iter().map(|(word, _)| *word)
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        VERBS
            .iter()
            .find(|(_, verb)| *verb == self)
            .map_or("", |(word, _)| word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_verb_has_a_word() {
        for (n, (word, verb)) in VERBS.iter().enumerate() {
            assert_eq!(Verb::of(word), Some(*verb));
            assert_eq!(verb.word(), *word);
            assert_eq!(*verb as usize, n);
        }
        assert_eq!(Verb::Stop as usize + 1, VERBS.len());
    }
}
