//! The insides of the demo sets, held against each other and against the files: what happens where, what of it is counted, and where the
//! pieces of leaves say that they are written.

use crate::harness::dumped::{events, leaves, model};
use crate::harness::{Checked, Files, Outcome, check, fixture};
use libtest_mimic::{Failed, Trial};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("dump/each-mark-happens-once", each_mark),
        Trial::test("dump/counts-add-up", counts),
        Trial::test("dump/pieces-stand-where-leaves-say", places),
        Trial::test("dump/a-choice-plays-its-own-events", choices),
        Trial::test("dump/what-is-on-is-not-brought", brought),
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
                    if !["label", "step", "see", "only", "each", "if", "unless", "repeat"].contains(&verb) {
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
    let known = model(&checked);
    for (set, known) in all(&events(&checked)).iter().zip(all(&known)) {
        // What is done only where a reading is out is no part of how things stand after it.
        let aside = |event: &Value| {
            let of_card = |procedure: &&Value| procedure["card"] == event["card"];
            let procedure = all(&known["known"]["procedures"]).iter().find(of_card);
            let steps = procedure.map_or(&[][..], |procedure| all(&procedure["steps"]));
            let step = steps.iter().find(|step| step["step"] == event["step"]);
            let marks = step.map_or(&[][..], |step| all(&step["marks"]));
            marks.iter().any(|mark| text(mark).starts_with("if "))
        };
        let mut on: BTreeMap<String, i64> = BTreeMap::new();
        for event in all(&set["known"]["default"]).iter().filter(|event| !aside(event)) {
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

/// What of a leaf isn't said to be written anywhere, numbers in lists left out: what the program says by itself, pieces of what has a place,
/// and what is gathered from several.
const NOWHERE: [&str; 33] = [
    "card",
    "card.carried_in",
    "card.carried_out",
    "card.cover",
    "card.identity",
    "card.identity.choices",
    "card.patterns.landmarks",
    "card.patterns.positions",
    "card.phases.end",
    "card.phases.end.counted",
    "card.phases.runs",
    "card.phases.runs.steps.specs.stages",
    "card.phases.runs.steps.specs.stages.passes",
    "card.phases.runs.steps.substeps.specs.stages",
    "card.phases.runs.steps.text.points",
    "card.torques.stages",
    "card.torques.stages.passes",
    "form",
    "form.cards",
    "form.identity",
    "form.identity.choices",
    "front",
    "front.cards",
    "front.identity",
    "front.identity.choices",
    "out",
    "out.identity",
    "out.identity.choices",
    "pocket",
    "pocket.identity",
    "pocket.identity.choices",
    "pocket.torques.stages",
    "pocket.torques.stages.passes",
];

/// Whatever has a place stands there with its words; what has none is listed.
fn places() -> Outcome {
    let (_, checked) = demo();
    let mut faults = Vec::new();
    let mut looked = 0;
    let mut nowhere = BTreeSet::new();
    for set in all(&leaves(&checked)) {
        let known = set["known"].as_object().ok_or("no leaves")?;
        let cards = all(&known["cards"]).iter();
        let others = known.iter().filter(|(name, _)| *name != "cards").map(|(_, leaf)| leaf);
        for leaf in cards.chain(others) {
            let places = leaf["places"].as_object().ok_or("no places")?;
            let mut pieces = Vec::new();
            pieces_of(&leaf["data"], String::new(), &mut pieces);
            for (path, piece) in pieces {
                let Some(place) = places.get(&path) else {
                    let names = path.split('.').filter(|name| name.parse::<usize>().is_err());
                    nowhere.insert(format!(
                        "{}{}",
                        text(&leaf["kind"]),
                        names.collect::<Vec<_>>().join(".")
                    ));
                    continue;
                };
                looked += 1;
                let written = text(&place[1]);
                faults.extend(
                    unwritten(&path, piece, written)
                        .map(|what| format!("{path} at {}: {what} in {written:?}", place[0])),
                );
            }
        }
    }
    let listed: BTreeSet<String> = NOWHERE.iter().map(ToString::to_string).collect();
    let others = nowhere.symmetric_difference(&listed);
    faults.extend(others.map(|path| format!("{path} has no place, or has one and is listed")));
    fail(faults, looked, 2_000)
}

/// Every dictionary below a value, with its path; runs of prose are what they are in.
fn pieces_of<'a>(value: &'a Value, path: String, found: &mut Vec<(String, &'a Value)>) {
    match value {
        Value::Object(fields) => {
            for (field, value) in fields {
                pieces_of(value, format!("{path}.{field}"), found);
            }
            found.push((path, value));
        }
        Value::Array(items) if !items.iter().any(is_inline) => {
            for (n, item) in items.iter().enumerate() {
                pieces_of(item, format!("{path}.{n}"), found);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) | Value::Array(_) => {}
    }
}

fn is_inline(value: &Value) -> bool {
    let kinds = ["text", "strong", "emphasis", "link", "name", "pointer", "said", "break"];
    value["kind"].as_str().is_some_and(|kind| kinds.contains(&kind))
}

/// What of a piece isn't written where it is said to be.
fn unwritten(path: &str, piece: &Value, written: &str) -> Option<String> {
    let list = path.rsplit('.').find(|name| name.parse::<usize>().is_err())?;
    match list {
        "specs" => (!written.starts_with('[') || !written.ends_with(']')).then(|| "no mark".to_string()),
        "steps" | "substeps" => None,
        _ if piece["kind"] == "paragraph" => {
            let own = all(&piece["text"]).iter().filter(|inline| inline["kind"] == "text");
            let words = own.flat_map(|inline| text(&inline["text"]).split_whitespace());
            let words = words.map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()));
            let missing: Vec<&str> = words.filter(|word| !written.contains(word)).collect();
            (!missing.is_empty()).then(|| missing.join(" "))
        }
        _ => match piece["id"].as_str() {
            Some(id) if !written.starts_with('[') => (!written.contains(id)).then(|| id.to_string()),
            Some(_) | None => None,
        },
    }
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

/// Temporary items that a card lists to lay out: those that it puts on, not those that it finds on, or has taken off itself.
fn brought() -> Outcome {
    let set = "machine: Stand\ntitle: Stand\ntemporary:\n  lock: {name: lock, qty: 1, flag: red}\n  plug: {name: plug, qty: 4, flag: red}\n";
    let card = |after: &str, steps: &str| format!("---\ntitle: Card\n{after}---\n\n# Work\n\n{steps}").into_bytes();
    let checked = check(&Files::from([
        ("stand/set.yaml".to_string(), set.as_bytes().to_vec()),
        (
            "stand/10-shut.md".to_string(),
            card("", "1. Fit the [fit lock].\n2. Put in two plugs: [fit plug 2].\n"),
        ),
        (
            "stand/20-work.md".to_string(),
            card(
                "after: [shut]\n",
                "1. Look at the [use lock].\n2. Take both out: [remove plug 2].\n3. Put in three: [fit plug 3].\n",
            ),
        ),
        (
            "stand/30-open.md".to_string(),
            card(
                "after: [work]\n",
                "1. Take out [remove plug 3].\n2. Take off the [remove lock].\n",
            ),
        ),
    ]));
    let leaves = leaves(&checked);
    let brought = |card: &Value| -> Vec<String> {
        let rows = all(&card["data"]["cover"]["temporary"]).iter();
        rows.map(|row| format!("{} {} {}", text(&row["name"]), row["amount"], row["steps"]))
            .collect()
    };
    let cards: Vec<Vec<String>> = all(&leaves[0]["known"]["cards"]).iter().map(brought).collect();
    let wanted = [
        vec!["lock \"1\" [\"1.1\"]", "plug \"2\" [\"1.2\"]"],
        vec!["plug \"1\" [\"1.3\"]"],
        vec![],
    ];
    match cards == wanted {
        true => Ok(()),
        false => Err(Failed::from(format!("{cards:#?}\n{}", checked.listing()))),
    }
}
