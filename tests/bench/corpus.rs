//! Inputs for the benches: generated procedures, and the demo sets.

use benchleaf_core::source::FileSet;
use std::collections::BTreeMap;
use std::path::Path;

/// A set of `count` procedures of 24 steps, each with registers, marks and messages; no two alike, none with a finding.
pub fn procedures(count: usize) -> Vec<(String, String)> {
    let set = "machine: Generated machine (invented)\ntitle: Generated set\nrev: A\ndate: 2026-01-31\n\
               style: {paper: a4, units: {torque: lbf·ft, length: in}}\n";
    let mut files = vec![("set/set.yaml".to_string(), set.to_string())];
    files.extend((0..count).map(|n| (format!("set/{n:04}-job-{n}.md"), procedure(n))));
    files
}

fn procedure(n: usize) -> String {
    let mut text = format!(
        "---\ntitle: Job {n}\nabout: Generated for timing.\ntorques:\n  screws-{n}:\n    name: cover screws\n    \
         fastener: M6x1 8.8\n    count: 6\n    torque: {}.5 N·m ± 10 %\n    lubrication: dry\nlimits:\n  \
         bore-{n}: {{name: bore, limit: 30.00..30.0{} mm, where: [front, rear]}}\nparts:\n  cover-{n}: {{name: Cover, number: C-{n:04}}}\n  \
         gasket-{n}: {{name: Gasket, reuse: no, fitted: no}}\nconsumables:\n  oil-{n}: {{name: Mineral oil, amount: 50 mL}}\n---\n\n",
        11 + n % 2,
        2 + n % 7
    );
    for phase in 0..3 {
        text += &format!("# Phase {phase} of job {n}\n\nShort words on what this phase is for.\n\n");
        text += "> [!WARNING] Stored pressure\n> The cover can fly off and break bones.\n> Avoid: open the drain first.\n\n";
        let mut number = 0;
        for step in 0..6 {
            number += 1;
            text += &match (phase, step) {
                (0, 0) => format!("1. Take off the [remove cover-{n}] and put it aside. [time 5 min]\n"),
                (1, 0) => format!("1. Measure the [measure bore-{n}] at both ends. [time 10 min]\n"),
                (2, 0) => {
                    number += 1;
                    format!("1. Lay on the [fit gasket-{n}].\n2. Put on the [fit cover-{n}].\n")
                }
                (2, 5) => format!("{number}. Tighten the [torque screws-{n}] in **three** passes.\n"),
                (1, 3) => format!(
                    "{number}. Oil the bore with [use oil-{n} 5 mL].\n   1. Turn it once.\n   2. Wipe off what runs out.\n"
                ),
                _ => format!("{number}. Look at face {step} of part {n} for marks, and clean what is found.\n"),
            };
        }
        text += "\n";
    }
    text
}

/// The same set a revision later: every procedure is wrapped anew, each tenth has another torque, another limit, or steps that moved.
pub fn revised(texts: &[(String, String)]) -> Vec<(String, String)> {
    let change = |n: usize, text: &str| {
        let text = text.replace(" for marks, and", " for marks,\n   and");
        match n % 10 {
            3 => text.replace(".5 N·m", ".7 N·m"),
            5 => text.replace("30.00..30.0", "30.00..30.1"),
            7 => text
                .replace("face 3 of", "face nine of")
                .replace("in **three** passes", "in two passes"),
            _ => text,
        }
    };
    texts
        .iter()
        .enumerate()
        .map(|(n, (path, text))| (path.clone(), change(n, text)))
        .collect()
}

/// The Markdown parser and the YAML reader alone, on a file's bytes.
pub fn parse_alone(text: &str) {
    let (yaml, body) = match text.strip_prefix("---\n").and_then(|rest| rest.split_once("\n---\n")) {
        Some((yaml, body)) => (yaml, body),
        None => (text, ""),
    };
    let value: Result<serde_json::Value, _> = serde_saphyr::from_str(yaml);
    std::hint::black_box(value.is_ok());
    std::hint::black_box(pulldown_cmark::Parser::new(body).into_offset_iter().count());
}

/// Every file of the demo sets.
pub fn demo() -> FileSet {
    let mut files = BTreeMap::new();
    read(
        // The repository's root, from the crate that this bench belongs to.
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("../.."),
        Path::new("procedures"),
        &mut files,
    );
    FileSet::from_bytes(files)
}

fn read(root: &Path, below: &Path, files: &mut BTreeMap<String, Vec<u8>>) {
    let Ok(entries) = std::fs::read_dir(root.join(below)) else {
        return;
    };
    for entry in entries.flatten() {
        let path = below.join(entry.file_name());
        if root.join(&path).is_dir() {
            read(root, &path, files);
        } else if let Ok(bytes) = std::fs::read(root.join(&path)) {
            files.insert(path.to_string_lossy().replace('\\', "/"), bytes);
        }
    }
}
