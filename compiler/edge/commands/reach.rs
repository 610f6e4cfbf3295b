//! `reach`: what must come off to reach parts, or what some choices never reach.

use super::kit::json;
use super::sets;
use crate::edge::args::{LogFormat, Reach};
use crate::edge::disk::Disk;
use crate::edge::{Outcome, Trouble, escape, terminal};
use crate::reach::{self, NotAPart};

pub fn run(args: &Reach, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let sets = sets::read(&args.at, disk)?;
    let choices = sets.choices(&args.options)?;
    let mut answers = Vec::new();
    let mut unknown: Option<NotAPart> = None;
    for (set, _) in sets.whole() {
        let choices = choices.of(set);
        if args.parts.is_empty() {
            let scope = reach::scope(set, choices);
            answers.push(match args.format {
                LogFormat::Text => reach::scope_text(&scope),
                LogFormat::Json => json(&scope)?,
            });
            continue;
        }
        match reach::reach(set, choices, &args.parts) {
            Ok(reach) => answers.push(match args.format {
                LogFormat::Text => reach::text(&reach),
                LogFormat::Json => json(&reach)?,
            }),
            // Of several sets, those are asked that have the parts.
            Err(fault) => {
                let better = unknown.as_ref().is_none_or(|known| known.near.is_none());
                unknown = if better { Some(fault) } else { unknown };
            }
        }
    }
    if let Some(fault) = unknown.filter(|_| answers.is_empty()) {
        return Err(trouble(&fault));
    }
    for (n, answer) in answers.iter().enumerate() {
        if n > 0 && args.format == LogFormat::Text {
            terminal::say("");
        }
        match args.format {
            LogFormat::Text => terminal::say(answer.trim_end()),
            LogFormat::Json => terminal::say_json(answer.trim_end()),
        }
    }
    Ok(sets.outcome())
}

/// A word that names no part.
pub fn trouble(fault: &NotAPart) -> Trouble {
    let near = fault.near.as_ref();
    let near = near.map_or_else(String::new, |near| format!("; did you mean `{}`?", escape::word(near)));
    Trouble::new(format!(
        "no part `{}` is there for these choices{near}",
        escape::word(&fault.word)
    ))
}
