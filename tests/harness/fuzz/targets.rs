//! What is asked of a text: each target reads it as one thing that a stranger may have written, and says what is not as it must be.

use super::values;
use crate::harness::{Checked, Files, check, desk, fixture, revisions, sound};
use benchleaf_core::model::Choices;
use benchleaf_core::record::{carry, form, judge, leaf, read, text as shown, write};
use benchleaf_core::report::{github, sarif};
use benchleaf_core::{leaves, reach};
use std::sync::LazyLock;

/// What a text is taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// A value, a calculation, a question at the bench.
    Values,
    /// What stands between the brackets of a mark.
    Marks,
    /// YAML of a procedure, a set, a shop.
    FrontMatter,
    /// Markdown of a procedure.
    Body,
    /// Files of a set, from texts to every leaf that can be printed.
    Set,
    /// A filled-in record.
    Record,
    /// Files of a set, with every question that an editor asks.
    Desk,
    /// Files of a set, spelt anew.
    Format,
    /// Two states of a set; the older lies below `before/`.
    Compared,
}

impl Target {
    pub const ALL: [Target; 9] = [
        Target::Values,
        Target::Marks,
        Target::FrontMatter,
        Target::Body,
        Target::Set,
        Target::Record,
        Target::Desk,
        Target::Format,
        Target::Compared,
    ];

    /// Its name, of which `tests/fuzz/targets/` has a file.
    pub fn name(self) -> &'static str {
        match self {
            Target::Values => "values",
            Target::Marks => "marks",
            Target::FrontMatter => "front_matter",
            Target::Body => "body",
            Target::Set => "set",
            Target::Record => "record",
            Target::Desk => "desk",
            Target::Format => "format",
            Target::Compared => "compared",
        }
    }

    /// Asks of a text what this target asks.
    ///
    /// # Errors
    /// What is not as it must be, a fault a line.
    pub fn run(self, text: &str) -> Result<(), String> {
        match self {
            Target::Values => values::hold(text),
            Target::Marks => stand(&marked(text)),
            Target::FrontMatter => heads(text).iter().try_for_each(stand),
            Target::Body => stand(&body(text)),
            Target::Set => whole(&files(text)),
            Target::Record => judged(text),
            Target::Desk => asked(&files(text)),
            Target::Format => desk::format_holds(&files(text)).map(drop),
            Target::Compared => compared(files(text)),
        }
    }
}

/// The set's own file where a text makes another one.
const SET: &str = "machine: Invented pump\ntitle: Pump\n";

/// More than any fixture has.
const MOST_FILES: usize = 40;

fn of(texts: &[(&str, &str)]) -> Files {
    let own = texts
        .iter()
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()));
    own.collect()
}

/// The files of a text, each behind a line `=== path`, with the words in brackets that fixtures have; a set of its own if there is none.
pub fn files(text: &str) -> Files {
    let mut found = Files::new();
    for part in format!("\n{text}").split("\n=== ").skip(1).take(MOST_FILES) {
        let (header, body) = part.split_once('\n').unwrap_or((part, ""));
        let (path, words) = header.trim().split_once(" (").unwrap_or((header.trim(), ""));
        if !is_path(path) {
            continue;
        }
        let mut body = if body.is_empty() {
            String::new()
        } else {
            format!("{body}\n")
        };
        for word in words.trim_end_matches(')').split(", ") {
            match word {
                "crlf" => body = body.replace('\n', "\r\n"),
                "cr" => body = body.replace('\n', "\r"),
                "bom" => body.insert(0, '\u{feff}'),
                "open-end" => body.truncate(body.trim_end_matches('\n').len()),
                _ => {}
            }
        }
        found.insert(path.to_string(), body.into_bytes());
    }
    if !found.keys().any(|path| path.rsplit('/').next() == Some("set.yaml")) {
        found.insert("set.yaml".to_string(), SET.as_bytes().to_vec());
    }
    found
}

/// True for what the edge hands in: a relative path of names.
fn is_path(path: &str) -> bool {
    let is_name = |name: &str| !name.is_empty() && !matches!(name, "." | "..") && !name.contains(['\0', '\\', ':']);
    path.len() < 200 && path.split('/').all(is_name)
}

/// A procedure that has one of everything that a mark may name.
const RICH: &str = "---\ntitle: Open\nparts: {lid: {name: Lid, qty: 2}, ring: {fitted: no, replaces: old}, old: {reuse: no}}\n\
    temporary: {lock: isolator lock}\nconsumables: {glue: {amount: 50 mL, open: 12 min, cure: 2 h}}\n\
    tools: {wrench: {kind: torque-wrench, range: 5..25 N·m}}\n\
    torques: {bolts: {fastener: M6 8.8, torque: 9 N·m, count: 4, lubrication: dry}, rod: {stages: [20 N·m, +90°]}}\n\
    limits: {bore: {limit: 41.2..41.9 mm, where: [a, b]}, gap: {limit: max 0.4 mm, calc: max(bore) - 41.5 mm}}\n\
    states: {valve: {values: [open, shut], start: open}}\nactions: {turn: {needs: {valve: shut}}}\n\
    timers: {soak: {what: soak, at-least: 10 min}}\nholds: {seen: {what: seen}}\n\
    options: {seals: {what: Seals, values: {renew: Old, keep: New}, default: renew}}\n---\n\n";

/// A mark in a step, a heading, a message and a sub-step.
fn marked(text: &str) -> Files {
    let body = format!(
        "## Work [{text}]\n\n> [!WARNING] Hot [{text}]\n> It burns.\n> Avoid: wait.\n\n1. Do [{text}] it. [label here]\n   1. And [fit ring] [{text}].\n"
    );
    of(&[("set.yaml", SET), ("10-open.md", &format!("{RICH}{body}"))])
}

fn body(text: &str) -> Files {
    of(&[("set.yaml", SET), ("10-open.md", &format!("{RICH}{text}"))])
}

/// A head of each kind.
fn heads(text: &str) -> [Files; 3] {
    let look = "---\ntitle: Open\n---\n\n1. Look.\n";
    let procedure = format!(
        "---\n{text}\n---\n\n1. Look. [do turn]\n2. Tighten the [torque bolts].\n3. Measure the [measure bore].\n"
    );
    [
        of(&[("set.yaml", SET), ("10-open.md", &procedure)]),
        of(&[("set.yaml", text), ("10-open.md", look)]),
        of(&[("set.yaml", SET), ("workshop.yaml", text), ("10-open.md", look)]),
    ]
}

/// What holds of any files, in a sentence a fault.
fn stand(files: &Files) -> Result<(), String> {
    let faults = sound::faults(files);
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults.join("\n"))
    }
}

/// The same, with every leaf there is, what must come off for each part, and the reports that other programs read.
fn whole(files: &Files) -> Result<(), String> {
    stand(files)?;
    let checked = check(files);
    for finding in &checked.compilation.findings {
        let line = github::render(&checked.files, finding);
        if line.trim_end_matches('\n').contains(['\n', '\r']) {
            return Err(format!("an annotation of several lines: {line:?}"));
        }
    }
    let report = sarif::render(&checked.files, &checked.compilation.findings);
    serde_json::from_str::<serde_json::Value>(&report).map_err(|error| format!("sarif: {error}"))?;
    let (codes, again) = (codes(&checked), codes(&checked));
    if codes != again {
        return Err("the same leaf has two codes".to_string());
    }
    reached(&checked)
}

/// Every code of every leaf of the sets that can be printed.
fn codes(checked: &Checked) -> Vec<String> {
    let sets = checked.compilation.model.sets.iter().zip(&checked.compilation.facts);
    let printed = sets.filter(|(set, _)| !checked.compilation.blocks(&checked.files, set));
    let all = printed.flat_map(|(set, facts)| leaves::of_set(&checked.files, set, facts));
    all.map(|leaf| format!("{:?} {:?} {}", leaf.sort, leaf.choices, leaf.code))
        .collect()
}

/// The way to the first parts of each set, and the procedures written from it.
fn reached(checked: &Checked) -> Result<(), String> {
    for set in &checked.compilation.model.sets {
        let choices = Choices::defaults(&set.catalogue);
        let _ = reach::scope_text(&reach::scope(set, &choices));
        let parts = set.catalogue.parts.iter().map(|(_, def)| def.id.text.clone());
        for part in parts.take(3) {
            let part = [part];
            if let Ok(found) = reach::reach(set, &choices, &part) {
                let _ = reach::text(&found);
                serde_json::to_value(&found).map_err(|error| format!("reach: {error}"))?;
            }
            let _ = reach::skeleton(set, &part).is_ok();
        }
    }
    Ok(())
}

/// Every question at some eighty places, and names changed there and back.
fn asked(files: &Files) -> Result<(), String> {
    let length: usize = files.values().map(Vec::len).sum();
    let checked = check(files);
    checked.ask_everywhere(length / 80 + 1)?;
    let free = "zq-1";
    for (path, at) in checked.names().into_iter().step_by(1 + length / 400).take(3) {
        let Some((old, there, place)) = checked.rename_there(&path, at, free) else {
            continue;
        };
        let other = check(&there);
        let Some((_, back, _)) = other.rename_there(&path, place, &old) else {
            // Something else has the old name as well, or it is written somewhere in vain.
            continue;
        };
        if back != checked.all() {
            return Err(format!(
                "{path}:{at}: `{old}` named `{free}` and back is not what it was"
            ));
        }
    }
    Ok(())
}

/// A diff with itself is empty, and there is a change one way if there is one back.
fn compared(files: Files) -> Result<(), String> {
    let older = |path: &str| path.strip_prefix("before/").map(String::from);
    let mut old = files
        .clone()
        .into_iter()
        .filter_map(|(path, bytes)| Some((older(&path)?, bytes)))
        .collect::<Files>();
    let new: Files = files.into_iter().filter(|(path, _)| older(path).is_none()).collect();
    if !old.is_empty() {
        // What the older state doesn't have of its own is as it is now.
        new.iter().for_each(|(path, bytes)| {
            old.entry(path.clone()).or_insert_with(|| bytes.clone());
        });
        let (there, back) = (revisions::compare(&old, &new), revisions::compare(&new, &old));
        if there.diff.matters() != back.diff.matters() {
            return Err(format!("there: {}\nback: {}", there.human, back.human));
        }
    }
    let same = revisions::compare(&new, &new);
    match same.diff.sets.is_empty() {
        true => Ok(()),
        false => Err(format!("compared with itself: {}", same.human)),
    }
}

/// A card that has a box of every kind.
const BOXES: &str = "---\ntitle: Open\nparts: {ring: {fitted: no}}\ntorques: {bolts: {torque: 9 N·m, lubrication: dry, count: 4}}\n\
    limits:\n  bore: {limit: 41.2..41.9 mm, where: [a, b]}\n  gap: {limit: max 0.4 mm, calc: max(bore) - 41.5 mm}\n\
    timers: {soak: {what: soak, at-least: 10 min}}\nholds: {seen: {what: seen, second-person: yes}}\n---\n\n\
    1. Measure the [measure bore]. [start soak]\n2. Work out the [measure gap]. [end soak]\n3. Fit the [fit ring].\n4. Tighten the [torque bolts]. [hold seen]\n";

/// That card's set, and the demo sets, of which there are records among the fixtures.
static CARDS: LazyLock<Vec<Checked>> = LazyLock::new(|| {
    let own = of(&[("set.yaml", SET), ("10-open.md", BOXES)]);
    let root = fixture::root().join("procedures");
    vec![check(&own), check(&fixture::read_folder(&root, &root))]
});

/// A record just begun for each card.
pub fn begun() -> Vec<String> {
    let sets = CARDS.iter().flat_map(|checked| &checked.compilation.model.sets);
    let of_set = |set: &benchleaf_core::model::Set| -> Vec<String> {
        let choices = Choices::defaults(&set.catalogue);
        let forms = set.procedures.ids().map(|id| form(set, id, &choices));
        forms.map(|form| write(set, &form, "", "P-1", &[])).collect()
    };
    sets.flat_map(of_set).collect()
}

/// One verdict, which is what the findings say; what is left over can be written into the next record.
fn judged(text: &str) -> Result<(), String> {
    let Ok(filled) = read(text) else { return Ok(()) };
    let sets = CARDS
        .iter()
        .flat_map(|checked| checked.compilation.model.sets.iter().zip(&checked.compilation.facts));
    for (set, facts) in sets {
        let Ok(report) = judge(set, facts, &filled, std::slice::from_ref(&filled), "") else {
            continue;
        };
        let words = shown(&report);
        let verdicts = words.lines().filter(|line| matches!(*line, "PASS" | "FAIL")).count();
        if verdicts != 1 {
            return Err(format!("{verdicts} verdicts:\n{words}"));
        }
        if report.pass == report.findings.iter().any(|finding| finding.kind.fails()) {
            return Err(format!("the verdict isn't that of the findings:\n{words}"));
        }
        serde_json::to_value(&report).map_err(|error| format!("report: {error}"))?;
        let _ = leaf::sheet(report, &set.language, "a4");
        let serial = filled.text("serial");
        let left = carry(std::slice::from_ref(&filled), serial);
        for procedure in set.procedures.ids().take(2) {
            let next = write(
                set,
                &form(set, procedure, &Choices::defaults(&set.catalogue)),
                "",
                serial,
                &left,
            );
            let next = read(&next)
                .map_err(|words| format!("a record with what was left over can't be read: {words}\n{next}"))?;
            if next.carried.len() != left.len() || next.text("serial") != serial {
                return Err(format!("{} left over, {} carried", left.len(), next.carried.len()));
            }
        }
    }
    Ok(())
}
