//! Kits as CSV (RFC 4180) for a spreadsheet or an order.

use super::{Comparison, Kit};

/// One row a thing: section, id, name, number, amount, single use, unit price, price, detail, steps.
///
/// # Errors
/// Never in memory; the writer's own error is passed on.
pub fn csv(kit: &Kit) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
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
    ])?;
    for (section, lines) in kit.sections() {
        for line in lines {
            let steps: Vec<String> = line
                .steps
                .iter()
                .map(|s| format!("{} {}", s.procedure, s.step))
                .collect();
            let single = if line.single_use { "yes" } else { "no" };
            writer.write_record([
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
            ])?;
        }
    }
    for spare in &kit.not_needed {
        let detail = format!("only with {}", spare.only);
        writer.write_record(["Not needed", &spare.id, &spare.name, "", "", "", "", "", &detail, ""])?;
    }
    if !kit.total.is_empty() {
        writer.write_record(["Total", "", "", "", "", "", "", &kit.total.english(), "", ""])?;
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
    writer.write_record(["section", "id", "name", left, right, &prices[0], &prices[1]])?;
    for row in &comparison.rows {
        writer.write_record([
            &row.section.english(),
            &row.id,
            &row.name,
            &row.left.english(),
            &row.right.english(),
            &row.left_price.english(),
            &row.right_price.english(),
        ])?;
    }
    let (left, right) = (comparison.left_total.english(), comparison.right_total.english());
    writer.write_record(["Total", "", "", "", "", &left, &right])?;
    finish(writer)
}

fn finish(writer: csv::Writer<Vec<u8>>) -> Result<String, csv::Error> {
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
