//! Thousands of procedures under 4 GiB: the same bytes from any number of threads, and the memory of a small build.

use super::{OPEN, SET, close, compare, out};
use crate::harness::fixture;
use crate::program::{CACHE, Scratch};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

type Files = BTreeMap<String, Vec<u8>>;

/// Copies of the demo sets, so that there are so many procedures.
fn copies(scratch: &Scratch, count: usize) {
    let demo = fixture::root().join("procedures");
    let per_copy = fixture::walk(&demo)
        .iter()
        .filter(|p| p.extension().is_some_and(|e| e == "md"))
        .count();
    for copy in 0..count.div_ceil(per_copy) {
        for (path, bytes) in fixture::read_folder(&demo, &demo) {
            let (set, rest) = path.split_once('/').unwrap_or(("", &path));
            let place = if set.is_empty() {
                rest.to_string()
            } else {
                format!("{set}-{copy}/{rest}")
            };
            scratch.write(&format!("sets/{place}"), &bytes);
        }
    }
}

/// Small sets of ten procedures each, every other one with a torque, so that there are so many procedures.
fn small_sets(scratch: &Scratch, count: usize) {
    for number in 0..count {
        let set = format!("sets/pump-{}", number / 10);
        if number % 10 == 0 {
            scratch.write(
                &format!("{set}/set.yaml"),
                SET.replace("Pump", &format!("Pump {}", number / 10)).as_bytes(),
            );
        }
        let text = match number % 2 {
            0 => OPEN.replace("cover", &format!("cover {number}")),
            _ => close(&format!("{} N·m", 6 + number % 3)),
        };
        let text = text.replace("title: ", &format!("title: {number} "));
        scratch.write(&format!("{set}/{0:02}-part-{0}.md", number % 10), text.as_bytes());
    }
}

/// A build under 4 GiB of address space: how it ended, its time, and the most memory it took, in MiB.
fn measured(scratch: &Scratch, line: &str) -> (Option<i32>, Duration, u64) {
    let command = format!("ulimit -v 4194304; exec {} {line}", env!("CARGO_BIN_EXE_benchleaf"));
    let begun = Instant::now();
    let mut child = Command::new("sh")
        .args(["-c", &command])
        .current_dir(scratch.path())
        .env(CACHE, scratch.cache())
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .spawn()
        .expect("a shell can be run");
    let status = Path::new("/proc").join(child.id().to_string()).join("status");
    let mut most = 0;
    let ended = loop {
        let text = fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|l| l.strip_prefix("VmHWM:"));
        let kib: Option<u64> = line.and_then(|l| l.trim().trim_end_matches(" kB").parse().ok());
        most = most.max(kib.unwrap_or(0) / 1024);
        match child.try_wait().expect("it can be waited for") {
            Some(status) => break status,
            None => sleep(Duration::from_millis(10)),
        }
    };
    (ended.code(), begun.elapsed(), most)
}

/// Small builds whose memory is taken.
const FEW: usize = 5;

/// The memory of a small build, in MiB: the middle one of several, for which of a few cards meet each other in memory hangs on the moment.
fn few(write: fn(&Scratch, usize), count: usize, jobs: usize) -> u64 {
    let few = Scratch::new(&format!("left-few-{jobs}"));
    write(&few, count);
    let mut all: Vec<u64> = (0..FEW)
        .map(|_| measured(&few, &format!("build sets --out out --jobs {jobs} --no-cache")).2)
        .collect();
    all.sort_unstable();
    eprintln!("{count} procedures, {jobs} threads, {FEW} times: {all:?} MiB");
    all[FEW / 2]
}

/// Builds so many procedures with 1, 2 and 8 threads: the same bytes, and the memory of a small build.
fn many(scratch: &Scratch, write: fn(&Scratch, usize), count: usize, small: Option<usize>) -> Vec<String> {
    write(scratch, count);
    let mut faults = Vec::new();
    let mut alone: Option<Files> = None;
    for jobs in [1, 2, 8] {
        let usual = small.map(|small| few(write, small, jobs));
        let (code, took, most) = measured(scratch, &format!("build sets --out out --jobs {jobs} --no-cache"));
        let found = out(scratch);
        eprintln!(
            "{count} procedures, {jobs} threads: {code:?}, {:.1} s, {most} MiB, {} files",
            took.as_secs_f64(),
            found.len()
        );
        if code != Some(0) {
            faults.push(format!("{count} procedures with {jobs} threads ended with {code:?}"));
        }
        // More threads than cores have more cards under way at once than a small build ever has; it is measured and printed, and nothing is promised.
        let promised = jobs <= cores();
        if let Some(usual) = usual.filter(|usual| promised && most * 10 > usual * 13) {
            faults.push(format!(
                "{jobs} threads: {most} MiB for {count} procedures, {usual} MiB for few"
            ));
        }
        if found.len() < count {
            faults.push(format!(
                "{count} procedures with {jobs} threads gave {} files",
                found.len()
            ));
        }
        match &alone {
            None => alone = Some(found),
            Some(alone) => faults.extend(compare(&format!("{jobs} threads"), &found, alone)),
        }
        fs::remove_dir_all(scratch.path().join("out")).expect("it was made");
    }
    faults
}

fn cores() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}

pub fn thousand(scratch: &Scratch) -> Vec<String> {
    many(scratch, copies, 1008, Some(16))
}

pub fn five_thousand(scratch: &Scratch) -> Vec<String> {
    many(scratch, small_sets, 5000, None)
}
