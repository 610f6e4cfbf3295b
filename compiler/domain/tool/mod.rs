//! Tools: does a torque tool reach a torque, how is it set, what does an adapter change, is a gauge fine enough.
//!
//! - [`TorqueTool`] and [`choose`]: range, scale, accuracy; the setting in the tool's own unit and its rounding error.
//! - [`Adapter`]: the setting that gives a torque at the end of an offset adapter.
//! - [`Gauge`]: resolution against the width of a limit.
//! - [`deviation`]: what standards allow torque tools to be off (`compiler/tables/torque-tools.csv`).

mod adapter;
pub mod deviation;
mod gauge;
mod torque_tool;

pub use adapter::Adapter;
pub use gauge::{DEFAULT_GAUGE_RATIO, Gauge, GaugeFit};
pub use torque_tool::{Choice, Reach, Setting, ToolFit, TorqueTool, choose};
