//! `kit`: what a set needs for some choices, or what differs between two.

use super::sets;
use crate::cards::sheets;
use crate::edge::args::{Kit, KitFormat};
use crate::edge::disk::Disk;
use crate::edge::press::Press;
use crate::edge::{Outcome, Trouble, terminal};
use crate::kit;
use crate::leaves;

pub fn run(args: &Kit, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let mut press = Press::begin(&args.sheet, args.format == KitFormat::Pdf, "kit")?;
    let sets = sets::read(&args.path, disk)?;
    let chosen = sets.chosen(&args.options)?;
    let others = match args.against.is_empty() {
        true => None,
        // The other choice differs in what it names and is otherwise the same.
        false => Some(sets.chosen(&[args.options.as_slice(), &args.against].concat())?),
    };
    for (n, (set, facts, choices)) in chosen.iter().enumerate() {
        let one = kit::kit(set, facts, choices);
        let identity = || leaves::kit_identity(set, choices);
        let text = match others.as_ref().and_then(|others| others.get(n)) {
            None => match args.format {
                KitFormat::Text => kit::table(&one),
                KitFormat::Csv => kit::csv(&one).map_err(trouble)?,
                KitFormat::Json => json(&one)?,
                KitFormat::Pdf => {
                    let sheet = kit::leaf::sheet(identity(), sheets::cards(set, choices), &one);
                    press.add("kit", sheet, sets.folder(set));
                    continue;
                }
            },
            Some((_, _, others)) => {
                let other = kit::kit(set, facts, others);
                let comparison = kit::compare(&one, &other);
                match args.format {
                    KitFormat::Text => kit::comparison_table(&comparison),
                    KitFormat::Csv => kit::comparison_csv(&comparison).map_err(trouble)?,
                    KitFormat::Json => json(&comparison)?,
                    KitFormat::Pdf => {
                        let sheet = kit::leaf::against(identity(), &one, &other, &comparison);
                        press.add("kit-compared", sheet, sets.folder(set));
                        continue;
                    }
                }
            }
        };
        if n > 0 && args.format == KitFormat::Text {
            terminal::say("");
        }
        match args.format {
            KitFormat::Json => terminal::say_json(text.trim_end()),
            KitFormat::Csv => terminal::say_data(text.trim_end()),
            _ => terminal::say(text.trim_end()),
        }
    }
    if let Outcome::Errors = press.print(&[&sets.input.files], "kit list", disk)? {
        return Ok(Outcome::Errors);
    }
    Ok(sets.outcome())
}

/// One object on one line, so that several sets are several lines.
pub fn json<T: serde::Serialize>(value: &T) -> Result<String, Trouble> {
    serde_json::to_string(value).map_err(trouble)
}

fn trouble(error: impl std::fmt::Display) -> Trouble {
    Trouble::new(error.to_string())
}
