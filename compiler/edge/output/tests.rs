//! What is left behind when any one call of the disk goes wrong: each set old or new and never half, nothing lost, and the next command
//! sets right what the last one could not.

use super::manifest::{Entry, EntryKind, digest};
use super::{Failure, Opened, Output};
use crate::edge::Trouble;
use crate::edge::disk::{Disk, Fault, Faulty, Real};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// A folder for one test, gone at its end.
struct Scratch(PathBuf);

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn scratch(name: &str) -> Scratch {
    let name = format!("benchleaf-output-{}-{name}", std::process::id());
    // Thousands of files are made to last here; where there is a disk in memory, that takes seconds.
    let memory = Path::new("/dev").join("shm");
    let base = if memory.is_dir() { memory } else { std::env::temp_dir() };
    let folder = base.join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    Scratch(folder)
}

/// Files by name, with what is in them.
type Files = BTreeMap<String, String>;

fn files(pairs: &[(&str, &str)]) -> Files {
    pairs
        .iter()
        .map(|(n, t)| ((*n).to_string(), (*t).to_string()))
        .collect()
}

fn entry(document: &str, text: &str) -> Entry {
    Entry {
        kind: EntryKind::Card,
        procedure: document.to_string(),
        choices: BTreeMap::new(),
        code: String::new(),
        says: String::new(),
        document: document.to_string(),
        ending: "pdf".to_string(),
        sha256: digest(text.as_bytes()),
    }
}

/// Writes a set the way a build does; files of other documents don't belong to it any more.
fn write(disk: &dyn Disk, out: &Path, set: &str, own: &Path, wanted: &Files) -> Result<Vec<String>, Trouble> {
    let Opened {
        mut output, remarks, ..
    } = Output::open(disk, out, || {})?;
    output.claim(&[(set.to_string(), own.to_path_buf())])?;
    output.begin(set)?;
    let stager = output.stager();
    let mut entries = BTreeMap::new();
    for (name, text) in wanted {
        stager.stage(set, name, text.as_bytes())?;
        entries.insert(name.clone(), entry(name, text));
    }
    let installed = output.install(set, own, None, entries, &|_| false);
    installed.map_err(|Failure { trouble, .. }| trouble)?;
    Ok(remarks)
}

/// The files in a set's folder.
fn there(out: &Path, set: &str) -> Files {
    let mut found = Files::new();
    for entry in fs::read_dir(out.join(set)).into_iter().flatten().flatten() {
        let text = fs::read_to_string(entry.path()).unwrap_or_default();
        found.insert(entry.file_name().to_string_lossy().into_owned(), text);
    }
    found
}

/// What lies in the state folder besides what belongs there.
fn litter(out: &Path) -> Vec<String> {
    let names = fs::read_dir(out.join(".benchleaf")).into_iter().flatten().flatten();
    let names = names.map(|entry| entry.file_name().to_string_lossy().into_owned());
    names
        .filter(|name| name != "lock" && !name.ends_with(".json"))
        .collect()
}

/// An earlier build, and a later one that changes a file, leaves one as it is, adds one and takes one away.
fn states() -> (Files, Files) {
    let old = files(&[("01-a.pdf", "a old"), ("02-b.pdf", "b"), ("03-gone.pdf", "c")]);
    let new = files(&[
        ("01-a.pdf", "a new"),
        ("02-b.pdf", "b"),
        ("03-new.pdf", "d"),
        ("04-e.pdf", "e"),
    ]);
    (old, new)
}

const FAULTS: [Fault; 5] = [Fault::Fail, Fault::Shorten, Fault::Lose, Fault::Delay, Fault::Stop];

#[test]
fn at_every_call_a_set_is_old_or_new() {
    let scratch = scratch("every-call");
    let (old, new) = states();
    let own = scratch.0.join("sets/pump");
    for start in ["empty", "old"] {
        for fault in FAULTS {
            for at in 1.. {
                let out = scratch.0.join(format!("{start}-{fault:?}-{at}"));
                let before = if start == "old" {
                    write(&Real, &out, "pump", &own, &old).unwrap();
                    fs::write(out.join("pump/mine.txt"), "a note of somebody's").unwrap();
                    there(&out, "pump")
                } else {
                    Files::new()
                };
                let mut after = new.clone();
                after.extend(
                    before
                        .get("mine.txt")
                        .map(|text| ("mine.txt".to_string(), text.clone())),
                );
                let disk = Faulty::new(Real, fault, at);
                let result = write(&disk, &out, "pump", &own, &new);
                let what = format!("{start}, {fault:?} at call {at}: {:?}", result.as_ref().err());
                if fault == Fault::Stop {
                    // The power came back: the next command writes another set.
                    let said = write(
                        &Real,
                        &out,
                        "other",
                        &scratch.0.join("sets/other"),
                        &files(&[("x.pdf", "x")]),
                    );
                    let said = said.unwrap_or_else(|trouble| panic!("{what}: then {}", trouble.0));
                    let found = there(&out, "pump");
                    assert!(found == before || found == after, "{what}: {found:?} {said:?}");
                } else {
                    let found = there(&out, "pump");
                    let expected = if result.is_ok() { &after } else { &before };
                    assert_eq!(&found, expected, "{what}");
                    if matches!(fault, Fault::Delay) {
                        assert!(result.is_ok(), "{what}");
                    }
                }
                // Nothing keeps the next build from doing all of it, and nothing is left over.
                write(&Real, &out, "pump", &own, &new).unwrap_or_else(|trouble| panic!("{what}: then {}", trouble.0));
                assert_eq!(there(&out, "pump"), after, "{what}");
                assert_eq!(litter(&out), Vec::<String>::new(), "{what}");
                fs::remove_dir_all(&out).unwrap();
                if at > disk.count() {
                    assert!(at > 30, "a build takes more than {at} calls");
                    break;
                }
            }
        }
    }
}

#[test]
fn a_recovery_that_is_cut_off_is_recovered_from() {
    let scratch = scratch("recovery");
    let (old, new) = states();
    let own = scratch.0.join("sets/pump");
    let out = scratch.0.join("out");
    let mut cut_off = 0;
    for first in 1..200 {
        for second in 1..200 {
            write(&Real, &out, "pump", &own, &old).unwrap();
            let disk = Faulty::new(Real, Fault::Stop, first);
            let _ = write(&disk, &out, "pump", &own, &new);
            let under_way = fs::read_to_string(out.join(".benchleaf/pump.json"))
                .unwrap()
                .contains("\"installing\"");
            if !under_way {
                fs::remove_dir_all(&out).unwrap();
                break;
            }
            cut_off += 1;
            let disk = Faulty::new(Real, Fault::Stop, second);
            let again = Output::open(&disk, &out, || {}).map(|opened| opened.remarks);
            let opened = Output::open(&Real, &out, || {});
            let remarks = opened
                .map(|opened| opened.remarks)
                .unwrap_or_else(|trouble| panic!("{}", trouble.0));
            let found = there(&out, "pump");
            assert!(found == old || found == new, "{first} {second}: {found:?} {remarks:?}");
            if again.is_ok() {
                fs::remove_dir_all(&out).unwrap();
                break;
            }
            fs::remove_dir_all(&out).unwrap();
        }
    }
    assert!(
        cut_off > 50,
        "only {cut_off} builds were cut off while they put files in place"
    );
}

#[test]
fn what_is_not_ours_is_left() {
    let scratch = scratch("not-ours");
    let (old, new) = states();
    let own = scratch.0.join("sets/pump");
    let out = scratch.0.join("out");
    let refused = |words: &str| {
        let trouble = write(&Real, &out, "pump", &own, &new).unwrap_err().0;
        assert!(trouble.contains(words), "{trouble}");
    };
    fs::create_dir_all(out.join("pump")).unwrap();
    fs::write(out.join("pump/01-a.pdf"), "somebody's own").unwrap();
    refused("01-a.pdf: not a file of ours");
    assert_eq!(there(&out, "pump"), files(&[("01-a.pdf", "somebody's own")]));
    fs::remove_file(out.join("pump/01-a.pdf")).unwrap();
    // Written on since.
    write(&Real, &out, "pump", &own, &old).unwrap();
    fs::write(out.join("pump/01-a.pdf"), "a old, with a remark").unwrap();
    refused("01-a.pdf: not a file of ours");
    fs::write(out.join("pump/01-a.pdf"), "a old").unwrap();
    fs::write(out.join("pump/03-gone.pdf"), "c, with a remark").unwrap();
    write(&Real, &out, "pump", &own, &new).unwrap();
    let mut expected = new.clone();
    expected.insert("03-gone.pdf".to_string(), "c, with a remark".to_string());
    assert_eq!(there(&out, "pump"), expected);
    // A name that some disks take for one of ours.
    fs::remove_file(out.join("pump/04-e.pdf")).unwrap();
    fs::write(out.join("pump/04-E.pdf"), "capital").unwrap();
    refused("some disks take");
}

#[test]
fn two_sets_share_no_folder() {
    let scratch = scratch("shared");
    let (old, new) = states();
    let out = scratch.0.join("out");
    let (a, b) = (scratch.0.join("a/pump"), scratch.0.join("b/pump"));
    for own in [&a, &b] {
        fs::create_dir_all(own).unwrap();
        fs::write(own.join("set.yaml"), "title: Pump\n").unwrap();
    }
    write(&Real, &out, "pump", &a, &old).unwrap();
    let trouble = write(&Real, &out, "pump", &b, &new).unwrap_err().0;
    assert!(trouble.contains("two sets would be printed to"), "{trouble}");
    assert_eq!(there(&out, "pump"), old);
    let opened = Output::open(&Real, &out, || {}).unwrap();
    let both = [("pump".to_string(), a.clone()), ("Pump".to_string(), b.clone())];
    assert!(opened.output.claim(&both).is_err());
    drop(opened);
    // A set that was moved takes its folder along.
    fs::remove_dir_all(&a).unwrap();
    write(&Real, &out, "pump", &b, &new).unwrap();
    assert_eq!(there(&out, "pump"), new);
    // One that is gone loses what is ours, and nothing else.
    fs::write(out.join("pump/mine.txt"), "mine").unwrap();
    fs::remove_dir_all(&b).unwrap();
    let mut opened = Output::open(&Real, &out, || {}).unwrap();
    let below = fs::canonicalize(&scratch.0).unwrap();
    assert_eq!(opened.output.clear_gone(&below).unwrap().len(), 1);
    assert_eq!(there(&out, "pump"), files(&[("mine.txt", "mine")]));
}

#[test]
fn a_set_that_cant_be_looked_at_is_not_gone() {
    let scratch = scratch("looked-at");
    let (old, _) = states();
    let (out, own) = (scratch.0.join("out"), scratch.0.join("sets/pump"));
    fs::create_dir_all(&own).unwrap();
    fs::write(own.join("set.yaml"), "title: Pump\n").unwrap();
    write(&Real, &out, "pump", &own, &old).unwrap();
    let below = fs::canonicalize(&scratch.0).unwrap();
    let mut opened = 0;
    for at in 1..60 {
        let disk = Faulty::new(Real, Fault::Fail, at);
        if let Ok(mut open) = Output::open(&disk, &out, || {}) {
            opened += 1;
            let _ = open.output.clear_gone(&below);
        }
        assert_eq!(there(&out, "pump"), old, "at call {at}");
    }
    assert!(opened > 30, "only {opened} were opened");
}

#[cfg(unix)]
#[test]
fn no_link_is_followed() {
    let scratch = scratch("links");
    let (_, new) = states();
    let own = scratch.0.join("sets/pump");
    let (out, victim) = (scratch.0.join("out"), scratch.0.join("victim"));
    fs::create_dir_all(&victim).unwrap();
    fs::write(victim.join("file"), "untouched").unwrap();
    let link = |at: &Path, to: &Path| std::os::unix::fs::symlink(to, at).unwrap();
    for place in [
        "out",
        "out/pump",
        "out/.benchleaf",
        "out/pump/01-a.pdf",
        "out/.benchleaf/lock",
        "out/.benchleaf/pump.json",
    ] {
        let place = scratch.0.join(place);
        fs::create_dir_all(place.parent().unwrap()).unwrap();
        let target = if place.extension().is_some() || place.ends_with("lock") {
            victim.join("file")
        } else {
            victim.clone()
        };
        link(&place, &target);
        let trouble = write(&Real, &out, "pump", &own, &new);
        assert!(trouble.is_err(), "{} was followed", place.display());
        assert_eq!(fs::read_to_string(victim.join("file")).unwrap(), "untouched");
        assert_eq!(fs::read_dir(&victim).unwrap().count(), 1, "{}", place.display());
        fs::remove_file(&place).unwrap();
        let _ = fs::remove_dir_all(&out);
    }
}

#[test]
fn a_manifest_that_leads_elsewhere_is_refused() {
    let scratch = scratch("manifest");
    let (_, new) = states();
    let (out, own) = (scratch.0.join("out"), scratch.0.join("sets/pump"));
    write(&Real, &out, "pump", &own, &new).unwrap();
    let path = out.join(".benchleaf/pump.json");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("\"01-a.pdf\": {", "\"../01-a.pdf\": {")).unwrap();
    let trouble = write(&Real, &out, "pump", &own, &new).unwrap_err().0;
    assert!(trouble.contains("is no name of a file"), "{trouble}");
}
