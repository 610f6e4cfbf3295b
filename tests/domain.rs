//! The domain's suite: published values against what ships.

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

mod values;

use libtest_mimic::Arguments;

fn main() {
    libtest_mimic::run(&Arguments::from_args(), values::trials()).exit();
}
