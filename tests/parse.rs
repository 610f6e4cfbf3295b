//! Markdown to trees: each `tests/parse/<case>.txt` gives the trees and findings of `<case>.tree`.

use crate::harness::{Files, Outcome, check, fixture, snapshot, tree};
use libtest_mimic::Trial;
use std::panic::catch_unwind;

pub fn trials() -> Vec<Trial> {
    let one = |path: std::path::PathBuf| {
        Trial::test(format!("parse/{}", fixture::stem(&path)), move || {
            snapshot::compare(&path.with_extension("tree"), &tree::trees(&fixture::read(&path)))
        })
    };
    let mut all: Vec<Trial> = fixture::texts(&fixture::folder("parse")).into_iter().map(one).collect();
    all.push(Trial::test("parse/signs-of-several-bytes-anywhere", wide_signs));
    all
}

/// What is not one byte: quotes, bullets, spaces, letters, marks on letters, and what goes before a bullet.
const SIGNS: [&str; 14] = [
    "“", "„", "«", "•", "–", "\u{a0}", "\u{2003}", "\u{feff}", "\u{301}", "é", "🔧", "\"• ", "“– ", "«2. ",
];

/// Where one can be put into a line.
const PLACES: [fn(&str) -> Option<usize>; 10] = [
    |_| Some(0),
    |line| Some(line.len() - line.trim_start().len()),
    // Behind the sign of an item or a quote.
    |line| line.find(['.', ')', '-', '*', '>']).map(|at| at + 1),
    |line| line.find(' ').map(|at| at + 1),
    |line| line.find('[').map(|at| at + 1),
    |line| line.find("[!").map(|at| at + 2),
    |line| line.find(']'),
    |line| line.find(':').map(|at| at + 1),
    |line| line.char_indices().next_back().map(|(at, _)| at),
    |line| Some(line.len()),
];

/// The lines of every fixture with such a sign in them, all of a file at once and every third: none stops the compiler.
fn wide_signs() -> Outcome {
    let paths = ["parse", "slips"].map(|folder| fixture::texts(&fixture::folder(folder)));
    let mut faults = Vec::new();
    let mut tried = 0;
    for files in paths.iter().flatten().map(|path| fixture::read(path)) {
        for (sign, place) in SIGNS.iter().flat_map(|sign| PLACES.map(|place| (sign, place))) {
            for third in [None, Some(0), Some(1), Some(2)] {
                let put = |(n, line): (usize, &str)| match place(line) {
                    Some(at) if third.is_none_or(|third| n % 3 == third) => {
                        let (before, after) = line.split_at(at);
                        format!("{before}{sign}{after}\n")
                    }
                    Some(_) | None => format!("{line}\n"),
                };
                let with = |(path, bytes): (&String, &Vec<u8>)| {
                    let text = String::from_utf8_lossy(bytes);
                    let text: String = text.lines().enumerate().map(put).collect();
                    (path.clone(), text.into_bytes())
                };
                let changed: Files = files.iter().map(with).collect();
                tried += 1;
                if catch_unwind(|| check(&changed)).is_err() {
                    faults.push(format!("{sign:?} stops the compiler in {:?}", changed.keys()));
                }
            }
        }
    }
    faults.dedup();
    match faults.is_empty() && tried > 10_000 {
        true => Ok(()),
        false => Err(format!("{tried} tried\n{}", faults.join("\n")).into()),
    }
}
