//! How much of something is used: a count, or a mass, volume or length.

mod sum;

pub use sum::Sum;

use std::fmt;

use super::quantity::{Dimension, Measure, Scan, ValueError, ValueErrorKind};

/// An amount: `2`, `50 mL`, `0.5 kg`, `300 mm`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Amount {
    /// So many of them.
    Count(u32),
    /// So much of it.
    Measure(Measure),
}

impl Amount {
    /// Reads a whole number or a mass, volume, length or area, above zero.
    ///
    /// # Errors
    /// If the text is neither, or isn't above zero.
    pub fn parse(text: &str) -> Result<Amount, ValueError> {
        let whole = Scan::new(text).remainder();
        let trimmed = text.trim();
        if let Ok(count) = trimmed.parse::<u32>()
            && !trimmed.starts_with('+')
        {
            return if count > 0 {
                Ok(Amount::Count(count))
            } else {
                Err(ValueError::new(whole, ValueErrorKind::Negative))
            };
        }
        let dimensions = [Dimension::Volume, Dimension::Mass, Dimension::Length, Dimension::Area];
        let measure = Measure::parse_any_of(text, &dimensions).map_err(|error| match error.kind {
            ValueErrorKind::UnknownUnit {
                found,
                suggestion: None,
                choices,
            } if choices.is_empty() => ValueError::new(error.at, ValueErrorKind::NotAnAmount { found }),
            _ => error,
        })?;
        if measure.value().is_sign_negative() || measure.value().is_zero() {
            return Err(ValueError::new(whole, ValueErrorKind::Negative));
        }
        Ok(Amount::Measure(measure))
    }

    /// What is measured; `None` for a count.
    pub fn dimension(&self) -> Option<Dimension> {
        match self {
            Amount::Count(_) => None,
            Amount::Measure(measure) => Some(measure.dimension()),
        }
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Amount::Count(count) => count.fmt(formatter),
            Amount::Measure(measure) => measure.fmt(formatter),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_and_measures() {
        assert_eq!(Amount::parse(" 2 "), Ok(Amount::Count(2)));
        assert_eq!(Amount::parse("50 ml").unwrap().to_string(), "50 mL");
        assert_eq!(Amount::parse("0").unwrap_err().kind, ValueErrorKind::Negative);
        assert!(matches!(
            Amount::parse("1.5").unwrap_err().kind,
            ValueErrorKind::MissingUnit { .. }
        ));
        assert!(matches!(
            Amount::parse("5 N·m").unwrap_err().kind,
            ValueErrorKind::WrongDimension { .. }
        ));
        assert!(Amount::parse("").is_err());
    }
}
