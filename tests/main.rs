//! What only the program shows: dialogues on the command line, histories in git. The crates below it have suites of their own:
//! `core.rs`, `press.rs`, `domain.rs`.

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

mod cli;
mod edge;
mod hand;
#[allow(dead_code, reason = "the core's suite uses all of it, and says what nobody uses")]
mod harness;
mod history;
#[cfg(unix)]
mod left;
mod lsp;
mod preview;
mod program;
#[cfg(unix)]
mod protected;
mod published;
#[cfg(unix)]
mod readme;

use libtest_mimic::{Arguments, Trial};
use std::process::ExitCode;

fn main() -> ExitCode {
    #[cfg(unix)]
    if let Some(code) = program::faulty::as_program() {
        return code;
    }
    let arguments = Arguments::from_args();
    let mut trials: Vec<Trial> = Vec::new();
    trials.extend(history::trials());
    trials.extend(cli::trials());
    trials.extend(published::trials());
    trials.extend(lsp::trials());
    trials.extend(hand::trials());
    trials.extend(preview::trials());
    trials.extend(edge::trials());
    #[cfg(unix)]
    trials.extend(readme::trials());
    #[cfg(unix)]
    trials.extend(left::trials());
    #[cfg(unix)]
    trials.extend(protected::trials());
    libtest_mimic::run(&arguments, trials).exit_code()
}
