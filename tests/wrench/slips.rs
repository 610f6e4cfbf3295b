//! Every slip of the unit among six, on forty fasteners with three lubrications: what the compiler says of each, as the table that stands
//! beside the rule. The right figures themselves are to pass in silence.

use crate::harness::{Files, Outcome, check, fixture, settings, snapshot};
use std::collections::BTreeMap;
use std::fmt::Write;

const UNITS: [(&str, f64); 6] = [
    ("N·m", 1.0),
    ("lbf·ft", 1.3558179483314004),
    ("lbf·in", 0.1129848290276167),
    ("kgf·m", 9.80665),
    ("kgf·cm", 0.0980665),
    ("N·cm", 0.01),
];

const FASTENERS: [&str; 40] = [
    "M4 8.8",
    "M5 8.8",
    "M6 8.8",
    "M8 8.8",
    "M10 8.8",
    "M12 8.8",
    "M14 8.8",
    "M16 8.8",
    "M18 8.8",
    "M20 8.8",
    "M24 8.8",
    "M6 10.9",
    "M8 10.9",
    "M10 10.9",
    "M12 10.9",
    "M14 10.9",
    "M16 10.9",
    "M20 10.9",
    "M5 12.9",
    "M6 12.9",
    "M8 12.9",
    "M10 12.9",
    "M12 12.9",
    "M8x1 8.8",
    "M10x1.25 10.9",
    "M12x1.25 10.9",
    "M14x1.5 10.9",
    "M6 4.6",
    "M10 5.8",
    "1/4-20 UNC grade 5",
    "5/16-18 UNC grade 5",
    "3/8-16 UNC grade 5",
    "7/16-14 UNC grade 5",
    "1/2-13 UNC grade 5",
    "5/8-11 UNC grade 5",
    "3/4-10 UNC grade 5",
    "3/8-16 UNC grade 2",
    "1/4-28 UNF grade 8",
    "3/8-24 UNF grade 8",
    "1/2-20 UNF grade 8",
];

const LUBRICATIONS: [&str; 3] = ["dry", "oiled", "moly"];

/// What the right torque comes to, as shares of the proof load: the first is that of the table, the others are counted.
const AIMS: [f64; 3] = [0.75, 0.6, 0.9];

/// The table, beside the rule that it is about.
const PLACE: &str = "compiler/core/check/rules/unit-slips.md";

/// What is told of one figure: the worst.
fn mark(code: &str) -> Option<char> {
    match code {
        "BL303" => Some('E'),
        "BL301" | "BL302" | "BL305" => Some('w'),
        "BL312" => Some('a'),
        _ => None,
    }
}

/// A figure of a torque as a table would print it: two digits, three from a hundred on.
fn printed(figure: f64) -> String {
    let digits = if figure >= 100.0 { 3 } else { 2 };
    let places = (digits - 1 - figure.log10().floor() as i32).max(0);
    let step = 10_f64.powi(digits - 1 - figure.log10().floor() as i32);
    format!("{:.*}", places as usize, (figure * step).round() / step)
}

/// What is said of every figure: by fastener, lubrication, right unit and written unit.
fn said(aim: f64) -> Result<Vec<char>, String> {
    let (mut torques, mut steps) = (String::new(), String::new());
    let mut count = 0;
    for fastener in FASTENERS {
        for lubrication in LUBRICATIONS {
            let right = settings::torque_at(fastener, lubrication, aim)?;
            for (_, factor) in UNITS {
                for (written, _) in UNITS {
                    let figure = printed(right / factor);
                    let line = format!("fastener: {fastener}, torque: {figure} {written}, lubrication: {lubrication}");
                    writeln!(torques, "  t{count}: {{{line}}}").map_err(|e| e.to_string())?;
                    writeln!(steps, "1. Tighten the [torque t{count}].").map_err(|e| e.to_string())?;
                    count += 1;
                }
            }
        }
    }
    let card = format!("---\ntitle: Close\ntorques:\n{torques}---\n\n{steps}");
    let files: Files = [
        ("p/10-close.md", card),
        (
            "p/set.yaml",
            "machine: Invented pump\ntitle: Rebuild\nallow: {long-phase: a table}\n".to_string(),
        ),
    ]
    .map(|(path, text)| (path.to_string(), text.into_bytes()))
    .into();
    let mut told: BTreeMap<usize, char> = BTreeMap::new();
    for line in check(&files).at_lines() {
        let mut words = line.split_whitespace();
        let (code, number) = (words.next().unwrap_or(""), words.nth(1).unwrap_or(""));
        let number = number.trim_start_matches('t').trim_end_matches(':').parse::<usize>();
        let (Some(mark), Ok(number)) = (mark(code), number) else {
            return Err(format!("nobody expected {line}"));
        };
        // `E` is worse than `a` and `a` than `w`; of several the worst counts.
        let rank = |mark: char| "wa".find(mark).map_or(2, |n| n);
        let known = told.entry(number).or_insert(mark);
        if rank(mark) > rank(*known) {
            *known = mark;
        }
    }
    Ok((0..count).map(|n| told.get(&n).copied().unwrap_or('·')).collect())
}

/// The marks of one fastener and lubrication: for each right unit those of the other five.
fn groups(marks: &[char]) -> Vec<String> {
    let of = |right: usize| {
        let row = marks.iter().skip(right * UNITS.len()).take(UNITS.len()).enumerate();
        row.filter(|(written, _)| *written != right)
            .map(|(_, mark)| *mark)
            .collect()
    };
    (0..UNITS.len()).map(of).collect()
}

pub fn table() -> Outcome {
    let each = UNITS.len() * UNITS.len();
    let mut out = fixture::text(&fixture::folder("wrench").join("unit-slips.head"));
    let mut shares = String::new();
    let mut wrong = Vec::new();
    let mut all = Vec::new();
    for aim in AIMS {
        let marks = said(aim)?;
        for (n, mark) in marks.iter().enumerate() {
            let (right, written) = ((n % each) / UNITS.len(), n % UNITS.len());
            // A right figure is none to complain of; at 60 % of the proof load the other unit is as usual, and that is said.
            if right == written && *mark != '·' && !(aim < 0.675 && *mark == 'a') {
                let (fastener, lubrication) = (FASTENERS[n / each / 3], LUBRICATIONS[n / each % 3]);
                wrong.push(format!(
                    "{fastener} {lubrication} at {aim}: the right figure in {} is told",
                    UNITS[right].0
                ));
            }
        }
        for (right, (name, _)) in UNITS.iter().enumerate() {
            for (written, (other, _)) in UNITS.iter().enumerate().filter(|(written, _)| *written != right) {
                let of = marks.iter().skip(right * UNITS.len() + written).step_by(each);
                let count = |mark| of.clone().filter(|m| **m == mark).count();
                let line = format!(
                    "| {:.0} % | {name} | {other} | {} | {} | {} | {} |\n",
                    aim * 100.0,
                    count('E'),
                    count('w'),
                    count('a'),
                    count('·')
                );
                shares += &line;
            }
        }
        all.push(marks);
    }
    if !wrong.is_empty() {
        return Err(wrong.join("\n").into());
    }
    let head: Vec<String> = (0..UNITS.len())
        .map(|right| {
            let others: Vec<&str> = UNITS.iter().map(|u| u.0).filter(|u| *u != UNITS[right].0).collect();
            format!("{} as {}", UNITS[right].0, others.join(", "))
        })
        .collect();
    out += "\n## How many of the 120 are told\n\n| right torque | right unit | written | error | warning | advice | can't be known |\n| --- | --- | --- | --- | --- | --- | --- |\n";
    out += &shares;
    out += &format!(
        "\n## Every one at 75 % of the proof load\n\n| fastener | lubrication | {} |\n",
        head.join(" | ")
    );
    out += &format!("| --- | --- |{}\n", " --- |".repeat(UNITS.len()));
    let rows = FASTENERS.iter().flat_map(|f| LUBRICATIONS.map(|l| (f, l)));
    for ((fastener, lubrication), marks) in rows.zip(all[0].chunks(each)) {
        out += &format!("| {fastener} | {lubrication} | `{}` |\n", groups(marks).join("` | `"));
    }
    snapshot::compare(&fixture::root().join(PLACE), &out)
}
