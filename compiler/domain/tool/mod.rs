//! Tools: does a torque tool reach a torque, how is it set, what does an adapter change, is a gauge fine enough.
//!
//! - [`TorqueTool`]: range, scale, accuracy.
//! - [`Setting`], [`Aim`] and [`choose`]: what it is set to in its own unit and on its scale, with an adapter, in a pass; the error.
//! - [`Adapter`]: the setting that gives a torque at the end of an offset adapter.
//! - [`Gauge`]: resolution and accuracy against the width of a limit, or its last digit.
//! - [`deviation`]: what standards allow torque tools to be off (`compiler/tables/torque-tools.csv`).

mod adapter;
pub mod deviation;
mod gauge;
mod setting;
mod torque_tool;

pub use adapter::Adapter;
pub use deviation::Deviation;
pub use gauge::{DEFAULT_GAUGE_RATIO, GAUGE_ACCURACY_RATIO, Gauge, GaugeFit};
pub use setting::{Aim, Choice, Lever, Setting, ToolFit, UNSTATED_TOLERANCE, choose};
pub use torque_tool::{Reach, TorqueTool};
