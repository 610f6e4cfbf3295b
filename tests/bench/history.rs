//! Codes looked up in a history of many commits, as whole processes, beside compiling each state that a set of it ever was in.

use super::program::{self, Folder};
use benchleaf_core::compile;
use benchleaf_core::leaves::{Sort, of_set};
use benchleaf_core::source::FileSet;
use std::collections::BTreeMap;
use std::io::Write;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Times that the demo sets stand in the repository, and commits, unless `COPIES` and `COMMITS` say others.
const COPIES: usize = 4;
const COMMITS: usize = 100;

type Texts = BTreeMap<String, String>;

/// Looks up codes of cards: one that is current, one that the first commit alone had, and one that no leaf ever had; each twice. Takes `git`.
pub fn history() {
    let number = |name: &str, usual| {
        let given = std::env::var(name).ok().and_then(|number| number.parse().ok());
        given.unwrap_or(usual)
    };
    let (copies, commits): (usize, usize) = (number("COPIES", COPIES), number("COMMITS", COMMITS));
    let folder = Folder::new("history");
    let count = program::copies(&folder, "sets", copies);
    let mut texts = program::texts(&folder, "sets");
    let first = texts.clone();
    let procedures: Vec<String> = texts.keys().filter(|path| path.ends_with(".md")).cloned().collect();
    let mut git = Commits::begin(&folder);
    git.commit(0, &texts);
    let mut floor = compiled(&texts, "sets/");
    for number in 1..commits {
        // Every place in turn, and none twice in a row.
        let path = &procedures[number * 7 % procedures.len()];
        let text = &first[path];
        let at = text.find("\n1. ").expect("a first step");
        let text = format!("{}\n1. Look at mark {number}.{}", &text[..at], &text[at..]);
        texts.insert(path.clone(), text.clone());
        git.commit(number, &BTreeMap::from([(path.clone(), text)]));
        let set = &path[..=path.rfind('/').expect("it lies in a set")];
        floor += compiled(&texts, set);
    }
    git.end();
    // The work tree is what was committed last.
    for (path, text) in &texts {
        std::fs::write(folder.path().join(path), text).expect("a text is written");
    }
    let changed = &procedures[7 % procedures.len()];
    let set = &changed[..=changed.rfind('/').expect("it lies in a set")];
    for (what, code) in [
        ("current", code(&texts, set, changed)),
        ("superseded", code(&first, set, changed)),
        ("never seen", never(&first, set, changed)),
    ] {
        let asked = || folder.timed_as(&["stale", "sets", &code], &[0, 1]);
        let (once, again) = (asked(), asked());
        println!(
            "{:<52} {:>7.0} ms {:>7.0} ms {:>6.2}x  <=1.5x, again {:.0} ms",
            format!("stale: {what}, {count} procedures, {commits} commits / check"),
            once.as_secs_f64() * 1e3,
            floor.as_secs_f64() * 1e3,
            once.as_secs_f64() / floor.as_secs_f64(),
            again.as_secs_f64() * 1e3,
        );
    }
}

/// The files of one set, and of the shop above it.
fn part(texts: &Texts, set: &str) -> FileSet {
    let own = texts
        .iter()
        .filter(|(path, _)| path.starts_with(set) || path.ends_with("workshop.yaml"));
    FileSet::from_texts(own.map(|(path, text)| (path.as_str(), text.as_str())))
}

fn compiled(texts: &Texts, set: &str) -> Duration {
    let files = part(texts, set);
    let begun = Instant::now();
    std::hint::black_box(compile(&files));
    begun.elapsed()
}

/// The code of a card as the texts have it.
fn code(texts: &Texts, set: &str, procedure: &str) -> String {
    let files = part(texts, set);
    let compilation = compile(&files);
    let (set, facts) = (&compilation.model.sets[0], &compilation.facts[0]);
    let leaves = of_set(&files, set, facts);
    let is_it = |sort: &Sort| {
        let of = matches!(sort, Sort::Card(_)).then(|| sort.procedure()).flatten();
        let file = of.and_then(|at| set.procedures.of(at)).map(|one| one.file);
        file.is_some_and(|file| files.get(file).path == procedure)
    };
    let leaf = leaves
        .iter()
        .find(|leaf| is_it(&leaf.sort))
        .expect("the card has a code");
    leaf.code.to_string()
}

/// The code of a card that nobody ever wrote.
fn never(texts: &Texts, set: &str, procedure: &str) -> String {
    let mut texts = texts.clone();
    let text = texts.get_mut(procedure).expect("a procedure");
    *text = text.replacen("\n1. ", "\n1. Never look at this. ", 1);
    code(&texts, set, procedure)
}

/// Commits being written by git.
struct Commits {
    git: std::process::Child,
}

impl Commits {
    fn begin(folder: &Folder) -> Commits {
        let _ = std::fs::remove_dir_all(folder.path().join(".git"));
        let git = |arguments: &[&str]| {
            let mut git = Command::new("git");
            git.args(arguments).current_dir(folder.path());
            git
        };
        assert!(
            git(&["init", "-q", "-b", "main"])
                .status()
                .expect("git is there")
                .success()
        );
        let git = git(&["fast-import", "--quiet"]).stdin(Stdio::piped()).spawn();
        Commits {
            git: git.expect("git is there"),
        }
    }

    fn commit(&mut self, number: usize, changed: &Texts) {
        let mut out = format!(
            "commit refs/heads/main\ncommitter A. Fitter <fitter@example.org> {} +0000\ndata 6\nChange\n",
            1_767_225_600 + number * 3600
        );
        for (path, text) in changed {
            out += &format!("M 100644 inline {path}\ndata {}\n{text}\n", text.len());
        }
        let mut stdin = self.git.stdin.as_ref().expect("a pipe");
        stdin.write_all(out.as_bytes()).expect("git reads it");
    }

    fn end(mut self) {
        drop(self.git.stdin.take());
        assert!(self.git.wait().expect("git ends").success());
    }
}
