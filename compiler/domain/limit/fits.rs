//! Reads fits that stand alone: in a limit they are one form of many, and the grammar is the same.

use super::Expression;
use crate::fit::{Fit, FitPair};
use crate::quantity::{Dimension, Scan, ValueError, ValueErrorKind};

impl Fit {
    /// Reads `30 H7`, `30H7`, `Ø30 mm H7`.
    ///
    /// # Errors
    /// If the text isn't a size in millimetres and one tolerance class that the tables hold.
    pub fn parse(text: &str) -> Result<Fit, ValueError> {
        match Expression::parse(text, &[Dimension::Length])? {
            Expression::Class { size, unit, class, at } => Fit::of(size, unit, &class, at),
            _ => {
                let reason = "it has no tolerance class".to_owned();
                Err(ValueError::new(
                    Scan::new(text).remainder(),
                    ValueErrorKind::UnknownFit {
                        found: text.trim().to_owned(),
                        reason,
                    },
                ))
            }
        }
    }
}

/// `30 H 7`: a fit but for the space in its class, as a fault.
pub(super) fn spaced_class(text: &str) -> Option<ValueError> {
    let (front, digits) = text.trim().rsplit_once(char::is_whitespace)?;
    let fit = Fit::parse(&format!("{}{digits}", front.trim_end())).ok()?;
    let kind = ValueErrorKind::SpacedClass {
        found: text.trim().to_owned(),
        fit: fit.to_string(),
    };
    Some(ValueError::new(Scan::new(text).remainder(), kind))
}

impl FitPair {
    /// Reads `50 H7/g6`.
    ///
    /// # Errors
    /// If either half isn't a fit of the tables, or they aren't a hole and a shaft in that order.
    pub fn parse(text: &str) -> Result<FitPair, ValueError> {
        let at = Scan::new(text).remainder();
        let fail = |reason: &str| {
            ValueError::new(
                at.clone(),
                ValueErrorKind::UnknownFit {
                    found: text.trim().to_owned(),
                    reason: reason.to_owned(),
                },
            )
        };
        let (hole, class) = text
            .split_once('/')
            .ok_or_else(|| fail("it is not a hole and a shaft"))?;
        let hole = Fit::parse(hole)?;
        let shaft_at = text.len() - class.len()..text.len();
        let shaft = Fit::of(hole.figure().clone(), None, class.trim(), shaft_at)?;
        FitPair::of(hole, shaft).ok_or_else(|| fail("the hole comes first, with a capital letter, then the shaft"))
    }
}
