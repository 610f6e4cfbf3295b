//! Findings as lines of text: one a finding, and one for each label and fix of it.
//!
//! ```text
//! BL101 10-close.md:6:23 "head-bolt" `head-bolt` is not in `torques`
//!   also 10-close.md:3:3 "head-bolts" first here
//!   fix did you mean `head-bolts`? 10-close.md:6:23 "head-bolt" -> "head-bolts"
//! ```

use super::{Checked, Files, check};
use benchleaf_core::finding::Finding;
use benchleaf_core::source::{FileSet, Span};
use std::fmt::Write;

impl Checked {
    /// Every finding, in the compiler's order.
    pub fn listing(&self) -> String {
        let mut out = String::new();
        for finding in &self.compilation.findings {
            list(&self.files, finding, &mut out);
        }
        out
    }

    /// What is wrong with the changes that findings offer: one that leaves its finding, or that brings another of form, names or values.
    pub fn wrong_changes(&self, files: &Files) -> Vec<String> {
        let mut wrong = Vec::new();
        let known: Vec<(&str, &str)> = self
            .compilation
            .findings
            .iter()
            .map(|f| (f.rule.code, f.message.as_str()))
            .collect();
        for finding in &self.compilation.findings {
            let Some((span, text)) = finding.fix.as_ref().and_then(|fix| fix.replace.as_ref()) else {
                continue;
            };
            let mended = changed(&self.files, files, *span, text);
            let after = check(&mended);
            let count = |findings: &[Finding]| {
                findings
                    .iter()
                    .filter(|f| f.rule == finding.rule && f.message == finding.message)
                    .count()
            };
            let place = place(&self.files, finding.primary.span);
            let (code, message) = (finding.rule.code, &finding.message);
            if count(&after.compilation.findings) >= count(&self.compilation.findings) {
                wrong.push(format!("{code} {place} {message}: {text:?} doesn't cure it"));
            }
            // What the walk over the steps says comes to light only once a set can be read.
            let of_text = |f: &&Finding| {
                let families = ["BL0", "BL1", "BL2"]
                    .iter()
                    .any(|family| f.rule.code.starts_with(family));
                // Nor does anybody know of a thing without a name that nothing points at it; and of two slips of a kind the first is told.
                families && f.rule.name != "unused-id" && f.rule != finding.rule
            };
            for new in after.compilation.findings.iter().filter(of_text) {
                if !known.contains(&(new.rule.code, new.message.as_str())) {
                    wrong.push(format!(
                        "{code} {place} {message}: {text:?} brings {} {}",
                        new.rule.code, new.message
                    ));
                }
            }
        }
        wrong
    }

    /// Findings that stay when their own fix is applied: a fix that offers an exact change must cure what it is offered for.
    pub fn uncured(&self, files: &Files) -> Vec<String> {
        let mut left = Vec::new();
        for finding in &self.compilation.findings {
            let Some((span, text)) = finding.fix.as_ref().and_then(|fix| fix.replace.as_ref()) else {
                continue;
            };
            let path = &self.files.get(span.file).path;
            let mut mended = files.clone();
            if let Some(bytes) = mended.get_mut(path) {
                bytes.splice(span.range(), text.bytes());
            }
            let after = check(&mended);
            let same = |other: &&Finding| {
                (other.rule, other.primary.span, &other.message)
                    == (finding.rule, finding.primary.span, &finding.message)
            };
            if after.compilation.findings.iter().any(|other| same(&other)) {
                left.push(format!(
                    "{}: `{text}` doesn't cure it",
                    place(&self.files, finding.primary.span)
                ));
            }
        }
        left
    }
}

/// Files with a stretch of one of them changed.
pub fn changed(set: &FileSet, files: &Files, span: Span, text: &str) -> Files {
    let mut files = files.clone();
    if let Some(bytes) = files.get_mut(&set.get(span.file).path) {
        bytes.splice(span.range(), text.bytes());
    }
    files
}

fn list(files: &FileSet, finding: &Finding, out: &mut String) {
    let span = finding.primary.span;
    let _ = writeln!(out, "{} {} {}", finding.rule.code, quoted(files, span), finding.message);
    if !finding.primary.text.is_empty() {
        let _ = writeln!(out, "  here {}", finding.primary.text);
    }
    for label in &finding.secondary {
        let _ = writeln!(out, "  also {} {}", quoted(files, label.span), label.text);
    }
    if let Some(fix) = &finding.fix {
        let _ = write!(out, "  fix {}", fix.text);
        if let Some((span, text)) = &fix.replace {
            let _ = write!(out, " {} -> {text:?}", quoted(files, *span));
        }
        out.push('\n');
    }
}

/// Where a span starts, and the text it covers.
fn quoted(files: &FileSet, span: Span) -> String {
    format!("{} {:?}", place(files, span), files.text(span))
}

/// `path:line:col` of where a span starts.
pub fn place(files: &FileSet, span: Span) -> String {
    let file = files.get(span.file);
    let at = file.lines().position(&file.text, span.start as usize);
    format!("{}:{}:{}", file.path, at.line, at.column)
}
