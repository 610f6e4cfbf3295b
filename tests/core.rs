//! The core's suite: finds fixtures on disk and makes one named trial of each. A new case adds files, not code.
//!
//! `cargo test -p benchleaf-core --test suite -- rules/unknown-id` runs what the name matches. With `BLESS=1` before it, the expected
//! files are written anew; read the difference before you commit it. Only `harness` calls the crate.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::string_slice,
    clippy::unreachable,
    clippy::unwrap_used,
    reason = "tests read files, print, and stop where something is wrong"
)]

mod calc;
mod demo;
mod desk;
mod diff;
mod dump;
mod fingerprint;
mod fixes;
mod fuzz;
mod harness;
mod kit;
mod ledger;
mod lines;
mod log;
mod machine;
mod mutations;
mod pages;
mod parse;
mod plan;
mod reach;
mod report;
mod rules;
mod sets;
mod slips;
mod there;
mod tidy;
mod wrench;

use libtest_mimic::{Arguments, Trial};

fn main() {
    let arguments = Arguments::from_args();
    let mut trials: Vec<Trial> = Vec::new();
    trials.extend(rules::trials());
    trials.extend(parse::trials());
    trials.extend(sets::trials());
    trials.extend(slips::trials());
    trials.extend(fixes::trials());
    trials.extend(lines::trials());
    trials.extend(report::trials());
    trials.extend(pages::trials());
    trials.extend(demo::trials());
    trials.extend(desk::trials());
    trials.extend(diff::trials());
    trials.extend(dump::trials());
    trials.extend(fingerprint::trials());
    trials.extend(ledger::trials());
    trials.extend(mutations::trials());
    trials.extend(kit::trials());
    trials.extend(plan::trials());
    trials.extend(reach::trials());
    trials.extend(there::trials());
    trials.extend(calc::trials());
    trials.extend(log::trials());
    trials.extend(machine::trials());
    trials.extend(fuzz::trials());
    trials.extend(tidy::trials());
    trials.extend(wrench::trials());
    libtest_mimic::run(&arguments, trials).exit();
}
