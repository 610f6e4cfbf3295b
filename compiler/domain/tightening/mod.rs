//! Tightening: the figures an author gives for a fastener.
//!
//! - [`TorqueValue`]: a torque with its tolerance or range.
//! - [`Stage`]: one stage of a sequence, a torque or a further angle.

mod stage;
mod torque;

pub use stage::{Stage, TurnAngle};
pub use torque::TorqueValue;

#[cfg(test)]
mod tests;
