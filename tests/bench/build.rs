//! `cargo bench`: the program itself, its own threads and files and all: time of a build on every core beside one, and the most memory that a
//! big build takes beside a small one, as the system counts it.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    reason = "a bench reads files, looks at the clock and prints"
)]

mod program;

use std::time::{Duration, Instant};

/// Times that the demo sets are built over in a big build.
const COPIES: usize = 8;

const ROUNDS: usize = 5;

fn main() {
    // `cargo bench -- NAME` is for other benches, unless it is this one's.
    let wanted: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    if !wanted.is_empty() && !wanted.iter().any(|w| "build".contains(w.as_str())) {
        return;
    }
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let folder = program::Folder::new("bench");
    let few = program::copies(&folder, "few", 1);
    let many = program::copies(&folder, "many", COPIES);
    for jobs in [1, cores] {
        let (small, big) = (folder.build("few", jobs), folder.build("many", jobs));
        println!(
            "{:<52} {:>6} MiB {:>6} MiB {:>6.2}x {:>7}",
            format!("memory: build of {many} / of {few} cards, {jobs} threads"),
            big >> 20,
            small >> 20,
            big as f64 / small as f64,
            "<=1.3x"
        );
    }
    let time = |jobs: usize| {
        let begun = Instant::now();
        folder.build("few", jobs);
        begun.elapsed()
    };
    let mut rounds: Vec<(Duration, Duration)> = (0..ROUNDS).map(|_| (time(cores), time(1))).collect();
    let ratio = |(ours, floor): &(Duration, Duration)| ours.as_secs_f64() / floor.as_secs_f64();
    rounds.sort_by(|a, b| ratio(a).total_cmp(&ratio(b)));
    let (ours, floor) = rounds[ROUNDS / 2];
    println!(
        "{:<52} {:>7.0} ms {:>7.0} ms {:>6.2}x",
        format!("time: build of {few} cards, {cores} threads / 1"),
        ours.as_secs_f64() * 1e3,
        floor.as_secs_f64() * 1e3,
        ratio(&(ours, floor)),
    );
}
