//! `explain`: the page of a rule, or the list of all.

use crate::edge::args::Explain;
use crate::edge::{Outcome, Trouble, manual, terminal};
use crate::finding::did_you_mean;
use crate::rules::{RULES, find};

pub fn run(args: &Explain) -> Result<Outcome, Trouble> {
    let Some(code) = &args.code else {
        for rule in RULES {
            terminal::say(&format!("{}  {:8} {}", rule.code, rule.severity.word(), rule.name));
        }
        return Ok(Outcome::Clean);
    };
    let Some(rule) = find(code) else {
        if let Some(page) = topic(code) {
            terminal::say(page.trim_end());
            return Ok(Outcome::Clean);
        }
        let near = did_you_mean(code, RULES.iter().flat_map(|r| [r.code, r.name]));
        let help = near.map_or_else(
            || "`benchleaf explain` lists them".to_string(),
            |n| format!("did you mean `{n}`?"),
        );
        return Err(Trouble::new(format!("there is no finding `{code}`; {help}")));
    };
    terminal::say(&format!(
        "{} ({}, {})\n\n{}",
        rule.code,
        rule.name,
        rule.severity.word(),
        rule.explanation()
    ));
    Ok(Outcome::Clean)
}

/// What there is about a word of the language: its rows of the manual, units by what they measure, and the findings about it.
fn topic(word: &str) -> Option<String> {
    let word = word.trim().to_lowercase();
    let mut page = String::new();
    if matches!(word.as_str(), "unit" | "units") {
        return Some(manual::units());
    }
    if matches!(word.as_str(), "budget" | "budgets") {
        return Some(manual::budgets());
    }
    let forms = [
        format!("`{word}`"),
        format!("`[{word} "),
        format!("`[{word}]"),
        format!("`[!{}]", word.to_uppercase()),
    ];
    let rows = manual::whole().flat_map(str::lines).filter(|line| {
        let first = line
            .strip_prefix('|')
            .and_then(|rest| rest.split('|').next())
            .unwrap_or("");
        forms.iter().any(|form| first.contains(form.as_str()))
    });
    for row in rows {
        let cells: Vec<&str> = row.trim_matches('|').split(" | ").map(str::trim).collect();
        page += &format!("{}\n", cells.join("\n    "));
    }
    let about: Vec<String> = RULES
        .iter()
        .filter(|rule| {
            rule.name
                .split('-')
                .any(|part| part == word || part == word.trim_end_matches('s'))
        })
        .map(|rule| format!("{}  {}", rule.code, rule.name))
        .collect();
    if !about.is_empty() {
        let apart = if page.is_empty() { "" } else { "\n" };
        page += &format!("{apart}Findings about it:\n{}\n", about.join("\n"));
    }
    (!page.is_empty()).then_some(page)
}
