//! Fingerprints, card by card: another spelling of the same words has the same code, and every printed value that is another has another
//! code. The diff says the same of both. That a code stands for the page itself is held in `print/meaning.rs`.

use crate::harness::revisions::{cards_both_ways, codes, compare, data};
use crate::harness::{Files, Outcome, fixture};
use libtest_mimic::Trial;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("fingerprint/spelling-is-nothing", spelling_is_nothing),
        Trial::test("fingerprint/a-note-above-the-first-step-is-its-own", notes_above),
        Trial::test("fingerprint/a-card-made-for-other-choices-is-the-same", made_once),
        Trial::test("fingerprint/every-figure-counts", || every_mutation(figures)),
        Trial::test("fingerprint/every-flag-counts", || every_mutation(flags)),
        Trial::test("fingerprint/every-word-counts", || every_mutation(words)),
        Trial::test("fingerprint/every-level-counts", || every_mutation(levels)),
        Trial::test("fingerprint/every-step-counts", || every_mutation(steps)),
    ]
}

/// A set that uses every register.
fn sample() -> Files {
    fixture::read(&fixture::folder("fingerprint").join("sample.txt"))
}

fn text(files: &Files, path: &str) -> String {
    String::from_utf8_lossy(&files[path]).into_owned()
}

/// Front matter and body of a procedure.
fn parts(text: &str) -> (String, String) {
    let rest = text.strip_prefix("---\n").unwrap_or(text);
    let (head, body) = rest.split_once("\n---\n").unwrap_or((rest, ""));
    (head.to_string() + "\n", body.to_string())
}

/// Top-level keys of a YAML text with all that belongs to them.
fn blocks(yaml: &str) -> Vec<String> {
    let mut blocks: Vec<String> = Vec::new();
    for line in yaml.split_inclusive('\n') {
        match blocks.last_mut() {
            Some(block) if line.starts_with(' ') => block.push_str(line),
            _ => blocks.push(line.to_string()),
        }
    }
    blocks
}

/// Paragraphs of prose wrapped anew, with white space of another sort between the words of plain lines.
fn rewrapped(body: &str, width: usize, gap: &str) -> String {
    let mut out = String::new();
    for line in body.lines() {
        let plain = line.chars().next().is_some_and(char::is_alphanumeric) && !line.contains("  ");
        let step = line.split_once(". ").filter(|(n, _)| n.trim().parse::<u32>().is_ok());
        let (indent, words) = match step {
            Some((number, words)) => {
                out.push_str(&format!("{number}. "));
                (" ".repeat(number.len() + 2), words)
            }
            None if plain => (String::new(), line),
            None => {
                out.push_str(line);
                out.push('\n');
                continue;
            }
        };
        let mut column = 0;
        for (n, word) in pieces(words).into_iter().enumerate() {
            if n > 0 && column > width && word.starts_with(char::is_alphabetic) {
                out.push_str(&format!("\n{indent}"));
                column = 0;
            } else if n > 0 {
                out.push_str(gap);
            }
            column += word.len();
            out.push_str(&word);
        }
        out.push('\n');
    }
    out
}

/// Words, with a mark in one piece.
fn pieces(words: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    for word in words.split(' ') {
        match pieces.last_mut() {
            Some(last) if last.matches('[').count() > last.matches(']').count() => *last += &format!(" {word}"),
            _ => pieces.push(word.to_string()),
        }
    }
    pieces
}

const UNITS: [(&str, [&str; 3]); 3] = [
    ("N·m", ["Nm", "N.m", "N*m"]),
    ("lbf·in", ["in-lb", "lbf.in", "lbf in"]),
    ("± 10 %", ["±10%", "+/- 10 %", "± 10%"]),
];

fn spelling_is_nothing() -> Outcome {
    let files = sample();
    let expected = codes(&files);
    assert!(expected.len() >= 3, "the sample has cards and choices");
    let shuffles = || {
        (
            any::<prop::sample::Index>(),
            8..60usize,
            1..4usize,
            0..3usize,
            any::<u64>(),
        )
    };
    let config = Config {
        cases: 64,
        failure_persistence: None,
        ..Config::default()
    };
    let mut runner = TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &[6; 32]));
    let result = runner.run(&shuffles(), |(turn, width, gap, unit, seed)| {
        let mut other = Files::new();
        for path in files.keys() {
            let source = text(&files, path);
            if !path.ends_with(".md") && !path.ends_with(".yaml") {
                other.insert(path.clone(), files[path].clone());
                continue;
            }
            let (mut head, body) = if path.ends_with(".md") {
                parts(&source)
            } else {
                (source.clone(), String::new())
            };
            for (plain, spellings) in UNITS {
                head = head.replace(plain, spellings[unit]);
            }
            let mut keys = blocks(&head);
            let at = turn.index(keys.len());
            keys.rotate_left(at);
            if seed % 2 == 0 {
                keys.reverse();
            }
            let head = keys.join("# a remark that is nobody's business\n");
            let spelt = if path.ends_with(".md") {
                format!("---\n{head}---\n{}", rewrapped(&body, width, &" ".repeat(gap)))
            } else {
                head
            };
            other.insert(path.clone(), spelt.into_bytes());
        }
        prop_assert_eq!(&codes(&other), &expected);
        let found = compare(&files, &other);
        prop_assert!(!found.diff.matters(), "{}", found.human);
        Ok(())
    });
    result.map_err(|error| error.to_string().into())
}

/// A card that several choices make of the same is made once: in every set of the fixtures it is the one that each choice makes by itself.
fn made_once() -> Outcome {
    let procedures = fixture::root().join("procedures");
    let mut sets = vec![(
        "the demo sets".to_string(),
        fixture::read_folder(&procedures, &procedures),
    )];
    for folder in ["fingerprint", "plan", "kit", "calc", "rules", "diff"] {
        let texts = fixture::walk(&fixture::folder(folder)).into_iter();
        let texts = texts.filter(|path| path.extension().is_some_and(|ending| ending == "txt"));
        let ours = texts.filter(|path| fixture::text(path).contains("\noptions:\n"));
        sets.extend(ours.map(|path| (fixture::relative(&path), fixture::read(&path))));
    }
    let (mut cards, mut faults) = (0, Vec::new());
    for (name, files) in sets {
        let [gathered, alone] = cards_both_ways(&files);
        cards += alone.len();
        if gathered != alone {
            let other = gathered.iter().find(|card| !alone.contains(card));
            faults.push(format!("{name}: {other:?}"));
        }
    }
    eprintln!("{cards} cards");
    if cards < 100 {
        faults.push(format!("only {cards} cards"));
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}

/// A note right above a first step prints as that step's own: one code for both ways of writing it. Where the print differs, so does the code.
fn notes_above() -> Outcome {
    let written = |body: &str| {
        let set = "id: notes\ntitle: Notes\n".to_string();
        let card = format!("---\ntitle: Cover\n---\n\n{body}\n");
        let all = codes(&Files::from([
            ("set.yaml".to_string(), set.into_bytes()),
            ("10-cover.md".to_string(), card.into_bytes()),
        ]));
        all.get("Notes / Cover  / ").expect("a card").clone()
    };
    let note = "> [!NOTE] It is stiff.\n";
    let warning = "> [!WARNING] Hot oil. It burns. Avoid: let it cool.\n";
    let step = "1. Undo the cover.\n";
    let of_step = |message: &str| format!("\n   {message}");
    for head in ["", "## Strip\n\n"] {
        let own = written(&format!("{head}{step}{}", of_step(note)));
        assert_eq!(written(&format!("{head}{note}\n{step}")), own, "above the step");
        let graver = format!("{head}{warning}\n{note}\n{step}");
        let part = format!("{head}{warning}\n{step}{}", of_step(note));
        assert_eq!(written(&graver), written(&part), "below what is graver");
        let other = [
            (format!("{head}{step}"), "none at all"),
            (format!("{head}{warning}\n{step}"), "what is graver above"),
            (
                format!("{head}{step}{}", of_step(warning)),
                "what is graver in the step",
            ),
            (
                format!("{head}{note}\n- Undo the cover.\n"),
                "above a list in any order",
            ),
            (
                format!("{head}- Undo the cover.\n\n  {note}"),
                "within a list in any order",
            ),
            (
                format!("{head}{note}\n{step}{}", of_step(warning)),
                "above what is graver in the step",
            ),
            (
                format!("{head}{step}{}{}", of_step(warning), of_step(note)),
                "behind what is graver",
            ),
        ];
        let mut seen = vec![own];
        for (body, what) in other {
            let found = written(&body);
            assert!(!seen.contains(&found), "{head:?}, {what}: {found:?}");
            seen.push(found);
        }
    }
    Ok(())
}

/// Every way to change one thing in a text, with what was changed.
type Mutations = fn(&str, &str) -> Vec<(String, String)>;

/// Lines whose values no card prints: issue, price, look, and what was compared; a circle of any size fills the room it is drawn in.
const EXEMPT: [&str; 10] = [
    "rev:",
    "date:",
    "tried:",
    "price:",
    "paper:",
    "language:",
    "confirmed:",
    "units:",
    "id:",
    "circle:",
];

/// Each card has another code exactly if its data is another: the names of the cards hold their codes.
fn every_mutation(mutations: Mutations) -> Outcome {
    let files = sample();
    let before = data(&files);
    let (mut count, mut told, mut missed) = (0, 0, Vec::new());
    for path in files.keys().filter(|p| p.ends_with(".md") || p.ends_with(".yaml")) {
        let source = text(&files, path);
        for (what, changed) in mutations(path, &source) {
            let mut other = files.clone();
            other.insert(path.clone(), changed.into_bytes());
            count += 1;
            let after = data(&other);
            // A card of the same name, code included, must be the same to the last field.
            let same = |(name, card): (&String, &String)| after.get(name).is_some_and(|now| now != card);
            if before.iter().any(same) {
                missed.push(format!("{path}: {what}: a card changes and its code doesn't"));
            }
            if before.keys().ne(after.keys()) {
                told += 1;
                let found = compare(&files, &other);
                let said = found
                    .diff
                    .sets
                    .iter()
                    .flat_map(|s| &s.cards)
                    .any(|c| c.matters() || !c.same.is_empty());
                if !said {
                    missed.push(format!("{path}: {what}: a code changes and the diff is silent"));
                }
            }
        }
    }
    if count < 3 || told == 0 {
        return Err(format!("{count} mutations were tried, and {told} changed a code").into());
    }
    if missed.is_empty() {
        Ok(())
    } else {
        Err(format!("of {count} mutations:\n{}", missed.join("\n")).into())
    }
}

/// The text with one place of one line replaced.
fn with(source: &str, line: usize, range: std::ops::Range<usize>, new: &str) -> String {
    let lines = source.lines().enumerate().map(|(n, text)| {
        let mut text = text.to_string();
        if n == line {
            text.replace_range(range.clone(), new);
        }
        text + "\n"
    });
    lines.collect()
}

/// Runs of characters of a line that pass a test.
fn runs(line: &str, test: impl Fn(char) -> bool) -> Vec<std::ops::Range<usize>> {
    let mut found: Vec<std::ops::Range<usize>> = Vec::new();
    for (at, c) in line.char_indices().filter(|(_, c)| test(*c)) {
        match found.last_mut() {
            Some(run) if run.end == at => run.end += c.len_utf8(),
            _ => found.push(at..at + c.len_utf8()),
        }
    }
    found
}

/// Every number, with its last digit one up; numbers inside names are names, those of list items are benchleaf's own.
fn figures(_: &str, source: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for (n, line) in source.lines().enumerate() {
        if EXEMPT.iter().any(|word| line.trim_start().starts_with(word)) || line.trim_start().starts_with('#') {
            continue;
        }
        for run in runs(line, |c| c.is_ascii_digit()) {
            let before = line[..run.start].chars().next_back();
            let in_name =
                before.is_some_and(|c| c.is_alphabetic() || c == '-' || c == '_') && !line[..run.start].ends_with('x');
            let item = line[..run.start].trim().is_empty() && line[run.end..].starts_with(". ");
            // An address is no word.
            let address = line[..run.start].contains("](http");
            if in_name || item || address {
                continue;
            }
            let last = line.as_bytes()[run.end - 1];
            let up = if last == b'9' {
                "8"
            } else {
                &((last - b'0') + 1).to_string()
            };
            let changed = with(source, n, run.end - 1..run.end, up);
            found.push((format!("{line} [{} to …{up}]", &line[run.clone()]), changed));
        }
    }
    found
}

/// Every `yes` a `no` and the other way round.
fn flags(_: &str, source: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for (n, line) in source.lines().enumerate() {
        for run in runs(line, char::is_alphabetic) {
            let other = match &line[run.clone()] {
                "yes" => "no",
                "no" => "yes",
                _ => continue,
            };
            if line[..run.start].ends_with(": ") {
                found.push((format!("{line} [{other}]"), with(source, n, run, other)));
            }
        }
    }
    found
}

/// Every word of the body outside marks and addresses, replaced by another.
fn words(path: &str, source: &str) -> Vec<(String, String)> {
    if !path.ends_with(".md") {
        return Vec::new();
    }
    let mut found = Vec::new();
    let head = source
        .match_indices("---\n")
        .nth(1)
        .map_or(0, |(at, _)| source[..at].lines().count());
    for (n, line) in source.lines().enumerate().skip(head) {
        for run in runs(line, char::is_alphabetic).into_iter().filter(|r| r.len() > 3) {
            let before = &line[..run.start];
            let inside = before.matches('[').count() > before.matches(']').count() || before.contains("](");
            if !inside && !before.ends_with('.') && &line[run.clone()] != "Avoid" {
                found.push((
                    format!("{line} [{}]", &line[run.clone()]),
                    with(source, n, run, "quokka"),
                ));
            }
        }
    }
    found
}

/// Every message one level lower or higher.
fn levels(_: &str, source: &str) -> Vec<(String, String)> {
    let tags = ["NOTE", "NOTICE", "CAUTION", "WARNING", "DANGER"];
    let mut found = Vec::new();
    for (n, line) in source.lines().enumerate() {
        for tag in tags {
            let Some(at) = line.find(&format!("[!{tag}]")) else {
                continue;
            };
            for other in tags.iter().filter(|other| **other != tag) {
                let range = at + 2..at + 2 + tag.len();
                found.push((format!("{line} [{other}]"), with(source, n, range, other)));
            }
        }
    }
    found
}

/// Every line of a step taken out, and every two neighbours swapped.
fn steps(path: &str, source: &str) -> Vec<(String, String)> {
    if !path.ends_with(".md") {
        return Vec::new();
    }
    let is_step = |line: &str| {
        line.trim_start()
            .split_once(". ")
            .is_some_and(|(n, _)| n.parse::<u32>().is_ok())
    };
    let lines: Vec<&str> = source.lines().collect();
    let mut found = Vec::new();
    for (n, line) in lines.iter().enumerate().filter(|(_, line)| is_step(line)) {
        let mut without = lines.clone();
        without.remove(n);
        found.push((format!("{line} [gone]"), without.join("\n") + "\n"));
        if lines.get(n + 1).is_some_and(|next| is_step(next)) {
            let mut swapped = lines.clone();
            swapped.swap(n, n + 1);
            found.push((format!("{line} [swapped]"), swapped.join("\n") + "\n"));
        }
    }
    found
}
