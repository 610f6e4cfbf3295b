//! What only the program shows: dialogues on the command line, histories in git. The crates below it have suites of their own:
//! `core.rs`, `press.rs`, `domain.rs`.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "tests read files and print"
)]

mod cli;
#[allow(dead_code, reason = "the core's suite uses all of it, and says what nobody uses")]
mod harness;
mod history;
mod program;
mod published;

use libtest_mimic::{Arguments, Trial};

fn main() {
    let arguments = Arguments::from_args();
    let mut trials: Vec<Trial> = Vec::new();
    trials.extend(history::trials());
    trials.extend(cli::trials());
    trials.extend(published::trials());
    libtest_mimic::run(&arguments, trials).exit();
}
