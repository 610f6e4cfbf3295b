//! After what fasteners are tightened once more.

use crate::quantity::{Scan, ValueError, ValueErrorKind, Written};
use crate::timer::Duration;
use uom::si::f64::Length;

/// Reads after what fasteners are tightened once more: a time (`50 h`), a distance (`800 km`) or heat cycles (`3 heat cycles`). It is printed as
/// written.
///
/// # Errors
/// If the text is none of these, or less than nothing.
pub fn again(text: &str) -> Result<(), ValueError> {
    let words = text.trim();
    let cycles = words
        .strip_suffix("heat cycles")
        .or_else(|| words.strip_suffix("heat cycle"));
    let counted = cycles.is_some_and(|count| count.trim().parse::<u32>().is_ok_and(|count| count > 0));
    let timed = || Duration::parse(text).is_ok();
    let far = || Written::<Length>::parse(text).is_ok_and(|far| !far.measure().value().is_sign_negative());
    if counted || timed() || far() {
        return Ok(());
    }
    let whole = Scan::new(text).remainder();
    let kind = match words.parse::<u32>() {
        Ok(_) => ValueErrorKind::MissingUnit { expected: None },
        Err(_) if words.is_empty() => ValueErrorKind::Empty,
        Err(_) => ValueErrorKind::NoInterval {
            found: words.to_owned(),
        },
    };
    Err(ValueError::new(whole, kind))
}
