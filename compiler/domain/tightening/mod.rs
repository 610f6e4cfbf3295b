//! Tightening: the figures an author gives for a fastener.
//!
//! - [`TorqueValue`]: a torque with its tolerance or range.
//! - [`Stage`]: one stage of a sequence, a torque or a further angle.
//! - [`Drag`]: what a self-locking nut takes on top.

mod drag;
mod stage;
mod torque;

pub use drag::Drag;
pub use stage::{Stage, TurnAngle};
pub use torque::TorqueValue;

#[cfg(test)]
mod tests;
