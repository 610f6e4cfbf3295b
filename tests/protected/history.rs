//! The answer about history: git's own store names each object by a hash of its content, and one that isn't what its name says gives no answer.
//!
//! Every object of a small repository is spoilt in several ways, rightly packed again, so that only the hash can tell.

mod store;

use super::Check;
use crate::program::Scratch;
use crate::program::pack::stored;
use crate::program::repository::{Repository, texts};
use std::fs;
use std::path::Path;

pub const CHECKS: [(&str, Check); 3] = [
    ("damaged-objects", damaged),
    ("damaged-store", |_| store::damaged(150)),
    ("promised-sizes", store::promised),
];

/// The same for hours.
pub const LONG: [(&str, Check); 1] = [("damaged-store", |_| store::damaged(20_000))];

const SET: &str = "machine: Invented pump\ntitle: Pump\nrev: A\n";

fn close(torque: &str) -> String {
    format!(
        "---\ntitle: Close\ntorques:\n  cover: {{name: cover screws, torque: {torque}, count: 6, lubrication: dry}}\n---\n\n1. Tighten the [torque cover].\n"
    )
}

fn damaged(_: &Scratch) -> Vec<String> {
    let mut repository = Repository::new("protected", false);
    let shop = "shop: Invented shop\n";
    let old = texts(&[
        ("pumps/pump/set.yaml", SET),
        ("pumps/pump/10-close.md", &close("9 N·m")),
        ("workshop.yaml", shop),
    ]);
    let first = repository.commit("main", "First", &old, &[]);
    let new = texts(&[
        ("pumps/pump/set.yaml", SET),
        ("pumps/pump/10-close.md", &close("8 N·m")),
        ("workshop.yaml", shop),
    ]);
    repository.commit("main", "Second", &new, &[first]);
    repository.check_out(&new);
    let scratch = &repository.scratch;
    let commands = [
        "diff HEAD~1 --at pumps/pump",
        "diff HEAD~1 HEAD --at pumps/pump",
        "diff HEAD --at pumps/pump",
    ];
    let run = |command: &str| {
        let words: Vec<String> = command.split_whitespace().map(str::to_string).collect();
        scratch.run(&words)
    };
    let right: Vec<_> = commands.iter().map(|command| run(command)).collect();
    let mut faults = Vec::new();
    if !right[0].0.contains("8 N·m") || right[2].2 != Some(0) {
        faults.push(format!("the history isn't what this trial takes it for: {right:?}"));
    }
    let (mut runs, mut others) = (0, 0);
    for (name, object) in repository.loose() {
        let whole = fs::read(&object).expect("an object of ours");
        for spoilt in spoilt(&whole, &repository.object(&name)) {
            write(&object, &spoilt);
            for (command, right) in commands.iter().zip(&right) {
                let now = run(command);
                runs += 1;
                if now != *right {
                    others += 1;
                    // What a name of a revision stands for is told in other words.
                    let told = now.1.contains("git") || now.1.contains("is no revision here");
                    if now.2 != Some(2) || !told || !now.0.is_empty() {
                        faults.push(format!("`{command}` with {} spoilt: {now:?}", object.display()));
                    }
                }
            }
        }
        write(&object, &whole);
    }
    println!(
        "{runs} runs with a spoilt object, {others} of them told, {} with another answer",
        faults.len()
    );
    if runs < 60 || others < 30 {
        faults.push(format!("only {others} of {runs} runs met a spoilt object"));
    }
    faults
}

fn write(object: &Path, bytes: &[u8]) {
    // Git makes its objects read-only.
    let _ = fs::remove_file(object);
    fs::write(object, bytes).expect("an object of ours");
}

/// The same object with another content: a figure, a name or a parent that is another one.
fn spoilt(whole: &[u8], text: &[u8]) -> Vec<Vec<u8>> {
    let mut out = Vec::new();
    for (from, to) in [
        (&b"9 N"[..], &b"7 N"[..]),
        (b"8 N", b"7 N"),
        (b"rev: A", b"rev: B"),
        (b"10-close.md", b"11-close.md"),
        (b"100644", b"120000"),
        (b"First", b"Fifth"),
        (b"Invented", b"invented"),
        (b"pump", b"bump"),
    ] {
        if let Some(at) = text.windows(from.len()).position(|window| window == from) {
            let mut text = text.to_vec();
            text[at..at + from.len()].copy_from_slice(to);
            out.push(stored(&text));
        }
    }
    // A bit here and there as a disk would flip it.
    for at in [whole.len() / 3, whole.len() / 2, whole.len() - 2] {
        let mut bytes = whole.to_vec();
        bytes[at] ^= 4;
        out.push(bytes);
    }
    out
}
