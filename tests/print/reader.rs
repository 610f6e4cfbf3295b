//! Reading back: faults that are put into templates, each caught; what is too much for a leaf, told; everything else let through, in templates of
//! somebody's own too.

use super::complaints;
use crate::harness::{Checked, Files, check, fixture, rule, rules};
use crate::printer::{self, Assets, PAPERS, card::Card};
use libtest_mimic::Trial;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// A fault: what is changed in a file of the templates, and what kind of breach that must give, with which words if it could be another one of its kind.
struct Fault {
    name: String,
    file: String,
    /// What stands there, and what is put in its place.
    changes: Vec<(String, String)>,
    kind: String,
    words: String,
    /// The procedure that it is looked at on.
    sample: String,
}

/// The procedure of faults that name none.
const SAMPLE: &str = "sample.md";

/// All procedures that faults are looked at on: between them they have one of each thing. What nobody walked through is a draft; what no commit
/// has says so.
const SAMPLES: [&str; 8] = [
    SAMPLE,
    "drum.md",
    "drum.md as a draft",
    "drum.md without a commit",
    "after.txt",
    "torn.md",
    "barred.md",
    "both-ways.md",
];

/// The faults of a file. Each changes one place of the built-in templates.
fn faults(file: &str) -> Vec<Fault> {
    let text = std::fs::read_to_string(fixture::folder("read-back").join(file)).unwrap();
    let one = |part: &str| {
        let (head, lines) = part.split_once('\n').unwrap();
        let head: Vec<String> = head.split(" | ").map(str::to_string).collect();
        let [name, kind, file] = [0, 1, 2].map(|n| head.get(n).cloned().unwrap_or_else(|| panic!("{part}")));
        let side = |lines: &str, sign: char| -> String {
            let lines: Vec<&str> = lines.lines().filter_map(|line| line.strip_prefix(sign)).collect();
            lines.join("\n")
        };
        let changes = lines.split("\n&\n").map(|lines| (side(lines, '-'), side(lines, '+')));
        let (kind, words) = kind.split_once(": ").unwrap_or((&kind, ""));
        Fault {
            name,
            kind: kind.to_string(),
            words: words.to_string(),
            file,
            changes: changes.collect(),
            sample: head.get(3).cloned().unwrap_or_else(|| SAMPLE.to_string()),
        }
    };
    text.split("\n== ").skip(1).map(one).collect()
}

/// A procedure that faults are looked at on, with the pictures that lie beside it.
fn sample(name: &str) -> (Card, Assets) {
    let folder = fixture::folder("read-back");
    // A set of several cards: the last of them.
    if name.ends_with(".txt") {
        let checked = check(&fixture::read(&folder.join(name)));
        assert!(!checked.compilation.has_errors(), "{}", checked.human());
        let card = printer::cards(&checked).pop().unwrap_or_else(|| panic!("{name}"));
        return (card, Assets::default());
    }
    let (kept, uncommitted) = match name.strip_suffix(" without a commit") {
        Some(file) => (file, true),
        None => (name, false),
    };
    let (file, draft) = match kept.strip_suffix(" as a draft") {
        Some(file) => (file, true),
        None => (kept, false),
    };
    let text = std::fs::read_to_string(folder.join(file)).unwrap();
    let text = if draft {
        text.replace("\ntried: 2026-01-02\n", "\n")
    } else {
        text
    };
    let (mut pictures, mut assets) = (Vec::new(), Assets::default());
    for path in fixture::entries(&folder) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if name.ends_with(".svg") {
            let bytes = std::fs::read(&path).unwrap();
            assets.insert(name.clone(), bytes.clone());
            pictures.push((name, bytes));
        }
    }
    let checked = printer::written_with(&text, pictures);
    assert!(!checked.compilation.has_errors(), "{}", checked.human());
    let mut card = printer::cards(&checked).remove(0);
    assert_eq!(card.identity.draft, draft, "{name}");
    // Who prints it knows.
    card.identity.uncommitted = uncommitted;
    (card, assets)
}

pub fn trials() -> Vec<Trial> {
    let mut trials = vec![Trial::test("read-back/whole", || {
        let typesetter = printer::typesetter(&printer::templates());
        let mut found = Vec::new();
        for ((paper, ..), name) in PAPERS.into_iter().flat_map(|paper| SAMPLES.map(|name| (paper, name))) {
            let (mut card, assets) = sample(name);
            card.identity.paper = paper.to_string();
            found.extend(
                printer::breaches(&typesetter, &card, &assets)?
                    .into_iter()
                    .map(|breach| format!("{name} on {paper}: {breach:?}")),
            );
        }
        complaints(found)
    })];
    for (of, fault) in ["faults", "honest"]
        .into_iter()
        .flat_map(|of| faults(&format!("{of}.txt")).into_iter().map(move |fault| (of, fault)))
    {
        let name = format!("read-back/{of}/{}", fault.name);
        trials.push(Trial::test(name, move || {
            let found = look(&printer::templates(), &sample(&fault.sample), &fault);
            complaints(found.into_iter().collect())
        }));
    }
    let of_pages = rules().iter().map(|rule| rule.name);
    // A missing character is found before anything is laid out.
    for name in of_pages.filter(|name| rule::by_printing(name) && *name != "missing-glyph") {
        trials.extend(rule::trials(&fixture::folder("rules").join(name), read_back));
    }
    trials.push(Trial::test("read-back/too-much-is-told", || complaints(too_much())));
    // Some, and those of the thousand that once were parted on half a sheet.
    trials.push(Trial::test("read-back/random", || {
        let seeds = [1..=3, 103..=103, 115..=115, 275..=275, 389..=389, 735..=735];
        complaints(seeds.into_iter().flat_map(random).collect())
    }));
    // In parts, so that every core has some.
    for part in 0..10 {
        let (first, last) = (100 * part + 1, 100 * part + 100);
        let trial = Trial::test(format!("read-back/random-thousand/{first}-to-{last}"), move || {
            // `SEED=103` looks at one of them alone.
            let one = std::env::var("SEED").ok().and_then(|seed| seed.parse().ok());
            let seeds = one.map_or(first..=last, |seed: u64| seed..=seed);
            complaints(random(seeds))
        });
        trials.push(trial.with_ignored_flag(true));
    }
    trials
}

/// Puts a change of a fixture, lines that begin with `-` and `+`, into a template.
fn changed(templates: &mut BTreeMap<String, Vec<u8>>, path: &str, change: &str) {
    let side = |sign: char| -> String {
        let lines: Vec<&str> = change.lines().filter_map(|line| line.strip_prefix(sign)).collect();
        lines.join("\n")
    };
    let text = String::from_utf8(templates[path].clone()).unwrap();
    assert!(text.contains(&side('-')), "{path} has no {}", side('-'));
    templates.insert(path.to_string(), text.replacen(&side('-'), &side('+'), 1).into_bytes());
}

/// Compiles files and adds what reading back finds; files below `templates/` change the built-in ones.
fn read_back(files: &Files) -> Checked {
    let mut templates = printer::templates();
    let mut own = files.clone();
    for (path, bytes) in files {
        if let Some(template) = path.strip_prefix("templates/") {
            changed(&mut templates, template, std::str::from_utf8(bytes).unwrap());
            own.remove(path);
        }
    }
    let typesetter = printer::typesetter(&templates);
    let mut checked = check(&own);
    let mut found = printer::read_back(&typesetter, &checked);
    let findings = &mut checked.compilation.findings;
    findings.append(&mut found);
    findings.sort_by(printer::Finding::order);
    findings.dedup();
    checked
}

/// What was too much for a leaf: each is told, or all of it is there, as a reader of the PDF finds it.
fn too_much() -> Vec<String> {
    let grid = |rows: usize, columns: usize| {
        let name = |word: &str, n: usize| format!("{word} {n}");
        let rows: Vec<String> = (1..=rows).map(|n| name("place", n)).collect();
        let columns: Vec<String> = (1..=columns).map(|n| name("side", n)).collect();
        let at = if columns.is_empty() {
            format!("[{}]", rows.join(", "))
        } else {
            format!("{{rows: [{}], columns: [{}]}}", rows.join(", "), columns.join(", "))
        };
        let registers = format!("limits:\n  bore:\n    name: bore\n    limit: 12.0 to 12.4 mm\n    where: {at}\n");
        (
            registers,
            "1. Rest.\n2. Measure the [measure bore].\n".to_string(),
            rows,
            true,
        )
    };
    let stages = || {
        let stages: Vec<String> = (1..=28).map(|n| format!("{} N·m", n + 10)).collect();
        let registers = format!(
            "torques:\n  ring:\n    name: ring bolt\n    fastener: M12x1.75 10.9\n    stages: [{}]\n    tolerance: ± 10 %\n    lubrication: dry\n",
            stages.join(", ")
        );
        (
            registers,
            "1. Rest.\n2. Tighten the [torque ring].\n".to_string(),
            stages,
            false,
        )
    };
    let message = |words: usize| {
        let text = vec!["hot"; words].join(" ");
        let body =
            format!("1. Rest.\n2. Open it.\n\n   > [!DANGER] Steam\n   > {text}.\n   > Avoid: wait until lastword.\n");
        (String::new(), body, vec!["lastword".to_string()], false)
    };
    let circle = || {
        let registers = "patterns:\n  ring:\n    circle: {count: 97, diameter: 900 mm}\ntorques:\n  ring:\n    name: ring bolt\n    fastener: M8 8.8\n    count: 97\n    torque: 20 N·m\n    pattern: ring\n    lubrication: dry\n";
        let body = "1. Rest.\n2. Tighten the [torque ring].\n".to_string();
        // Such a ring can't be drawn with numbers that can be read on any of these papers: only telling is right.
        (
            registers.to_string(),
            body,
            vec!["nothing says this".to_string()],
            false,
        )
    };
    let mut found = Vec::new();
    for (name, (registers, body, words, fits)) in [
        ("97 bolts", circle()),
        ("18 readings", grid(18, 3)),
        ("40 readings", grid(40, 2)),
        ("12 by 4 readings", grid(12, 4)),
        ("28 stages", stages()),
        ("642 words", message(642)),
        ("272 words", message(272)),
    ] {
        let checked = printer::procedure(&registers, &body);
        if checked.compilation.has_errors() {
            found.push(format!("{name}: {}", checked.human()));
        }
        for paper in ["a5", "half-letter", "a4"] {
            for printed in printer::print(&checked, paper, false) {
                let breaches = printed.breaches();
                let text = printed.texts().unwrap_or_default().concat();
                let lacks: Vec<&String> = words
                    .iter()
                    .filter(|word| !text.contains(&printer::squeezed(word)))
                    .collect();
                if fits && !breaches.is_empty() {
                    found.push(format!("{name} on {paper}: {breaches:?}"));
                }
                if breaches.is_empty() && !lacks.is_empty() {
                    found.push(format!(
                        "{name} on {paper}: {lacks:?} is not there, and nothing is told"
                    ));
                }
            }
        }
    }
    found
}

/// Numbers that are the same on every machine (xorshift).
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % limit as u64).unwrap()
    }
}

/// A procedure of phases, messages, tables and hold points as they fall.
fn any_procedure(dice: &mut Dice) -> (String, String) {
    let mut registers = "torques:\n".to_string();
    let mut holds = "holds:\n".to_string();
    let mut limits = "limits:\n".to_string();
    let mut body = String::new();
    let mut entries = 0;
    for phase in 1..=1 + dice.below(4) {
        body.push_str(&format!("\n# Part {phase} of the work\n\n"));
        for _ in 0..dice.below(3) {
            body.push_str("What is meant here is told in a few sentences that go before the work.\n\n");
        }
        for n in 0..dice.below(3) {
            body.push_str(&format!(
                "> [!WARNING] Hazard {n} of part {phase}\n> It hurts you badly.\n> Avoid: keep away from it.\n\n"
            ));
        }
        for step in 1..=1 + dice.below(9) {
            let texts = [
                "Turn the ring to its mark",
                "Look at the seat",
                "Wipe the face clean with a cloth that leaves no threads",
            ];
            let words = texts[dice.below(3)];
            body.push_str(&format!("{step}. {words}"));
            entries += 1;
            match dice.below(5) {
                0 => {
                    registers.push_str(&format!(
                        "  t{entries}:\n    name: screw {entries}\n    fastener: M8x1.25 8.8\n    count: {}\n    torque: {} N·m\n    tolerance: ± 10 %\n    lubrication: dry\n",
                        1 + dice.below(6), 15 + dice.below(9)
                    ));
                    body.push_str(&format!(" and tighten the [torque t{entries}]"));
                }
                1 => {
                    let rows: Vec<String> = (0..1 + dice.below(14)).map(|n| format!("place {n}")).collect();
                    let columns = if dice.below(2) == 0 {
                        "[left, right]"
                    } else {
                        "[a, b, c, d]"
                    };
                    limits.push_str(&format!("  m{entries}:\n    name: gap {entries}\n    limit: 0.{} to 0.9 mm\n    where: {{rows: [{}], columns: {columns}}}\n", 1 + dice.below(7), rows.join(", ")));
                    body.push_str(&format!(" and measure the [measure m{entries}]"));
                }
                _ => {}
            }
            body.push('.');
            if dice.below(6) == 0 {
                holds.push_str(&format!(
                    "  h{entries}:\n    what: Everything of step {step} is as it should be\n"
                ));
                body.push_str(&format!(" [hold h{entries}]"));
            }
            body.push('\n');
            for n in 0..dice.below(4).saturating_sub(1) {
                body.push_str(&format!(
                    "\n   > [!CAUTION] Edge {n}\n   > It cuts.\n   > Avoid: wear gloves.\n"
                ));
            }
        }
    }
    let mut all = String::new();
    for register in [registers, limits, holds] {
        if register.lines().count() > 1 {
            all.push_str(&register);
        }
    }
    (all, body)
}

/// Random sets on four papers, in colour and without: what is read back is right, and another reader finds every step in the PDF.
fn random(seeds: RangeInclusive<u64>) -> Vec<String> {
    let mut found = Vec::new();
    let many = seeds.clone().count() > 10;
    for seed in seeds {
        let (registers, body) = any_procedure(&mut Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15)));
        let checked = printer::procedure(&registers, &body);
        let before = found.len();
        for (paper, ..) in PAPERS {
            for colour in if many { vec![true, false] } else { vec![seed % 2 == 0] } {
                for printed in printer::print(&checked, paper, colour) {
                    found.extend(
                        super::read_back(&printed)
                            .into_iter()
                            .map(|fault| format!("seed {seed} on {paper}: {fault}")),
                    );
                }
            }
        }
        // Whoever mends it wants to see it.
        if found.len() > before {
            found.push(format!("seed {seed}:\n{registers}\n{body}"));
            // A thousand take an hour.
            eprintln!("{}", found[before..].join("\n"));
        }
        if found.len() > 20 {
            break;
        }
    }
    found
}

/// What is wrong with how a fault is caught.
fn look(templates: &BTreeMap<String, Vec<u8>>, (card, assets): &(Card, Assets), fault: &Fault) -> Option<String> {
    // A file of somebody's own may be another one than ours.
    let text = templates.get(&fault.file).cloned().unwrap_or_default();
    let mut text = String::from_utf8(text).ok()?;
    for (was, is) in &fault.changes {
        if !text.contains(was) {
            return Some(format!("the template has no `{was}`"));
        }
        text = text.replacen(was, is, 1);
    }
    let mut with = templates.clone();
    with.insert(fault.file.clone(), text.into_bytes());
    let Fault { kind, words, .. } = fault;
    let is_it = |(of, says): &(_, String)| format!("{of:?}") == *kind && says.contains(words.as_str());
    match printer::breaches(&printer::typesetter(&with), card, assets) {
        Err(faults) => Some(faults),
        Ok(found) if kind == "Nothing" && found.is_empty() => None,
        Ok(found) if found.iter().any(is_it) => None,
        Ok(found) => Some(format!("{kind} expected with “{words}”, found: {found:?}")),
    }
}
