//! The manual, as the program carries it: pages of Markdown, in which a line like `{{fields parts}}` stands for a table that is made from what
//! the compiler itself reads by.

mod html;
mod tables;

use crate::answers::class;
use crate::desk::reference;

pub use html::html;
pub use tables::{budgets, units};

/// A page of the manual.
pub struct Page {
    /// What one asks for it by.
    pub name: &'static str,
    text: &'static str,
}

macro_rules! pages {
    ($($name:literal),* $(,)?) => {
        /// Every page, in the order of reading.
        pub const PAGES: &[Page] = &[$(Page { name: $name, text: include_str!(concat!($name, ".md")) }),*];
    };
}

pages![
    "first-hour",
    "install",
    "set",
    "registers",
    "parts",
    "temporary",
    "consumables",
    "tools",
    "torques",
    "limits",
    "states",
    "actions",
    "timers",
    "holds",
    "options",
    "patterns",
    "joints",
    "cases",
    "groups",
    "pictures",
    "ties",
    "reach",
    "values",
    "calculations",
    "body",
    "marks",
    "proof",
    "commands",
    "editor",
    "job",
    "paper",
    "output",
    "revisions",
    "trust",
    "findings",
    "exits",
    "glossary",
    "changes",
];

impl Page {
    /// Its heading.
    pub fn title(&self) -> &'static str {
        let first = self.text.lines().next().unwrap_or_default();
        first.trim_start_matches("# ")
    }

    /// Its text, with the tables in place.
    pub fn expanded(&self) -> String {
        let mut out = String::with_capacity(self.text.len());
        for line in self.text.lines() {
            match line.strip_prefix("{{").and_then(|rest| rest.strip_suffix("}}")) {
                Some(asked) => out += &table(asked).unwrap_or_else(|| format!("{line}\n")),
                None => {
                    out += line;
                    out.push('\n');
                }
            }
        }
        out
    }
}

/// All of it as one text, as it was written.
pub fn whole() -> impl Iterator<Item = &'static str> {
    PAGES.iter().map(|page| page.text)
}

/// A page by its name; a name that is nearly right is no page.
pub fn page(name: &str) -> Option<&'static Page> {
    let name = name.trim().to_lowercase().replace(' ', "-");
    PAGES.iter().find(|page| page.name == name)
}

/// A table that is made, not written; `None` for a name that stands for none.
pub fn table(asked: &str) -> Option<String> {
    if let Some(name) = asked.strip_prefix("fields ") {
        return reference::fields(name);
    }
    match asked {
        "units" => Some(fenced(&units())),
        "lubrications" => Some(fenced(&tables::lubrications())),
        "materials" => Some(fenced(&tables::materials())),
        "bare" => Some(reference::bare()),
        "forms" => Some(tables::forms()),
        "renamed" => Some(tables::renamed()),
        "budgets" => Some(fenced(&budgets())),
        "classes" => Some(fenced(&class::list().join("\n"))),
        "findings" => Some(fenced(&tables::findings())),
        _ => None,
    }
}

fn fenced(text: &str) -> String {
    format!("```text\n{}\n```\n", text.trim_end())
}

/// Where words stand: page, heading and line, whatever their case. All of them must stand in one line.
pub fn found(words: &str) -> Vec<String> {
    let wanted: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
    let mut all = Vec::new();
    for page in PAGES {
        let mut heading = page.title().to_string();
        // In an example `#` begins a heading of its own, or a remark.
        let mut in_example = false;
        for line in page.expanded().lines() {
            in_example ^= line.starts_with("```");
            if let Some(own) = line.strip_prefix('#').filter(|_| !in_example) {
                heading = own.trim_start_matches('#').trim().to_string();
            }
            let lower = line.to_lowercase();
            if !wanted.is_empty() && wanted.iter().all(|word| lower.contains(word)) {
                all.push(format!("{}: {heading}: {}", page.name, line.trim()));
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_found_below_a_heading_of_its_page() {
        assert_eq!(
            found("time beat `timers`"),
            ["first-hour: Example: | a time to beat or to wait | `timers` |"]
        );
    }
}
