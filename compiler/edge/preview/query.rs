//! What a page asks for, as the part of an address behind the `?` has it.

use crate::edge::percent;
use std::collections::BTreeMap;

/// What somebody looks at.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct View {
    /// Id of the set.
    pub set: String,
    /// `card/ID`, `set-sheet`, `close-out`, `pocket` or `record`.
    pub document: String,
    /// As sets write it; empty for the set's own.
    pub paper: String,
    pub mono: bool,
    /// Values by option.
    pub options: BTreeMap<String, String>,
}

/// A question.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Query {
    pub view: View,
    /// The state that the page has; it waits for another.
    pub since: Option<u64>,
    /// Which leaf, from 0.
    pub leaf: usize,
    /// Pixels an inch.
    pub ppi: Option<u32>,
    pub file: String,
    pub line: usize,
}

/// Reads what stands behind the `?`. What isn't understood is passed over.
pub fn read(text: &str) -> Query {
    let mut query = Query::default();
    for pair in text.split('&') {
        let (name, value) = pair.split_once('=').unwrap_or((pair, ""));
        let (Some(name), Some(value)) = (percent::decoded(name), percent::decoded(value)) else {
            continue;
        };
        match name.as_str() {
            "set" => query.view.set = value,
            "document" => query.view.document = value,
            "paper" => query.view.paper = value,
            "mono" => query.view.mono = value == "1",
            "since" => query.since = value.parse().ok(),
            "leaf" => query.leaf = value.parse().unwrap_or(0),
            "ppi" => query.ppi = value.parse().ok(),
            "file" => query.file = value,
            "line" => query.line = value.parse().unwrap_or(0),
            name => {
                if let Some(option) = name.strip_prefix("option.") {
                    query.view.options.insert(option.to_string(), value);
                }
            }
        }
    }
    query
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_asked_is_read() {
        let query =
            read("set=pump-seal&document=card%2F10-a%20b&mono=1&option.seal%C3%A9=new&since=7&ppi=144&leaf=2&%ff=1&zq");
        assert_eq!(query.view.set, "pump-seal");
        assert_eq!(query.view.document, "card/10-a b");
        assert!(query.view.mono && query.view.paper.is_empty());
        assert_eq!(query.view.options["sealé"], "new");
        assert_eq!((query.since, query.leaf, query.ppi), (Some(7), 2, Some(144)));
        assert_eq!(read(""), Query::default());
    }
}
