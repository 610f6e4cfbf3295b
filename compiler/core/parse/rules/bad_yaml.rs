//! # The YAML can't be read
//!
//! ## What it means
//! The front matter of a procedure, `set.yaml` or `workshop.yaml` is not YAML as the standard has it, so nothing in it is known.
//!
//! ## Why it matters
//! A register that can't be read would leave every mark that points into it without a meaning.
//!
//! ## Example
//! ```yaml
//! torques:
//!   head-bolts: {torque: 24 N·m
//! ```
//!
//! ## Instead
//! ```yaml
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

pub fn finding(span: Span, reader_says: &str) -> Finding {
    Finding::new(&RULE, span, format!("this YAML can't be read: {reader_says}"))
        .help("check the indent, brackets and quotes here; put quotes round text that holds `: ` or starts with `[`, `{`, `&`, `*`, `%` or `@`")
}
