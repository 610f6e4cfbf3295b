//! The templates' own words as a library file of the typesetter, one a language: `#import "lib/words.typ": words`.

use super::escape::literal;
use benchleaf_core::words::{Called, Language, Part};
use std::collections::BTreeMap;

/// The file that templates import. A user's own file of that name is laid over ours word by word.
pub const FILE: &str = "lib/words.typ";

/// Where a user's own words are found by ours.
pub const OWN: &str = "lib/own-words.typ";

/// A word, or words by the names below a key.
enum Entry {
    Words(String),
    Named(BTreeMap<String, Entry>),
}

/// The source of the file; `own` says that there is a user's own.
pub fn source(language: Language, own: bool) -> String {
    let mut all = BTreeMap::new();
    for (key, words) in language.template_words() {
        put(&mut all, key, written(words));
    }
    let mut out =
        String::from("#let said(..parts) = parts.pos().map(p => if type(p) == int { str(p) } else { p }).join()\n");
    out.push_str(&format!("#let words = {}\n", dictionary(&all)));
    if own {
        out.push_str(&format!("#import \"/{OWN}\": words as own\n#let words = words + own\n"));
    }
    out
}

fn put(all: &mut BTreeMap<String, Entry>, key: &str, words: String) {
    match key.split_once('.') {
        None => {
            all.insert(key.to_string(), Entry::Words(words));
        }
        Some((name, rest)) => {
            let entry = all
                .entry(name.to_string())
                .or_insert_with(|| Entry::Named(BTreeMap::new()));
            if let Entry::Named(below) = entry {
                put(below, rest, words);
            }
        }
    }
}

/// What stands below a key: an array where it is numbered, a dictionary otherwise.
fn dictionary(all: &BTreeMap<String, Entry>) -> String {
    let numbered = all.keys().all(|key| key.parse::<usize>().is_ok());
    let mut out = String::from("(");
    for (key, entry) in all {
        if !numbered {
            out.push_str(&format!("{}: ", literal(key)));
        }
        match entry {
            Entry::Words(words) => out.push_str(words),
            Entry::Named(below) => out.push_str(&dictionary(below)),
        }
        out.push_str(", ");
    }
    out.push(')');
    out
}

/// A text; where it takes values, a function of them.
fn written(words: &Called) -> String {
    let Called { args, text } = words;
    // With something before it: the name of a value may be a word of the typesetter.
    let arg = |name: &str| format!("value-{name}");
    let parts: Vec<String> = text
        .parts()
        .iter()
        .map(|part| match part {
            Part::Words(words) => literal(words),
            Part::Value(name) => arg(name),
            Part::Plural(name, one, other) => {
                format!(
                    "if {} == 1 {{ {} }} else {{ {} }}",
                    arg(name),
                    literal(one),
                    literal(other)
                )
            }
        })
        .collect();
    if args.is_empty() {
        return parts.concat();
    }
    let args: Vec<String> = args.iter().map(|name| arg(name)).collect();
    format!("({}) => said({})", args.join(", "), parts.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use typst::syntax::parse;

    #[test]
    fn the_words_of_every_language_are_a_library_file() {
        for language in Language::ALL {
            for own in [false, true] {
                let source = source(language, own);
                assert!(parse(&source).errors_and_warnings().0.is_empty(), "{source}");
            }
        }
        let english = source(Language::English, false);
        assert!(
            english.contains("if value-of == 1 { \"card\" } else { \"cards\" }"),
            "{english}"
        );
        assert!(english.contains("\"draft\": (\"DRAFT\", "), "{english}");
        assert!(source(Language::German, false).contains("\"signals\": ("));
    }
}
