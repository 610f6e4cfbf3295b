//! The command line by written dialogues: `tests/cli/<name>.txt` says what it shows, which folder it starts from (`from: <folder of tests/> as
//! <name>`), and then holds commands after `$ ` with what each wrote, its exit code, and the files below `out/`. `$ cd <folder>` is where
//! those after it are given, from the start on.

use crate::harness::{Outcome, fixture, snapshot};
use crate::program::{Scratch, words};
use libtest_mimic::Trial;
use std::path::Path;

pub fn trials() -> Vec<Trial> {
    let folder = fixture::folder("cli");
    let dialogues = fixture::texts(&folder).into_iter();
    dialogues
        .map(|path| Trial::test(format!("cli/{}", fixture::stem(&path)), move || replay(&path)))
        .collect()
}

/// Runs a dialogue's commands anew and compares.
fn replay(path: &Path) -> Outcome {
    let scratch = Scratch::new(&format!("cli-{}", fixture::stem(path)));
    let mut out = String::new();
    let mut head = true;
    let mut place = String::new();
    for line in fixture::text(path).lines() {
        if let Some(command) = line.strip_prefix("$ ") {
            head = false;
            out += &format!("$ {command}\n");
            match command.strip_prefix("cd ") {
                Some(folder) => place = folder.to_string(),
                None => out += &step(&scratch, &place, &words(command)),
            }
        } else if head {
            if let Some((from, name)) = line.strip_prefix("from: ").and_then(|rest| rest.split_once(" as ")) {
                scratch.bring(&fixture::root().join("tests").join(from), name);
            }
            out += &format!("{line}\n");
        }
    }
    snapshot::compare(path, &out)
}

/// One command: output, errors, exit code, and what lies in `out/` after it.
fn step(scratch: &Scratch, place: &str, arguments: &[String]) -> String {
    let (output, errors, code) = scratch.run_in(place, arguments);
    let mut text = output;
    for line in errors.lines() {
        text += &format!("! {line}\n").replace("! \n", "!\n");
    }
    text += &format!("exit {}\n", code.map_or("by a signal".to_string(), |c| c.to_string()));
    for (name, _) in scratch.files("out") {
        text += &format!("  out/{name}\n");
    }
    text
}
