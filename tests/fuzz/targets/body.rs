//! Markdown of a procedure.
#![no_main]

use benchleaf_fuzz::{SET, sound};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    sound(&[
        ("set.yaml", SET),
        ("10-open.md", &format!("---\ntitle: Open\n---\n\n{text}")),
    ]);
});
