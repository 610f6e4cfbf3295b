//! Kits as CSV (RFC 4180) for a spreadsheet or an order.
//!
//! A spreadsheet takes a cell that begins with `=`, `+`, `-` or `@` for a formula and works it out, whoever wrote it (OWASP, CSV Injection). Such
//! a cell gets an apostrophe in front, which makes words of it; a plain number is left as it is.

use super::{Comparison, Kit};
use std::borrow::Cow;

/// One row a thing: section, id, name, number, amount, single use, unit price, price, detail, steps.
///
/// # Errors
/// Never in memory; the writer's own error is passed on.
pub fn csv(kit: &Kit) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    put(
        &mut writer,
        [
            "section",
            "id",
            "name",
            "number",
            "amount",
            "single use",
            "unit price",
            "price",
            "detail",
            "steps",
        ],
    )?;
    for (section, lines) in kit.sections() {
        for line in lines {
            let steps: Vec<String> = line
                .steps
                .iter()
                .map(|s| format!("{} {}", s.procedure, s.step))
                .collect();
            let single = if line.single_use { "yes" } else { "no" };
            put(
                &mut writer,
                [
                    &section.english(),
                    &line.id,
                    &line.name,
                    &line.number,
                    &line.amount.english(),
                    single,
                    &line.unit_price.english(),
                    &line.price.english(),
                    &line.detail.english(),
                    &steps.join("; "),
                ],
            )?;
        }
    }
    for spare in &kit.not_needed {
        let detail = format!("only with {}", spare.only);
        put(
            &mut writer,
            ["Not needed", &spare.id, &spare.name, "", "", "", "", "", &detail, ""],
        )?;
    }
    if !kit.total.is_empty() {
        let total = kit.total.english();
        put(&mut writer, ["Total", "", "", "", "", "", "", &total, "", ""])?;
    }
    finish(writer)
}

/// One row a difference.
///
/// # Errors
/// As [`csv()`].
pub fn comparison_csv(comparison: &Comparison) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let (left, right) = (&comparison.left, &comparison.right);
    let prices = [format!("price {left}"), format!("price {right}")];
    put(
        &mut writer,
        ["section", "id", "name", left, right, &prices[0], &prices[1]],
    )?;
    for row in &comparison.rows {
        put(
            &mut writer,
            [
                &row.section.english(),
                &row.id,
                &row.name,
                &row.left.english(),
                &row.right.english(),
                &row.left_price.english(),
                &row.right_price.english(),
            ],
        )?;
    }
    let (left, right) = (comparison.left_total.english(), comparison.right_total.english());
    put(&mut writer, ["Total", "", "", "", "", &left, &right])?;
    finish(writer)
}

fn put<const N: usize>(writer: &mut csv::Writer<Vec<u8>>, cells: [&str; N]) -> Result<(), csv::Error> {
    writer.write_record(cells.map(|text| cell(text).into_owned()))
}

/// The words of a cell, never a formula.
fn cell(text: &str) -> Cow<'_, str> {
    let first = text.trim_start_matches(' ').chars().next();
    let begins = first.is_some_and(|c| {
        matches!(
            c,
            '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠'
        )
    });
    // A sign alone stands for "none".
    match begins && text.trim().chars().count() > 1 && !text.trim().parse::<f64>().is_ok_and(f64::is_finite) {
        true => Cow::Owned(format!("'{text}")),
        false => Cow::Borrowed(text),
    }
}

fn finish(writer: csv::Writer<Vec<u8>>) -> Result<String, csv::Error> {
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
