//! Findings for a program: one JSON object a finding, one finding a line. The shape is this file's, so that a change inside the
//! compiler can't change what a reader of it gets.

use crate::finding::Finding;
use crate::source::{FileSet, Span};
use serde::Serialize;

#[derive(Serialize)]
struct WireFinding<'a> {
    code: &'a str,
    name: &'a str,
    severity: &'a str,
    message: &'a str,
    place: WirePlace<'a>,
    also: Vec<WirePlace<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fix: Option<WireFix<'a>>,
}

#[derive(Serialize)]
struct WirePlace<'a> {
    file: &'a str,
    /// Byte range.
    start: u32,
    end: u32,
    /// From 1, in characters.
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    text: &'a str,
}

#[derive(Serialize)]
struct WireFix<'a> {
    text: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<WirePlace<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    replacement: Option<&'a str>,
    /// Of a replacement: whether it can be made without asking.
    #[serde(skip_serializing_if = "Option::is_none")]
    certain: Option<bool>,
}

/// One finding as one line of JSON, with its line break.
pub fn render(files: &FileSet, finding: &Finding) -> String {
    let wire = WireFinding {
        code: finding.rule.code,
        name: finding.rule.name,
        severity: finding.severity().word(),
        message: &finding.message,
        place: place(files, finding.primary.span, &finding.primary.text),
        also: finding
            .secondary
            .iter()
            .map(|label| place(files, label.span, &label.text))
            .collect(),
        fix: finding.fix.as_ref().map(|fix| WireFix {
            text: &fix.text,
            place: fix.replace.as_ref().map(|(span, _)| place(files, *span, "")),
            replacement: fix.replace.as_ref().map(|(_, text)| text.as_str()),
            certain: fix.replace.as_ref().map(|_| fix.certain),
        }),
    };
    // The wire types hold only strings and numbers, which always serialise.
    let mut line = serde_json::to_string(&wire).unwrap_or_default();
    line.push('\n');
    line
}

fn place<'a>(files: &'a FileSet, span: Span, text: &'a str) -> WirePlace<'a> {
    let file = files.get(span.file);
    let start = file.lines().position(&file.text, span.start as usize);
    let end = file.lines().position(&file.text, span.end as usize);
    WirePlace {
        file: &file.path,
        start: span.start,
        end: span.end,
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
        text,
    }
}
