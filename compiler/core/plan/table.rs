//! A plan as text for a terminal, with a bar for each stretch of work.

use super::{Moment, Plan};
use crate::columns::columns;
use crate::domain::counted::counted;
use crate::domain::timer::Duration;

/// Columns of the drawing.
const WIDTH: u64 = 40;

/// A plan in columns: sittings with their work, waits, and what decides how long it takes.
pub fn table(plan: &Plan) -> String {
    let mut out = format!("{}\n{}\n\n", plan.title, plan.machine);
    out += &format!("Hands-on {}, {} from start to end", plan.hands_on, plan.elapsed);
    if !plan.sitting.is_empty() {
        out += &format!(", in sittings of {} every {}", plan.sitting, plan.every);
    }
    out.push('\n');
    if plan.unstated > 0 {
        let steps = counted(plan.unstated, "step says", "steps say");
        out += &format!("{steps} no time: {} was taken for each\n", plan.unstated_each);
    }
    let end = plan.sittings.last().map_or(0, |s| s.end.seconds);
    for sitting in &plan.sittings {
        let length = Duration::in_words(sitting.end.seconds - sitting.start.seconds);
        // Nobody who asked for no sittings knows what one is.
        out += &match (plan.sitting.is_empty(), sitting.start.at.is_empty()) {
            (true, true) => format!("\nAll in one go: {length}\n"),
            (true, false) => format!("\nAll in one go: {}, {length}\n", when(&sitting.start)),
            (false, _) => format!("\nSitting {}: {}, {length}\n", sitting.number, when(&sitting.start)),
        };
        let (from, to) = (sitting.start.seconds, sitting.end.seconds);
        let row = |bar: &super::Bar| {
            let steps = if bar.from == bar.to {
                bar.from.clone()
            } else {
                format!("{} to {}", bar.from, bar.to)
            };
            let critical = if bar.critical { "*" } else { "" };
            let length = Duration::in_words(bar.end.seconds - bar.start.seconds);
            vec![
                critical.to_string(),
                bar.procedure.clone(),
                steps,
                length,
                drawn(bar.start.seconds, bar.end.seconds, from, to),
            ]
        };
        out += &columns(&sitting.work.iter().map(row).collect::<Vec<_>>());
    }
    if !plan.waits.is_empty() {
        out += "\nWaits\n";
        let row = |wait: &super::Wait| {
            let drawn = drawn(wait.start.seconds, wait.end.seconds, 0, end.max(wait.end.seconds));
            vec![
                wait.what.clone(),
                wait.length.clone(),
                format!("up {}", when(&wait.end)),
                drawn,
            ]
        };
        out += &columns(&plan.waits.iter().map(row).collect::<Vec<_>>());
    }
    out += &format!("\nAt least {}, whoever helps (* above):\n", plan.critical_length);
    let row = |leg: &super::Leg| {
        let kind = if leg.wait { "wait" } else { "work" };
        vec![kind.to_string(), leg.length.clone(), leg.what.english()]
    };
    out += &columns(&plan.critical.iter().map(row).collect::<Vec<_>>());
    if !plan.optimal {
        out += "\nThere are too many orders to try them all: another may end earlier.\n";
    }
    for remark in &plan.remarks {
        out += &format!("\nNote: {remark}\n");
    }
    out
}

fn when(moment: &Moment) -> String {
    match moment.at.is_empty() {
        true => format!("after {}", Duration::in_words(moment.seconds)),
        false => moment.at.strip_suffix(":00").unwrap_or(&moment.at).replace('T', " "),
    }
}

/// A bar on a line from `from` to `to`.
fn drawn(start: u64, end: u64, from: u64, to: u64) -> String {
    let whole = to.saturating_sub(from).max(1);
    let column = |at: u64| (at.saturating_sub(from).saturating_mul(WIDTH) / whole).min(WIDTH) as usize;
    let (first, last) = (column(start), column(end).max(column(start) + 1));
    format!("{}{}", " ".repeat(first), "█".repeat(last - first))
}
