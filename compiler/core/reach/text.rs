//! Answers about reaching parts as text for a terminal.

use super::data::{Later, Line, Named, Open, Reach, Scope};
use crate::cards::card::Choice;
use crate::columns::columns;
use crate::domain::counted::counted;
use crate::kit::StepRef;

/// What must come off, in columns.
pub fn text(reach: &Reach) -> String {
    let mut out = head(&reach.title, &reach.machine, &reach.choices);
    let parts: Vec<String> = reach.parts.iter().map(one).collect();
    out += &format!("\nTo reach {}\n", parts.join(", "));
    if let Some(stuck) = &reach.stuck {
        out += &format!("  there is no way: {stuck}\n");
        return out;
    }
    if reach.acts.is_empty() {
        out += "  nothing has to come off\n";
        return out;
    }
    let mut last: Option<&StepRef> = None;
    let mut rows = Vec::new();
    for (index, line) in reach.acts.iter().enumerate() {
        rows.push(row(index + 1, line, last));
        last = line.step.as_ref().or(last);
    }
    out += &columns(&rows);
    if !reach.least {
        out += "There are too many ways to try them all: another may take less.\n";
    }
    out += &format!(
        "\nTime   {}\n",
        time(reach.time.as_deref(), reach.untimed, reach.acts.len())
    );
    out += &format!("Tools  {}\n", tools(reach));
    if !reach.new.is_empty() {
        out += "\nNew each time\n";
        let row = |new: &super::data::Bought| {
            let price = new.price.clone().unwrap_or_else(|| "price unknown".to_string());
            vec![new.count.to_string(), new.name.clone(), new.number.clone(), price]
        };
        out += &columns(&reach.new.iter().map(row).collect::<Vec<_>>());
        let total = reach.price.clone().unwrap_or_else(|| "unknown".to_string());
        out += &format!("  Together {total}\n");
    }
    if !reach.fluids.is_empty() {
        out += "\nTo pour, spread or smear\n";
        let row = |fluid: &super::data::Fluid| {
            let amount = fluid.amount.clone().unwrap_or_else(|| "amount unknown".to_string());
            vec![amount, fluid.name.clone(), format!("for {}", fluid.on)]
        };
        out += &columns(&reach.fluids.iter().map(row).collect::<Vec<_>>());
    }
    let (wear, other): (Vec<&Open>, Vec<&Open>) = reach.open.iter().partition(|open| open.wear);
    if !wear.is_empty() {
        out += "\nWhile you are there: these wear\n";
        out += &columns(&wear.into_iter().map(worn).collect::<Vec<_>>());
    }
    if !other.is_empty() {
        let names: Vec<&str> = other.iter().map(|open| open.name.as_str()).collect();
        out += &format!("\nAlso open: {}\n", names.join(", "));
    }
    out
}

fn head(title: &str, machine: &str, choices: &[Choice]) -> String {
    let mut out = format!("{title}\n{machine}\n");
    for choice in choices {
        let default = if choice.default { " (default)" } else { "" };
        out += &format!("{}: {}{default}\n", choice.option, choice.value);
    }
    out
}

fn one(named: &Named) -> String {
    format!("{} ({})", named.name, named.id)
}

fn row(number: usize, line: &Line, last: Option<&StepRef>) -> Vec<String> {
    let what = match line.act {
        "remove" => "take off",
        "loosen" => "undo",
        "fit" => "put on",
        "do" => "do",
        "measure" => "measure",
        other => other,
    };
    let name = match (&line.value, line.count) {
        (Some(value), _) => format!("{}: {value}", line.name),
        (None, 1) => line.name.clone(),
        (None, count) => format!("{count} × {}", line.name),
    };
    let again = line.step.is_some() && line.step.as_ref() == last;
    let time = match (&line.time, again) {
        (_, true) => "same step".to_string(),
        (Some(time), false) => time.clone(),
        (None, false) => "time unknown".to_string(),
    };
    let step = line.step.as_ref();
    let step = step.map_or_else(String::new, |step| format!("{} {}", step.procedure, step.step));
    vec![number.to_string(), what.to_string(), name, time, step]
}

/// `25 min`, `25 min, and 3 acts of unknown time`, `unknown`.
fn time(time: Option<&str>, untimed: usize, acts: usize) -> String {
    match (time, untimed) {
        (Some(time), 0) => time.to_string(),
        (Some(time), untimed) => format!("{time}, and {} of unknown time", counted(untimed, "act", "acts")),
        (None, _) => match acts {
            1 => "unknown".to_string(),
            _ => "unknown: no step that does these acts says one".to_string(),
        },
    }
}

fn tools(reach: &Reach) -> String {
    let names: Vec<&str> = reach.tools.iter().map(|tool| tool.name.as_str()).collect();
    match (names.is_empty(), reach.tools_unknown) {
        (true, unknown) if unknown == reach.acts.len() => "unknown: no step does these acts".to_string(),
        (true, 0) => "none named by the steps".to_string(),
        (true, unknown) => format!("none named by the steps; {} no step does", acts(unknown)),
        (false, 0) => names.join(", "),
        (false, unknown) => format!("{}; {} no step does", names.join(", "), acts(unknown)),
    }
}

fn acts(count: usize) -> String {
    counted(count, "act", "acts")
}

fn worn(open: &Open) -> Vec<String> {
    let price = open.price.clone().unwrap_or_else(|| "price unknown".to_string());
    let now = match (open.off, open.now) {
        (true, _) => "off already".to_string(),
        (false, Some(count)) => format!("{} more now", acts(count)),
        (false, None) => "can't come off".to_string(),
    };
    vec![
        open.name.clone(),
        price,
        now,
        open.later.as_ref().map_or_else(String::new, later),
    ]
}

fn later(later: &Later) -> String {
    let time = time(later.time.as_deref(), later.untimed, 1);
    format!("later: {}, {time}", acts(later.acts))
}

/// What some choices never reach.
pub fn scope_text(scope: &Scope) -> String {
    let mut out = head(&scope.title, &scope.machine, &scope.choices);
    if scope.not_reached.is_empty() {
        let every = match scope.parts {
            1 => "The one part is reached.".to_string(),
            parts => format!("Every one of {parts} parts is reached."),
        };
        out += &format!("\n{every}\n");
        return out;
    }
    let count = scope.not_reached.len();
    out += &format!(
        "\nNot reached by the steps: {count} of {}\n",
        counted(scope.parts, "part", "parts")
    );
    let row = |part: &Named| vec![part.id.clone(), part.name.clone()];
    out += &columns(&scope.not_reached.iter().map(row).collect::<Vec<_>>());
    out
}
