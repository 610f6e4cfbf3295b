//! What is finished is kept for the next build: found where all that it is made from is the same, nowhere else, and never believed blindly.

use super::{Check, OPEN, close, compare, out, pump, run, told};
use crate::harness::fixture;
use crate::program::{CACHE, Scratch, program};
use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::PathBuf;
use std::process::Stdio;

pub const CHECKS: [(&str, Check); 8] = [
    ("what-is-kept-is-found", found),
    ("what-is-kept-changes-no-byte", no_byte),
    ("what-is-kept-belongs-to-its-leaf", answers),
    ("what-is-kept-and-damaged-is-told", damaged),
    ("what-is-refused-is-not-kept", refused),
    ("nothing-is-kept-where-it-is-not-wanted", unwanted),
    ("nowhere-to-keep-is-no-trouble", nowhere),
    ("builds-at-once-keep-whole-documents", at_once),
];

/// Entries in the cache of a scratch folder.
fn entries(scratch: &Scratch) -> Vec<PathBuf> {
    match scratch.cache().is_dir() {
        true => fixture::walk(&scratch.cache()),
        false => Vec::new(),
    }
}

/// Set sheet, two cards, close-out; and what was printed of the set.
const DOCUMENTS: usize = 4;

fn found(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let counted = |found: usize, kept: usize| format!("{found} found, {kept} put there");
    let summary = "2 cards, 1 set sheet and 1 close-out, ";
    let mut faults = told(
        scratch,
        "build pump --out out -v",
        0,
        &[&counted(0, DOCUMENTS + 1), summary],
    );
    let first = out(scratch);
    // Nothing changed: the set is passed over.
    let times = |scratch: &Scratch| -> Vec<_> {
        let of = |name: &String| fs::metadata(scratch.path().join("out").join(name)).and_then(|m| m.modified());
        out(scratch).keys().map(|name| of(name).expect("a time")).collect()
    };
    let before = times(scratch);
    faults.extend(told(scratch, "build pump --out out -v", 0, &[&counted(1, 0), summary]));
    if times(scratch) != before {
        faults.push("files that were right were written again".to_string());
    }
    // A file that is gone comes from what is kept, the others stay.
    scratch.remove("out/pump/01-open.pdf");
    faults.extend(told(
        scratch,
        "build pump --out out -v",
        0,
        &[&counted(DOCUMENTS + 1, 1)],
    ));
    faults.extend(compare("a file that was gone", &out(scratch), &first));
    // In another place nothing lies yet.
    faults.extend(told(
        scratch,
        "build pump --out other -v",
        0,
        &[&counted(DOCUMENTS + 1, 1)],
    ));
    // One step: its card, and the set sheet, which has its code.
    scratch.write("pump/20-close.md", close("9 N·m").as_bytes());
    faults.extend(told(
        scratch,
        "build pump --out out -v",
        0,
        &[&counted(DOCUMENTS - 3, 3 + 1)],
    ));
    scratch.write("pump/20-close.md", close("8 N·m").as_bytes());
    faults.extend(told(
        scratch,
        "build pump --out out -v",
        0,
        &[&counted(DOCUMENTS + 1, 1)],
    ));
    faults.extend(compare("back as it was", &out(scratch), &first));
    // A card more, and away again: what no longer belongs goes, whatever is known of the set as it was.
    scratch.write("pump/30-more.md", OPEN.replace("cover", "lid").as_bytes());
    faults.extend(told(scratch, "build pump/30-more.md --out out", 0, &[]));
    scratch.remove("pump/30-more.md");
    faults.extend(told(
        scratch,
        "build pump --out out",
        0,
        &["03-more.pdf no longer belongs to its set: removed"],
    ));
    faults.extend(compare("a card that came and went", &out(scratch), &first));
    // So it is for what reads back and writes nothing.
    faults.extend(told(
        scratch,
        "check pump --pages -v",
        0,
        &[&counted(DOCUMENTS, 0), "4 documents read back"],
    ));
    faults.extend(told(
        scratch,
        "kit pump --format pdf --out kit -v",
        0,
        &[&counted(0, 1)],
    ));
    faults.extend(told(
        scratch,
        "kit pump --format pdf --out kit -v",
        0,
        &[&counted(1, 0)],
    ));
    faults
}

const SHAPE: &str =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"90\" height=\"40\"><rect width=\"WIDE\" height=\"30\"/></svg>";

/// A set with a picture, a choice and a template of one's own.
fn pictured(scratch: &Scratch) {
    pump(scratch, "");
    let open = OPEN.replace(
        "cover.\n",
        "cover.\n\n   ![The cover](cover.svg)\n\n2. Look at the seal. [only seal=new]\n",
    );
    scratch.write("pump/10-open.md", open.as_bytes());
    scratch.write("pump/cover.svg", SHAPE.replace("WIDE", "60").as_bytes());
    let set = format!(
        "{}options: {{seal: {{values: [old, new], default: old}}}}\n",
        super::SET
    );
    scratch.write("pump/set.yaml", set.as_bytes());
}

/// Builds with what is kept and without, after each of many changes, twice.
fn no_byte(scratch: &Scratch) -> Vec<String> {
    pictured(scratch);
    let theme = fixture::text(&fixture::root().join("templates/lib/theme.typ"));
    scratch.write("own/lib/theme.typ", theme.as_bytes());
    let mut faults = Vec::new();
    let edits: [(&str, &str, String); 6] = [
        ("as it is", "pump/20-close.md", close("8 N·m")),
        ("a torque", "pump/20-close.md", close("9 N·m")),
        ("a picture", "pump/cover.svg", SHAPE.replace("WIDE", "70")),
        (
            "a title",
            "pump/set.yaml",
            fixture::text(&scratch.path().join("pump/set.yaml")).replace("title: Pump", "title: Hand pump"),
        ),
        (
            "a language",
            "pump/set.yaml",
            fixture::text(&scratch.path().join("pump/set.yaml")) + "style: {language: de}\n",
        ),
        (
            "a template",
            "own/lib/theme.typ",
            format!("// Another remark.\n{theme}"),
        ),
    ];
    let ways = [
        "",
        "--paper a5",
        "--mono",
        "--two-up",
        "--archive",
        "--format png --ppi 40",
        "--format png --ppi 41",
        "--format svg",
        "--option seal=new",
        "--templates own",
        "--pocket",
    ];
    for (what, path, text) in &edits {
        scratch.write(path, text.as_bytes());
        for way in ways {
            // All of them after the first and the last, two after each other one.
            if !matches!(*what, "as it is" | "a template") && !matches!(way, "" | "--format png --ppi 40") {
                continue;
            }
            let plain = format!("build pump --out plain {way} --no-cache");
            for line in [
                plain.as_str(),
                &format!("build pump --out out {way}"),
                &format!("build pump --out out {way}"),
            ] {
                faults.extend(told(scratch, line, 0, &[]));
            }
            let plain: BTreeMap<String, Vec<u8>> = scratch.files("plain").into_iter().collect();
            faults.extend(compare(&format!("{what}, `{way}`"), &out(scratch), &plain));
        }
    }
    faults
}

/// Two sets of the same words in two folders, and one of another paper: each gets its own leaves.
fn answers(scratch: &Scratch) -> Vec<String> {
    for below in ["a/", "b/"] {
        pump(scratch, below);
        fs::rename(
            scratch.path().join(below).join("pump"),
            scratch.path().join(format!("set-{}", &below[..1])),
        )
        .expect("moved");
    }
    let mut faults = told(scratch, "build . --out out", 0, &[]);
    faults.extend(told(scratch, "build . --out plain --no-cache", 0, &[]));
    let plain: BTreeMap<String, Vec<u8>> = scratch.files("plain").into_iter().collect();
    faults.extend(compare("two sets alike", &out(scratch), &plain));
    faults
}

fn damaged(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let mut faults = told(scratch, "build pump --out out", 0, &[]);
    let first = out(scratch);
    let all = entries(scratch);
    if all.len() != DOCUMENTS + 1 {
        faults.push(format!("{} entries are kept", all.len()));
    }
    scratch.write("victim", b"untouched");
    let whole: Vec<Vec<u8>> = all.iter().map(|place| fs::read(place).expect("an entry")).collect();
    let foreign = whole.last().cloned().unwrap_or_default();
    for sort in ["a bit", "cut off", "another's", "a link", "a folder", "empty"] {
        let mut spoilt = 0;
        for (place, bytes) in all.iter().zip(&whole) {
            if sort == "another's" && *bytes == foreign {
                continue;
            }
            spoilt += 1;
            fs::remove_file(place).expect("an entry");
            match sort {
                "a bit" => {
                    let mut bytes = bytes.clone();
                    let middle = bytes.len() / 2;
                    bytes[middle] ^= 1;
                    fs::write(place, bytes).expect("an entry");
                }
                "cut off" => fs::write(place, &bytes[..bytes.len() - 1]).expect("an entry"),
                "another's" => fs::write(place, &foreign).expect("an entry"),
                "a link" => symlink(scratch.path().join("victim"), place).expect("a link"),
                "a folder" => fs::create_dir(place).expect("a folder"),
                _ => fs::write(place, "").expect("an entry"),
            }
        }
        fs::remove_dir_all(scratch.path().join("out")).expect("it was made");
        let (_, errors, code) = run(scratch, "build pump --out out");
        let remarks = errors.matches("is damaged, or not ours: it is made anew").count();
        if code != Some(0) || remarks != spoilt {
            faults.push(format!("{sort}: {code:?}, told {remarks} times of {spoilt}: {errors}"));
        }
        faults.extend(compare(sort, &out(scratch), &first));
        for place in &all {
            if place.is_dir() {
                fs::remove_dir(place).expect("empty");
            }
        }
        let (_, errors, _) = run(scratch, "build pump --out out");
        let again = run(scratch, "build pump --out out -v").1;
        if sort != "a folder" && (errors.contains("damaged") || !again.contains("1 found, 0 put there")) {
            faults.push(format!("{sort}: not mended: {errors}{again}"));
        }
    }
    if fs::read(scratch.path().join("victim")).unwrap_or_default() != b"untouched" {
        faults.push("a file behind a link was written to".to_string());
    }
    faults
}

/// A template that drops every sentence of a step: refused each time, and nothing of it is kept.
fn refused(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let whole = "return row(at-end(t, data, facts, room).body, none)";
    let step = fixture::text(&fixture::root().join("templates/lib/step.typ"));
    let dropped = step.replace(whole, "return row(none, none)");
    let mut faults = Vec::new();
    if step == dropped {
        faults.push("the template has other words by now".to_string());
    }
    scratch.write("own/lib/step.typ", dropped.as_bytes());
    for _ in 0..2 {
        faults.extend(told(scratch, "build pump --out out --templates own", 1, &["BL802"]));
    }
    // Set sheet and close-out have no steps, and the other card's says beside itself that work may stop.
    if entries(scratch).len() != DOCUMENTS - 1 {
        faults.push(format!("{} entries are kept", entries(scratch).len()));
    }
    faults
}

fn unwanted(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let mut faults = told(scratch, "build pump --out out --no-cache", 0, &[]);
    faults.extend(told(scratch, "check pump --pages --no-cache", 0, &[]));
    faults.extend(told(scratch, "kit pump --format pdf --out kit --no-cache", 0, &[]));
    faults.extend(told(scratch, "check pump", 0, &[]));
    if scratch.cache().exists() {
        faults.push(format!("kept: {:?}", entries(scratch)));
    }
    faults.extend(told(scratch, "kit pump --no-cache", 2, &["`--no-cache`"]));
    faults
}

fn nowhere(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    scratch.write("file", b"no folder");
    let mut faults = told(scratch, "build pump --out plain --no-cache", 0, &[]);
    let plain: BTreeMap<String, Vec<u8>> = scratch.files("plain").into_iter().collect();
    let output = program(scratch.path())
        .args(["build", "pump", "--out", "out"])
        .env(CACHE, scratch.path().join("file"))
        .stdin(Stdio::null())
        .output()
        .expect("the program can be run");
    let errors = String::from_utf8_lossy(&output.stderr);
    if output.status.code() != Some(0) || errors.matches("can't be kept in").count() != 1 {
        faults.push(format!("{:?}: {errors}", output.status.code()));
    }
    faults.extend(compare("with nowhere to keep", &out(scratch), &plain));
    faults
}

fn at_once(scratch: &Scratch) -> Vec<String> {
    pictured(scratch);
    let mut faults = told(scratch, "build pump --out plain --no-cache", 0, &[]);
    let plain: BTreeMap<String, Vec<u8>> = scratch.files("plain").into_iter().collect();
    let folders = ["out-1", "out-2", "out-3"];
    let start = |folder: &str| {
        program(scratch.path())
            .args(["build", "pump", "--out", folder])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program can be run")
    };
    let ended = folders
        .map(start)
        .map(|child| child.wait_with_output().expect("it ends"));
    for output in ended.iter().filter(|output| output.status.code() != Some(0)) {
        faults.push(format!(
            "{:?}: {}",
            output.status.code(),
            String::from_utf8_lossy(&output.stderr)
        ));
    }
    for folder in folders {
        let found: BTreeMap<String, Vec<u8>> = scratch.files(folder).into_iter().collect();
        faults.extend(compare(folder, &found, &plain));
    }
    let parts = entries(scratch)
        .into_iter()
        .filter(|place| place.extension().is_none_or(|e| e != "made"));
    faults.extend(parts.map(|place| format!("left behind: {}", place.display())));
    faults
}
