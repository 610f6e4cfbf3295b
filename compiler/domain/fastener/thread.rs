//! Threads and their geometry.

use std::fmt;
use std::sync::OnceLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Deserialize;
use uom::si::area::{square_meter, square_millimeter};
use uom::si::f64::{Area, Length};
use uom::si::length::{inch, millimeter};

use super::pipe::{self, Pipe};
use crate::quantity::{Rounding, round_to_digits};
use crate::table;

const THREADS: &str = include_str!("../../tables/threads.csv");

/// A thread: a row of `compiler/tables/threads.csv` or `pipe-threads.csv`, or a diameter and a pitch that no row pairs. Cheap to copy;
/// two are equal when form, size, pitch, series and hand are.
#[derive(Clone, Copy)]
pub struct Thread {
    system: ThreadSystem,
    /// As the table names it; empty where the diameter is all the name there is.
    size: &'static str,
    /// Millimetres or inches, by the system.
    diameter: Decimal,
    /// Millimetres, or threads per inch.
    pitch: Decimal,
    /// Starts of a trapezoidal thread; one for all others.
    starts: u32,
    series: &'static str,
    left: bool,
    source: &'static str,
    pipe: Option<&'static Pipe>,
}

/// Whose thread it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ThreadSystem {
    /// ISO metric: diameter and pitch in millimetres, flanks of 60°.
    Metric,
    /// Unified inch: diameter in inches, pitch as threads per inch, flanks of 60°.
    Unified,
    /// British Standard Whitworth and Fine: inches, threads per inch, flanks of 55°.
    Whitworth,
    /// Pipe threads G (ISO 228) and R (ISO 7): millimetres, threads per inch, flanks of 55°.
    Pipe,
    /// Taper pipe threads NPT and NPTF: inches, threads per inch, flanks of 60°.
    Npt,
    /// ISO metric trapezoidal, for lead screws: millimetres, flanks of 30°.
    Trapezoidal,
}

#[derive(Deserialize)]
struct Row {
    system: ThreadSystem,
    size: String,
    /// Millimetres or inches.
    diameter: String,
    /// Millimetres, or threads per inch.
    pitch: String,
    series: String,
    source: String,
}

/// Pitches of ISO 261, in millimetres.
const METRIC_PITCHES: [&str; 25] = [
    "0.2", "0.25", "0.3", "0.35", "0.4", "0.45", "0.5", "0.6", "0.7", "0.75", "0.8", "1", "1.25", "1.5", "1.75", "2",
    "2.5", "3", "3.5", "4", "4.5", "5", "5.5", "6", "8",
];

/// Pitches of ISO 2904, in millimetres.
const TRAPEZOIDAL_PITCHES: [&str; 22] = [
    "1.5", "2", "3", "4", "5", "6", "7", "8", "9", "10", "12", "14", "16", "18", "20", "22", "24", "28", "32", "36",
    "40", "44",
];

fn table() -> &'static [Thread] {
    static THREADS_READ: OnceLock<Vec<Thread>> = OnceLock::new();
    THREADS_READ.get_or_init(|| {
        let rows = table::rows::<Row>("threads.csv", THREADS)
            .into_iter()
            .map(|row| Thread {
                system: row.system,
                diameter: number(&row.diameter),
                pitch: number(&row.pitch),
                starts: 1,
                left: false,
                pipe: None,
                // Read once for the life of the program, some two hundred rows.
                size: row.size.leak(),
                series: row.series.leak(),
                source: row.source.leak(),
            });
        let pipes = pipe::table().iter().map(|pipe| Thread {
            system: pipe.system(),
            size: &pipe.size,
            diameter: number(&pipe.diameter),
            pitch: number(&pipe.threads_per_inch),
            starts: 1,
            series: &pipe.series,
            left: false,
            source: &pipe.source,
            pipe: Some(pipe),
        });
        rows.chain(pipes).collect()
    })
}

fn number(text: &str) -> Decimal {
    // Cells of embedded tables that a test reads whole.
    Decimal::from_str_exact(text)
        .unwrap_or_else(|error| table::broken(format_args!("of threads: {text}: {error}")))
        .normalize()
}

fn float(value: Decimal) -> f64 {
    value.to_f64().unwrap_or(f64::NAN)
}

impl Thread {
    /// Every thread of the tables, in their order: metric and inch by size with the coarse pitch first, Whitworth, pipe.
    pub fn all() -> impl Iterator<Item = Thread> {
        table().iter().copied()
    }

    /// The metric and unified threads of a size such as `M8`, `3/8` or `No. 10`.
    pub fn of_size(size: &str) -> impl Iterator<Item = Thread> {
        let fastening = |thread: &Thread| matches!(thread.system, ThreadSystem::Metric | ThreadSystem::Unified);
        Thread::all().filter(move |thread| fastening(thread) && thread.size == size)
    }

    /// The threads of a series such as `BSW`, `G` or `NPT`.
    pub(super) fn of_series(series: &str) -> impl Iterator<Item = Thread> {
        Thread::all().filter(move |thread| thread.series == series)
    }

    /// A metric thread that the tables don't pair: a pitch of ISO 261 on any diameter, no coarser than the coarse one.
    ///
    /// # Errors
    /// A clause saying what is wrong with it.
    pub(super) fn metric(diameter: Decimal, pitch: Decimal) -> Result<Thread, String> {
        let (diameter, pitch) = (diameter.normalize(), pitch.normalize());
        if !METRIC_PITCHES.contains(&pitch.to_string().as_str()) {
            return Err(format!("{pitch} is not a pitch of ISO 261"));
        }
        // M1×0.25 is the steepest of the coarse series, M600 the end of ISO 261's fine ones.
        let share = Decimal::new(3, 1);
        if diameter > Decimal::from(600) || diameter.checked_mul(share).is_none_or(|most| pitch > most) {
            return Err(format!(
                "a pitch of {pitch} doesn't go with a diameter of {diameter} mm"
            ));
        }
        Ok(Thread {
            system: ThreadSystem::Metric,
            size: "",
            diameter,
            pitch,
            starts: 1,
            series: "free",
            left: false,
            source: "profile of ISO 68-1; the tables don't pair this diameter and pitch",
            pipe: None,
        })
    }

    /// A trapezoidal thread of so many starts, with a pitch of ISO 2904.
    ///
    /// # Errors
    /// A clause saying what is wrong with it.
    pub(super) fn trapezoidal(diameter: Decimal, pitch: Decimal, starts: u32) -> Result<Thread, String> {
        let (diameter, pitch) = (diameter.normalize(), pitch.normalize());
        if !TRAPEZOIDAL_PITCHES.contains(&pitch.to_string().as_str()) {
            return Err(format!("{pitch} is not a pitch of ISO 2904"));
        }
        let half = diameter.checked_div(Decimal::TWO).unwrap_or_default();
        if diameter < Decimal::from(8) || diameter > Decimal::from(300) || pitch >= half {
            return Err(format!(
                "a pitch of {pitch} doesn't go with a diameter of {diameter} mm"
            ));
        }
        Ok(Thread {
            system: ThreadSystem::Trapezoidal,
            size: "",
            diameter,
            pitch,
            starts,
            series: "trapezoidal",
            left: false,
            source: "ISO 2904, by its formulas; roymech.org/Useful_Tables/Screws/Trapezoidal.html",
            pipe: None,
        })
    }

    /// The same thread, left-hand.
    pub fn left_handed(self) -> Thread {
        Thread { left: true, ..self }
    }

    /// Whether it is left-hand: it turns the other way.
    pub fn is_left_handed(self) -> bool {
        self.left
    }

    /// The thread of the same geometry turning the usual way.
    pub fn right_handed(self) -> Thread {
        Thread { left: false, ..self }
    }

    /// Whose thread it is.
    pub fn system(self) -> ThreadSystem {
        self.system
    }

    /// The size as the table names it: `M8`, `3/8`, `No. 10`; empty where the tables don't list it.
    pub fn size(self) -> &'static str {
        self.size
    }

    /// Whether it clamps: torque and preload are reckoned for metric, unified and Whitworth threads. A pipe thread seals, a
    /// trapezoidal one moves.
    pub fn is_fastening(self) -> bool {
        matches!(
            self.system,
            ThreadSystem::Metric | ThreadSystem::Unified | ThreadSystem::Whitworth
        )
    }

    /// `coarse`, `fine`, `free`, `UNC`, `UNF`, `UNEF`, `UNS`, `UN`, `BSW`, `BSF`, `G`, `R`, `NPT`, `NPTF` or `trapezoidal`.
    pub fn series(self) -> &'static str {
        self.series
    }

    /// The pitch as the designation writes it: millimetres, or threads per inch.
    pub fn pitch_text(self) -> String {
        self.pitch.to_string()
    }

    /// Whether the pitch is given as threads per inch.
    pub fn counts_per_inch(self) -> bool {
        !matches!(self.system, ThreadSystem::Metric | ThreadSystem::Trapezoidal)
    }

    /// Where size and pitch are standardised.
    pub fn source(self) -> &'static str {
        self.source
    }

    /// What a pipe thread has beside the others.
    pub fn pipe(self) -> Option<&'static Pipe> {
        self.pipe
    }

    /// Nominal (major) diameter, d. Of a taper thread that of the gauge plane; of NPT the outside of the pipe.
    pub fn diameter(self) -> Length {
        match self.system {
            ThreadSystem::Metric | ThreadSystem::Pipe | ThreadSystem::Trapezoidal => {
                Length::new::<millimeter>(float(self.diameter))
            }
            ThreadSystem::Unified | ThreadSystem::Whitworth | ThreadSystem::Npt => {
                Length::new::<inch>(float(self.diameter))
            }
        }
    }

    /// Pitch, P.
    pub fn pitch(self) -> Length {
        match self.counts_per_inch() {
            false => Length::new::<millimeter>(float(self.pitch)),
            true => Length::new::<inch>(1.0 / float(self.pitch)),
        }
    }

    /// How far one turn advances: the pitch, times the starts.
    pub fn lead(self) -> Length {
        self.pitch() * f64::from(self.starts)
    }

    /// How many starts it has.
    pub fn starts(self) -> u32 {
        self.starts
    }

    /// Basic pitch diameter, d2: d − 0.649519 P (ISO 724, ASME B1.1), d − 0.640327 P (BS 84, ISO 228-1, ISO 7-1), d − 0.5 P (ISO
    /// 2904); E1 of NPT, at the gauge plane.
    pub fn pitch_diameter(self) -> Length {
        match self.system {
            ThreadSystem::Metric | ThreadSystem::Unified => self.diameter() - 0.649_519 * self.pitch(),
            ThreadSystem::Whitworth | ThreadSystem::Pipe => self.diameter() - 0.640_327 * self.pitch(),
            ThreadSystem::Npt => self.pipe.map_or_else(|| self.diameter(), Pipe::gauge_pitch_diameter),
            ThreadSystem::Trapezoidal => self.diameter() - 0.5 * self.pitch(),
        }
    }

    /// Root diameter of the external thread, d3: d − 1.226869 P (ISO 68-1 profile), d − 1.280654 P (BS 84, ISO 228-1, ISO 7-1), E1 −
    /// 0.8 P (NPT, sharp height less truncation), d − P − 2 ac (ISO 2904).
    pub fn root_diameter(self) -> Length {
        match self.system {
            ThreadSystem::Metric | ThreadSystem::Unified => self.diameter() - 1.226_869 * self.pitch(),
            ThreadSystem::Whitworth | ThreadSystem::Pipe => self.diameter() - 1.280_654 * self.pitch(),
            ThreadSystem::Npt => self.pitch_diameter() - 0.8 * self.pitch(),
            ThreadSystem::Trapezoidal => self.diameter() - self.pitch() - 2.0 * self.crest_clearance(),
        }
    }

    /// Basic minor diameter of the internal thread, D1: d − 1.082532 P (ISO 724, ASME B1.1), d − P (ISO 2904); that of the external one
    /// for the others.
    pub fn internal_minor_diameter(self) -> Length {
        match self.system {
            ThreadSystem::Metric | ThreadSystem::Unified => self.diameter() - 1.082_532 * self.pitch(),
            ThreadSystem::Whitworth | ThreadSystem::Pipe | ThreadSystem::Npt => self.root_diameter(),
            ThreadSystem::Trapezoidal => self.diameter() - self.pitch(),
        }
    }

    /// Major diameter of the internal thread, D4 = d + 2 ac of a trapezoidal one; the nominal diameter of the others.
    pub fn internal_major_diameter(self) -> Length {
        match self.system {
            ThreadSystem::Trapezoidal => self.diameter() + 2.0 * self.crest_clearance(),
            _ => self.diameter(),
        }
    }

    /// Clearance at the crest of a trapezoidal thread, ac (ISO 2904).
    fn crest_clearance(self) -> Length {
        let pitch = self.pitch().get::<millimeter>();
        Length::new::<millimeter>(match pitch {
            pitch if pitch < 1.75 => 0.15,
            pitch if pitch < 5.5 => 0.25,
            pitch if pitch < 13.0 => 0.5,
            _ => 1.0,
        })
    }

    /// Diameter of the circle whose area is the stress area: D − 0.9743/n for unified threads (ASME B1.1), (d2 + d3)/2 for the others
    /// (ISO 898-1 for metric ones; used alike for Whitworth ones, an estimate).
    pub fn stress_diameter(self) -> Length {
        match self.system {
            ThreadSystem::Unified => self.diameter() - 0.9743 * self.pitch(),
            _ => (self.pitch_diameter() + self.root_diameter()) / 2.0,
        }
    }

    /// The stress area that loads are reckoned with: to three significant digits for metric threads, since the tables of ISO 898-1
    /// do so and its printed loads follow from that; unrounded for the others.
    pub fn nominal_stress_area(self) -> Area {
        let area = self.stress_area();
        match self.system {
            ThreadSystem::Metric => {
                let exact = area.get::<square_millimeter>();
                let rounded = Decimal::from_f64_retain(exact).map(|exact| round_to_digits(exact, 3, Rounding::Nearest));
                Area::new::<square_millimeter>(rounded.and_then(|rounded| rounded.to_f64()).unwrap_or(exact))
            }
            _ => area,
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
        let key = |t: &Thread| (t.system, t.size, t.diameter, t.pitch, t.starts, t.left);
        key(self) == key(other) && self.series == other.series
    }
}

impl Eq for Thread {}

impl fmt::Debug for Thread {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Thread({self})")
    }
}

impl fmt::Display for Thread {
    /// The full designation: `M8×1.25`, `3/8-16 UNC`, `1/2-12 BSW`, `G 1/2`, `1/2-14 NPT`, `Tr 40×14 P7`, with ` LH` if left-hand.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.system {
            ThreadSystem::Metric => write!(formatter, "M{}×{}", self.diameter, self.pitch)?,
            ThreadSystem::Unified | ThreadSystem::Whitworth | ThreadSystem::Npt => {
                write!(formatter, "{}-{} {}", self.size, self.pitch, self.series)?;
            }
            ThreadSystem::Pipe => write!(formatter, "{} {}", self.series, self.size)?,
            ThreadSystem::Trapezoidal if self.starts == 1 => write!(formatter, "Tr {}×{}", self.diameter, self.pitch)?,
            ThreadSystem::Trapezoidal => {
                let lead = self.pitch * Decimal::from(self.starts);
                write!(formatter, "Tr {}×{lead} P{}", self.diameter, self.pitch)?;
            }
        }
        if self.left { formatter.write_str(" LH") } else { Ok(()) }
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
