//! A whole set of two procedures, made of pieces that mean something; from files to findings, cards and codes.
#![no_main]

use benchleaf_fuzz::{SET, sound, text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut parts = bytes.splitn(4, |byte| *byte == 0xff).map(text);
    let mut next = || parts.next().unwrap_or_default();
    let set = format!("{SET}{}", next());
    let first = format!("---\ntitle: Open\n{}---\n\n{}", next(), next());
    let second = format!("---\ntitle: Close\n---\n\n{}", next());
    sound(&[("set.yaml", &set), ("10-open.md", &first), ("20-close.md", &second)]);
});
