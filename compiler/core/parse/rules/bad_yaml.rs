//! # The YAML can't be read
//!
//! ## What it means
//! The front matter of a procedure, `set.yaml` or `workshop.yaml` is not YAML as the standard has it, so a part of it is not known: the
//! entry that the fault stands in, or the whole field. What stands round it is read and checked all the same; no card is printed.
//!
//! ## Why it matters
//! A register that can't be read would leave every mark that points into it without a meaning.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts: {torque: 24 N·m
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! torques:
//!   head-bolts: {torque: 24 N·m}
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::Span;

pub static RULE: Rule = Rule {
    code: "BL001",
    name: "bad-yaml",
    severity: Severity::Error,
    page: include_str!("bad_yaml.rs"),
};

/// A fault that shows in the text; `what` says what is wrong.
pub fn fault(span: Span, what: &str, help: &str, change: Option<(Span, String)>) -> Finding {
    let finding = Finding::new(&RULE, span, what);
    match change {
        Some((at, with)) => finding.replace(at, with, help),
        None => finding.help(help),
    }
}

/// A file without anything in it.
pub fn empty(span: Span, needs: &str) -> Finding {
    Finding::new(&RULE, span, "this file is empty").help(format!("write {needs} into it"))
}

pub fn finding(span: Span, reader_says: &str) -> Finding {
    Finding::new(&RULE, span, format!("this YAML can't be read: {reader_says}"))
        .help("check the indent, brackets and quotes here; put quotes round text that holds `: ` or starts with `[`, `{`, `&`, `*`, `%` or `@`")
}
