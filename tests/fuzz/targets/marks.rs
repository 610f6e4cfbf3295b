//! One mark in a step.
#![no_main]

use benchleaf_fuzz::{SET, sound};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let procedure = format!(
        "---\ntitle: Open\nparts: {{lid: Lid}}\nstates: {{valve: {{values: [open, shut], start: open}}}}\n---\n\n1. Do [{text}] it.\n"
    );
    sound(&[("set.yaml", SET), ("10-open.md", &procedure)]);
});
