//! `cargo bench`: the program itself, its own threads and files and all: time of a build on every core beside one, and the most memory that a
//! big build takes beside a small one, as the system counts it.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    reason = "a bench reads files, looks at the clock and prints"
)]

#[path = "../program/editor.rs"]
#[allow(dead_code, reason = "the program's suite uses all of it")]
mod editor;
mod history;
mod program;

use editor::Editor;
use std::time::{Duration, Instant};

/// Times that the demo sets are built over in a big build.
const COPIES: usize = 8;

const ROUNDS: usize = 5;

fn main() {
    // `cargo bench -- NAME` is for other benches, unless it is this one's.
    let wanted: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let is_wanted = |name: &str| wanted.is_empty() || wanted.iter().any(|w| name.contains(w.as_str()));
    if is_wanted("editor") {
        while_typing();
    }
    if is_wanted("again") {
        again();
    }
    if is_wanted("history") {
        history::history();
    }
    if !is_wanted("build") {
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

/// A build of what was built before, and of that with one step changed, beside a check of the same: as whole processes, on every core. `COPIES=63`
/// takes a thousand procedures.
fn again() {
    let number = std::env::var("COPIES").ok().and_then(|number| number.parse().ok());
    let folder = program::Folder::new("again");
    let count = program::copies(&folder, "sets", number.unwrap_or(COPIES));
    folder.timed(&["build", "sets", "--out", "out"]);
    let path = folder.path().join("sets/pump-seal-0/30-fit-seal.md");
    let text = std::fs::read_to_string(&path).expect("a demo file");
    let first = text.find("\n1. ").expect("a first step");
    let changed = |n: usize| format!("{}\n1. Look at mark {n}.{}", &text[..first], &text[first..]);
    let median = |mut times: Vec<Duration>| {
        times.sort();
        times[times.len() / 2]
    };
    let check = median((0..ROUNDS).map(|_| folder.timed(&["check", "sets"])).collect());
    let nothing = median(
        (0..ROUNDS)
            .map(|_| folder.timed(&["build", "sets", "--out", "out"]))
            .collect(),
    );
    let one = (0..ROUNDS).map(|n| {
        std::fs::write(&path, changed(n)).expect("a scratch file");
        folder.timed(&["build", "sets", "--out", "out"])
    });
    let one = median(one.collect());
    for (what, took, bound) in [
        ("nothing changed", nothing, "<=0.3 s over"),
        ("one step changed", one, ""),
    ] {
        println!(
            "{:<52} {:>7.0} ms {:>7.0} ms {:>6.0} ms {bound}",
            format!("build again of {count} cards, {what} / check"),
            took.as_secs_f64() * 1e3,
            check.as_secs_f64() * 1e3,
            (took.as_secs_f64() - check.as_secs_f64()) * 1e3,
        );
    }
}

/// Edits in one sitting at an editor.
const EDITS: usize = 500;

/// From a key being pressed to the answer of a question about the text as it then is, over the protocol: median, 99th percentile and worst.
fn while_typing() {
    let folder = program::Folder::new("editor");
    let count = program::copies(&folder, "sets", 2);
    let path = "pump-seal-0/30-fit-seal.md";
    let text = std::fs::read_to_string(folder.path().join("sets").join(path)).expect("a demo file");
    let (line, words) = text
        .lines()
        .enumerate()
        .find(|(_, line)| line.contains("[fit sleeve]"))
        .expect("a mark");
    let column = words.find("[fit sleeve]").expect("a mark") + "[fit sl".len();
    let mut editor = Editor::open(&folder.path().join("sets"), &["utf-8"]);
    editor.show(path, &text);
    for way in ["completion", "hover", "references"] {
        let mut times: Vec<Duration> = Vec::with_capacity(EDITS);
        for n in 0..EDITS {
            let begun = Instant::now();
            // One letter in, and out again.
            let (to, letter) = if n % 2 == 0 { (column, "x") } else { (column + 1, "") };
            editor.change(path, (line, column), (line, to), letter);
            let mut params = editor.at(path, line, column);
            if way == "references" {
                params["context"] = serde_json::json!({"includeDeclaration": true});
            }
            editor.ask(&format!("textDocument/{way}"), params).expect("an answer");
            times.push(begun.elapsed());
            editor.settle();
        }
        times.sort();
        let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
        println!(
            "{:<52} {:>7.1} ms {:>7.1} ms {:>7.1} ms   <=50 ms",
            format!("{way} after an edit, {count} procedures: median, p99, worst"),
            at(0.5),
            at(0.99),
            at(1.0),
        );
    }
    editor.end();
}
