//! A card's template of somebody else's: faults or a page, never a stop.
#![no_main]

use benchleaf_press::Typesetter;
use libfuzzer_sys::fuzz_target;
use std::collections::BTreeMap;

fuzz_target!(|text: &str| {
    let user = BTreeMap::from([("card.typ.j2".to_string(), text.as_bytes().to_vec())]);
    let _ = Typesetter::new(&user);
});
