//! What the fuzz targets share: the harness of the other suites, which says what must hold of a text and makes changes that know what
//! they change, and the hooks by which a fuzzer calls both.

#[allow(dead_code, reason = "the core's suite uses all of it, and says what nobody uses")]
pub mod harness;
#[cfg(feature = "program")]
pub mod edge;
#[cfg(feature = "press")]
#[allow(dead_code, reason = "the press's suite uses all of it")]
pub mod printer;
#[cfg(feature = "program")]
#[allow(dead_code, reason = "the program's suite uses all of it")]
pub mod program;

use harness::fuzz::change::{changed, crossed};
use harness::fuzz::{Target, seeds};
use std::path::Path;

/// The repository.
pub fn root() -> std::path::PathBuf {
    harness::fixture::root()
}

/// Writes what a target starts from into its corpus, which the fuzzer is then started on, where `SEEDS=1` stands in the environment.
fn sow(target: Target) {
    if std::env::var_os("SEEDS").is_none() {
        return;
    }
    sow_with(target.name(), &seeds::seeds(target));
}

/// Writes texts into the corpus of a target.
pub fn sow_with(name: &str, seeds: &[String]) {
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(name);
    std::fs::create_dir_all(&corpus).expect("a folder for the corpus");
    for (n, seed) in seeds.iter().enumerate() {
        std::fs::write(corpus.join(format!("seed-{n:05}")), seed).expect("a seed in the corpus");
    }
}

/// What goes before a target's first text. What is made once for all of them is made here: where a fuzzer minds the time, the first would
/// take the blame.
pub fn begin(target: Target) {
    sow(target);
    ask(target, b"");
}

/// Asks of bytes what a target asks.
pub fn ask(target: Target, bytes: &[u8]) {
    told(target.run(&String::from_utf8_lossy(bytes)));
}

/// Stops over what is not as it must be, which is how a fuzzer hears of it.
pub fn told<T>(outcome: Result<T, String>) {
    if let Err(words) = outcome {
        panic!("{words}");
    }
}

/// Writes a text over what a fuzzer holds; how long it is.
pub fn put(text: &str, out: &mut [u8]) -> usize {
    let length = text.len().min(out.len());
    out[..length].copy_from_slice(&text.as_bytes()[..length]);
    length
}

/// Changes what a fuzzer holds; how long it is then. One in four changes is the fuzzer's own, of bytes, which knows what was compared.
pub fn mutate(data: &mut [u8], size: usize, most: usize, seed: u32) -> usize {
    if seed.is_multiple_of(4) {
        return libfuzzer_sys::fuzzer_mutate(data, size, most);
    }
    let text = changed(&String::from_utf8_lossy(&data[..size]), seed.into(), most);
    put(&text, &mut data[..most])
}

/// Makes one text of two.
pub fn cross(one: &[u8], other: &[u8], out: &mut [u8], seed: u32) -> usize {
    let most = out.len();
    let text = |bytes| String::from_utf8_lossy(bytes);
    put(&crossed(&text(one), &text(other), seed.into(), most), out)
}

/// A fuzz target that asks what [`Target::run`] does.
#[macro_export]
macro_rules! fuzzed {
    ($target:ident) => {
        use benchleaf_fuzz::harness::fuzz::Target;

        libfuzzer_sys::fuzz_target!(
            init: benchleaf_fuzz::begin(Target::$target),
            |bytes: &[u8]| benchleaf_fuzz::ask(Target::$target, bytes)
        );

        libfuzzer_sys::fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
            benchleaf_fuzz::mutate(data, size, max_size, seed)
        });

        libfuzzer_sys::fuzz_crossover!(|data1: &[u8], data2: &[u8], out: &mut [u8], seed: u32| {
            benchleaf_fuzz::cross(data1, data2, out, seed)
        });
    };
}
