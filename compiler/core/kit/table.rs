//! Kits as text in columns for a terminal.

use super::{Comparison, Kit, Line, StepRef};
use crate::columns::columns;
use crate::words::Phrase;

/// A kit in columns.
pub fn table(kit: &Kit) -> String {
    let mut out = format!("{}\n{}\n", kit.title, kit.machine);
    for choice in &kit.choices {
        let default = if choice.default { " (default)" } else { "" };
        out += &format!("{}: {}{default}\n", choice.option, choice.value);
    }
    for (heading, lines) in kit.sections() {
        if lines.is_empty() {
            continue;
        }
        out += &format!("\n{heading}\n");
        let rows: Vec<Vec<String>> = lines.iter().map(row).collect();
        out += &columns(&rows);
    }
    if !kit.total.is_empty() {
        out += &format!("\nTotal  {}\n", kit.total);
    }
    if !kit.not_needed.is_empty() {
        out += "\nNot needed with this choice\n";
        let row = |s: &super::Spare| vec![s.name.clone(), format!("only with {}", s.only)];
        out += &columns(&kit.not_needed.iter().map(row).collect::<Vec<_>>());
    }
    for remark in &kit.remarks {
        out += &format!("\nNote: {remark}");
    }
    if !kit.remarks.is_empty() {
        out.push('\n');
    }
    out
}

fn row(line: &Line) -> Vec<String> {
    vec![
        line.amount.english(),
        line.name.clone(),
        line.number.clone(),
        line.price.english(),
        steps(&line.steps),
    ]
}

/// Two choices side by side.
pub fn comparison_table(comparison: &Comparison) -> String {
    let mut out = format!("{}\n\n", comparison.title);
    let mut rows = vec![vec![String::new(), comparison.left.clone(), comparison.right.clone()]];
    let side = |amount: &Phrase, price: &Phrase| match price.is_empty() {
        true => amount.english(),
        false => format!("{amount} ({price})"),
    };
    for row in &comparison.rows {
        let (left, right) = (side(&row.left, &row.left_price), side(&row.right, &row.right_price));
        rows.push(vec![row.name.clone(), left, right]);
    }
    let totals = [&comparison.left_total, &comparison.right_total];
    rows.push(vec!["Total".to_string(), totals[0].english(), totals[1].english()]);
    out += &columns(&rows);
    out
}

/// `isolate 1.2, 1.4; close 3.1`
fn steps(steps: &[StepRef]) -> String {
    let mut out = String::new();
    let mut last = "";
    for step in steps {
        match (step.procedure == last, out.is_empty()) {
            (true, _) => out += &format!(", {}", step.step),
            (false, true) => out += &format!("{} {}", step.procedure, step.step),
            (false, false) => out += &format!("; {} {}", step.procedure, step.step),
        }
        last = &step.procedure;
    }
    out
}
