//! What `check --fix` leaves of a file besides its text: who may read it, and whose it is.

use super::{Check, OPEN, SET, told};
use crate::program::Scratch;
use std::fs::{self, Permissions};
use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};

pub const CHECKS: [(&str, Check); 3] = [
    ("a-change-keeps-permissions", permissions),
    ("a-guess-is-not-made", guess),
    ("an-escaped-value-is-left-alone", escaped),
];

/// A step that lacks its space has one certain change.
fn slip() -> String {
    OPEN.replace("1. Take", "1.Take")
}

fn permissions(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    let place = scratch.path().join("pump/10-open.md");
    for mode in [0o600, 0o640, 0o644, 0o755, 0o664, 0o606] {
        scratch.write("pump/set.yaml", SET.as_bytes());
        scratch.write("pump/10-open.md", slip().as_bytes());
        fs::set_permissions(&place, Permissions::from_mode(mode)).expect("a file of ours");
        // The superuser alone can give a file away; anybody else keeps it.
        let given = chown(&place, Some(54321), Some(54322)).is_ok();
        let before = fs::metadata(&place).expect("a file of ours");
        faults.extend(told(
            scratch,
            "check pump --fix --force",
            0,
            &["1 change made in 1 file"],
        ));
        let after = fs::metadata(&place).expect("a file of ours");
        let text = fs::read_to_string(&place).unwrap_or_default();
        if !text.contains("1. Take") {
            faults.push(format!("nothing was changed: {text}"));
        }
        if after.mode() & 0o777 != mode {
            faults.push(format!("{mode:o} is {:o} after a change", after.mode() & 0o777));
        }
        if (after.uid(), after.gid()) != (before.uid(), before.gid()) {
            faults.push(format!("another owner after a change (given away before: {given})"));
        }
        if after.ino() == before.ino() {
            faults.push("the file was written over in place".to_string());
        }
        fs::remove_file(&place).expect("a file of ours");
    }
    faults
}

fn guess(scratch: &Scratch) -> Vec<String> {
    scratch.write("pump/10-open.md", OPEN.as_bytes());
    let set = format!("benchleaf: one\n{SET}");
    scratch.write("pump/set.yaml", set.as_bytes());
    let mut faults = told(
        scratch,
        "check pump --fix --force",
        1,
        &["0 changes made", "BL055", "write `1`"],
    );
    let now = fs::read_to_string(scratch.path().join("pump/set.yaml")).unwrap_or_default();
    if now != set {
        faults.push(format!("a guess was made: {now}"));
    }
    faults
}

/// What is wrong with a value that is written with escapes lies nowhere in the file: a place in what it means is none in what is written.
fn escaped(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    for value in [r"\u0031\u0032 µm ± 2,5 µm", r"\u00312,5 mm ± 1 mm"] {
        let measured =
            format!("limits: {{gap: {{name: gap, limit: \"{value}\"}}}}\n---\n\n1. Measure the [measure gap].\n2. ");
        let procedure = OPEN.replace("---\n\n1. ", &measured);
        scratch.write("pump/set.yaml", SET.as_bytes());
        scratch.write("pump/10-open.md", procedure.as_bytes());
        faults.extend(told(
            scratch,
            "check pump --fix --force",
            1,
            &["0 changes made", "BL20"],
        ));
        let now = fs::read_to_string(scratch.path().join("pump/10-open.md")).unwrap_or_default();
        if now != procedure {
            faults.push(format!("`{value}` was changed: {now}"));
        }
    }
    faults
}
