//! One stage of a tightening sequence.

use std::fmt;

use rust_decimal::Decimal;
use uom::si::f64::Angle;

use super::TorqueValue;
use crate::limit::{Expression, Tolerance};
use crate::quantity::{Dimension, Measure, Scan, ValueError, ValueErrorKind, Written};

/// What an author writes for [`Stage::Hand`].
pub const HAND: &str = "hand";

/// Other words for it, each of which a mechanic takes for the same.
const LIKE_HAND: [&str; 6] = [
    "hand tight",
    "handtight",
    "finger",
    "finger tight",
    "fingertight",
    "handfest",
];

/// A stage: tighten to a torque, turn on by an angle from where the last stage ended, or turn by hand as far as that goes.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "a sequence has a handful of stages; a box would only get in the way of matching"
)]
pub enum Stage {
    /// `20 N·m`.
    Torque(TorqueValue),
    /// `+90°`.
    Turn(TurnAngle),
    /// `hand`: as far as a hand turns it without a tool. It has no figure, and asks for none.
    Hand,
}

/// An angle to turn on by, above zero, with its tolerance if it has one: `+90°`, `60 °`, `+90 ± 5°`.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnAngle {
    angle: Written<Angle>,
    tolerance: Option<Tolerance>,
}

impl Stage {
    /// Reads a torque (`20 N·m ± 10 %`), an angle (`+90°`, `+90 deg`, `60 °`, `1/2 turn`) or `hand`.
    ///
    /// # Errors
    /// If the text is none of them, or isn't above zero.
    pub fn parse(text: &str) -> Result<Stage, ValueError> {
        if let Some(by_hand) = by_hand(text) {
            return by_hand;
        }
        // A plus sign says "further", which only an angle can be.
        let mut scan = Scan::new(text);
        if scan.eat(&["+"]) {
            let skipped = text.len() - scan.rest().len();
            return TurnAngle::parse(scan.rest())
                .map(Stage::Turn)
                .map_err(|error| error.shifted(skipped));
        }
        match Expression::parse(text, &[Dimension::Torque, Dimension::Angle])? {
            Expression::Exact(measure) | Expression::Around(measure, _) if measure.dimension() == Dimension::Angle => {
                TurnAngle::parse(text).map(Stage::Turn)
            }
            Expression::Range(range) if range.dimension() == Dimension::Angle => {
                let found = text.trim().to_owned();
                Err(ValueError::new(
                    scan.remainder(),
                    ValueErrorKind::TrailingText { found },
                ))
            }
            _ => TorqueValue::parse(text).map(Stage::Torque),
        }
    }

    /// Reads the only stage there is: a torque, or `hand`.
    ///
    /// # Errors
    /// If the text is neither, or isn't above zero.
    pub fn only(text: &str) -> Result<Stage, ValueError> {
        match by_hand(text) {
            Some(by_hand) => by_hand,
            None => TorqueValue::parse(text).map(Stage::Torque),
        }
    }

    /// The torque, if it is one.
    pub fn torque(&self) -> Option<&TorqueValue> {
        match self {
            Stage::Torque(torque) => Some(torque),
            Stage::Turn(_) | Stage::Hand => None,
        }
    }

    /// The angle, if it is one.
    pub fn turn(&self) -> Option<&TurnAngle> {
        match self {
            Stage::Turn(turn) => Some(turn),
            Stage::Torque(_) | Stage::Hand => None,
        }
    }

    /// True if it is done without a tool.
    pub fn is_by_hand(&self) -> bool {
        matches!(self, Stage::Hand)
    }
}

/// `hand` in letters of either case; an error that names it for what means the same. `None` for anything else.
fn by_hand(text: &str) -> Option<Result<Stage, ValueError>> {
    let word = text.trim().to_lowercase();
    if word == HAND {
        return Some(Ok(Stage::Hand));
    }
    LIKE_HAND.contains(&word.replace('-', " ").as_str()).then(|| {
        let kind = ValueErrorKind::UnknownName {
            what: "way to tighten",
            found: text.trim().to_owned(),
            suggestion: Some(HAND.to_owned()),
        };
        Err(ValueError::new(Scan::new(text).remainder(), kind))
    })
}

impl TurnAngle {
    fn parse(text: &str) -> Result<TurnAngle, ValueError> {
        let whole = Scan::new(text).remainder();
        let (angle, tolerance): (Measure, _) = match Expression::parse(text, &[Dimension::Angle])? {
            Expression::Exact(angle) => (angle, None),
            Expression::Around(angle, tolerance) => (angle, Some(tolerance)),
            _ => {
                let kind = ValueErrorKind::TrailingText {
                    found: text.trim().to_owned(),
                };
                return Err(ValueError::new(whole, kind));
            }
        };
        if let Some(Tolerance::Amount { plus, minus }) = &tolerance
            && (plus.value().is_sign_negative() || minus.value().is_sign_negative())
        {
            return Err(ValueError::new(whole, ValueErrorKind::TargetOutside));
        }
        match angle.typed() {
            Some(angle) if angle.measure().value() > Decimal::ZERO => Ok(TurnAngle { angle, tolerance }),
            _ => Err(ValueError::new(whole, ValueErrorKind::Negative)),
        }
    }

    /// The angle.
    pub fn angle(&self) -> &Written<Angle> {
        &self.angle
    }

    /// Its tolerance, if the author gave one.
    pub fn tolerance(&self) -> Option<&Tolerance> {
        self.tolerance.as_ref()
    }
}

impl fmt::Display for Stage {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stage::Torque(torque) => torque.fmt(formatter),
            Stage::Turn(turn) => turn.fmt(formatter),
            Stage::Hand => formatter.write_str(HAND),
        }
    }
}

impl fmt::Display for TurnAngle {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "+{}", self.angle)?;
        match &self.tolerance {
            Some(tolerance) => write!(formatter, " {tolerance}"),
            None => Ok(()),
        }
    }
}
