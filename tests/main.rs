//! The test suite: finds fixtures on disk and makes one named trial of each. A new case adds files, not code.
//!
//! `cargo test --test suite -- rules/unknown-id` runs what the name matches. `BLESS=1 cargo test --test suite` writes the expected
//! files anew; read the difference before you commit it. Only `harness` and `values` call the crate.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "tests read files and print"
)]

#[cfg(all(feature = "typeset", feature = "edge"))]
mod cli;
mod calc;
mod demo;
mod diff;
mod fingerprint;
mod fuzz;
mod harness;
mod kit;
#[cfg(feature = "edge")]
mod history;
mod ledger;
mod log;
mod mutations;
mod parse;
mod plan;
#[cfg(feature = "typeset")]
mod print;
mod report;
mod rules;
mod sets;
mod tidy;
mod values;
mod wrench;

use libtest_mimic::{Arguments, Trial};

fn main() {
    let arguments = Arguments::from_args();
    let mut trials: Vec<Trial> = Vec::new();
    trials.extend(rules::trials());
    trials.extend(parse::trials());
    trials.extend(sets::trials());
    trials.extend(report::trials());
    trials.extend(demo::trials());
    trials.extend(diff::trials());
    trials.extend(fingerprint::trials());
    trials.extend(ledger::trials());
    trials.extend(mutations::trials());
    trials.extend(kit::trials());
    trials.extend(plan::trials());
    trials.extend(calc::trials());
    trials.extend(log::trials());
    trials.extend(fuzz::trials());
    trials.extend(tidy::trials());
    trials.extend(values::trials());
    trials.extend(wrench::trials());
    #[cfg(feature = "edge")]
    trials.extend(history::trials());
    #[cfg(all(feature = "typeset", feature = "edge"))]
    trials.extend(cli::trials());
    #[cfg(feature = "typeset")]
    trials.extend(print::trials());
    libtest_mimic::run(&arguments, trials).exit();
}
