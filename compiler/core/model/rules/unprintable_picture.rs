//! # A picture that can't be printed
//!
//! ## What it means
//! The file that an image names is there, and by its first bytes it is no PNG, JPEG, GIF, WebP or SVG; or it is one, and takes more to draw than
//! `explain budgets` lists.
//!
//! ## Why it matters
//! The card couldn't be printed.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Turn the rings: ![Ring gaps](ring-gaps.bmp)
//! ```
//! ```text ring-gaps.bmp
//! BM (a picture of another kind)
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Turn the rings: ![Ring gaps](ring-gaps.svg)
//! ```
//! ```svg ring-gaps.svg
//! <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15" fill="none" stroke="#000"/></svg>
//! ```

use crate::budgets::Budget;
use crate::finding::{Finding, Rule, Severity};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL114",
    name: "unprintable-picture",
    severity: Severity::Error,
    page: include_str!("unprintable_picture.rs"),
};

pub fn finding(path: &Name) -> Finding {
    let message = format!(
        "`{}` is no picture that can be printed: PNG, JPEG, GIF, WebP or SVG",
        path.text
    );
    Finding::new(&RULE, path.span, message).help("save it in one of these formats; another ending alone won't do")
}

/// A picture that takes more to draw than there may be; `count` is how much at least.
pub fn over(path: &Name, budget: &Budget, count: usize) -> Finding {
    let message = format!(
        "`{}` goes past the budget `{}`: at least {count} {}, and there may be {}",
        path.text, budget.name, budget.of, budget.most
    );
    Finding::new(&RULE, path.span, message)
        .help("save it smaller or simpler; `benchleaf explain budgets` lists what there may be")
}

/// True if a file is a picture of a kind that can be printed, by its first bytes. An ending says nothing of what a file is.
pub fn is_printable(bytes: &[u8]) -> bool {
    let starts = [&b"\x89PNG\r\n\x1a\n"[..], b"\xff\xd8\xff", b"GIF87a", b"GIF89a"];
    let webp = bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP");
    webp || starts.iter().any(|start| bytes.starts_with(start)) || is_svg(bytes)
}

fn is_svg(bytes: &[u8]) -> bool {
    let text = std::str::from_utf8(bytes).unwrap_or("");
    // Something else may hold a drawing as well, a document for printing for one.
    text.trim_start_matches('\u{feff}').trim_start().starts_with('<') && text.contains("<svg")
}
