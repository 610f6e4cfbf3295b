//! Threads and their geometry.

use std::fmt;
use std::sync::OnceLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Deserialize;
use uom::si::area::{square_meter, square_millimeter};
use uom::si::f64::{Area, Length};
use uom::si::length::{inch, millimeter};

use crate::quantity::{Rounding, round_to_digits};
use crate::table;

const THREADS: &str = include_str!("../../tables/threads.csv");

/// A thread: a row of `compiler/tables/threads.csv`. Cheap to copy; two are equal when they are the same row.
#[derive(Clone, Copy)]
pub struct Thread(&'static Row);

/// Whose thread it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ThreadSystem {
    /// ISO metric: diameter and pitch in millimetres.
    Metric,
    /// Unified inch: diameter in inches, pitch as threads per inch.
    Unified,
}

#[derive(Deserialize)]
struct Row {
    system: ThreadSystem,
    size: String,
    /// As printed in the table, since the text is part of the designation; millimetres or inches.
    diameter: String,
    /// Millimetres, or threads per inch.
    pitch: String,
    series: String,
    source: String,
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("threads.csv", THREADS))
}

fn number(text: &str) -> f64 {
    // Cells of an embedded table that a test reads whole.
    Decimal::from_str_exact(text)
        .ok()
        .and_then(|value| value.to_f64())
        .unwrap_or(f64::NAN)
}

impl Thread {
    /// Every thread, in table order: metric by size with the coarse pitch first, then inch.
    pub fn all() -> impl Iterator<Item = Thread> {
        table().iter().map(Thread)
    }

    /// The threads of a size such as `M8`, `3/8` or `No. 10`.
    pub fn of_size(size: &str) -> impl Iterator<Item = Thread> {
        Thread::all().filter(move |thread| thread.0.size == size)
    }

    /// Metric or inch.
    pub fn system(self) -> ThreadSystem {
        self.0.system
    }

    /// The size alone: `M8`, `3/8`, `No. 10`.
    pub fn size(self) -> &'static str {
        &self.0.size
    }

    /// `coarse`, `fine`, `UNC`, `UNF` or `UNS`.
    pub fn series(self) -> &'static str {
        &self.0.series
    }

    /// The pitch as the designation writes it: millimetres, or threads per inch.
    pub fn pitch_text(self) -> &'static str {
        &self.0.pitch
    }

    /// Where size and pitch are standardised.
    pub fn source(self) -> &'static str {
        &self.0.source
    }

    /// Nominal (major) diameter, d.
    pub fn diameter(self) -> Length {
        match self.0.system {
            ThreadSystem::Metric => Length::new::<millimeter>(number(&self.0.diameter)),
            ThreadSystem::Unified => Length::new::<inch>(number(&self.0.diameter)),
        }
    }

    /// Pitch, P.
    pub fn pitch(self) -> Length {
        match self.0.system {
            ThreadSystem::Metric => Length::new::<millimeter>(number(&self.0.pitch)),
            ThreadSystem::Unified => Length::new::<inch>(1.0 / number(&self.0.pitch)),
        }
    }

    /// Basic pitch diameter, d2 = d − 0.649519 P (ISO 724, ASME B1.1).
    pub fn pitch_diameter(self) -> Length {
        self.diameter() - 0.649_519 * self.pitch()
    }

    /// Root diameter of the bolt thread by the ISO 68-1 profile, d3 = d − 1.226869 P.
    pub fn root_diameter(self) -> Length {
        self.diameter() - 1.226_869 * self.pitch()
    }

    /// Basic minor diameter of the nut thread, D1 = d − 1.082532 P (ISO 724, ASME B1.1).
    pub fn internal_minor_diameter(self) -> Length {
        self.diameter() - 1.082_532 * self.pitch()
    }

    /// Diameter of the circle whose area is the stress area: (d2 + d3)/2 for metric threads (ISO 898-1), D − 0.9743/n for unified
    /// ones (ASME B1.1).
    pub fn stress_diameter(self) -> Length {
        match self.0.system {
            ThreadSystem::Metric => (self.pitch_diameter() + self.root_diameter()) / 2.0,
            ThreadSystem::Unified => self.diameter() - 0.9743 * self.pitch(),
        }
    }

    /// The stress area that loads are reckoned with: to three significant digits for metric threads, since the tables of ISO 898-1
    /// do so and its printed loads follow from that; unrounded for unified ones.
    pub fn nominal_stress_area(self) -> Area {
        let area = self.stress_area();
        match self.0.system {
            ThreadSystem::Metric => {
                let exact = area.get::<square_millimeter>();
                let rounded = Decimal::from_f64_retain(exact).map(|exact| round_to_digits(exact, 3, Rounding::Nearest));
                Area::new::<square_millimeter>(rounded.and_then(|rounded| rounded.to_f64()).unwrap_or(exact))
            }
            ThreadSystem::Unified => area,
        }
    }

    /// Tensile stress area by the formula, unrounded.
    pub fn stress_area(self) -> Area {
        let diameter = self.stress_diameter().get::<uom::si::length::meter>();
        Area::new::<square_meter>(std::f64::consts::FRAC_PI_4 * diameter * diameter)
    }
}

impl PartialEq for Thread {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.0, other.0)
    }
}

impl Eq for Thread {}

impl fmt::Debug for Thread {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Thread({self})")
    }
}

impl fmt::Display for Thread {
    /// The full designation: `M8×1.25`, `3/8-16 UNC`.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.system {
            ThreadSystem::Metric => write!(formatter, "{}×{}", self.0.size, self.0.pitch),
            ThreadSystem::Unified => write!(formatter, "{}-{} {}", self.0.size, self.0.pitch, self.0.series),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced_and_a_number() {
        table::assert_sourced("threads.csv", THREADS);
        for thread in Thread::all() {
            assert!(
                thread.diameter() > thread.pitch() && thread.root_diameter() > Length::new::<millimeter>(0.5),
                "{thread}"
            );
            assert!(
                thread.stress_diameter() < thread.pitch_diameter() && thread.stress_diameter() > thread.root_diameter(),
                "{thread}"
            );
        }
    }
}
