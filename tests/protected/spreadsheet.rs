//! The spreadsheet that a kit is opened in: no cell is a formula (OWASP, "CSV Injection").

use super::{Check, SET, procedure};
use crate::left::run;
use crate::program::Scratch;

pub const CHECKS: [(&str, Check); 1] = [("no-cell-is-a-formula", formulas)];

const BEGINNINGS: [&str; 9] = [
    "=1+1", "+1+1", "-1+1", "@SUM(A1)", "  =1+1", "＝1+1", "＋1", "－1+1", "＠A",
];

fn formulas(scratch: &Scratch) -> Vec<String> {
    let mut parts = String::from("parts:\n");
    let mut steps = String::new();
    for (n, words) in BEGINNINGS.iter().enumerate() {
        parts += &format!("  p{n}: {{name: \"{words}\", number: \"{words}\", price: 2.50, fitted: no}}\n");
        steps += &format!("{}. Fit the [fit p{n}].\n", n + 1);
    }
    scratch.write("set/set.yaml", SET.as_bytes());
    scratch.write("set/10-open.md", procedure(&parts, &steps).as_bytes());
    let mut faults = Vec::new();
    for line in ["kit set --format csv"] {
        let (text, errors, code) = run(scratch, line);
        if code != Some(0) || !text.contains("2.50") {
            faults.push(format!("`{line}` ended with {code:?}: {text}{errors}"));
        }
        let cells = text
            .lines()
            .flat_map(|line| line.split(','))
            .map(|cell| cell.trim_matches('"'));
        for cell in cells {
            let first = cell.trim_start().chars().next();
            if first.is_some_and(|c| "=+-@＝＋－＠".contains(c)) && cell.parse::<f64>().is_err() {
                faults.push(format!("`{line}` writes the cell `{cell}`"));
            }
        }
        for words in BEGINNINGS {
            if !text.contains(&format!("'{}", words.trim())) {
                faults.push(format!("`{line}` lost `{words}`: {text}"));
            }
        }
    }
    faults
}
