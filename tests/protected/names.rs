//! The names that cards, files and codes go by: an id that a file's name gives is one like any other.

use super::{Check, SET, procedure};
use crate::left::told;
use crate::program::Scratch;

pub const CHECKS: [(&str, Check); 1] = [("ids-of-files", ids)];

fn ids(scratch: &Scratch) -> Vec<String> {
    let mut faults = Vec::new();
    scratch.write("set/set.yaml", SET.as_bytes());
    for name in [
        "10-str ip.md",
        "10-a'b.md",
        "10-a$b.md",
        "10-a\u{200b}b.md",
        "10-(a).md",
        "10-a\u{202e}b.md",
    ] {
        scratch.write(&format!("set/{name}"), procedure("", "1. Look.\n").as_bytes());
        faults.extend(told(scratch, "check set", 1, &["BL010", "rename"]));
        // An id of its own makes the name of the file indifferent.
        scratch.write(&format!("set/{name}"), procedure("id: open\n", "1. Look.\n").as_bytes());
        faults.extend(told(scratch, "check set", 0, &["1 procedure checked"]));
        scratch.remove(&format!("set/{name}"));
    }
    for name in ["10-open.md", "10-Größe_2.md", "7.md", "10 open.md"] {
        scratch.write(&format!("set/{name}"), procedure("", "1. Look.\n").as_bytes());
        faults.extend(told(scratch, "check set", 0, &["1 procedure checked"]));
        scratch.remove(&format!("set/{name}"));
    }
    faults
}
