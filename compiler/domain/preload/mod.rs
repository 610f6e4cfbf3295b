//! From torque to preload and back, and what a torque does to a fastener. All of it is an estimate: friction decides, and nobody
//! measured it. The author's torque always stands; these figures only say whether it is believable.
//!
//! - [`friction`]: pitch, thread friction and bearing friction apart: the exact screw form and the shortened one of Motosh and
//!   VDI 2230, which is what every estimate here goes by; the preload at 90 % of yield by VDI 2230.
//! - [`nut_factor`]: T = K F d, one factor for everything: shown beside, with its range.
//! - [`mod@assess`]: the preload a torque may give, from its tolerance and the scatter of friction; its share of the proof load; what is
//!   left before the threads strip; and which other unit would make more sense of the figure.
//! - [`turn`]: advance by angle, stretch, what a further angle adds up to yield, and what of it stays in the bolt.
//! - [`standard`]: torques of a published table, the drag of self-locking nuts, castle nuts, scatter by method.

pub mod assess;
pub mod friction;
pub mod nut_factor;
pub mod standard;
pub mod turn;

pub use assess::{
    Assessment, Joint, PreloadRange, UnitSlip, assess, estimate, strip_load, table_shares, unit_in_doubt, unit_slips,
};
