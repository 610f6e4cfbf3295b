//! Words that workshop English uses for what a mark does: `tighten` for `torque`, `take off` for `remove`; and those that act on a
//! figure: heat *to 110 °C*, fill *with 2 L*.

use super::quantity::Dimension;
use super::table;
use serde::Deserialize;
use std::sync::OnceLock;

const VERBS: &str = include_str!("../tables/verbs.csv");

#[derive(Deserialize)]
struct Row {
    word: String,
    verb: String,
    dimensions: String,
}

/// A word or phrase and what it stands for.
#[derive(Debug)]
pub struct Verb {
    /// In small letters, its words parted by one space.
    pub word: String,
    /// The verb of the mark.
    pub mark: String,
    /// Of what its figure is, where it acts on one.
    pub dimensions: Vec<Dimension>,
}

/// Every word, in table order.
pub fn all() -> &'static [Verb] {
    static ROWS: OnceLock<Vec<Verb>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let rows = table::rows::<Row>("verbs.csv", VERBS).into_iter();
        rows.map(|row| Verb {
            dimensions: row
                .dimensions
                .split_whitespace()
                .filter_map(Dimension::from_name)
                .collect(),
            word: row.word,
            mark: row.verb,
        })
        .collect()
    })
}

/// The longest word or phrase that a text begins with, in any case, and what follows it.
pub fn leading(text: &str) -> Option<(&'static Verb, usize)> {
    let fits = |verb: &Verb| {
        text.split_at_checked(verb.word.len()).is_some_and(|(head, after)| {
            let goes_on = after.starts_with(|c: char| c.is_alphanumeric() || c == '-' || c == '_');
            head.eq_ignore_ascii_case(&verb.word) && !goes_on
        })
    };
    let first = text.bytes().next()?.to_ascii_lowercase();
    let verb = all()
        .iter()
        .filter(|verb| verb.word.as_bytes().first() == Some(&first) && fits(verb))
        .max_by_key(|verb| verb.word.len())?;
    Some((verb, verb.word.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced_and_every_dimension_known() {
        table::assert_sourced("verbs.csv", VERBS);
        for row in table::rows::<Row>("verbs.csv", VERBS) {
            for name in row.dimensions.split_whitespace() {
                assert!(Dimension::from_name(name).is_some(), "{name}");
            }
        }
    }

    #[test]
    fn the_longest_phrase_wins() {
        let mark = |text: &'static str| leading(text).map(|(verb, end)| (verb.mark.as_str(), &text[end..]));
        assert_eq!(mark("take off cover"), Some(("remove", " cover")));
        assert_eq!(mark("Tighten x"), Some(("torque", " x")));
        assert_eq!(mark("tightening x"), None);
        assert_eq!(mark("slacken off x"), Some(("loosen", " x")));
    }
}
