//! The insides of the demo sets, held against each other and against the files: what happens where, what of it is counted, and where leaves
//! say that their steps are written.

use crate::harness::dumped::{events, leaves, model};
use crate::harness::{Checked, Files, Outcome, check, fixture};
use libtest_mimic::{Failed, Trial};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("dump/each-mark-happens-once", each_mark),
        Trial::test("dump/counts-add-up", counts),
        Trial::test("dump/steps-stand-where-leaves-say", places),
        Trial::test("dump/a-choice-plays-its-own-events", choices),
    ]
}

fn demo() -> (Files, Checked) {
    let folder = fixture::root().join("procedures");
    let files = fixture::read_folder(&folder, Path::new(&folder));
    let checked = check(&files);
    (files, checked)
}

fn all(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("no list: {value}"))
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("no text: {value}"))
}

fn fail(faults: Vec<String>, looked: usize, least: usize) -> Outcome {
    match faults.is_empty() && looked >= least {
        true => Ok(()),
        false => Err(Failed::from(format!("{looked} looked at\n{}", faults.join("\n")))),
    }
}

/// Every mark of the model that does something is an event under its own verb, and there are no others but what actions bring about.
fn each_mark() -> Outcome {
    let (_, checked) = demo();
    let (events, model) = (events(&checked), model(&checked));
    let mut faults = Vec::new();
    let mut looked = 0;
    for (set, known) in all(&events).iter().zip(all(&model)) {
        let mut marks: BTreeMap<String, usize> = BTreeMap::new();
        for procedure in all(&known["known"]["procedures"]) {
            for step in all(&procedure["steps"]) {
                let subs = all(&step["substeps"]).iter().flat_map(|sub| all(&sub["marks"]));
                for mark in all(&step["marks"]).iter().chain(subs) {
                    let mut words = text(mark).split(' ');
                    let verb = words.next().unwrap_or("");
                    // These say where and for whom, and do nothing themselves.
                    if !["label", "step", "see", "only", "each"].contains(&verb) {
                        let id = words.next().filter(|_| verb != "time").unwrap_or("");
                        *marks.entry(format!("{} {verb} {id}", procedure["card"])).or_default() += 1;
                    }
                }
            }
        }
        for event in all(&set["known"]["all"]) {
            let words: Vec<&str> = text(&event["what"]).split(' ').collect();
            looked += 1;
            let brought = words[0] == "never" || words.get(2) == Some(&"for");
            let key = match words[0] {
                "work" => format!("{} time ", event["card"]),
                verb => format!("{} {verb} {}", event["card"], words[1]),
            };
            match marks.get_mut(&key).filter(|left| **left > 0) {
                _ if brought => {}
                Some(left) => *left -= 1,
                None => faults.push(format!("no mark stands behind {key}")),
            }
        }
        faults.extend(
            marks
                .iter()
                .filter(|(_, left)| **left > 0)
                .map(|(mark, _)| format!("{mark} doesn't happen")),
        );
    }
    fail(faults, looked, 200)
}

/// How many are on after each event is what adding and taking away gives, from nothing or from all that there are.
fn counts() -> Outcome {
    let (_, checked) = demo();
    let mut faults = Vec::new();
    let mut looked = 0;
    for set in all(&events(&checked)) {
        let mut on: BTreeMap<String, i64> = BTreeMap::new();
        for event in all(&set["known"]["default"]) {
            let words: Vec<&str> = text(&event["what"]).split(' ').collect();
            let Some(now) = event["on"].as_i64() else { continue };
            let change = match words[0] {
                "fit" => words[2].parse::<i64>()?,
                "remove" => -words[2].parse::<i64>()?,
                _ => 0,
            };
            let id = if words[0] == "never" { words[3] } else { words[1] };
            looked += 1;
            match on.insert(id.to_string(), now) {
                Some(before) if before + change != now => {
                    faults.push(format!(
                        "{}: {now} {id} after {before} and {}",
                        event["at"], event["what"]
                    ));
                }
                None if now < 0 || now < change => faults.push(format!("{}: {now} {id} at first", event["at"])),
                _ => {}
            }
        }
    }
    fail(faults, looked, 40)
}

/// The words of each step of each card stand in its file from the place on that the card names.
fn places() -> Outcome {
    let (files, checked) = demo();
    let mut faults = Vec::new();
    let (mut looked, mut named) = (0, 0);
    for set in all(&leaves(&checked)) {
        for card in all(&set["known"]["cards"]) {
            for phase in all(&card["leaf"]["data"]["phases"]) {
                for step in all(&phase["runs"]).iter().flat_map(|run| all(&run["steps"])) {
                    let number = text(&step["number"]);
                    let place: Vec<&str> = text(&card["places"][number]).rsplitn(3, ':').collect();
                    let (line, path) = (place[1].parse::<usize>()?, place[2]);
                    let source = String::from_utf8_lossy(&files[path]).into_owned();
                    let from: Vec<&str> = source.lines().skip(line - 1).take(4).collect();
                    let inlines = all(&step["text"]).iter().flat_map(|block| block["text"].as_array());
                    let own = inlines.flatten().filter(|inline| inline["kind"] == "text");
                    let words = own.filter_map(|inline| inline["text"].as_str());
                    // A step may be a mark and a full stop.
                    let word = words
                        .flat_map(str::split_whitespace)
                        .find(|word| word.len() > 3)
                        .unwrap_or("");
                    let is_step = from[0]
                        .trim_start()
                        .starts_with(|c: char| c.is_ascii_digit() || c == '-');
                    looked += 1;
                    named += usize::from(!word.is_empty());
                    if !is_step || !from.join(" ").contains(word) {
                        faults.push(format!(
                            "{path}:{line}: step {number} has {word:?}, and here stands {from:?}"
                        ));
                    }
                }
            }
        }
    }
    if named < looked / 2 {
        faults.push(format!("only {named} of {looked} steps have words of their own"));
    }
    fail(faults, looked, 60)
}

/// Two values of an option: an event under each, and the default plays the one that it is for.
fn choices() -> Outcome {
    let set = "machine: Stand\ntitle: Stand\noptions:\n  seal: {what: seal, values: {keep: It is whole, renew: It leaks}, default: renew}\n\
               parts:\n  seal: {qty: 2}\n";
    let procedure = "---\ntitle: Seal\n---\n1. Take out [remove seal 2].\n2. [only seal=keep] Put back [fit seal 1], then [fit seal 1].\n\
                     3. [only seal=renew] Put in [fit seal 2].\n";
    let checked = check(&Files::from([
        ("stand/set.yaml".to_string(), set.as_bytes().to_vec()),
        ("stand/10-seal.md".to_string(), procedure.as_bytes().to_vec()),
    ]));
    let events = events(&checked);
    let told = |list: &str| -> Vec<String> {
        let events = all(&events[0]["known"][list]).iter();
        events
            .map(|e| format!("{} {} on {}", text(&e["step"]), text(&e["what"]), e["on"]))
            .collect()
    };
    let by_default = ["1.1 remove seal 2 on 0", "1.3 fit seal 2 on 2"];
    let only: Vec<&Value> = all(&events[0]["known"]["all"])
        .iter()
        .flat_map(|e| all(&e["only"]))
        .collect();
    match told("default") == by_default
        && told("all").len() == 4
        && only == ["seal = keep", "seal = keep", "seal = renew"]
    {
        true => Ok(()),
        false => Err(Failed::from(format!("{events:#}\n{}", checked.listing()))),
    }
}
