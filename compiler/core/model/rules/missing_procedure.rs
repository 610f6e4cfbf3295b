//! # A shared procedure that is not there
//!
//! ## What it means
//! `procedures:` of a set names a file that can't be found, or that is no procedure.
//!
//! ## Why it matters
//! The set would be printed and checked without that card.
//!
//! ## Example
//! ```yaml pump/set.yaml
//! machine: Invented pump
//! title: Rebuild
//! procedures:
//!   prove: {file: ../common/prov.md}
//! ```
//! ```markdown pump/10-job.md
//! ---
//! title: Job
//! ---
//!
//! 1. Work.
//! ```
//!
//! ## Instead
//! ```yaml pump/set.yaml
//! machine: Invented pump
//! title: Rebuild
//! procedures:
//!   prove: {file: ../common/prove.md}
//! ```
//! ```markdown pump/10-job.md
//! ---
//! title: Job
//! after: [prove]
//! ---
//!
//! 1. Work.
//! ```
//! ```markdown common/prove.md
//! ---
//! title: Prove
//! ---
//!
//! 1. Look.
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL120",
    name: "missing-procedure",
    severity: Severity::Error,
    page: include_str!("missing_procedure.rs"),
};

/// `file` as it is written.
pub fn finding(file: &Name) -> Finding {
    Finding::new(&RULE, file.span, format!("there is no procedure at `{}`", file.text))
        .help("write the path from this file's folder to a Markdown file with front matter, in the same repository")
}
