//! What is printed: the same bytes from the same files, whatever the machine is otherwise.

use super::{Check, SET, procedure};
use crate::program::Scratch;
use std::process::{Command, Stdio};

pub const CHECKS: [(&str, Check); 1] = [("the-same-bytes", same)];

/// Files of a set with a pattern, a picture and two cards.
fn files() -> Vec<(String, Vec<u8>)> {
    let head = "torques:\n  cover: {name: cover screws, torque: 9 N·m, count: 4, lubrication: dry, pattern: ring}\n\
        patterns:\n  ring: {circle: {count: 4, diameter: 80 mm}}\n";
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"><circle cx=\"4\" cy=\"4\" r=\"3\"/></svg>";
    let text = |path: &str, text: String| (path.to_string(), text.into_bytes());
    vec![
        text("set.yaml", format!("{SET}rev: A\ndate: 2026-01-02\n")),
        text("10-open.md", procedure("", "1. Look: ![Ring](ring.svg)\n")),
        text(
            "20-close.md",
            procedure(head, "1. Tighten the [torque cover].\n").replace("title: Open", "title: Close"),
        ),
        text("ring.svg", svg.to_string()),
    ]
}

fn same(scratch: &Scratch) -> Vec<String> {
    let forth = files();
    let back: Vec<_> = forth.iter().rev().cloned().collect();
    let ways = [
        ("one", &forth, "1", "UTC", "C"),
        ("two/further/down", &back, "4", "Pacific/Kiritimati", "de_DE.UTF-8"),
        ("three with a space", &back, "2", "America/St_Johns", "tr_TR.UTF-8"),
    ];
    let mut faults = Vec::new();
    let mut first: Option<Vec<(String, Vec<u8>)>> = None;
    for (folder, files, jobs, zone, locale) in ways {
        for (path, bytes) in files.iter() {
            scratch.write(&format!("{folder}/set/{path}"), bytes);
        }
        let output = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(["build", "set", "--out", "out", "--jobs", jobs, "--no-cache"])
            .current_dir(scratch.path().join(folder))
            .env("TZ", zone)
            .env("LC_ALL", locale)
            .env("LANG", locale)
            .env("HOME", scratch.path().join(folder))
            .stdin(Stdio::null())
            .output()
            .expect("the program");
        if output.status.code() != Some(0) {
            faults.push(format!("{folder}: {}", String::from_utf8_lossy(&output.stderr)));
        }
        let printed = scratch.files(&format!("{folder}/out"));
        match &first {
            None => first = Some(printed),
            Some(first) => {
                let names =
                    |files: &[(String, Vec<u8>)]| files.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
                if names(first) != names(&printed) {
                    faults.push(format!("{folder}: {:?} instead of {:?}", names(&printed), names(first)));
                }
                let others = first.iter().zip(&printed).filter(|((_, one), (_, other))| one != other);
                faults.extend(others.map(|((name, _), _)| format!("{folder}: {name} is of other bytes")));
            }
        }
    }
    if first.is_none_or(|files| files.len() < 3) {
        faults.push("hardly anything was printed".to_string());
    }
    faults
}
