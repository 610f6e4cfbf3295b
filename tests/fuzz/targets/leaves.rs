//! Files of a set, from texts through cards and the typesetter to the reader of leaves.
#![no_main]

use benchleaf_fuzz::printer::fuzzed::{NAME, hold, seeds};
use benchleaf_fuzz::{cross, mutate, sow_with, told};
use libfuzzer_sys::{fuzz_crossover, fuzz_mutator, fuzz_target};

fn begin() {
    if std::env::var_os("SEEDS").is_some() {
        sow_with(NAME, &seeds());
    }
    told(hold(""));
}

fuzz_target!(init: begin(), |bytes: &[u8]| told(hold(&String::from_utf8_lossy(bytes))));

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| { mutate(data, size, max_size, seed) });

fuzz_crossover!(|data1: &[u8], data2: &[u8], out: &mut [u8], seed: u32| { cross(data1, data2, out, seed) });
