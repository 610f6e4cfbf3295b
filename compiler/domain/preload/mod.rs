//! From torque to preload and back, and what a torque does to a fastener. All of it is an estimate: friction decides, and nobody
//! measured it. The author's torque always stands; these figures only say whether it is believable.
//!
//! - [`nut_factor`]: T = K F d, one factor for everything.
//! - [`friction`]: pitch, thread friction and bearing friction apart: the exact screw form and the shortened one of Motosh and
//!   VDI 2230; the preload at 90 % of yield by VDI 2230.
//! - [`mod@assess`]: the preload a torque may give, from its tolerance and the scatter of friction; its share of the proof load; what is
//!   left before the threads strip; and which other unit would make more sense of the figure.
//! - [`turn`]: advance by angle, stretch, and what a further angle adds.
//! - [`standard`]: torques of a published table, the drag of self-locking nuts, castle nuts, scatter by method.

pub mod assess;
pub mod friction;
pub mod nut_factor;
pub mod standard;
pub mod turn;

pub use assess::{Assessment, Joint, PreloadRange, UnitSlip, assess, estimate, unit_slips};
