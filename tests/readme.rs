//! The README is true to the letter: its dialogues are held and compared, its links lead somewhere, its two commands are those that CI runs. And the
//! manual's pages: complete, and whole in one file.

use crate::harness::{Outcome, fixture};
use crate::program::{CACHE, Scratch};
use libtest_mimic::Trial;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("readme/its-dialogues", dialogues),
        Trial::test("readme/its-two-commands", commands),
        Trial::test("readme/its-links", links),
        Trial::test("readme/the-manual-is-whole", manual),
    ]
}

fn readme() -> String {
    fixture::text(&fixture::root().join("README.md"))
}

/// What stands in fences of a kind, block by block.
fn blocks(text: &str, kind: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if line.strip_prefix("```") == Some(kind) {
            let inside: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
            all.push(inside.join("\n"));
        }
    }
    all
}

/// Each command with what it is said to print.
fn asked(block: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for line in block.lines() {
        match (line.strip_prefix("$ "), all.last_mut()) {
            (Some(command), _) => all.push((command.to_string(), String::new())),
            (None, Some((_, printed))) => {
                printed.push_str(line);
                printed.push('\n');
            }
            (None, None) => {}
        }
    }
    all
}

fn dialogues() -> Outcome {
    let scratch = Scratch::new("readme");
    let bin = scratch.path().join("bin");
    fs::create_dir_all(&bin).expect("a folder");
    symlink(env!("CARGO_BIN_EXE_benchleaf"), bin.join("benchleaf")).expect("a link");
    let path = format!("{}:{}", bin.display(), std::env::var("PATH").unwrap_or_default());
    let (mut faults, mut held) = (Vec::new(), 0);
    for block in blocks(&readme(), "console") {
        for (command, printed) in asked(&block) {
            let output = Command::new("sh")
                .args(["-c", &format!("{command} 2>&1")])
                .current_dir(scratch.path())
                .env("PATH", &path)
                .env(CACHE, scratch.cache())
                .output()
                .expect("a shell");
            let found = String::from_utf8_lossy(&output.stdout).into_owned();
            held += 1;
            if found.trim_end() != printed.trim_end() {
                faults.push(format!("$ {command}\nprints\n{found}\nand not\n{printed}"));
            }
        }
    }
    if held < 7 {
        faults.push(format!("only {held} commands were read"));
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}

fn commands() -> Outcome {
    let blocks = blocks(&readme(), "sh");
    let two: Vec<&str> = blocks[0]
        .lines()
        .filter_map(|line| line.split('#').next())
        .map(str::trim)
        .collect();
    let run = fixture::text(&fixture::root().join(".ci/run"));
    let missing: Vec<&&str> = two
        .iter()
        .filter(|command| !run.lines().any(|line| line == **command))
        .collect();
    match (two.len(), missing.is_empty()) {
        (2, true) => Ok(()),
        (count, _) => Err(format!("{count} commands, and CI doesn't run {missing:?}").into()),
    }
}

/// What is linked to, as Markdown has it.
fn targets(text: &str) -> Vec<String> {
    let after = text.split("](").skip(1);
    after
        .filter_map(|rest| rest.split_once(')'))
        .map(|(target, _)| target.to_string())
        .collect()
}

fn links() -> Outcome {
    let root = fixture::root();
    let mut faults = Vec::new();
    let mut checked = 0;
    let mut look = |file: &str, folder: &Path, text: &str| {
        for target in targets(text) {
            let place = target.split('#').next().unwrap_or_default();
            if place.is_empty() || place.starts_with("https://") {
                continue;
            }
            checked += 1;
            if !folder.join(place).exists() {
                faults.push(format!("{file}: there is no {target}"));
            }
        }
    };
    look("README.md", &root, &readme());
    let developers = fixture::text(&root.join("DEVELOPERS.md"));
    look("DEVELOPERS.md", &root, &developers);
    // What it names in code font by a path is there too.
    for text in [readme(), developers] {
        for name in text.split('`').skip(1).step_by(2) {
            let is_path = name.contains('/') && name.chars().all(|c| c.is_ascii_alphanumeric() || "/.-_".contains(c));
            let ours = ["compiler/", "templates/", "tests/", ".ci/"]
                .iter()
                .any(|start| name.starts_with(start));
            if is_path && ours && !root.join(name).exists() {
                faults.push(format!("there is no {name}"));
            }
        }
    }
    if checked < 10 {
        faults.push(format!("only {checked} links were read"));
    }
    match faults.is_empty() {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}

fn manual() -> Outcome {
    let scratch = Scratch::new("manual");
    let run = |words: &[&str]| {
        let arguments: Vec<String> = words.iter().map(ToString::to_string).collect();
        scratch.run(&arguments)
    };
    let (list, _, code) = run(&["manual"]);
    assert_eq!(code, Some(0));
    let names: Vec<&str> = list.lines().filter_map(|line| line.split_whitespace().next()).collect();
    let mut faults = Vec::new();
    // Every page that lies there is carried, and every one that is carried can be read whole.
    let folder = fixture::root().join("compiler/edge/manual");
    for path in fixture::entries(&folder) {
        if path.extension().is_some_and(|ending| ending == "md") && !names.contains(&fixture::stem(&path).as_str()) {
            faults.push(format!("{} is no page", fixture::name(&path)));
        }
    }
    for name in &names {
        let (text, _, code) = run(&["manual", name]);
        if code != Some(0) || text.contains("{{") || !text.starts_with("# ") {
            faults.push(format!("{name} isn't whole"));
        }
    }
    for register in ["parts", "torques", "limits"] {
        let (text, _, _) = run(&["manual", register]);
        if !text.contains("| field | takes |") || !text.contains("## Example") {
            faults.push(format!("{register} has no table or no example"));
        }
    }
    let (found, _, code) = run(&["manual", "--find", "unit TABLE"]);
    let (_, errors, missed) = run(&["manual", "torque"]);
    assert!(
        missed == Some(2) && errors.contains("did you mean `torques`?"),
        "{errors}"
    );
    assert!(code == Some(0) || found.is_empty());
    let (_, errors, code) = run(&["manual", "--html", "manual.html"]);
    assert_eq!(code, Some(0), "{errors}");
    let html = fs::read_to_string(scratch.path().join("manual.html")).expect("a file");
    for way in ["<script", "src=", "href=\"http:", "url(", "@import"] {
        if html.contains(way) {
            faults.push(format!("the file has `{way}` in it: it is to need nothing else"));
        }
    }
    for name in &names {
        if !html.contains(&format!("<section id=\"{name}\">")) {
            faults.push(format!("the file has no {name}"));
        }
    }
    for words in [
        &["manual", "--pdf", "manual.pdf"][..],
        &["manual", "--pdf", "letter.pdf", "--paper", "letter"],
        &["manual", "--pdf", "a5.pdf", "--paper", "a5"],
        &["manual", "--pdf", "half.pdf", "--paper", "half-letter", "--mono"],
        &["manual", "torques", "--pdf", "torques.pdf", "--paper", "a5", "--mono"],
    ] {
        let (_, errors, code) = run(words);
        let bytes = fs::read(
            scratch
                .path()
                .join(words[words.iter().position(|w| w.ends_with(".pdf")).expect("a file")]),
        );
        if code != Some(0) || !bytes.is_ok_and(|bytes| bytes.starts_with(b"%PDF")) {
            faults.push(format!("{words:?} prints nothing: {errors}"));
        }
    }
    let (_, errors, code) = run(&["manual", "torques", "--pdf", "torques"]);
    assert!(code == Some(2) && errors.contains("ends in `.pdf`"), "{errors}");
    match faults.is_empty() && names.len() > 25 {
        true => Ok(()),
        false => Err(faults.join("\n").into()),
    }
}
