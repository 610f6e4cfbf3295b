//! The press's suite: cards and other leaves printed and read back.

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

#[allow(dead_code, reason = "the core's suite uses all of it, and says what nobody uses")]
mod harness;
mod print;
mod printer;

use libtest_mimic::Arguments;

fn main() {
    libtest_mimic::run(&Arguments::from_args(), print::trials()).exit();
}
