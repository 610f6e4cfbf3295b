//! How long a change takes to the screen, and what many of them leave in memory: told where a clock is looked at, judged where none is.

use crate::harness::{Outcome, fixture};
use crate::program::Scratch;
use crate::program::browser::Browser;
use crate::program::served::Served;
use serde_json::Value;
use std::fs;
use std::time::Instant;

/// A procedure with another step before its first.
fn with_a_step_more(text: &str, number: usize) -> String {
    let first = text.find("\n1. ").expect("a first step");
    let (before, after) = text.split_at(first);
    format!("{before}\n1. Look at mark {number}.{after}")
}

/// How long a change takes from the disk to the screen, over many of them, for a card of ten leaves; told, not judged: a machine may be busy.
pub fn latency(name: &str, changes: usize) -> Outcome {
    let scratch = Scratch::new("preview-latency");
    scratch.bring(&fixture::root().join("procedures"), "work");
    let served = Served::of(&scratch, "work", 0);
    let place = "work/pump-seal/10-remove-seal.md";
    let text = fs::read_to_string(scratch.path().join(place)).expect("a demo file");
    let mut browser = Browser::open(name, &scratch, &served.address);
    let mut times = Vec::new();
    let mut leaves = Value::Null;
    for number in 0..=changes {
        scratch.write(place, with_a_step_more(&text, number).as_bytes());
        let begun = Instant::now();
        // The picture of the leaf that was written on is another one, and drawn.
        browser.until(
            "(f => f && f.querySelector('img').complete && f.querySelector('img').src !== window.before)(document.querySelector('button.written')?.parentNode)",
        );
        times.push(begun.elapsed());
        browser.value("window.before = document.querySelector('button.written').parentNode.querySelector('img').src");
        leaves = browser.value("document.querySelectorAll('figure').length");
    }
    // The first one loads the page.
    times.remove(0);
    times.sort();
    let (median, worst) = (times[times.len() / 2], times[times.len() - 1]);
    eprintln!("{changes} changes of a card of {leaves} leaves: median {median:.0?}, worst {worst:.0?}");
    Ok(())
}

/// Memory after many changes is that after the first ones.
pub fn flat(changes: usize) -> Outcome {
    let scratch = Scratch::new("preview-flat");
    scratch.bring(&fixture::root().join("procedures"), "work");
    let served = Served::of(&scratch, "work", 0);
    let place = "work/pump-seal/10-remove-seal.md";
    let text = fs::read_to_string(scratch.path().join(place)).expect("a demo file");
    let card = "set=pump-seal&document=card%2Fremove-seal";
    let resident = || -> u64 {
        let status = fs::read_to_string(format!("/proc/{}/status", served.child.id())).unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
        line.and_then(|line| line.trim().trim_end_matches(" kB").parse().ok())
            .unwrap_or(0)
    };
    let mut early = 0;
    for number in 0..changes {
        let before = served.state(card)["version"].as_u64();
        scratch.write(place, with_a_step_more(&text, number).as_bytes());
        served.until(card, "the change", |state| {
            state["version"].as_u64() > before && state["fresh"] == true
        });
        if number == changes / 10 {
            early = resident();
        }
    }
    let late = resident();
    eprintln!(
        "{changes} changes: {} MiB, after a tenth of them {} MiB",
        late / 1024,
        early / 1024
    );
    match late * 10 <= early * 13 {
        true => Ok(()),
        false => Err(format!("{late} KiB after {changes} changes, {early} KiB before").into()),
    }
}
