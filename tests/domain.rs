//! The domain's suite: published values against what ships.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "tests read files and print"
)]

mod values;

use libtest_mimic::Arguments;

fn main() {
    libtest_mimic::run(&Arguments::from_args(), values::trials()).exit();
}
