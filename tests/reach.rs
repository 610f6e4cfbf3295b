//! What must come off to reach parts: against every way in which small random machines can stand, and on machines told by hand.

mod brute;
mod random;

use crate::harness::{Files, Outcome, Severity, check, check_texts, fixture};
use brute::{Deed, Told};
use libtest_mimic::Trial;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestRng, TestRunner};
use random::Machine;
use std::cell::Cell;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("reach/agrees-with-brute-force", || agrees(100)),
        Trial::test("reach/told-whole", told_whole),
        Trial::test("reach/no-part-of-that-name", no_such_part),
        Trial::test("reach/what-a-choice-leaves-alone", left_alone),
        Trial::test("reach/members-alternatives-and-rounds", by_hand),
        Trial::test("reach/what-a-joint-asks", joints),
        Trial::test("reach/what-it-writes-for-random-machines-is-clean", || written(100)),
        Trial::test("reach/what-it-writes-for-the-demo-sets-is-clean", demo_sets),
        Trial::test("reach/ten-thousand-agree-with-brute-force", || agrees(10_000)).with_ignored_flag(true),
    ]
}

/// So many random machines, each part of them on its own, and two together.
fn agrees(cases: u32) -> Outcome {
    let config = Config {
        cases,
        failure_persistence: None,
        ..Config::default()
    };
    let mut runner = TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]));
    // How many had no way, and the longest that had one.
    let (none, longest) = (Cell::new(0), Cell::new(0));
    let result = runner.run(&random::machines(), |machine| {
        for wanted in [vec![0], vec![1], vec![2], vec![3], vec![4], vec![0, 4]] {
            let length = compare(&machine, &wanted).map_err(TestCaseError::fail)?;
            match length {
                Some(length) => longest.set(longest.get().max(length)),
                None => none.set(none.get() + 1),
            }
        }
        Ok(())
    });
    result.map_err(|error| error.to_string())?;
    // A comparison of nothing with nothing would agree as well.
    match (none.get(), longest.get()) {
        (0, _) | (_, 0..=6) => Err(format!("{none:?} without a way, the longest has {longest:?} acts").into()),
        _ => Ok(()),
    }
}

/// How many acts it takes, if the compiler and brute force agree.
fn compare(machine: &Machine, wanted: &[usize]) -> Result<Option<usize>, String> {
    let text = machine.text();
    let checked = check_texts(&[("set.yaml", &text)]);
    let ids: Vec<String> = wanted.iter().map(|part| format!("p{part}")).collect();
    let words: Vec<&str> = ids.iter().map(String::as_str).collect();
    let ours = checked.reach(&[], &words).map_err(|fault| format!("{fault:?}"))?;
    let theirs = machine.least(wanted);
    let word = |line: &serde_json::Value, field: &str| line[field].as_str().map(ToString::to_string);
    let told = |line: &serde_json::Value| -> Told {
        let text = |field: &str| word(line, field).unwrap_or_default();
        (text("act"), text("id"), word(line, "value"))
    };
    let acts: Vec<Told> = ours["acts"].as_array().into_iter().flatten().map(told).collect();
    let stuck = word(&ours, "stuck");
    let Some(theirs) = theirs else {
        return match (stuck, acts.is_empty()) {
            (Some(_), true) => Ok(None),
            _ => Err(format!("{wanted:?}: no way, but {acts:?}\n{text}")),
        };
    };
    if let Some(stuck) = stuck {
        return Err(format!("{wanted:?}: {stuck}, but {theirs:?}\n{text}"));
    }
    let deeds = machine.deeds();
    let deed = |told: &Told| deeds.iter().copied().find(|deed| deed.told() == *told);
    let ours: Option<Vec<Deed>> = acts.iter().map(deed).collect();
    let ours = ours.ok_or_else(|| format!("{wanted:?}: {acts:?} isn't known\n{text}"))?;
    if !machine.works(&ours, wanted) {
        return Err(format!("{wanted:?}: {ours:?} doesn't work\n{text}"));
    }
    let mut sorted = ours.clone();
    sorted.sort_unstable_by(|a, b| b.cmp(a));
    if sorted != theirs {
        return Err(format!("{wanted:?}: {ours:?}, but least is {theirs:?}\n{text}"));
    }
    Ok(Some(ours.len()))
}

/// A machine's set with what is written for a part is without an error.
fn is_clean(files: &Files, part: &str) -> Result<bool, String> {
    let Ok([apart, together]) = check(files).skeleton(&[part]) else {
        return Ok(false);
    };
    let mut files = files.clone();
    files.insert("10-apart.md".to_string(), apart.clone().into_bytes());
    files.insert("20-together.md".to_string(), together.clone().into_bytes());
    let checked = check(&files);
    let errors = checked.compilation.findings.iter();
    let errors: Vec<&str> = errors
        .filter(|finding| finding.severity() == Severity::Error)
        .map(|finding| finding.message.as_str())
        .collect();
    match errors.is_empty() {
        true => Ok(true),
        false => Err(format!("{part}: {errors:#?}\n{apart}\n{together}")),
    }
}

/// For every part of so many random machines that have no error by themselves.
fn written(cases: u32) -> Outcome {
    let config = Config {
        cases,
        failure_persistence: None,
        ..Config::default()
    };
    let mut runner = TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &[9; 32]));
    let counts = (Cell::new(0), Cell::new(0));
    let result = runner.run(&random::machines(), |machine| {
        let text = machine.text();
        let files = Files::from([("set.yaml".to_string(), text.clone().into_bytes())]);
        if check(&files).compilation.has_errors() {
            return Ok(());
        }
        for part in 0..machine.parts.len() {
            let clean = is_clean(&files, &format!("p{part}"));
            let clean = clean.map_err(|words| TestCaseError::fail(format!("{words}\n{text}")))?;
            let count = if clean { &counts.0 } else { &counts.1 };
            count.set(count.get() + 1);
        }
        Ok(())
    });
    result.map_err(|error| error.to_string())?;
    match counts.0.get() {
        0..=60 => Err(format!("only {counts:?} were written").into()),
        _ => Ok(()),
    }
}

/// For every part of every demo set, from its registers alone.
fn demo_sets() -> Outcome {
    let procedures = fixture::root().join("procedures");
    let (mut failed, mut count) = (Vec::new(), 0);
    for set in fixture::entries(&procedures).into_iter().filter(|path| path.is_dir()) {
        let mut files = Files::new();
        for (path, name) in [
            (set.join("set.yaml"), "set.yaml"),
            (procedures.join("workshop.yaml"), "workshop.yaml"),
        ] {
            files.insert(name.to_string(), fixture::text(&path).into_bytes());
        }
        for part in check(&files).parts() {
            match is_clean(&files, &part) {
                Ok(true) => count += 1,
                Ok(false) => failed.push(format!("{part} of {} has no way", fixture::name(&set))),
                Err(words) => failed.push(format!("{}: {words}", fixture::name(&set))),
            }
        }
    }
    match (failed.is_empty(), count) {
        (true, 40..) => Ok(()),
        _ => Err(format!("{count} are clean; {}", failed.join("\n")).into()),
    }
}

/// A machine of every kind of thing, with steps that say some times and not others.
const PUMP: &str = "\
machine: Invented pump
title: Rebuild
options:
  scope: {what: How far, values: {some: Less, all: More}, default: some}
states:
  power: {name: power, values: [live, locked], start: live, finish: live}
actions:
  lock: {name: Lock the power off, sets: {power: locked}}
parts:
  cover: {name: cover, covers: [impeller], to-remove: [power=locked]}
  gasket: {name: gasket, renew: yes, qty: 2, price: 4.20 EUR}
  impeller: {name: impeller, covers: [key, plate]}
  key: {name: key}
  plate: {name: wear plate, wear: yes, price: 18.00 EUR}
  foot: {name: foot}
  lid: {name: lid, covers: [strainer]}
  strainer: {name: strainer}
  trim: {name: trim, only: scope=all}
consumables:
  grease: {name: grease}
joints:
  face: {name: face, takes: [gasket], closed-by: screws}
torques:
  screws: {name: screws, torque: 9 N·m, lubrication: oiled, lubricant: grease, count: 6, secures: [cover]}
tools:
  hook: Hook
";

/// The steps of that machine.
const STEPS: &str = "\
---
title: Job
---

1. [do lock]. [time 2 min]
2. Undo the [loosen screws] and lift off the [remove cover]. [time 5 min]
3. Peel off the [remove gasket].
4. Draw the [remove impeller] with the [use hook].
5. Push on the [fit impeller].
6. Lay on the [fit gasket] and set on the [fit cover].
7. Put [use grease 3 mL on screws] on.
8. Tighten the [torque screws].
9. Bring the power back. [set power=live]
";

fn told_whole() -> Outcome {
    let checked = check_texts(&[("set.yaml", PUMP), ("10-job.md", STEPS)]);
    assert!(!checked.compilation.has_errors(), "{}", checked.human());
    let value = checked.reach(&[], &["key"]).map_err(|fault| format!("{fault:?}"))?;
    let words = |list: &str, field: &str| -> Vec<String> {
        let lines = value[list].as_array().into_iter().flatten();
        lines
            .map(|line| line[field].as_str().unwrap_or("-").to_string())
            .collect()
    };
    assert_eq!(words("acts", "id"), ["lock", "screws", "cover", "impeller", "key"]);
    assert_eq!(words("acts", "act"), ["do", "loosen", "remove", "remove", "remove"]);
    // A step that does two of them counts once; what no step does, or no time is said for, is unknown and not nought.
    assert_eq!(words("acts", "time"), ["2 min", "5 min", "5 min", "-", "-"]);
    assert_eq!(value["time"], "7 min");
    assert_eq!(value["seconds"], 420);
    assert_eq!(value["untimed"], 2);
    assert_eq!(words("tools", "id"), ["hook"]);
    assert_eq!(value["tools_unknown"], 1);
    assert!(value["acts"][4]["tools"].is_null());
    assert_eq!(value["acts"][0]["tools"], serde_json::json!([]));
    assert_eq!(words("fluids", "id"), ["grease"]);
    assert_eq!(words("fluids", "amount"), ["3 mL"]);
    assert!(words("new", "id").is_empty());
    assert_eq!(words("open", "id"), ["plate"]);
    let plate = &value["open"][0];
    assert_eq!((&plate["wear"], &plate["off"]), (&true.into(), &false.into()));
    assert_eq!((&plate["price"], &plate["now"]), (&"18.00 EUR".into(), &1.into()));
    assert_eq!(
        plate["later"],
        serde_json::json!({"acts": 5, "time": "7 min", "untimed": 2})
    );
    let text = checked.reach_text(&[], &["key"]);
    assert!(text.contains("Time   7 min, and 2 acts of unknown time"), "{text}");
    assert!(text.contains("Tools  Hook; 1 act no step does"), "{text}");
    assert!(
        text.contains("1 act more now  later: 5 acts, 7 min, and 2 acts of unknown time"),
        "{text}"
    );
    // What is for single use is bought, all pieces of it.
    let value = checked
        .reach(&[], &["gasket", "foot"])
        .map_err(|fault| format!("{fault:?}"))?;
    assert_eq!(
        (&value["price"], &value["new"][0]["count"]),
        (&"8.40 EUR".into(), &2.into())
    );
    let text = checked.reach_text(&[], &["foot"]);
    assert!(text.contains("Time   unknown"), "{text}");
    assert!(text.contains("Tools  unknown"), "{text}");
    Ok(())
}

fn no_such_part() -> Outcome {
    let checked = check_texts(&[("set.yaml", PUMP), ("10-job.md", STEPS)]);
    let fault = checked.reach(&[], &["key", "impellor"]);
    assert_eq!(fault, Err(("impellor".to_string(), Some("impeller".to_string()))));
    // There for the other choice alone.
    assert_eq!(
        checked.reach(&[], &["trim"]).map(|_| ()),
        Err(("trim".to_string(), None))
    );
    assert!(checked.reach(&[("scope", "all")], &["trim"]).is_ok());
    Ok(())
}

fn left_alone() -> Outcome {
    let checked = check_texts(&[("set.yaml", PUMP), ("10-job.md", STEPS)]);
    assert_eq!(checked.not_reached(&[]), ["strainer"]);
    let more =
        format!("{STEPS}10. Lift off the [remove lid]. [only scope=all]\n11. Set on the [fit lid]. [only scope=all]\n");
    let checked = check_texts(&[("set.yaml", PUMP), ("10-job.md", &more)]);
    assert_eq!(checked.not_reached(&[]), ["strainer"]);
    assert!(checked.not_reached(&[("scope", "all")]).is_empty());
    Ok(())
}

/// An act needs a joint that has to be opened before it: closed by screws or by a part, over a gasket or a paste, there is no way.
fn joints() -> Outcome {
    let acts = |face: &str, rest: &str| -> Result<String, String> {
        let text = format!(
            "machine: Invented machine\ntitle: Machine\n\
             states: {{oil: {{values: [in, out], start: in}}}}\n\
             actions: {{blow: {{needs: [face, dip=off], sets: {{oil: out}}}}}}\n\
             joints: {{face: {{takes: [{face}}}}}\n\
             parts:\n  lid: {{covers: [dip]}}\n  dip: Dip rod\n  sump: {{to-remove: [oil=out]}}\n{rest}"
        );
        let value = check_texts(&[("set.yaml", &text)])
            .reach(&[], &["sump"])
            .map_err(|fault| format!("{fault:?}"))?;
        let acts = value["acts"].as_array().into_iter().flatten();
        let told = acts.map(|line| {
            format!(
                "{} {}",
                line["act"].as_str().unwrap_or("-"),
                line["id"].as_str().unwrap_or("-")
            )
        });
        let told: Vec<String> = told.collect();
        Ok(value["stuck"].as_str().map_or(told.join(", "), ToString::to_string))
    };
    let screws = "torques: {screws: {torque: 9 N·m, lubrication: dry, secures: [lid]}}\n";
    let by_screws = acts("gasket], closed-by: screws", &format!("  gasket: Gasket\n{screws}"))?;
    let by_part = acts("gasket], closed-by: lid", "  gasket: Gasket\n")?;
    let hard = acts(
        "paste], closed-by: screws",
        &format!("consumables: {{paste: {{cure: 2 h}}}}\n{screws}"),
    )?;
    for told in [by_screws, by_part, hard] {
        assert_eq!(
            told,
            "what one act needs another undoes, whichever order they are done in"
        );
    }
    Ok(())
}

fn by_hand() -> Outcome {
    let acts = |set: &str, part: &str| -> Result<Vec<String>, String> {
        let text = format!("machine: Invented machine\ntitle: Machine\n{set}");
        let checked = check_texts(&[("set.yaml", &text)]);
        let value = checked.reach(&[], &[part]).map_err(|fault| format!("{fault:?}"))?;
        let acts = value["acts"].as_array().into_iter().flatten();
        let ids = acts
            .map(|line| line["id"].as_str().unwrap_or("-").to_string())
            .collect();
        match value["stuck"].as_str() {
            Some(stuck) => Err(stuck.to_string()),
            None => Ok(ids),
        }
    };
    // One member alone, and what covers that member.
    let rings = "groups: {cyl: {name: cylinder, members: [low, high]}}\nparts:\n  caps: {each: cyl, covers: [rings]}\n  rings: {each: cyl}\n";
    assert_eq!(acts(rings, "rings/high")?, ["caps/high", "rings/high"]);
    assert_eq!(acts(rings, "rings")?.len(), 4);
    // Of two ways to a state the one with fewer acts; of as few the cheaper; of alike ones the first.
    let ways = |first: &str, second: &str| {
        format!(
            "states: {{oil: {{values: [in, out], start: in}}}}\nactions:\n  drain: {{needs: [{first}], sets: {{oil: out}}}}\n  suck: {{needs: [{second}], sets: {{oil: out}}}}\nparts:\n  sump: {{to-remove: [oil=out]}}\n  plug: {{renew: yes, price: 2}}\n  stick: {{renew: yes, price: 1}}\n"
        )
    };
    assert_eq!(acts(&ways("plug=off", ""), "sump")?, ["suck", "sump"]);
    assert_eq!(acts(&ways("plug=off", "stick=off"), "sump")?, ["stick", "suck", "sump"]);
    assert_eq!(acts(&ways("", ""), "sump")?, ["drain", "sump"]);
    // What lies in an assembly is free of what covers it from outside once that is off.
    let inside = "parts:\n  hood: {covers: [gear]}\n  box: {contains: [gear]}\n  gear: Gear\n";
    assert_eq!(acts(inside, "gear")?, ["box", "gear"]);
    let stuck = acts(
        "parts:\n  a: {to-remove: [b=off]}\n  b: {to-remove: [c=off]}\n  c: {to-remove: [a=off]}\n",
        "b",
    );
    assert_eq!(
        stuck,
        Err("each waits for the next: `b` off → `c` off → `a` off → `b` off".to_string())
    );
    Ok(())
}
