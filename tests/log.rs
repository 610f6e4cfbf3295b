//! Job records of the demo sets: each `tests/log/<name>.yaml`, filled in, gives exactly the report beside it.

mod judged;
mod slips;

use crate::harness::{Files, Outcome, fixture, job, snapshot};
use libtest_mimic::Trial;
use std::path::PathBuf;

/// The filled-in records.
pub fn records() -> Vec<PathBuf> {
    let all = fixture::entries(&fixture::folder("log")).into_iter();
    all.filter(|path| path.extension().is_some_and(|e| e == "yaml"))
        .collect()
}

pub fn trials() -> Vec<Trial> {
    let mut trials: Vec<Trial> = records()
        .into_iter()
        .map(|path| {
            Trial::test(format!("log/{}", fixture::stem(&path)), move || {
                let report = job::record(&demo(), &fixture::text(&path), "")?;
                snapshot::compare(&path.with_extension("report"), &job::record_text(&report))
            })
        })
        .collect();
    trials.push(Trial::test("log/seeded-faults-and-no-others", seeded));
    trials.push(Trial::test("log/readings-come-from-other-cards", other_card));
    trials.push(Trial::test("log/strays-are-told", strays));
    trials.push(Trial::test("log/the-manual-shows-a-record", manual));
    trials.push(Trial::test("log/an-empty-record-misses-every-box", empty));
    trials.push(Trial::test("log/a-later-job-starts-with-what-was-put-off", carried));
    trials.push(Trial::test("log/a-changed-card-is-told", changed));
    trials.push(Trial::test(
        "log/a-record-is-judged-by-what-it-was-begun-with",
        begun_with,
    ));
    trials.push(Trial::test("log/a-calibration-that-was-over-is-told", calibration));
    trials.push(Trial::test("log/a-wait-without-a-timer-is-told", not_timed));
    trials.push(Trial::test("log/what-goes-back-on-has-no-box", new_parts));
    trials.push(Trial::test("log/each-member-has-its-boxes", each_member));
    trials.extend(slips::trials());
    trials.extend(judged::trials());
    trials
}

fn demo() -> Files {
    let folder = fixture::root().join("procedures");
    fixture::read_folder(&folder, &folder)
}

fn filled() -> String {
    fixture::text(&fixture::folder("log").join("reducer-with-faults.yaml"))
}

fn is(found: &impl std::fmt::Debug, expected: &str) -> Outcome {
    let found = format!("{found:?}");
    if found == expected {
        Ok(())
    } else {
        Err(format!("{found}\nis not\n{expected}").into())
    }
}

/// Two values out of limits, one timer overrun and one deferral give these four findings.
fn seeded() -> Outcome {
    let report = job::record(&demo(), &filled(), "")?;
    let kinds: Vec<&str> = report.findings.iter().map(|f| f.kind.word()).collect();
    is(&kinds, r#"["out of limits", "out of limits", "overrun", "deferred"]"#)?;
    is(&report.pass, "false")
}

/// A calculation takes readings from the record of another card of the same machine, and of no other machine.
fn other_card() -> Outcome {
    let set = "machine: Invented pump\ntitle: Rebuild\nlimits:\n  bore: {limit: 65 H7, where: [top, low]}\n  \
               play: {limit: 0.05..0.10 mm, calc: max(bore) - 64.94 mm}\n";
    let card = |id: &str| format!("---\ntitle: Card\n---\n\n1. Measure the [measure {id}].\n");
    let files: Files = [
        ("p/set.yaml", set.to_string()),
        ("p/10-a.md", card("bore")),
        ("p/20-b.md", card("play")),
    ]
    .map(|(path, text)| (path.to_string(), text.into_bytes()))
    .into();
    let first = job::begun(&files, ("p", "a"), "", " p-1", &[])?;
    let first = first
        .replace("\"top\": \"\"", "\"top\": \"65.012\"")
        .replace("\"low\": \"\"", "\"low\": \"65.004\"");
    let value = |serial: &str| -> Result<String, String> {
        let second = job::begun(&files, ("p", "b"), "", serial, &[])?;
        let report = job::record_with(&files, &second, &[&first], "")?;
        Ok(report.readings.iter().map(|r| r.value.english()).collect())
    };
    is(&(value("P-1")?, value("P-2")?), r#"("0.072 mm", "")"#)
}

/// A record of another card's boxes is told of each, and judged by its own.
fn strays() -> Outcome {
    let text = filled()
        .replace("wheel-play", "wheel-pley")
        .replace("\"quarter 1\"", "\"quarter 9\"");
    let report = job::record(&demo(), &text, "")?;
    let strays: Vec<String> = report
        .findings
        .iter()
        .filter(|f| f.kind.word() == "stray")
        .map(|f| f.message.english())
        .collect();
    is(
        &strays,
        r#"["the card has no limit `wheel-pley` at step 7.2", "the card has no place `quarter 9` for this reading"]"#,
    )
}

/// A `[wait …]` has no boxes: the record passes without them, and says that it shows nothing.
fn not_timed() -> Outcome {
    let files = fixture::read(&fixture::folder("plan").join("cure-of-a-joint.txt"));
    let text = job::begun(&files, ("set", "cover"), "", "P-1", &[])?;
    let report = job::record(&files, &text, "")?;
    let told = report.findings.iter().filter(|f| f.kind.word() == "not timed");
    let told: Vec<(String, bool)> = told.map(|f| (f.message.english(), f.kind.fails())).collect();
    is(
        &told,
        r#"[("sealing compound (step 1.4) cures for 10 h, and nothing here shows that this was waited for: only a timer has boxes for its start and end", false)]"#,
    )
}

/// Only a part that wasn't on the machine has a box for what it is; what came off and goes back on has none.
fn new_parts() -> Outcome {
    let set = "machine: Invented pump\ntitle: Rebuild\nparts:\n  lid: {name: lid}\n  worn: {name: worn ring, reuse: no}\n  \
               ring: {name: ring, replaces: worn}\n";
    let card = "---\ntitle: Card\n---\n\n1. Lift off the [remove lid].\n2. Take out the [remove worn].\n\
                3. Put in the [fit ring].\n4. Set on the [fit lid].\n";
    let files: Files = [("p/set.yaml", set), ("p/10-a.md", card)]
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()))
        .into();
    let text = job::begun(&files, ("p", "a"), "", "P-1", &[])?;
    is(
        &(text.contains("\"ring\": ["), text.contains("\"lid\"")),
        "(true, false)",
    )
}

/// A step that is done for each member has a box for each, and so has one below such a heading.
fn each_member() -> Outcome {
    let set =
        "machine: Invented pump\ntitle: Rebuild\ngroups: {side: [left, right]}\nlimits:\n  play: {limit: max 2 mm}\n";
    let card = "---\ntitle: Card\n---\n\n## By step\n\n1. Measure the [measure play]. [each side]\n\n\
                ## By side [each side]\n\n1. Measure the [measure play].\n\n## Once\n\n1. Measure the [measure play].\n";
    let files: Files = [("p/set.yaml", set), ("p/10-a.md", card)]
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()))
        .into();
    let text = job::begun(&files, ("p", "a"), "", "P-1", &[])?;
    is(&job::record(&files, &text, "")?.readings.len(), "5")
}

/// The record that the manual shows reads as one.
fn manual() -> Outcome {
    let readme = fixture::text(&fixture::root().join("compiler/edge/manual/job.md"));
    let example = readme.split("```yaml\n").find(|part| part.starts_with("log: 1"));
    let example = example
        .and_then(|part| part.split("```").next())
        .ok_or("the manual shows no record")?;
    let report = job::record(&demo(), example, "")?;
    let strays = report
        .findings
        .iter()
        .filter(|f| matches!(f.kind.word(), "stray" | "unreadable"))
        .count();
    is(
        &(strays, report.readings.iter().filter(|r| !r.value.is_empty()).count()),
        "(0, 3)",
    )
}

/// Every box of a record as it is begun is missed once, and the record reads back.
fn empty() -> Outcome {
    let text = job::begun(&demo(), ("worm-reducer", "bearings-and-shims"), "", "", &[])?;
    let report = job::record(&demo(), &text, "")?;
    let told = report.findings.len();
    let not_signed = report.findings.iter().filter(|f| f.kind.word() == "not signed").count();
    // 4 of the head, 22 readings and a pack that waits for 4 of them, 3 torques, 3 timers of 2 boxes, 1 hold.
    let readings = report.readings.len();
    is(&(readings, told - not_signed, not_signed), "(26, 38, 1)")
}

fn carried() -> Outcome {
    let text = job::begun(&demo(), ("worm-reducer", "close-and-fill"), "", "WR-0042", &[&filled()])?;
    let report = job::record(&demo(), &text, "")?;
    let carried: Vec<(&str, &str)> = report
        .carried
        .iter()
        .map(|d| (d.what.as_str(), d.due.as_str()))
        .collect();
    is(&carried, r#"[("drag", "2026-06-30")]"#)?;
    let open = report.findings.iter().filter(|f| f.kind.word() == "still open").count();
    is(&open, "1")?;
    let other = job::begun(&demo(), ("worm-reducer", "close-and-fill"), "", "WR-0043", &[&filled()])?;
    is(&other.contains("carried:"), "false")
}

/// A job done after a wrench or a gauge was due is told of each once; one done on the last day is not.
fn calibration() -> Outcome {
    let set = "machine: Invented pump\ntitle: Rebuild\ntools:\n  \
               wrench: {name: Wrench, kind: torque-wrench, range: 5..25 N·m, number: T-02, calibrated-until: 2026-03-31}\n  \
               mic: {name: Micrometer, kind: micrometer, range: 0..25 mm, resolution: 0.001 mm, calibrated-until: 2026-04-30}\n\
               torques: {cover: {torque: 9 N·m}}\nlimits: {pin: {limit: 9.98..10.00 mm, gauge: mic}}\n";
    let card = "---\ntitle: Card\n---\n\n1. Tighten the [torque cover].\n2. Measure the [measure pin].\n";
    let files: Files = [("p/set.yaml", set), ("p/10-a.md", card)]
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()))
        .into();
    let told = |day: &str| -> Result<Vec<String>, String> {
        let text = job::begun(&files, ("p", "a"), "", "", &[])?;
        let text = text
            .replace("tool: \"\"", "tool: \"t-02\"")
            .replace("finished: \"\"", &format!("finished: \"{day}\""));
        let report = job::record(&files, &text, "")?;
        let over = report.findings.iter().filter(|f| f.kind.word() == "calibration over");
        Ok(over.map(|f| f.message.english()).collect())
    };
    is(
        &(
            told("2026-03-31T12:00")?,
            told("2026-04-01")?,
            told("2026-05-01")?.len(),
        ),
        r#"([], ["Wrench was calibrated until 2026-03-31, and the job is of 2026-04-01"], 2)"#,
    )
}

fn changed() -> Outcome {
    let text = job::begun(&demo(), ("pump-seal", "inspect"), "FKZ3-K1W8", "P-7", &[])?;
    let told = |current| -> Result<usize, String> {
        let report = job::record(&demo(), &text, current)?;
        Ok(report
            .findings
            .iter()
            .filter(|f| f.kind.word() == "card changed")
            .count())
    };
    is(&(told("fkz3kiw8")?, told("K2M3-VYTW")?, told("")?), "(0, 1, 0)")
}

/// The limit is narrowed after the record was begun: it passes by its own, and what changed is told beside. A key that nobody knows is told.
fn begun_with() -> Outcome {
    let set = |limit: &str| {
        let set = "machine: Invented pump\ntitle: Pump\nrev: A\n";
        let card = format!(
            "---\ntitle: Measure\nlimits:\n  gap: {{name: gap, limit: {limit}, record: yes}}\ntimers:\n  cure: {{what: cure, at-least: 10 min}}\n\
             torques:\n  nuts: {{name: nuts, torque: 20 N·m ± 10 %, count: 4}}\n---\n\n# Measure\n\n1. Take the [measure gap]. [start cure]\n\
             2. Tighten the [torque nuts]. [end cure]\n"
        );
        let files = [("pump/set.yaml", set.to_string()), ("pump/10-measure.md", card)];
        Files::from(files.map(|(path, text)| (path.to_string(), text.into_bytes())))
    };
    let (old, new) = (set("0.10..0.50 mm"), set("0.10..0.30 mm"));
    let text = job::begun(&old, ("pump", "measure"), "", "P-7", &[])?;
    let text = text.replacen("value: \"\"", "value: \"0.40\"\n    sighed: \"x\"", 1);
    let text = text
        .replacen("start: \"\"", "start: \"18:00\"", 1)
        .replacen("end: \"\"", "end: \"18:12\"", 1);
    let text = text.replacen("tightened: \"\"", "tightened: \"4\"", 1);
    let told = |files: &Files| -> Result<Vec<String>, String> {
        let report = job::record(files, &text, "")?;
        let told = report.findings.iter().filter(|f| f.kind.word() != "missing");
        Ok(told.map(|f| format!("{}: {}", f.kind.word(), f.message)).collect())
    };
    is(&told(&old)?, r#"["stray: a reading has no field `sighed`"]"#)?;
    is(
        &told(&new)?,
        r#"["stray: a reading has no field `sighed`", "card changed: gap was 0.10–0.50 mm when this record was begun and is 0.10–0.30 mm on the card now: it is judged by the first"]"#,
    )
}
