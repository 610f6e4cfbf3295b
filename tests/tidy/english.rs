//! A leaf's words are keys of the tables: no English is left in the code that makes leaves.

use super::{code, sources};
use crate::harness::fixture::{self, relative};
use crate::harness::job::is_field;
use std::collections::BTreeSet;

const CORE: &str = "compiler/core/";

/// Folders whose data is printed.
const FOLDERS: [&str; 6] = ["cards/", "diff/", "kit/", "plan/", "record/", "words/formula.rs"];

/// What only a terminal, a spreadsheet, a calendar or a record on disk gets, and what reads those.
const ELSEWHERE: [&str; 14] = [
    "cards/looks.rs",
    "cards/rules/",
    "diff/human.rs",
    "diff/markdown.rs",
    "diff/rules/",
    "kit/spreadsheet.rs",
    "kit/table.rs",
    "plan/calendar.rs",
    "plan/table.rs",
    "record/begun.rs",
    "record/form.rs",
    "record/read.rs",
    "record/text.rs",
    "record/write.rs",
];

/// Names by which programs tell things apart, none of them printed: those that templates ask for, those of registers, of the fields of a
/// record, and of units.
const NAMES: &[(&str, &[&str])] = &[
    (
        "cards/",
        &[
            "card",
            "front",
            "set-sheet",
            "out",
            "pocket",
            "close-out",
            "form",
            "record",
            "within",
            "at-least",
        ],
    ),
    ("cards/second.rs", &["bar", "kg", "mL", "mm", "mm²", "L/min", "N/mm"]),
    (
        "diff/sheet.rs",
        &[
            "changes",
            "kept",
            "added",
            "removed",
            "replace",
            "print",
            "take-down",
            "message-dropped",
            "message-weakened",
            "value",
            "entry-added",
            "entry-removed",
            "step-removed",
            "step-added",
            "step-moved",
            "step-work",
            "step-guard",
            "stop",
            "carried-guard",
            "carried",
            "step-condition",
            "step-reworded",
            "message-added",
            "message-strengthened",
            "message-reworded",
            "words",
            "order",
            "numbers",
        ],
    ),
    ("diff/leaf.rs", &["changes"]),
    ("diff/view.rs", &["within"]),
    (
        "diff/class.rs",
        &[
            "holds",
            "torques",
            "limits",
            "timers",
            "patterns",
            "consumables",
            "options",
        ],
    ),
    (
        "kit/",
        &[
            "kit",
            "order",
            "inspect",
            "fasteners",
            "consumables",
            "tools",
            "gauges",
            "temporary",
            "part",
            "consumable",
            "tool",
        ],
    ),
    ("plan/", &["plan"]),
    // The fields of a record are those of its own table.
    ("record/", &["record", "step {step}"]),
    ("record/unreadable.rs", &["mm", "US "]),
    ("record/overload.rs", &["OL", "OVLD"]),
];

/// Texts with a word in them, in the code that makes leaves.
pub fn left() -> Vec<String> {
    let (mut faults, mut looked) = (Vec::new(), 0);
    for (path, text) in sources(CORE) {
        let place = relative(&path);
        let inside = place.trim_start_matches(CORE);
        if !FOLDERS.iter().any(|f| inside.starts_with(f)) || ELSEWHERE.iter().any(|f| inside.starts_with(f)) {
            continue;
        }
        let own = text.split("#[cfg(test)]").next().unwrap_or("");
        for (number, line) in code(own).filter(|(_, line)| !is_attribute(line)) {
            for literal in literals(line) {
                looked += 1;
                let named = |(at, names): &(&str, &[&str])| inside.starts_with(at) && names.contains(&literal.as_str());
                let field = inside.starts_with("record/") && is_field(&literal);
                if has_word(&literal) && !field && !NAMES.iter().any(named) {
                    faults.push(format!(
                        "{place}:{number}: “{literal}” is no key: say it by a function of words/say.rs"
                    ));
                }
            }
        }
    }
    if looked < 200 {
        faults.push(format!(
            "only {looked} texts were looked at: this check looks in the wrong place"
        ));
    }
    faults
}

/// Texts of several words in the templates, which have theirs from the tables.
pub fn in_templates() -> Vec<String> {
    let library = fixture::walk(&fixture::root().join("templates/lib"));
    let mut faults = Vec::new();
    for path in &library {
        let text = fixture::text(path);
        for (n, line) in text
            .lines()
            .enumerate()
            .filter(|(_, l)| !l.trim_start().starts_with("//"))
        {
            for literal in literals(line).iter().filter(|l| !FONTS.contains(&l.as_str())) {
                if literal.contains(' ') && has_word(literal) {
                    let place = relative(path);
                    faults.push(format!(
                        "{place}:{}: “{literal}” belongs into the tables of words",
                        n + 1
                    ));
                }
            }
        }
    }
    if library.len() < 20 {
        faults.push(format!("only {} files were looked at", library.len()));
    }
    faults
}

/// Words that a template asks for and no table has, and those that no template asks for.
pub fn asked_for() -> Vec<String> {
    let templates = fixture::root().join("templates");
    let mut asked = BTreeSet::new();
    for path in fixture::walk(&templates.join("lib"))
        .into_iter()
        .chain(fixture::entries(&templates))
    {
        if !path.is_file() || path.extension().is_some_and(|e| e == "md") {
            continue;
        }
        let text = fixture::text(&path);
        for line in text.lines().filter(|l| !l.trim_start().starts_with("//")) {
            let line = line.replace("words.typ", "");
            for (at, _) in line.match_indices("words.") {
                let own = line[..at]
                    .chars()
                    .next_back()
                    .is_none_or(|c| !c.is_alphanumeric() && c != '-');
                let rest = line[at + "words.".len()..].chars();
                let key: String = rest.take_while(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
                if own && !key.is_empty() {
                    asked.insert(key.trim_end_matches('-').to_string());
                }
            }
        }
    }
    let mut faults = Vec::new();
    for table in ["en.txt", "de.txt"] {
        let text = fixture::text(&templates.join("words").join(table));
        let own = text.split_once("\n[template]\n").map_or("", |(_, own)| own);
        let keys = own.lines().filter_map(|line| line.split_once(" = "));
        let keys: BTreeSet<String> = keys
            .map(|(key, _)| key.split(['(', '.']).next().unwrap_or("").to_string())
            .filter(|key| !key.starts_with('#'))
            .collect();
        let lacking = asked
            .difference(&keys)
            .map(|key| format!("{table} has no `{key}`, which a template asks for"));
        let unused = keys
            .difference(&asked)
            .map(|key| format!("no template asks for `{key}` of {table}"));
        faults.extend(lacking.chain(unused));
    }
    if asked.len() < 150 {
        faults.push(format!("only {} words are asked for", asked.len()));
    }
    faults
}

/// Kinds that a template looks a word up for, and the table lacks.
pub fn kinds() -> Vec<String> {
    let data = fixture::text(&fixture::root().join("compiler/core/record/data.rs"));
    let words = fixture::text(&fixture::root().join("templates/words/en.txt"));
    let mut faults = Vec::new();
    for (kind, key, ending) in [("FindingKind", "finding-kinds", ""), ("Verdict", "verdicts", ".1")] {
        let body = data
            .split_once(&format!("pub enum {kind} {{\n"))
            .map_or("", |(_, rest)| rest);
        let body = body.split("\n}").next().unwrap_or("");
        let names: Vec<&str> = body
            .lines()
            .filter_map(|line| line.trim().strip_suffix(','))
            .filter(|name| name.chars().all(char::is_alphabetic))
            .collect();
        if names.len() < 5 {
            faults.push(format!("only {} kinds of {kind} were seen", names.len()));
        }
        for name in names {
            let word: String = name
                .char_indices()
                .flat_map(|(n, c)| {
                    (n > 0 && c.is_uppercase())
                        .then_some('-')
                        .into_iter()
                        .chain(c.to_lowercase())
                })
                .collect();
            if !words.contains(&format!("\n{key}.{word}{ending} = ")) {
                faults.push(format!("en.txt has no `{key}.{word}`"));
            }
        }
    }
    faults
}

/// Faces that templates set by.
const FONTS: [&str; 2] = ["DejaVu Sans", "DejaVu Sans Mono"];

/// What stands between quotes in a line.
fn literals(line: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut open: Option<String> = None;
    let mut letters = line.chars();
    while let Some(letter) = letters.next() {
        match (&mut open, letter) {
            (None, '"') => open = Some(String::new()),
            // A quote as a character of its own.
            (None, '\'') if line.contains("'\"'") => {
                letters.next();
            }
            (None, _) => {}
            (Some(_), '"') => found.extend(open.take()),
            // What is escaped is no letter.
            (Some(_), '\\') => {
                letters.next();
            }
            (Some(text), letter) => text.push(letter),
        }
    }
    found
}

/// True for two letters beside each other outside the places for values.
fn has_word(literal: &str) -> bool {
    let mut depth = 0;
    let mut run = 0;
    for letter in literal.chars() {
        match letter {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        run = if depth == 0 && letter.is_alphabetic() {
            run + 1
        } else {
            0
        };
        if run == 2 {
            return true;
        }
    }
    false
}

/// The check itself: what it would let pass and what not.
pub fn seen() -> Vec<String> {
    let mut faults = Vec::new();
    for (line, wanted) in [
        ("let told = format!(\"loose since {step}\");", true),
        ("let told = format!(\"{state}: {value}\");", false),
        ("note.then(\", \").then(\"lose\")", true),
        ("joined(all, \"\\n\")", false),
        ("'\"' => \"ab\"", true),
    ] {
        if literals(line).iter().any(|literal| has_word(literal)) != wanted {
            faults.push(format!("{line}: seen wrongly"));
        }
    }
    faults
}

/// An attribute, or the reason that one gives in a line of its own.
fn is_attribute(line: &str) -> bool {
    let line = line.trim_start();
    line.starts_with('#') || line.starts_with("reason = ")
}
