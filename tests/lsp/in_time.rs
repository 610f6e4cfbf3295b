//! How long an editor waits for its answers, over a set of thirty procedures that use every tie and mark: told, not judged, for a machine may be
//! busy. What is wanted is 50 ms at the 99th percentile.

use crate::harness::Outcome;
use crate::program::Scratch;
use crate::program::editor::Editor;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::time::{Duration, Instant};

#[path = "../bench/tied.rs"]
#[allow(dead_code, reason = "the benches use all of it")]
mod tied;

/// Every so many places are asked about.
const STRIDE: usize = 7;

const WAYS: [&str; 6] = [
    "hover",
    "completion",
    "definition",
    "references",
    "prepareRename",
    "documentHighlight",
];

pub fn in_time() -> Outcome {
    let scratch = Scratch::new("lsp-in-time");
    let texts = tied::procedures(30, true);
    for (path, text) in &texts {
        scratch.write(&format!("work/{path}"), text.as_bytes());
    }
    let mut editor = Editor::open(&scratch.path().join("work"), &[]);
    let mut times: BTreeMap<&str, Vec<Duration>> = BTreeMap::new();
    let mut place = 0;
    for (path, text) in &texts {
        for (line, words) in text.lines().enumerate() {
            for column in 0..=words.encode_utf16().count() {
                place += 1;
                if place % STRIDE != 0 {
                    continue;
                }
                let way = WAYS[(place / STRIDE) % WAYS.len()];
                let mut params = editor.at(path, line, column);
                if way == "references" {
                    params["context"] = json!({"includeDeclaration": true});
                }
                let begun = Instant::now();
                let answer = editor.ask(&format!("textDocument/{way}"), params);
                times.entry(way).or_default().push(begun.elapsed());
                if let Err(words) = answer
                    && words == "the server is silent"
                {
                    return Err(words.into());
                }
            }
        }
    }
    // Typing: a letter in and out again, in the middle of a step of each procedure, until the findings are told.
    for (path, text) in texts.iter().filter(|(path, _)| path.ends_with(".md")) {
        editor.show(path, text);
        editor.settle();
        let line = text.lines().position(|line| line.starts_with("1. Undo")).unwrap_or(0);
        for n in 0..10 {
            let (from, to, letter) = match n % 2 {
                0 => ((line, 5), (line, 5), "x"),
                _ => ((line, 5), (line, 6), ""),
            };
            let begun = Instant::now();
            editor.change(path, from, to, letter);
            editor.settle();
            times.entry("a letter").or_default().push(begun.elapsed());
        }
        let outline = json!({"textDocument": {"uri": editor.address(path)}});
        for way in ["documentSymbol", "foldingRange"] {
            let begun = Instant::now();
            let _: Result<Value, String> = editor.ask(&format!("textDocument/{way}"), outline.clone());
            times.entry(way).or_default().push(begun.elapsed());
        }
    }
    for (way, mut times) in times {
        times.sort();
        let at = |percent: usize| times[(times.len() * percent / 100).min(times.len() - 1)];
        println!(
            "{way:18} {:6} times, median {:.1?}, 99th percentile {:.1?}, worst {:.1?}",
            times.len(),
            at(50),
            at(99),
            at(100)
        );
    }
    Ok(())
}
