//! What lies on disk: fixtures that belong to something, expected files that are compared, tables that say where they are from.

use crate::harness::fixture::{folder, name, relative, root, stem, walk};
use crate::harness::rules as list;
use std::collections::BTreeSet;
use std::path::Path;

/// Each rule has its two fixtures, and each fixture folder its rule.
pub fn rule_fixtures() -> Vec<String> {
    let mut faults = Vec::new();
    for rule in list() {
        for file in ["fires.txt", "silent.txt", "fires.findings"] {
            let path = folder("rules").join(rule.name).join(file);
            if !path.is_file() {
                faults.push(format!("{} is missing", relative(&path)));
            }
        }
    }
    for path in crate::harness::rule::folders() {
        if !list().iter().any(|rule| rule.name == name(&path)) {
            faults.push(format!("{} is named after no rule", relative(&path)));
        }
    }
    faults
}

/// Every file below `tests/` that is no Rust is one that some trial reads.
pub fn strays() -> Vec<String> {
    let mut known: BTreeSet<String> = BTreeSet::new();
    for rule in crate::harness::rule::folders() {
        let files = ["fires.txt", "silent.txt", "fires.findings", "silent.findings"];
        known.extend(files.map(|file| relative(&rule.join(file))));
    }
    for (kind, endings) in [
        ("parse", ["txt", "tree"].as_slice()),
        ("report", &["txt", "human", "json", "github"]),
        ("mutations", &["txt", "findings"]),
        ("slips", &["txt", "findings"]),
        ("kit", &["txt", "table", "csv"]),
        ("plan", &["txt", "plan", "ics"]),
        ("calc", &["txt", "working"]),
        ("wrench", &["txt", "settings"]),
        ("diff", &["txt", "human", "markdown", "json", "bars"]),
    ] {
        for path in walk(&folder(kind)) {
            let fixture = path.with_extension("txt");
            if fixture.is_file() {
                known.extend(endings.iter().map(|ending| relative(&fixture.with_extension(ending))));
            }
        }
    }
    for rebuild in crate::machine::rebuilds() {
        let files = ["set.txt", "mistakes.yaml", "harmless.yaml"];
        known.extend(files.map(|file| relative(&rebuild.join(file))));
    }
    for record in crate::log::records() {
        known.extend([relative(&record), relative(&record.with_extension("report"))]);
    }
    known.insert(relative(&folder("wrench").join("unit-slips.head")));
    // What the licences of libraries beside the crates are held against.
    known.insert(relative(&folder("tidy").join("libraries.txt")));
    // The floor of a bench, which the suite of the press holds against the cards.
    known.insert(relative(&folder("bench").join("plain.typ.j2")));
    known.extend(["READING.md", "TABLES.md"].map(|page| relative(&folder("machine").join(page))));
    known.extend(walk(&folder("read-back")).iter().map(|path| relative(path)));
    // A dialogue of the command line, and a folder that one starts from.
    // A set that the suite of the press prints.
    known.extend(walk(&folder("german")).iter().map(|path| relative(path)));
    // Pictures that fixtures name (`as dot.png`), and that the suite of the press cuts short.
    known.extend(walk(&folder("pictures")).iter().map(|path| relative(path)));
    known.extend(walk(&folder("fingerprint")).iter().map(|path| relative(path)));
    known.extend(walk(&folder("slips").join("base")).iter().map(|path| relative(path)));
    known.extend(walk(&folder("history")).iter().map(|path| relative(path)));
    known.extend(walk(&folder("cli")).iter().map(|path| relative(path)));
    known.extend(crate::ledger::files().map(|path| relative(&path)));
    for set in crate::sets::folders() {
        known.insert(relative(&set.with_extension("findings")));
        known.extend(walk(&set).iter().map(|path| relative(path)));
    }
    let all = walk(&root().join("tests")).into_iter().map(|path| relative(&path));
    // The fuzz targets are a workspace of their own.
    let own = |path: &String| {
        !path.ends_with(".rs") && !path.starts_with("tests/values/") && !path.starts_with("tests/fuzz/")
    };
    all.filter(own)
        .filter(|path| !known.contains(path))
        .map(|path| format!("no trial reads {path}"))
        .collect()
}

/// Each row of each table says where it is from.
pub fn tables() -> Vec<String> {
    let tables = walk(&root().join("compiler").join("tables")).into_iter();
    tables
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .flat_map(|path| table(&path))
        .collect()
}

fn table(path: &Path) -> Vec<String> {
    let place = relative(path);
    let mut reader = match csv::Reader::from_path(path) {
        Ok(reader) => reader,
        Err(error) => return vec![format!("{place}: {error}")],
    };
    let column = reader
        .headers()
        .ok()
        .and_then(|headers| headers.iter().position(|header| header == "source"));
    let Some(column) = column else {
        return vec![format!("{place} has no column `source`")];
    };
    let mut faults = Vec::new();
    for (n, row) in reader.records().enumerate() {
        match row {
            Ok(row) if row.get(column).is_some_and(|source| !source.trim().is_empty()) => {}
            Ok(_) => faults.push(format!("{}: row {} has no source", stem(path), n + 1)),
            Err(error) => faults.push(format!("{place}: {error}")),
        }
    }
    faults
}
