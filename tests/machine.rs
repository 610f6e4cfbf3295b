//! Five rebuilds with mistakes in them: that every edit is one that can be made, and that the lines where findings are expected are there.
//! What finds the mistakes is not asked here; `tests/machine/READING.md` says how it will be.

use crate::harness::{Files, fixture};
use libtest_mimic::Trial;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::iter;
use std::path::PathBuf;

pub fn trials() -> Vec<Trial> {
    let rebuilds = fixture::entries(&fixture::folder("machine"))
        .into_iter()
        .filter(|path| path.is_dir());
    rebuilds
        .flat_map(|rebuild| {
            let name = fixture::relative(&rebuild);
            let name = name.trim_start_matches("tests/").to_string();
            ["mistakes", "harmless"].map(|kind| {
                let rebuild = rebuild.clone();
                Trial::test(format!("{name}/{kind}-can-be-made"), move || {
                    let set = fixture::read(&rebuild.join("set.txt"));
                    let text = fixture::text(&rebuild.join(format!("{kind}.yaml")));
                    let edits: Vec<Edit> = serde_saphyr::from_str(&text)?;
                    assert!(edits.len() >= 10, "there are edits");
                    let wrong: Vec<String> = edits.iter().flat_map(|edit| faults(&set, edit)).collect();
                    if wrong.is_empty() {
                        Ok(())
                    } else {
                        Err(wrong.join("\n").into())
                    }
                })
            })
        })
        .collect()
}

/// The folder of each rebuild.
pub fn rebuilds() -> Vec<PathBuf> {
    let mut folders = fixture::entries(&fixture::folder("machine"));
    folders.retain(|path| path.is_dir());
    folders
}

/// One edit of a clean set, as `READING.md` describes it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Edit {
    name: String,
    #[serde(alias = "what")]
    wrong: String,
    file: String,
    text: String,
    becomes: String,
    #[serde(default)]
    and: Vec<Change>,
    at: Option<Place>,
    also: Option<Place>,
    or: Option<Place>,
    #[serde(default)]
    breaches: Vec<String>,
}

/// A text that stands once in a file and becomes another.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Change {
    file: String,
    text: String,
    becomes: String,
}

/// File, and what stands on one of its lines alone.
#[derive(Deserialize)]
struct Place(String, String);

/// What keeps an edit from being made, or what it does from being looked for.
fn faults(set: &Files, edit: &Edit) -> Vec<String> {
    let mut files: BTreeMap<&str, String> = set
        .iter()
        .map(|(path, bytes)| (path.as_str(), String::from_utf8_lossy(bytes).into_owned()))
        .collect();
    let mut faults = Vec::new();
    let first = (&edit.file, &edit.text, &edit.becomes);
    let more = edit
        .and
        .iter()
        .map(|change| (&change.file, &change.text, &change.becomes));
    for (file, text, becomes) in iter::once(first).chain(more) {
        match files.get_mut(file.as_str()) {
            None => faults.push(format!("there is no file {file}")),
            Some(whole) if text == becomes => faults.push(format!("nothing changes in {}", whole.len())),
            Some(whole) => match whole.matches(text.as_str()).count() {
                1 => *whole = whole.replace(text.as_str(), becomes),
                times => faults.push(format!("{text:?} stands {times} times in {file}")),
            },
        }
    }
    for Place(file, line) in [&edit.at, &edit.also, &edit.or].into_iter().flatten() {
        let whole = files.get(file.as_str()).map_or("", String::as_str);
        match whole
            .lines()
            .filter(|l| l.contains(line.trim_end_matches('\n')))
            .count()
        {
            1 => {}
            lines => faults.push(format!("{line:?} stands on {lines} lines of {file}")),
        }
    }
    // A mistake says where it is to be found and what it breaks; what is harmless has nothing to find.
    if edit.at.is_some() == edit.breaches.is_empty() || edit.wrong.is_empty() {
        faults.push("says only half of what it is".to_string());
    }
    faults
        .into_iter()
        .map(|fault| format!("{}: {fault}", edit.name))
        .collect()
}
