//! # Too small to be read in a picture
//!
//! ## What it means
//! A picture has words that are printed smaller than 10 points on every paper, or so few dots that lines and words in it blur: fewer than 200 to
//! the inch. Words made of dots can't be measured; look at the leaf.
//!
//! ## Why it matters
//! A leaf is read at arm's length, and a number that can't be read is guessed.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! ---
//!
//! 1. Turn the rings: ![Ring gaps](ring-gaps.svg)
//! ```
//! ```svg ring-gaps.svg
//! <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15" fill="none" stroke="#000"/><text x="18" y="21" font-size="4">top</text></svg>
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! pictures:
//!   rings: {file: ring-gaps.svg, points: {1: {at: [50 %, 50 %], says: top}}}
//! ---
//!
//! 1. Turn the rings: ![Ring gaps](ring-gaps.svg)
//! ```
//! ```svg ring-gaps.svg
//! <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15" fill="none" stroke="#000"/></svg>
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::source::legible;
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL122",
    name: "small-in-picture",
    severity: Severity::Advice,
    page: include_str!("small_in_picture.rs"),
};

/// Smallest type in a picture, in points.
const TYPE: f64 = 10.0;

/// Fewest dots to the inch.
const DOTS: f64 = 200.0;

/// Rounding of lengths that were worked out.
const SLACK: f64 = 0.05;

/// Looks at a picture of the text.
pub fn check(path: &Name, bytes: &[u8]) -> Option<Finding> {
    if let Some(size) = legible::smallest_type(bytes).filter(|size| *size < TYPE - SLACK) {
        let told = format!("words in `{}` are printed {size:.1} points high at most", path.text);
        let help = "make them larger in the drawing, or leave them out and point at places with an entry of `pictures`";
        return Some(Finding::new(&RULE, path.span, told).help(help));
    }
    let dots = legible::dots_per_inch(bytes).filter(|dots| *dots < DOTS)?;
    let told = format!("`{}` is printed with {dots:.0} dots to the inch", path.text);
    let help = "save it with at least 490 dots in height (200 to the inch at 62 mm), or as SVG";
    Some(Finding::new(&RULE, path.span, told).help(help))
}
