//! `explain`: the page of a rule, or the list of all.

use crate::edge::args::Explain;
use crate::edge::{Outcome, Trouble, terminal};
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
