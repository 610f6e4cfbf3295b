//! Seeded mistakes: each file of `tests/mutations/` changes one place of a demo set, and the mistake is caught where it does its harm.
//!
//! A file has prose that says what the mistake is, then `=== file` with a path below `procedures/`, `=== text` with lines that stand there
//! once, `=== becomes` with what they turn into (nothing: they are deleted), and `=== finds` with a line for each finding that must be there:
//! its code, its file, and the source line at which it points. Everything else that is found is in `<name>.findings`.

use crate::harness::{Checked, Outcome, check, fixture, snapshot};
use libtest_mimic::Trial;
use std::path::{Path, PathBuf};

/// The seeded mistakes.
pub fn files() -> Vec<PathBuf> {
    fixture::texts(&fixture::folder("mutations"))
}

pub fn trials() -> Vec<Trial> {
    let mut trials: Vec<Trial> = Vec::new();
    for path in files() {
        let name = format!("mutations/{}", fixture::stem(&path));
        trials.push(Trial::test(name, move || caught(&path)));
    }
    trials.push(Trial::test("mutations/twenty", || match files().len() {
        count if count >= 20 => Ok(()),
        count => Err(format!("only {count} mistakes are seeded").into()),
    }));
    trials
}

/// One seeded mistake.
#[derive(Default)]
struct Mutation {
    file: String,
    text: String,
    becomes: String,
    finds: Vec<String>,
}

fn read(path: &Path) -> Mutation {
    let mut mutation = Mutation::default();
    let mut section = String::new();
    for line in fixture::text(path).lines() {
        if let Some(header) = line.strip_prefix("=== ") {
            section = header.to_string();
            if let Some(file) = header.strip_prefix("file ") {
                mutation.file = file.to_string();
            }
            continue;
        }
        match section.as_str() {
            "text" => mutation.text += &format!("{line}\n"),
            "becomes" => mutation.becomes += &format!("{line}\n"),
            "finds" => mutation.finds.push(line.to_string()),
            _ => {}
        }
    }
    mutation
}

fn caught(path: &Path) -> Outcome {
    let mutation = read(path);
    let procedures = fixture::root().join("procedures");
    let set = mutation.file.split('/').next().unwrap_or("");
    let mut files = fixture::read_folder(&procedures, &procedures.join(set));
    let shop = procedures.join("workshop.yaml");
    files.insert(fixture::name(&shop), fixture::text(&shop).into_bytes());
    let Some(bytes) = files.get_mut(&mutation.file) else {
        return Err(format!("there is no {}", mutation.file).into());
    };
    let before = String::from_utf8_lossy(bytes).into_owned();
    // The text may be part of a line: its last line end is the file's of this fixture, not of the demo set.
    let part = before.matches(&mutation.text).count() != 1;
    let cut = |text: &str| {
        if part {
            text.trim_end_matches('\n').to_string()
        } else {
            text.to_string()
        }
    };
    let (text, becomes) = (cut(&mutation.text), cut(&mutation.becomes));
    if before.matches(&text).count() != 1 {
        return Err(format!("{text:?} stands in {} not once", mutation.file).into());
    }
    *bytes = before.replace(&text, &becomes).into_bytes();
    let checked = check(&files);
    let found: Vec<String> = at_lines(&checked);
    for wanted in &mutation.finds {
        if !found.contains(wanted) {
            return Err(format!("not found: {wanted}; what is:\n{}", checked.listing()).into());
        }
    }
    snapshot::compare(&path.with_extension("findings"), &checked.listing())
}

/// Each finding by its code, file and source line.
fn at_lines(checked: &Checked) -> Vec<String> {
    let mut found = Vec::new();
    for finding in &checked.compilation.findings {
        let span = finding.primary.span;
        let file = checked.files.get(span.file);
        let line = file.lines().position(&file.text, span.start as usize).line;
        let text = file.text.lines().nth(line.saturating_sub(1)).unwrap_or("");
        found.push(format!("{} {} {}", finding.rule.code, file.path, text.trim()));
    }
    found
}
