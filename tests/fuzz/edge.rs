//! The hooks by which a fuzzer calls what is asked of the program's edge.

use crate::program::fuzzed::{Edge, folder};
use crate::{put, sow_with, told};
use std::path::PathBuf;
use std::sync::LazyLock;

/// A folder on the disk, for as long as the fuzzer runs.
static PLACE: LazyLock<PathBuf> = LazyLock::new(folder);

/// What goes before a target's first bytes.
pub fn begin(edge: Edge) {
    if std::env::var_os("SEEDS").is_some() {
        sow_with(edge.name(), &edge.seeds());
    }
    ask(edge, b"");
}

/// Asks of bytes what a target asks.
pub fn ask(edge: Edge, bytes: &[u8]) {
    told(edge.run(&PLACE, bytes));
}

/// Changes what a fuzzer holds; how long it is then. One in four changes is the fuzzer's own.
pub fn mutate(edge: Edge, data: &mut [u8], size: usize, most: usize, seed: u32) -> usize {
    if seed.is_multiple_of(4) {
        return libfuzzer_sys::fuzzer_mutate(data, size, most);
    }
    let text = edge.changed(&String::from_utf8_lossy(&data[..size]), seed.into(), most);
    put(&text, &mut data[..most])
}

/// Makes one text of two.
pub fn cross(edge: Edge, one: &[u8], other: &[u8], out: &mut [u8], seed: u32) -> usize {
    let (text, most) = (|bytes| String::from_utf8_lossy(bytes), out.len());
    put(&edge.crossed(&text(one), &text(other), seed.into(), most), out)
}

/// A fuzz target that asks what [`Edge::run`] does.
#[macro_export]
macro_rules! fuzzed_edge {
    ($edge:ident) => {
        use benchleaf_fuzz::edge::{ask, begin, cross, mutate};
        use benchleaf_fuzz::program::fuzzed::Edge;

        libfuzzer_sys::fuzz_target!(init: begin(Edge::$edge), |bytes: &[u8]| ask(Edge::$edge, bytes));

        libfuzzer_sys::fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
            mutate(Edge::$edge, data, size, max_size, seed)
        });

        libfuzzer_sys::fuzz_crossover!(|data1: &[u8], data2: &[u8], out: &mut [u8], seed: u32| {
            cross(Edge::$edge, data1, data2, out, seed)
        });
    };
}
