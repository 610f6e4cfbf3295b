//! Settings of wrenches as they stand on paper: a thousand worked out again by other arithmetic, and a pocket leaf with little room.

use super::{again, complaints};
use crate::harness::{Files, check};
use crate::printer::{self, squeezed};
use libtest_mimic::Trial;
use std::fmt::Write;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("print/wrench/a-thousand-settings-on-paper", || complaints(thousand())),
        Trial::test("print/wrench/pocket-keeps-adapter-and-lubrication", || {
            complaints(pocket())
        }),
        Trial::test("print/wrench/settings-stand-with-their-stages", || {
            complaints(stages_in_a_pocket())
        }),
    ]
}

/// Beside each share on paper stands the setting worked out for it, in the tool's own unit; off the scale, that it is.
fn thousand() -> Vec<String> {
    let cases = again::cases();
    let checked = check(&again::files(&cases));
    let printed = printer::print(&checked, "a4", true);
    let text: String = printed.iter().flat_map(|p| p.texts().unwrap_or_default()).collect();
    let mut wrong = Vec::new();
    let (mut rest, mut read) = (text.as_str(), 0);
    for (n, case) in cases.iter().enumerate() {
        let Some((_, from)) = rest.split_once(&format!("N{n:04}")) else {
            return vec![format!("N{n:04} isn't printed")];
        };
        rest = from;
        // Up to the step after it.
        let step = from.split(&format!("N{:04}", n + 1)).next().unwrap_or(from);
        for (share, expected) in case.passes() {
            let share = squeezed(&share);
            let Some((before, label)) = step.split_once(&share) else {
                wrong.push(format!("N{n:04}: no {share}"));
                continue;
            };
            if expected.is_empty() {
                if !label
                    .split('%')
                    .next()
                    .unwrap_or("")
                    .contains(&squeezed("the wrench's scale"))
                {
                    wrong.push(format!("N{n:04} {share} doesn't say that it is below the scale"));
                }
                continue;
            }
            // What is set stands before its share, behind the four boxes of the pass before it.
            let unit = squeezed(case.tool_unit());
            let set = before.strip_suffix(unit.as_str()).map(|before| {
                let digits = before.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
                let digits = &before[digits.len()..];
                digits.strip_prefix("1234").unwrap_or(digits)
            });
            let set = set.unwrap_or_default();
            if again::plain(&format!("{set} {}", case.tool_unit())).as_ref() != Ok(&expected) {
                wrong.push(format!("N{n:04} {share} `{set}` on paper, worked out {expected}"));
            }
            read += 1;
        }
    }
    if read < 2000 {
        wrong.push(format!("only {read} settings read"));
    }
    wrong
}

/// Sixty torques leave no room for particulars; what changes the setting stands all the same.
fn pocket() -> Vec<String> {
    let (mut torques, mut steps) = (String::new(), String::new());
    for n in 0..60 {
        let _ = writeln!(
            torques,
            "  t{n}: {{name: union {n}, fastener: M10 8.8, torque: 45 N·m, lubrication: oiled, adapter: {{length: 60 mm}}, tool: feet}}"
        );
        let _ = writeln!(steps, "1. Tighten the [torque t{n}].");
    }
    let tool = "  feet: {name: wrench, kind: torque-wrench, range: 5..80 lbf·ft, step: 1 lbf·ft, length: 300 mm}\n";
    let card = format!("---\ntitle: Close\ntools:\n{tool}torques:\n{torques}---\n\n{steps}");
    let set = "machine: Invented pump\ntitle: Rebuild\n".to_string();
    let files: Files = [("p/10-close.md", card), ("p/set.yaml", set)]
        .map(|(path, text)| (path.to_string(), text.into_bytes()))
        .into();
    let checked = check(&files);
    let mut wrong = Vec::new();
    for pocket in printer::pockets(&checked) {
        let printed = printer::print_leaf(&checked, pocket, "a4", true);
        let text = printed.texts().unwrap_or_default().concat();
        // 45 N·m times 300/360 is 27.66 lbf·ft.
        for words in ["oiled", "Adapter: 60 mm", "28 lbf·ft for 45 N·m"] {
            let found = text.matches(&squeezed(words)).count();
            if found != 60 {
                wrong.push(format!("{words} stands {found} times for 60 torques"));
            }
        }
    }
    wrong
}

/// Two stages in passes with an adapter: each setting stands right before its own stage, on every paper.
fn stages_in_a_pocket() -> Vec<String> {
    let registers = "tools:\n  feet: {name: wrench, kind: torque-wrench, range: 5..80 lbf·ft, step: 1 lbf·ft, length: 300 mm}\npatterns:\n  four:\n    circle: {count: 4, diameter: 80 mm}\n    passes: [50 %, 100 %]\ntorques:\n  a:\n    name: union\n    fastener: M10 8.8\n    lubrication: oiled\n    count: 4\n    stages: [20 N·m, 45 N·m]\n    pattern: four\n    tool: feet\n    adapter: {length: 60 mm}\n";
    let checked = printer::procedure(registers, "1. Tighten the [torque a].\n");
    let mut wrong = Vec::new();
    for (paper, ..) in printer::PAPERS {
        for pocket in printer::pockets(&checked) {
            let printed = printer::print_leaf(&checked, pocket, paper, true);
            wrong.extend(
                printed
                    .breaches()
                    .into_iter()
                    .map(|breach| format!("{paper}: {breach}")),
            );
            let text = printed.texts().unwrap_or_default().concat();
            // 20 and 45 N·m times 300/360 are 12.3 and 27.7 lbf·ft.
            let order = ["12lbf·ft", "for20N·m", "28lbf·ft", "for45N·m"].map(|words| text.find(words));
            if order.contains(&None) || !order.is_sorted() {
                wrong.push(format!("{paper}: {order:?} in {text}"));
            }
        }
    }
    wrong
}
