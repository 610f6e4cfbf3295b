//! Rows in columns, for answers on a terminal.

/// Rows as text: columns as wide as their widest cell, none for a column without a word.
pub fn columns(rows: &[Vec<String>]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |n: usize| {
        rows.iter()
            .filter_map(|r| r.get(n))
            .map(|c| c.chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..count).map(width).collect();
    let mut out = String::new();
    for row in rows {
        let mut line = String::from(" ");
        for (cell, width) in row.iter().zip(&widths).filter(|(_, width)| **width > 0) {
            line += &format!(" {cell:width$} ");
        }
        out += line.trim_end();
        out.push('\n');
    }
    out
}
