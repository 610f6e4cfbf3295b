//! Tightening: the figures an author gives for a fastener.
//!
//! - [`TorqueValue`]: a torque with its tolerance or range.
//! - [`Stage`]: one stage of a sequence, a torque, a further angle or by hand.
//! - [`Drag`]: what a self-locking nut takes on top.
//! - [`again()`]: after what they are tightened once more.

mod again;
mod drag;
mod stage;
mod torque;

pub use again::again;
pub use drag::{Drag, MEASURED};
pub use stage::{HAND, Stage, TurnAngle};
pub use torque::TorqueValue;

#[cfg(test)]
mod tests;
