//! What must hold of any input whatever: no panic, spans that lie in their files, reports that can be printed, the same result twice.

use super::{Checked, Files, check, tree};
use benchleaf_core::source::{FileSet, Span};

/// Compiles files, reports and prints everything, and says what is not as it must be.
pub fn faults(files: &Files) -> Vec<String> {
    let checked = check(files);
    let mut faults = Vec::new();
    for finding in &checked.compilation.findings {
        let own = [finding.primary.span];
        let labels = finding.secondary.iter().map(|label| label.span);
        let fix = finding
            .fix
            .iter()
            .filter_map(|fix| fix.replace.as_ref().map(|(span, _)| *span));
        for span in own.into_iter().chain(labels).chain(fix) {
            if let Some(fault) = bad_span(&checked.files, span) {
                faults.push(format!("{} ({}): {fault}", finding.rule.name, finding.message));
            }
        }
        if finding.message.contains(['\n', '\r']) {
            faults.push(format!(
                "{}: a message of several lines: {:?}",
                finding.rule.name, finding.message
            ));
        }
    }
    if !faults.is_empty() {
        // The renderers may take spans for granted.
        return faults;
    }
    let (human, json) = (checked.human(), checked.json());
    if json.lines().count() != checked.compilation.findings.len() {
        faults.push("the report for programs isn't one line a finding".to_string());
    }
    if human.is_empty() != checked.compilation.findings.is_empty() {
        faults.push("the report for people is empty".to_string());
    }
    if !same(&checked, &check(files)) {
        faults.push("two compilations of the same files differ".to_string());
    }
    faults.extend(super::job::faults(&checked));
    // The printer panics at a span of the trees that lies outside of its file.
    tree::trees(files);
    faults
}

/// True if two compilations give the same findings.
pub fn same(one: &Checked, other: &Checked) -> bool {
    one.compilation.findings == other.compilation.findings && one.listing() == other.listing()
}

/// Says so if a span is no stretch of whole characters of its file.
pub fn bad_span(files: &FileSet, span: Span) -> Option<String> {
    let text = files.get(span.file).text.as_str();
    let (start, end) = (span.start as usize, span.end as usize);
    let on_boundary = |at: usize| text.is_char_boundary(at);
    (start > end || end > text.len() || !on_boundary(start) || !on_boundary(end)).then(|| {
        format!(
            "{start}..{end} is no stretch of {} ({} bytes)",
            files.get(span.file).path,
            text.len()
        )
    })
}
