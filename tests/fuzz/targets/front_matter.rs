//! YAML of a procedure and of a set.
#![no_main]

use benchleaf_fuzz::{SET, sound};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let procedure = format!("---\ntitle: Open\n{text}\n---\n\n1. Look.\n");
    sound(&[("set.yaml", SET), ("10-open.md", &procedure)]);
    sound(&[
        ("set.yaml", text),
        ("10-open.md", "---\ntitle: Open\n---\n\n1. Look.\n"),
    ]);
    sound(&[("set.yaml", SET), ("workshop.yaml", text)]);
});
