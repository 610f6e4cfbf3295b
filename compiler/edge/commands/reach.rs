//! `reach`: what must come off to reach parts, or what some choices never reach.

use super::kit::json;
use super::sets;
use crate::cards::sheets;
use crate::edge::args::{Reach, ReachFormat};
use crate::edge::disk::Disk;
use crate::edge::press::Press;
use crate::edge::{Outcome, Trouble, escape, terminal};
use crate::leaves;
use crate::reach::{self, NotAPart};

pub fn run(args: &Reach, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let mut press = Press::begin(&args.sheet, args.format == ReachFormat::Pdf, "reach")?;
    if args.parts.is_empty() && args.format == ReachFormat::Pdf {
        return Err(Trouble::new(
            "name the parts to reach: what no step reaches is told as text or JSON alone",
        ));
    }
    let sets = sets::read(&args.at, disk)?;
    let chosen = sets.chosen(&args.options)?;
    let mut found = 0;
    let mut unknown: Option<NotAPart> = None;
    for (set, _, choices) in &chosen {
        let answer = if args.parts.is_empty() {
            let scope = reach::scope(set, choices);
            match args.format {
                ReachFormat::Json => json(&scope)?,
                ReachFormat::Text | ReachFormat::Pdf => reach::scope_text(&scope),
            }
        } else {
            let reach = match reach::reach(set, choices, &args.parts) {
                Ok(reach) => reach,
                // Of several sets, those are asked that have the parts.
                Err(fault) => {
                    let better = unknown.as_ref().is_none_or(|known| known.near.is_none());
                    unknown = if better { Some(fault) } else { unknown };
                    continue;
                }
            };
            match args.format {
                ReachFormat::Text => reach::text(&reach),
                ReachFormat::Json => json(&reach)?,
                ReachFormat::Pdf => {
                    let identity = leaves::reach_identity(set, choices);
                    let sheet = reach::leaf::sheet(identity, sheets::cards(set, choices), &reach);
                    press.add("reach", sheet, sets.folder(set));
                    found += 1;
                    continue;
                }
            }
        };
        if found > 0 && args.format == ReachFormat::Text {
            terminal::say("");
        }
        found += 1;
        match args.format {
            ReachFormat::Json => terminal::say_json(answer.trim_end()),
            ReachFormat::Text | ReachFormat::Pdf => terminal::say(answer.trim_end()),
        }
    }
    if let Some(fault) = unknown.filter(|_| found == 0) {
        return Err(trouble(&fault));
    }
    if let Outcome::Errors = press.print(&[&sets.input.files], "leaf", disk)? {
        return Ok(Outcome::Errors);
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
