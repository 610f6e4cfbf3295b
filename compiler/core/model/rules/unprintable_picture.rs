//! # A picture that can't be printed
//!
//! ## What it means
//! The file that an image names is there, and by its first bytes it is no PNG, JPEG, GIF, WebP or SVG; or it is one, and ends before it is whole, was
//! damaged, is of a variety that isn't read, has the ending of another kind, or takes more to draw than `explain budgets` lists.
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
use crate::source::picture;
use crate::source::whole::{self, Fault, Kind};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL114",
    name: "unprintable-picture",
    severity: Severity::Error,
    page: include_str!("unprintable_picture.rs"),
};

/// What is wrong with a picture that is there; `None` for one that can be printed.
pub fn check(path: &Name, bytes: &[u8]) -> Option<Finding> {
    let told = |message: String, help: String| Some(Finding::new(&RULE, path.span, message).help(help));
    let name = &path.text;
    let Some(kind) = Kind::of(bytes) else {
        return told(
            format!("`{name}` is no picture that can be printed: PNG, JPEG, GIF, WebP or SVG"),
            "save it in one of these formats; another ending alone won't do".into(),
        );
    };
    let (called, ending) = (kind.name(), kind.endings().first().copied().unwrap_or_default());
    if kind.is_misnamed(name, bytes) {
        return told(
            format!("`{name}` is a picture of the kind {called} by its content, and its name doesn't say so"),
            format!("let its name end in `.{ending}`, here and in the folder"),
        );
    }
    if let Some((budget, count)) = picture::over(bytes) {
        return Some(over(path, budget, count));
    }
    let again = || "save or fetch it anew; a program that shows it may show less than the whole".into();
    match whole::fault(kind, bytes)? {
        Fault::Cut => told(format!("`{name}` is a {called} that ends before it is whole"), again()),
        Fault::Damaged => told(
            format!("`{name}` is a {called} that was damaged since it was written"),
            again(),
        ),
        Fault::Variety(which) => told(
            format!("`{name}` is a {called} {which}, which isn't read"),
            "save it as an ordinary JPEG or as PNG".into(),
        ),
        Fault::Drawing(why) => told(
            format!("`{name}` can't be read as a drawing: {why}"),
            "mend it, or save it anew with the program that it was drawn with".into(),
        ),
    }
}

/// A picture that takes more to draw than there may be; `count` is how much at least.
fn over(path: &Name, budget: &Budget, count: usize) -> Finding {
    let message = format!(
        "`{}` goes past the budget `{}`: at least {count} {}, and there may be {}",
        path.text, budget.name, budget.of, budget.most
    );
    Finding::new(&RULE, path.span, message)
        .help("save it smaller or simpler; `benchleaf explain budgets` lists what there may be")
}
