//! Torque wrenches and screwdrivers: range, scale, accuracy.

use super::Deviation;
use crate::limit::{Interval, Tolerance};
use crate::quantity::{Measure, Unit};

/// A torque tool as the shop's register describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueTool {
    /// The marked range; of torques.
    pub range: Interval,
    /// The scale step it can be set to, if marked; a torque.
    pub step: Option<Measure>,
    /// Its accuracy, if known: a share of the reading, or an amount.
    pub accuracy: Option<Tolerance>,
    /// How far its certificate says that it reads off, (shown − true) / true as ISO 6789 has it: −3 % reads low.
    pub deviation: Option<Deviation>,
}

/// Where a torque lies on a tool's scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Within the marked range and at or above a fifth of full scale.
    Within,
    /// Within the marked range but below a fifth of full scale, where some standards state no accuracy: advice, not a fault
    /// (ISO 6789:2003 and US Army TM 1-1500-204-23-9 begin at 20 %; ISO 6789-1:2017 at the lowest marked value).
    LowEnd,
    /// Below the marked range.
    Below,
    /// Above the marked range.
    Above,
}

impl TorqueTool {
    /// The tool's own unit: its scale step's, or that of the upper end of its range.
    pub fn unit(&self) -> Unit {
        self.step.as_ref().map_or(self.range.high().unit(), Measure::unit)
    }
}
