//! Bolt patterns: where the fasteners are, in which order they are tightened, in which passes.
//!
//! - [`Pattern`]: positions on a circle, on a grid, or listed; numbered from 1 in the order given.
//! - [`Order`]: computed from the centre outwards and crossing, or the author's own, checked.
//! - [`Passes`]: shares of the final torque, `30 %`, `70 %`, `100 %`.

mod order;
mod passes;

use std::fmt;

use uom::si::angle::radian;
use uom::si::f64::{Angle, Length};
use uom::si::length::meter;

pub use order::{Order, crossing};
pub use passes::Passes;

/// More positions than any cover plate has; a slip of the pen above it.
pub const MOST_POSITIONS: usize = 400;

/// Where one fastener is; x to the right, y up, from an origin that doesn't matter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    /// To the right.
    pub x: Length,
    /// Up.
    pub y: Length,
}

impl Position {
    fn distance(self, other: Position) -> f64 {
        (self.x - other.x)
            .get::<meter>()
            .hypot((self.y - other.y).get::<meter>())
    }
}

/// What is wrong with a pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PatternFault {
    /// No positions at all.
    Empty,
    /// More than [`MOST_POSITIONS`].
    TooMany {
        /// How many.
        count: usize,
    },
    /// A diameter or a pitch that isn't above zero.
    NotPositive {
        /// Which: `diameter`, `pitch-x`, `pitch-y`.
        what: &'static str,
    },
    /// Two positions on one spot, by number from 1.
    SameSpot {
        /// The earlier.
        first: usize,
        /// The later.
        second: usize,
    },
    /// An order that names a position that isn't there.
    NoSuchPosition {
        /// The number named.
        number: usize,
        /// How many positions there are.
        count: usize,
    },
    /// An order that names a position twice.
    Twice {
        /// The number named.
        number: usize,
    },
    /// An order that leaves a position out.
    LeftOut {
        /// The number missing.
        number: usize,
    },
    /// Passes that don't rise.
    PassesDoNotRise,
    /// Passes that don't end at 100 %.
    LastPassNotWhole,
    /// A pass that isn't above zero.
    PassNotPositive,
}

impl fmt::Display for PatternFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PatternFault::Empty => write!(formatter, "the pattern has no positions"),
            PatternFault::TooMany { count } => write!(
                formatter,
                "the pattern has {count} positions, more than {MOST_POSITIONS}"
            ),
            PatternFault::NotPositive { what } => write!(formatter, "the {what} is not above zero"),
            PatternFault::SameSpot { first, second } => {
                write!(formatter, "positions {first} and {second} are on the same spot")
            }
            PatternFault::NoSuchPosition { number, count } => {
                write!(formatter, "there is no position {number}, only 1 to {count}")
            }
            PatternFault::Twice { number } => write!(formatter, "the order names position {number} twice"),
            PatternFault::LeftOut { number } => write!(formatter, "the order leaves out position {number}"),
            PatternFault::PassesDoNotRise => write!(formatter, "each pass must be above the one before"),
            PatternFault::LastPassNotWhole => write!(formatter, "the last pass must be 100 %"),
            PatternFault::PassNotPositive => write!(formatter, "a pass must be above zero"),
        }
    }
}

impl std::error::Error for PatternFault {}

/// Positions of one fastener each, numbered from 1 in this order.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    positions: Vec<Position>,
    shape: Shape,
}

/// How the positions came about, which decides the computed order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shape {
    Circle,
    Free,
}

impl Pattern {
    /// So many positions evenly on a circle, the first `start` clockwise of the top (12 o'clock), the others clockwise from it. The
    /// centre is the origin.
    ///
    /// # Errors
    /// If the count is zero or too large, or the diameter isn't above zero.
    pub fn circle(count: usize, diameter: Length, start: Angle) -> Result<Pattern, PatternFault> {
        counted(count)?;
        positive(diameter, "diameter")?;
        let radius = diameter / 2.0;
        let positions = (0..count)
            .map(|index| {
                // At most MOST_POSITIONS, which a float holds exactly.
                let turn = start.get::<radian>() + std::f64::consts::TAU * index as f64 / count as f64;
                Position {
                    x: radius * turn.sin(),
                    y: radius * turn.cos(),
                }
            })
            .collect();
        Ok(Pattern {
            positions,
            shape: Shape::Circle,
        })
    }

    /// Columns and rows, numbered along each row from the left, the top row first. The lower left corner is the origin.
    ///
    /// # Errors
    /// If there are none or too many, or a pitch isn't above zero where it is needed.
    pub fn grid(columns: usize, rows: usize, pitch_x: Length, pitch_y: Length) -> Result<Pattern, PatternFault> {
        counted(columns.saturating_mul(rows))?;
        if columns > 1 {
            positive(pitch_x, "pitch-x")?;
        }
        if rows > 1 {
            positive(pitch_y, "pitch-y")?;
        }
        let positions = (0..rows)
            .rev()
            .flat_map(|row| {
                (0..columns).map(move |column| Position {
                    x: pitch_x * column as f64,
                    y: pitch_y * row as f64,
                })
            })
            .collect();
        Ok(Pattern {
            positions,
            shape: Shape::Free,
        })
    }

    /// Positions as listed.
    ///
    /// # Errors
    /// If there are none or too many, or two are on the same spot (within a micrometre).
    pub fn listed(positions: Vec<Position>) -> Result<Pattern, PatternFault> {
        counted(positions.len())?;
        for (second, position) in positions.iter().enumerate() {
            if let Some(first) = positions
                .iter()
                .take(second)
                .position(|other| other.distance(*position) < 1e-6)
            {
                return Err(PatternFault::SameSpot {
                    first: first + 1,
                    second: second + 1,
                });
            }
        }
        Ok(Pattern {
            positions,
            shape: Shape::Free,
        })
    }

    /// The positions, number 1 first.
    pub fn positions(&self) -> &[Position] {
        &self.positions
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.positions.len()
    }

    /// The tightening order worked out: crossing on a circle, from the centre outwards and crossing elsewhere.
    pub fn computed_order(&self) -> Order {
        match self.shape {
            Shape::Circle => Order::trusted(crossing(self.count())),
            Shape::Free => Order::trusted(order::outwards(&self.positions)),
        }
    }

    /// The author's own order, by number from 1.
    ///
    /// # Errors
    /// If it names a position that isn't there, names one twice, or leaves one out.
    pub fn given_order(&self, numbers: &[usize]) -> Result<Order, PatternFault> {
        Order::given(numbers, self.count())
    }
}

fn counted(count: usize) -> Result<(), PatternFault> {
    match count {
        0 => Err(PatternFault::Empty),
        count if count > MOST_POSITIONS => Err(PatternFault::TooMany { count }),
        _ => Ok(()),
    }
}

fn positive(length: Length, what: &'static str) -> Result<(), PatternFault> {
    // A length that isn't a number isn't above zero either.
    if length > Length::new::<meter>(0.0) {
        Ok(())
    } else {
        Err(PatternFault::NotPositive { what })
    }
}

#[cfg(test)]
mod tests;
