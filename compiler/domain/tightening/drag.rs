//! The drag of a self-locking nut: what turning it takes before it clamps anything.

use std::fmt;

use rust_decimal::Decimal;
use uom::si::f64::Torque;

use crate::quantity::{Measure, Scan, ValueError, ValueErrorKind, Written};

/// What an author writes for [`Drag::Measured`].
pub const MEASURED: &str = "measured";

/// Drag, which the wrench shows on top of the torque (FAA AC 43.13-1B, 7-40 c and d).
#[derive(Clone, Debug, PartialEq)]
pub enum Drag {
    /// So much, known beforehand.
    Known(Written<Torque>),
    /// Read at the bench while the nut is run down.
    Measured,
}

impl Drag {
    /// Reads `4 N·m` or `measured`.
    ///
    /// # Errors
    /// If it is neither, or not above zero.
    pub fn parse(text: &str) -> Result<Drag, ValueError> {
        if matches!(text.trim().to_ascii_lowercase().as_str(), MEASURED | "measure") {
            return Ok(Drag::Measured);
        }
        let drag: Written<Torque> = Written::parse(text)?;
        if drag.measure().value() <= Decimal::ZERO {
            return Err(ValueError::new(Scan::new(text).remainder(), ValueErrorKind::Negative));
        }
        Ok(Drag::Known(drag))
    }

    /// The figure, if it is known beforehand.
    pub fn known(&self) -> Option<&Measure> {
        match self {
            Drag::Known(drag) => Some(drag.measure()),
            Drag::Measured => None,
        }
    }
}

impl fmt::Display for Drag {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Drag::Known(drag) => drag.fmt(formatter),
            Drag::Measured => formatter.write_str(MEASURED),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_or_the_word() {
        assert_eq!(Drag::parse(" Measured"), Ok(Drag::Measured));
        assert_eq!(
            Drag::parse("30 lbf·in").map(|drag| drag.to_string()),
            Ok("30 lbf·in".to_owned())
        );
        assert!(Drag::parse("0 N·m").is_err() && Drag::parse("4 mm").is_err() && Drag::parse("some").is_err());
    }
}
