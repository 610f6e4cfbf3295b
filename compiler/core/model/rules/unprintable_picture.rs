//! # A picture that can't be printed
//!
//! ## What it means
//! The file that an image names is there, and by its first bytes it is no PNG, JPEG, GIF, WebP or SVG.
//!
//! ## Why it matters
//! The card couldn't be printed.
//!
//! ## Example
//! ```markdown
//! ![Ring gaps](ring-gaps.bmp)
//! ```
//!
//! ## Instead
//! ```markdown
//! ![Ring gaps](ring-gaps.png)
//! ```

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

/// True if a file is a picture of a kind that can be printed, by its first bytes. An ending says nothing of what a file is.
pub fn is_printable(bytes: &[u8]) -> bool {
    let starts = [&b"\x89PNG\r\n\x1a\n"[..], b"\xff\xd8\xff", b"GIF87a", b"GIF89a"];
    let webp = bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP");
    webp || starts.iter().any(|start| bytes.starts_with(start)) || is_svg(bytes)
}

fn is_svg(bytes: &[u8]) -> bool {
    std::str::from_utf8(bytes).is_ok_and(|text| text.contains("<svg"))
}
