//! What each declaration costs an author, and which of the mistakes that break it it alone catches: each is taken out of all five sets, with and
//! without the mistake, and what is no longer told at its place was caught by it. The table stands at the end of the manual's page on ties.

use super::{Edit, edited, is_caught, rebuilds, told};
use crate::harness::{Checked, Files, Outcome, Severity, check, fixture, snapshot};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Register and field; a field of `set.yaml` itself has no register.
const DECLARATIONS: [(&str, &str); 32] = [
    ("torques", "secures"),
    ("torques", "part"),
    ("torques", "lubricant"),
    ("torques", "needs"),
    ("torques", "to-loosen"),
    ("torques", "to-tighten"),
    ("parts", "secures"),
    ("parts", "covers"),
    ("parts", "contains"),
    ("parts", "needs"),
    ("parts", "to-fit"),
    ("parts", "to-remove"),
    ("parts", "renew"),
    ("parts", "spares"),
    ("parts", "marked"),
    ("parts", "finish"),
    ("parts", "replaces"),
    ("parts", "only"),
    ("temporary", "covers"),
    ("temporary", "needs"),
    ("temporary", "to-remove"),
    ("temporary", "keeps"),
    ("temporary", "unsafe"),
    ("limits", "needs"),
    ("actions", "needs"),
    ("actions", "never-with"),
    ("holds", "needs"),
    ("states", "unsafe"),
    ("states", "finish"),
    ("joints", "takes"),
    ("consumables", "open"),
    ("consumables", "cure"),
];

/// What was taken out of a text.
#[derive(Default)]
struct Taken {
    entries: usize,
    characters: usize,
}

/// The length of a value that begins here: to the comma or bracket that ends it.
fn value(text: &str) -> usize {
    let mut depth = 0;
    for (at, letter) in text.char_indices() {
        match letter {
            '[' | '{' => depth += 1,
            ']' | '}' if depth == 0 => return at,
            ']' | '}' => depth -= 1,
            ',' | '\n' if depth == 0 => return at,
            _ => {}
        }
    }
    text.len()
}

/// A set file without a field of a register.
fn without(text: &str, register: &str, field: &str, taken: &mut Taken) -> String {
    let mut out = String::new();
    let mut inside = false;
    for line in text.lines() {
        if !line.starts_with([' ', '#']) && !line.is_empty() {
            inside = line.split(':').next() == Some(register);
        }
        let own = format!("    {field}:");
        if inside && line.starts_with(&own) {
            taken.entries += 1;
            taken.characters += line.trim_start().chars().count();
            continue;
        }
        let mut line = line.to_string();
        let flow = inside.then(|| [format!(", {field}: "), format!("{{{field}: ")]);
        for start in flow.into_iter().flatten() {
            let Some(at) = line.find(&start) else {
                continue;
            };
            let first = start.starts_with('{');
            let from = at + usize::from(first);
            let mut to = at + start.len() + value(&line[at + start.len()..]);
            if first && line[to..].starts_with(", ") {
                to += 2;
            }
            taken.entries += 1;
            taken.characters += line[from..to].chars().count();
            line.replace_range(from..to, "");
        }
        out += &line;
        out.push('\n');
    }
    out
}

/// All files of a set without a declaration.
fn stripped(files: &Files, (register, field): (&str, &str), taken: &mut Taken) -> Files {
    let mut files = files.clone();
    for (path, bytes) in &mut files {
        if path.ends_with("set.yaml") {
            let text = without(&String::from_utf8_lossy(bytes), register, field, taken);
            *bytes = text.into_bytes();
        }
    }
    files
}

/// True if a set no longer reads: the steps name what was taken out.
fn is_broken(checked: &Checked) -> bool {
    let unread = |code: &str| code < "BL3";
    checked
        .compilation
        .findings
        .iter()
        .any(|finding| finding.severity() == Severity::Error && unread(finding.rule.code))
}

/// One row of the table.
struct Row {
    declaration: String,
    taken: Taken,
    /// Mistakes that name it.
    named: usize,
    /// None where the steps no longer read without it.
    alone: Option<Vec<String>>,
}

fn row(declaration: (&str, &str)) -> Result<Row, Box<dyn std::error::Error>> {
    let word = format!("{}.{}", declaration.0, declaration.1);
    let mut row = Row {
        declaration: word.clone(),
        taken: Taken::default(),
        named: 0,
        alone: Some(Vec::new()),
    };
    for rebuild in rebuilds() {
        let set = fixture::read(&rebuild.join("set.txt"));
        let bare = check(&stripped(&set, declaration, &mut row.taken));
        if is_broken(&bare) {
            row.alone = None;
        }
        let bare_before: BTreeSet<String> = told(&bare).into_iter().collect();
        let edits: Vec<Edit> = serde_saphyr::from_str(&fixture::text(&rebuild.join("mistakes.yaml")))?;
        for edit in edits {
            // The others have nothing to do with it.
            if !edit
                .breaches
                .iter()
                .any(|breach| breach.split(' ').next() == Some(&word))
            {
                continue;
            }
            row.named += 1;
            let without = stripped(&edited(&set, &edit), declaration, &mut Taken::default());
            // That each mistake is caught with everything in its place is held by a trial of its own.
            if let Some(alone) = row.alone.as_mut()
                && !is_caught(&bare_before, &check(&without), &edit)
            {
                alone.push(edit.name);
            }
        }
    }
    Ok(row)
}

const HEADING: &str = "## What each costs, and what it alone catches";

/// The section, with the declarations that catch most for the least written first.
fn section(mut rows: Vec<Row>) -> String {
    rows.retain(|row| row.taken.entries > 0);
    let each = |row: &Row| row.taken.characters / row.taken.entries.max(1);
    let caught = |row: &Row| row.alone.as_ref().map_or(0, Vec::len);
    // More mistakes for a character of writing first.
    rows.sort_by(|a, b| {
        let worth = |row: &Row| caught(row) as f64 / row.taken.characters.max(1) as f64;
        worth(b)
            .total_cmp(&worth(a))
            .then(caught(b).cmp(&caught(a)))
            .then(a.declaration.cmp(&b.declaration))
    });
    let mut out = format!(
        "{HEADING}\n\nCounted by a test over five invented rebuilds (a lathe headstock, a hydraulic ram, a gearbox, the lower unit of a boat's drive, a\n\
         hammer drill) with 150 mistakes put into them. *Writing*: how many entries have the field, and how many characters each, comma and space included. *Broken*: mistakes that\n\
         break it. *Alone*: those that are no longer told at their place once the field is taken out; a dash where the steps don't read without it. Write first\n\
         what stands first: it caught most for what it costs to write. Other rebuilds have other mistakes: this is an order to begin in, not a measure of\n\
         what is safe.\n\n\
         | field | writing | broken | alone |\n| --- | --- | --- | --- |\n"
    );
    for row in &rows {
        let alone = row
            .alone
            .as_ref()
            .map_or("-".to_string(), |alone| alone.len().to_string());
        let _ = writeln!(
            out,
            "| `{}` | {} × {} | {} | {alone} |",
            row.declaration,
            row.taken.entries,
            each(row),
            row.named
        );
    }
    out
}

pub fn table() -> Outcome {
    let mut rows = Vec::new();
    for declaration in DECLARATIONS {
        rows.push(row(declaration)?);
    }
    let path = fixture::root().join("compiler/edge/manual/ties.md");
    let page = fixture::text(&path);
    let before = page.split(HEADING).next().unwrap_or_default().trim_end();
    if std::env::var_os("SHOW").is_some() {
        for row in &rows {
            println!("{}: {:?}", row.declaration, row.alone);
        }
    }
    snapshot::compare(&path, &format!("{before}\n\n{}", section(rows)))
}
