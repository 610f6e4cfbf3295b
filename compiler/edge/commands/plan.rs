//! `plan`: when to do what.

use super::torque::read;
use super::{kit, sets};
use crate::domain::timer::Duration;
use crate::edge::args::{Plan, PlanFormat};
use crate::edge::disk::Disk;
use crate::edge::press::Press;
use crate::edge::{Outcome, Trouble, terminal};
use crate::plan::{self, Ask};
use jiff::civil::DateTime;

pub fn run(args: &Plan, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let ask = Ask {
        sitting: args.sitting.as_deref().map(|t| read(t, Duration::parse)).transpose()?,
        every: read(&args.every, Duration::parse)?,
        unstated: read(&args.step, Duration::parse)?,
        start: args.start.as_deref().map(date_time).transpose()?,
    };
    if ask.sitting.as_ref().is_some_and(|sitting| *sitting > ask.every) {
        return Err(Trouble::new(
            "a sitting is longer than the time to the next: give a longer `--every`",
        ));
    }
    let mut press = Press::begin(&args.sheet, args.format == PlanFormat::Pdf, "plan")?;
    let sets = sets::read(&args.path, disk)?;
    for (set, facts, choices) in &sets.chosen(&args.options)? {
        let plan = plan::plan(set, facts, choices, &ask);
        let text = match args.format {
            PlanFormat::Text => plan::table(&plan),
            PlanFormat::Json => kit::json(&plan)?,
            PlanFormat::Pdf => {
                let sheet = plan::leaf::sheet(plan::basis(set, choices), &plan);
                press.add("plan", sheet, sets.folder(set));
                continue;
            }
            PlanFormat::Ics => {
                let stamp = args.stamp.as_deref().map(date_time).transpose()?;
                let calendar = stamp.or(ask.start).and_then(|stamp| plan::calendar(&plan, stamp));
                calendar.ok_or_else(|| Trouble::new("a calendar needs a beginning: add `--start 2026-03-02T18:00`"))?
            }
        };
        match args.format {
            PlanFormat::Json => terminal::say_json(text.trim_end()),
            PlanFormat::Ics => terminal::say_data(text.trim_end()),
            _ => terminal::say(text.trim_end()),
        }
    }
    if let Outcome::Errors = press.print(&[&sets.input.files], "plan", disk)? {
        return Ok(Outcome::Errors);
    }
    Ok(sets.outcome())
}

/// Reads a date with a time: `2026-03-02T18:00`.
pub fn date_time(text: &str) -> Result<DateTime, Trouble> {
    let trimmed = text.trim_end_matches('Z');
    trimmed
        .parse()
        .map_err(|_| Trouble::new(format!("`{text}` is no date with a time: write it as 2026-03-02T18:00")))
}
