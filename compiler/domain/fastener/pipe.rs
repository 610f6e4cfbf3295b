//! Pipe threads: what their tables hold beside diameter and pitch.

use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use super::ThreadSystem;
use crate::table;

const PIPES: &str = include_str!("../../tables/pipe-threads.csv");

/// A row of `compiler/tables/pipe-threads.csv`.
#[derive(Debug, Deserialize)]
pub struct Pipe {
    pub(super) series: String,
    pub(super) size: String,
    pub(super) threads_per_inch: String,
    /// Major diameter (at the gauge plane of a taper thread); of NPT the outside diameter of the pipe.
    pub(super) diameter: String,
    unit: String,
    /// Pitch diameter at the gauge plane, E1, in inches; NPT alone.
    gauge_pitch_diameter: Option<f64>,
    /// Length from the end of the pipe to the gauge plane; taper threads alone.
    gauge_length: Option<f64>,
    pub(super) source: String,
}

pub(super) fn table() -> &'static [Pipe] {
    static ROWS: OnceLock<Vec<Pipe>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("pipe-threads.csv", PIPES))
}

impl Pipe {
    pub(super) fn system(&self) -> ThreadSystem {
        match self.is_metric() {
            true => ThreadSystem::Pipe,
            false => ThreadSystem::Npt,
        }
    }

    fn is_metric(&self) -> bool {
        self.unit == "mm"
    }

    fn length(&self, figure: f64) -> Length {
        match self.is_metric() {
            true => Length::new::<millimeter>(figure),
            false => Length::new::<inch>(figure),
        }
    }

    /// Length from the small end to the gauge plane, L1: how far it goes in by hand. `None` for a parallel thread.
    pub fn gauge_length(&self) -> Option<Length> {
        self.gauge_length.map(|figure| self.length(figure))
    }

    /// E1 of NPT: the pitch diameter at the gauge plane; 0 for others.
    pub(super) fn gauge_pitch_diameter(&self) -> Length {
        self.length(self.gauge_pitch_diameter.unwrap_or_default())
    }

    /// E0 of NPT: the pitch diameter at the small end, E1 − L1/16 (ASME B1.20.1). `None` for others.
    pub fn end_pitch_diameter(&self) -> Option<Length> {
        self.gauge_pitch_diameter?;
        Some(self.gauge_pitch_diameter() - self.gauge_length()? / 16.0)
    }

    /// L2 of NPT: length of the effective external thread, (0.80 D + 6.8)/n (ASME B1.20.1). `None` for others.
    pub fn effective_length(&self) -> Option<Length> {
        self.gauge_pitch_diameter?;
        let number = |text: &str| text.parse::<f64>().ok();
        let (outside, count) = (number(&self.diameter)?, number(&self.threads_per_inch)?);
        Some(self.length((0.8 * outside + 6.8) / count))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_sourced_and_npt_follows_its_own_formula() {
        table::assert_sourced("pipe-threads.csv", PIPES);
        let mut checked = 0;
        for pipe in table() {
            let Some(end) = pipe.end_pitch_diameter() else { continue };
            let (outside, count): (f64, f64) = (pipe.diameter.parse().unwrap(), pipe.threads_per_inch.parse().unwrap());
            // E0 = D − (0.050 D + 1.1)/n, ASME B1.20.1.
            let wanted = outside - (0.05 * outside + 1.1) / count;
            assert!(
                (end.get::<inch>() - wanted).abs() < 2e-5,
                "{} {}",
                pipe.series,
                pipe.size
            );
            checked += 1;
        }
        assert!(checked > 25);
    }
}
