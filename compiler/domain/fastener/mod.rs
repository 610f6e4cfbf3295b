//! Fasteners: a thread, and how strong the bolt or screw is.
//!
//! - [`Thread`]: a row of `compiler/tables/threads.csv` (metric, unified, Whitworth) or `pipe-threads.csv`, a metric diameter and pitch
//!   outside them or a trapezoidal thread, and the geometry that follows.
//! - [`PropertyClass`]: rows of `compiler/tables/property-classes.csv` (ISO 898-1, ISO 3506-1, ISO 8839, SAE J429, ASTM).
//! - [`nut`]: classes of nuts and their proof loads.
//! - [`Fastener`]: both, as an author writes them: `M8x1.25 8.8`, `3/8-16 UNC grade 8`.
//! - [`TappedMaterial`] and [`strip`]: what threads in it hold before they strip, an estimate.

mod class;
mod cursor;
mod designation;
pub mod extras;
pub mod nut;
pub mod pipe;
pub mod strip;
mod thread;

use std::fmt;

use uom::si::f64::Force;

use crate::quantity::{Scan, ValueError, ValueErrorKind};

pub use class::{PropertyClass, Strength};
pub use strip::TappedMaterial;
pub use thread::{Thread, ThreadSystem};

/// A threaded fastener as an author names it: the thread, and the class or grade if given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fastener {
    thread: Thread,
    class: Option<PropertyClass>,
}

impl Fastener {
    /// A fastener from its parts.
    pub fn new(thread: Thread, class: Option<PropertyClass>) -> Fastener {
        Fastener { thread, class }
    }

    /// Reads `M8`, `M8x1.25 8.8`, `M8×1 LH class 10.9`, `M6 A2-70`, `3/8-16 UNC grade 8`, `No. 10-32 UNF`, `#10-32`, `1/2 UNF`.
    /// A metric thread without a pitch has its coarse one; a tolerance class (`-6g`, `-2A`) is read and left out.
    ///
    /// # Errors
    /// If the thread or the class isn't in the tables, the class doesn't go with the thread, or its standard doesn't cover the size.
    pub fn parse(text: &str) -> Result<Fastener, ValueError> {
        let whole = Scan::new(text).remainder();
        if whole.is_empty() {
            return Err(ValueError::new(whole, ValueErrorKind::Empty));
        }
        let (thread, end) = designation::thread(text)?;
        let (designation, rest) = text.split_at_checked(end).unwrap_or((text, ""));
        let start = end + rest.len() - rest.trim_start().len();
        let name = rest.trim();
        if name.is_empty() {
            return Ok(Fastener { thread, class: None });
        }
        // A class joined to its thread (`M6-8.8`) lacks the space as well, so both are given anew.
        let joined = start == end;
        let from = if joined { whole.start } else { start };
        let fail = |suggestion: Option<String>| {
            let suggestion = match joined {
                true => suggestion.map(|class| format!("{} {class}", designation.trim())),
                false => suggestion,
            };
            ValueError::new(
                from..start + name.len(),
                ValueErrorKind::UnknownClass {
                    found: name.to_owned(),
                    suggestion,
                },
            )
        };
        let class = PropertyClass::find(name).ok_or_else(|| fail(PropertyClass::suggest(name, thread.system())))?;
        if !class.suits(thread.system()) {
            return Err(fail(
                PropertyClass::suggest(name, thread.system()).filter(|other| other != class.name()),
            ));
        }
        if class.strength(thread.diameter()).is_none() {
            let kind = ValueErrorKind::ClassSize {
                class: class.name().to_owned(),
                standard: class.standard().to_owned(),
                thread: thread.to_string(),
            };
            return Err(ValueError::new(from..start + name.len(), kind));
        }
        Ok(Fastener {
            thread,
            class: Some(class),
        })
    }

    /// The thread.
    pub fn thread(&self) -> Thread {
        self.thread
    }

    /// The property class or grade, if the author gave one.
    pub fn class(&self) -> Option<PropertyClass> {
        self.class
    }

    /// Proof stress, yield and tensile strength of the class at this size; `None` without a class.
    pub fn strength(&self) -> Option<Strength> {
        self.class?.strength(self.thread.diameter())
    }

    /// The load the fastener holds without a permanent set: nominal stress area × proof stress. `None` without a class.
    ///
    /// Printed proof loads are this product, unevenly rounded (within 0.6 %). Hot-dip galvanised M8 and M10 bolts have less
    /// (ISO 10684), which isn't allowed for.
    pub fn proof_load(&self) -> Option<Force> {
        self.strength()
            .map(|strength| strength.proof * self.thread.nominal_stress_area() * self.load_share())
    }

    /// The load at which the shank gives: stress area × yield (or 0.2 % proof) strength. `None` without a class.
    pub fn yield_load(&self) -> Option<Force> {
        self.strength()
            .map(|strength| strength.yield_strength * self.thread.nominal_stress_area() * self.load_share())
    }

    fn load_share(&self) -> f64 {
        self.class.map_or(1.0, PropertyClass::load_share)
    }
}

impl fmt::Display for Fastener {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.thread.fmt(formatter)?;
        match self.class {
            Some(class) => write!(formatter, " {class}"),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests;
