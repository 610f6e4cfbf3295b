//! Findings as annotations of a workflow on GitHub: one command line a finding, which the runner shows beside the source line.
//!
//! Source: GitHub Docs, "Workflow commands", on setting an error, warning or notice message; from memory.

use crate::finding::{Finding, Severity};
use crate::source::FileSet;
use std::fmt::Write;

/// One finding as one line, with its line break.
pub fn render(files: &FileSet, finding: &Finding) -> String {
    let span = finding.primary.span;
    let file = files.get(span.file);
    let start = file.lines().position(&file.text, span.start as usize);
    let end = file.lines().position(&file.text, span.end as usize);
    let command = match finding.severity() {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Advice => "notice",
    };
    let rule = finding.rule;
    let mut out = format!("::{command} file={},line={},", property(&file.path), start.line);
    // Columns mean something on one line only.
    if start.line == end.line {
        let _ = write!(out, "col={},endColumn={},", start.column, end.column);
    } else {
        let _ = write!(out, "endLine={},", end.line);
    }
    let help = finding
        .fix
        .as_ref()
        .map_or_else(String::new, |fix| format!("\n{}", fix.text));
    let title = format!("{} {}", rule.code, rule.name);
    let _ = writeln!(
        out,
        "title={}::{}",
        property(&title),
        data(&format!("{}{help}", finding.message))
    );
    out
}

fn data(text: &str) -> String {
    text.replace('%', "%25").replace('\r', "%0D").replace('\n', "%0A")
}

fn property(text: &str) -> String {
    data(text).replace(':', "%3A").replace(',', "%2C")
}
