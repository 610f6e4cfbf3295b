//! As much of the suites' harness as asks things of a text; what makes trials stays behind, and what that needs with it.

#[path = "../harness/checked.rs"]
mod checked;
#[path = "../harness/desk.rs"]
pub mod desk;
#[path = "../harness/fixture.rs"]
pub mod fixture;
#[path = "../harness/fuzz/mod.rs"]
pub mod fuzz;
#[path = "../harness/job.rs"]
pub mod job;
#[path = "../harness/listing.rs"]
pub mod listing;
#[path = "../harness/revisions.rs"]
pub mod revisions;
#[path = "../harness/sound.rs"]
pub mod sound;
#[path = "../harness/tree.rs"]
pub mod tree;

pub use checked::{Checked, Files, check};

/// What a trial gives back.
pub type Outcome = Result<(), String>;
