//! Histories: repositories with renames, moves, changed units, merges, cut off clones and odd names are written, the program is run in them,
//! and what it says is in `tests/history/<case>.txt`.

use crate::harness::{Outcome, fixture, snapshot};
mod codes;

use crate::program::Scratch;
use crate::program::repository::{Content, Contents, Repository, texts};
use libtest_mimic::Trial;

/// Makes a repository of that name and compares what is said there.
type Case = fn(&str) -> Outcome;

pub fn trials() -> Vec<Trial> {
    let cases: [(&str, Case); 15] = [
        ("straight", straight),
        ("merged", merged),
        ("shallow", shallow),
        ("shallow-end", shallow_end),
        ("unborn", unborn),
        ("dirty", dirty),
        ("mended", mended),
        ("mended-on-windows", mended_on_windows),
        ("odd-names", odd_names),
        ("bare", bare),
        ("folders", folders),
        ("reissue", reissue),
        ("one-set-of-many", one_set_of_many),
        ("renamed-alone", renamed_alone),
        ("no-repository", no_repository),
    ];
    let paper = Trial::test("history/rev-from-git", rev_from_git);
    let trial = |(name, case): (&'static str, Case)| Trial::test(format!("history/{name}"), move || case(name));
    cases
        .into_iter()
        .chain(codes::CASES)
        .map(trial)
        .chain([paper])
        .collect()
}

/// The date on a card, and in its file, is that of the last commit that changed what it says; one that only touched notes is none.
fn rev_from_git() -> Outcome {
    let mut repository = Repository::new("rev-from-git", false);
    let first = repository.commit("main", "First cards", &pump("10 N·m", "gently"), &[]);
    let second = repository.commit("main", "Twelve", &pump("12 N·m", "gently"), &[first]);
    let mut last = pump("12 N·m", "gently");
    last.extend(texts(&[("notes.txt", "nothing")]));
    repository.commit("main", "Notes", &last, &[second]);
    repository.check_out(&last);
    let built = said(
        &repository.scratch,
        &commands(&["build --out plain", "build --rev-from-git --out dated"]),
    );
    assert_eq!(built.matches("exit 0").count(), 2, "{built}");
    let dates = |folder: &str| {
        let files = repository.scratch.files(folder);
        let card = files
            .iter()
            .find(|(name, _)| name.ends_with("-close.pdf"))
            .expect("a card");
        let text = String::from_utf8_lossy(&card.1).into_owned();
        // As XMP has it, which isn't compressed (PDF/A, ISO 19005-1, 6.7.2; from memory).
        let after = text
            .split("<xmp:CreateDate>")
            .nth(1)
            .map(|rest| rest.chars().take(10).collect::<String>());
        after.unwrap_or_default()
    };
    // The repository's commits are a day apart, from the first day of 2026 on.
    assert_eq!((dates("plain").as_str(), dates("dated").as_str()), ("", "2026-01-02"));
    Ok(())
}

const SET: &str = "machine: Invented pump\ntitle: Pump\nrev: A\nstyle: {units: {torque: N·m}}\n";

/// A procedure with one torque.
fn close(torque: &str, words: &str) -> String {
    format!(
        "---\ntitle: Close the pump\ntorques:\n  cover: {{name: cover screws, torque: {torque}, count: 6}}\n---\n\n# Close\n\n\
         1. Wipe both faces clean.\n2. Put on the cover {words}.\n3. Tighten the [torque cover].\n"
    )
}

fn pump(torque: &str, words: &str) -> Contents {
    texts(&[("set.yaml", SET), ("10-close.md", &close(torque, words))])
}

/// Runs commands in a folder: what each wrote, and how it ended.
fn said(scratch: &Scratch, commands: &[String]) -> String {
    let mut out = String::new();
    for command in commands {
        let words: Vec<String> = command.split_whitespace().map(str::to_string).collect();
        let (output, errors, code) = scratch.run(&words);
        out += &format!("$ {command}\n{output}");
        out.extend(errors.lines().map(|line| format!("! {line}\n").replace("! \n", "!\n")));
        out += &format!("exit {}\n\n", code.map_or("by a signal".to_string(), |c| c.to_string()));
    }
    out
}

fn compare(name: &str, out: &str) -> Outcome {
    snapshot::compare(&fixture::folder("history").join(format!("{name}.txt")), out)
}

fn commands(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| line.to_string()).collect()
}

/// The first code that a text shows after some words.
fn code_after(text: &str, words: &str) -> String {
    let rest = text.split_once(words).map_or("", |(_, rest)| rest);
    let is_code = |word: &&str| word.len() == 9 && word.as_bytes()[4] == b'-';
    rest.split_whitespace()
        .map(|w| w.trim_matches(','))
        .find(is_code)
        .unwrap_or("")
        .to_string()
}

/// A changed unit, a reflow with a rename, a step moved: the codes of each and what replaced them.
fn straight(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &pump("88 lbf·in", "and the gasket"), &[]);
    repository.point("refs/tags/v1", first);
    let second = repository.commit("main", "Torque in feet", &pump("88 lbf·ft", "and the gasket"), &[first]);
    let mut renamed = pump("88 lbf·ft", "and\n   the *gasket*");
    let body = renamed.remove(b"10-close.md".as_slice()).expect("the procedure");
    renamed.insert(b"20-shut.md".to_vec(), body);
    let third = repository.commit("main", "Rename and reflow", &renamed, &[second]);
    let mut moved = renamed.clone();
    let text = close("88 lbf·ft", "and the gasket").replace("1. Wipe both faces clean.\n2. Put", "1. Put");
    let text = text.replace("3. Tighten", "2. Wipe both faces clean.\n3. Tighten");
    moved.insert(b"20-shut.md".to_vec(), Content::File(text.into_bytes()));
    repository.commit("main", "Wipe later", &moved, &[third]);
    repository.check_out(&moved);
    let scratch = &repository.scratch;
    let probe = said(scratch, &commands(&["diff v1 HEAD~2"]));
    let old = code_after(&probe, "Close the pump");
    let new = code_after(&probe, "→");
    let probe = said(scratch, &commands(&["diff HEAD~1 HEAD"]));
    let last = code_after(&probe, "→");
    let mut lines = commands(&[
        "diff v1 HEAD~2",
        "diff v1..HEAD~2 --format markdown",
        "diff HEAD~2..HEAD~1",
        "diff HEAD~1",
        "diff HEAD",
        "diff v1 HEAD --format json",
        "diff v2",
        "diff v1 HEAD extra",
    ]);
    lines.push(format!("stale {old} {new} {last} {last}X 7K3M-Q2XD"));
    lines.push(format!("stale {old} --json"));
    compare(name, &said(scratch, &lines))
}

/// A card printed from a branch that was merged later.
fn merged(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &pump("10 N·m", "gently"), &[]);
    let side = repository.commit("side", "Try twelve", &pump("12 N·m", "gently"), &[first]);
    let main = repository.commit("main", "Say how", &pump("10 N·m", "by hand"), &[first]);
    let both = pump("11 N·m", "by hand");
    repository.commit("main", "Merge the trial, at eleven", &both, &[main, side]);
    repository.check_out(&both);
    let scratch = &repository.scratch;
    let probe = said(scratch, &commands(&["diff side HEAD"]));
    let tried = code_after(&probe, "Close the pump");
    let mut lines = commands(&["diff main...side", "diff side...main", "diff HEAD^1", "diff HEAD^2"]);
    lines.push(format!("stale {tried}"));
    compare(name, &said(scratch, &lines))
}

/// What a shallow clone doesn't have is said to be missing.
fn shallow(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &pump("10 N·m", "gently"), &[]);
    let second = repository.commit("main", "Twelve", &pump("12 N·m", "gently"), &[first]);
    let last = pump("14 N·m", "gently");
    repository.commit("main", "Fourteen", &last, &[second]);
    repository.check_out(&last);
    let probe = said(&repository.scratch, &commands(&["diff HEAD~2 HEAD~1"]));
    let (old, new) = (code_after(&probe, "Close the pump"), code_after(&probe, "→"));
    repository.cut(second, &[first]);
    let mut lines = commands(&["diff HEAD~1", "diff HEAD~2"]);
    lines.push(format!("stale {old} {new}"));
    // As it stands in the foot of the card, and beside its QR code.
    let cards = format!("\u{feff}set/close · {old}\nset/close rev A {new} seal=old\n");
    repository.scratch.write("cards.txt", cards.as_bytes());
    lines.push("stale --file cards.txt".to_string());
    compare(name, &said(&repository.scratch, &lines))
}

/// A card that is as it was at the end of a shallow clone may be older than that.
fn shallow_end(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &pump("12 N·m", "gently"), &[]);
    let second = repository.commit("main", "Told otherwise", &pump("12 N·m", "slowly"), &[first]);
    let mut last = pump("12 N·m", "slowly");
    last.extend(texts(&[("notes.txt", "nothing")]));
    repository.commit("main", "Notes", &last, &[second]);
    repository.check_out(&last);
    let probe = said(&repository.scratch, &commands(&["diff HEAD~2 HEAD~1"]));
    let stale = format!("stale {}", code_after(&probe, "→"));
    let whole = said(&repository.scratch, std::slice::from_ref(&stale));
    repository.cut(second, &[first]);
    compare(
        name,
        &(whole + &said(&repository.scratch, &[stale, "build --rev-from-git".to_string()])),
    )
}

/// Before the first commit.
fn unborn(name: &str) -> Outcome {
    let repository = Repository::new(name, false);
    repository.check_out(&pump("10 N·m", "gently"));
    let lines = commands(&[
        "diff HEAD",
        "stale 7K3M-Q2XD",
        "stale FKZ3-K1W8",
        "stale WD47-9V4K",
        "reissue --since HEAD",
        "build --rev-from-git",
        "check --since HEAD",
        "check",
    ]);
    compare(name, &said(&repository.scratch, &lines))
}

/// Edits that are not committed: compared, found, and told from what is.
fn dirty(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let clean = pump("10 N·m", "gently");
    repository.commit("main", "First cards", &clean, &[]);
    repository.check_out(&pump("1.0 N·m", "gently"));
    let scratch = &repository.scratch;
    scratch.write("15-new.md", b"---\ntitle: New\n---\n\n# New\n\n1. Look.\n");
    let probe = said(scratch, &commands(&["diff HEAD"]));
    let committed = code_after(&probe, "Close the pump");
    let mut lines = commands(&["diff HEAD", "check --since HEAD", "reissue --since HEAD --list"]);
    lines.push(format!("stale {committed}"));
    compare(name, &said(scratch, &lines))
}

/// Changes that are certain are made in files that the last commit has as they are, never through a link, and not in old line ends.
fn mended(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let slip = close("10 N·m", "gently").replace("# Close", "#Close");
    let mut contents = texts(&[
        ("set.yaml", SET),
        ("10-close.md", &slip),
        ("20-old.md", &slip.replace('\n', "\r")),
    ]);
    contents.insert(b"30-linked.md".to_vec(), Content::Link("10-close.md".to_string()));
    repository.commit("main", "A slip", &contents, &[]);
    repository.check_out(&contents);
    let scratch = &repository.scratch;
    let mut out = said(scratch, &commands(&["check --fix --dry-run"]));
    scratch.write("10-close.md", format!("{slip}4. Look.\n").as_bytes());
    out += &said(scratch, &commands(&["check --fix"]));
    scratch.write("10-close.md", slip.as_bytes());
    out += &said(scratch, &commands(&["check --fix", "check --fix", "diff HEAD"]));
    for (path, bytes) in scratch.files("") {
        if path.ends_with(".md") {
            out += &format!("{path}: {:?}\n", String::from_utf8_lossy(&bytes));
        }
    }
    compare(name, &out)
}

/// Git on Windows checks files out with line ends that the commit hasn't: they are as it has them, and keep those ends.
fn mended_on_windows(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let slip = close("10 N·m", "gently").replace("# Close", "#Close");
    repository.commit(
        "main",
        "A slip",
        &texts(&[("set.yaml", SET), ("10-close.md", &slip)]),
        &[],
    );
    let ended = |text: &str| text.replace('\n', "\r\n");
    repository.check_out(&texts(&[("set.yaml", &ended(SET)), ("10-close.md", &ended(&slip))]));
    let mut out = said(&repository.scratch, &commands(&["check --fix", "check"]));
    for (path, bytes) in repository.scratch.files("") {
        if path.ends_with(".md") {
            out += &format!("{path}: {:?}\n", String::from_utf8_lossy(&bytes));
        }
    }
    compare(name, &out)
}

/// A name that is not UTF-8, a link, another repository and a hidden folder.
fn odd_names(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let mut contents = pump("10 N·m", "gently");
    contents.insert(
        b"caf\xe9.md".to_vec(),
        Content::File(b"---\ntitle: Lost\n---\n".to_vec()),
    );
    contents.insert(b"linked.md".to_vec(), Content::Link("10-close.md".to_string()));
    contents.insert(b"vendor".to_vec(), Content::Submodule);
    contents.insert(
        b".hidden/20-x.md".to_vec(),
        Content::File(b"---\ntitle: Hidden\n---\n".to_vec()),
    );
    let unicode = "---\ntitle: Größe prüfen\n---\n\n# Prüfen\n\n1. Look at the gap.\n";
    contents.insert(
        "größe/set.yaml".as_bytes().to_vec(),
        Content::File(SET.as_bytes().to_vec()),
    );
    contents.insert(
        "größe/30-prüfen.md".as_bytes().to_vec(),
        Content::File(unicode.as_bytes().to_vec()),
    );
    let first = repository.commit("main", "Odd names", &contents, &[]);
    let mut later = contents.clone();
    later.extend(pump("12 N·m", "gently"));
    repository.commit("main", "Twelve", &later, &[first]);
    compare(
        name,
        &said(
            &repository.scratch,
            &commands(&[
                "diff HEAD~1 HEAD",
                "diff HEAD~1 HEAD --at größe",
                "diff HEAD --at größe",
            ]),
        ),
    )
}

/// No work tree at all.
fn bare(name: &str) -> Outcome {
    let mut repository = Repository::new(name, true);
    let first = repository.commit("main", "First cards", &pump("10 N·m", "gently"), &[]);
    repository.commit("main", "Twelve", &pump("12 N·m", "gently"), &[first]);
    let probe = said(&repository.scratch, &commands(&["diff HEAD~1 HEAD"]));
    let (old, new) = (code_after(&probe, "Close the pump"), code_after(&probe, "→"));
    let mut lines = commands(&["diff HEAD~1 HEAD", "diff HEAD~1"]);
    lines.push(format!("stale {old} {new}"));
    compare(name, &said(&repository.scratch, &lines))
}

/// Two folders, without any history.
fn folders(name: &str) -> Outcome {
    let scratch = Scratch::new(&format!("history-{name}"));
    for (folder, torque) in [("old", "10 N·m"), ("new", "12 N·m")] {
        scratch.write(&format!("{folder}/set.yaml"), SET.as_bytes());
        scratch.write(&format!("{folder}/10-close.md"), close(torque, "gently").as_bytes());
    }
    scratch.write("broken/set.yaml", SET.as_bytes());
    scratch.write("broken/10-close.md", close("10 foo", "gently").as_bytes());
    // Sets that use what a shop file above them says.
    for (shop, torque) in [("here", "10 N·m"), ("there", "12 N·m")] {
        let tools = "shop: Invented\ntools:\n  lamp: {name: lamp}\n";
        scratch.write(&format!("{shop}/workshop.yaml"), tools.as_bytes());
        scratch.write(&format!("{shop}/pump/set.yaml"), SET.as_bytes());
        let card = close(torque, "gently") + "\n## Look\n\n1. Shine the [use lamp] on it.\n";
        scratch.write(&format!("{shop}/pump/10-close.md"), card.as_bytes());
    }
    let lines = commands(&[
        "diff old new",
        "diff old old",
        "diff old broken",
        "diff old missing",
        "diff here/pump there/pump",
        "diff here there",
    ]);
    compare(name, &said(&scratch, &lines))
}

/// Only cards that are others are to be printed again; which, hangs on the choices.
fn reissue(name: &str) -> Outcome {
    let set = "machine: Invented pump\ntitle: Pump\nrev: A\noptions:\n  seal: {what: Seal, values: {old: kept, new: renewed}, default: old}\n\
               torques:\n  bolts: {name: bolts, torque: 40 N·m}\n";
    let open = "---\ntitle: Open\n---\n\n# Open\n\n1. Undo the [loosen bolts].\n";
    let seal = "---\ntitle: Seal\n---\n\n# Seal\n\n1. Look at the lip.\n2. Press in the new seal. [only seal=new]\n";
    let shut = "---\ntitle: Shut\nafter: [open]\n---\n\n# Shut\n\n1. Tighten the [torque bolts].\n";
    let files = |set: &str, seal: &str| {
        texts(&[
            ("set.yaml", set),
            ("10-open.md", open),
            ("20-seal.md", seal),
            ("30-shut.md", shut),
        ])
    };
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &files(set, seal), &[]);
    let command = |rest: &str| vec![format!("reissue --since HEAD{rest} --list")];
    let scratch = &repository.scratch;
    let mut out = String::new();
    repository.check_out(&files(set, seal));
    out += &said(scratch, &command(""));
    repository.check_out(&files(set, &seal.replace("Press in", "Push in")));
    out += &said(scratch, &command(""));
    out += &said(scratch, &commands(&["diff HEAD", "diff HEAD --format json"]));
    out += &said(scratch, &command(" --option seal=new"));
    repository.check_out(&files(&set.replace("default: old", "default: new"), seal));
    out += &said(scratch, &commands(&["diff HEAD"]));
    out += &said(scratch, &command(""));
    repository.check_out(&files(&set.replace("40 N·m", "45 N·m"), seal));
    out += &said(scratch, &command(""));
    repository.check_out(&files(&set.replace("40 N·m", "40.0 N·m"), seal));
    out += &said(scratch, &command(""));
    scratch.remove("10-open.md");
    scratch.write("30-shut.md", shut.replace("after: [open]\n", "").as_bytes());
    out += &said(scratch, &command(""));
    // Another choice's card was changed by a later commit: each keeps its own date.
    let pushed = files(set, &seal.replace("Press in", "Push in"));
    repository.commit("main", "Push it in", &pushed, &[first]);
    repository.check_out(&pushed);
    let before = said(&repository.scratch, &commands(&["diff HEAD~1 HEAD"]));
    let codes: Vec<&str> = before
        .split(|c: char| c.is_whitespace() || c == ',')
        .filter(|word| word.len() == 9 && word.as_bytes()[4] == b'-')
        .collect();
    out += &said(&repository.scratch, &[format!("stale {}", codes.join(" "))]);
    compare(name, &out)
}

/// A set below the root, with the shop's file above it.
fn one_set_of_many(name: &str) -> Outcome {
    let shop =
        |reach: &str| format!("tools:\n  gauge: {{name: depth gauge, kind: depth-gauge, resolution: {reach}}}\n");
    let body = "---\ntitle: Measure\nlimits:\n  depth: {name: depth, limit: max 5 mm, gauge: gauge}\n---\n\n# Measure\n\n1. Take the [measure depth].\n";
    let files = |reach: &str| {
        texts(&[
            ("shop/workshop.yaml", &shop(reach)),
            ("shop/pump/set.yaml", SET),
            ("shop/pump/10-measure.md", body),
            ("shop/fan/set.yaml", "machine: Invented fan\ntitle: Fan\n"),
            (
                "shop/fan/10-grease.md",
                "---\ntitle: Grease\n---\n\n# Grease\n\n1. Grease it.\n",
            ),
        ])
    };
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &files("0.1 mm"), &[]);
    let last = files("0.02 mm");
    repository.commit("main", "Finer gauge", &last, &[first]);
    repository.check_out(&last);
    let lines = commands(&[
        "diff HEAD~1 --at shop/pump",
        "diff HEAD~1 --at shop/fan",
        "diff HEAD~1 HEAD",
        "diff HEAD~1",
    ]);
    compare(name, &said(&repository.scratch, &lines))
}

/// A set that got another folder, named alone: what became of it is told as if nothing had moved.
fn renamed_alone(name: &str) -> Outcome {
    let files = |folder: &str, torque: &str| {
        texts(&[
            (&format!("shop/{folder}/set.yaml"), SET),
            (&format!("shop/{folder}/10-close.md"), &close(torque, "gently")),
            ("shop/fan/set.yaml", "machine: Invented fan\ntitle: Fan\n"),
        ])
    };
    let mut repository = Repository::new(name, false);
    repository.commit("main", "First cards", &files("pump", "10 N·m"), &[]);
    repository.check_out(&files("seal-kit", "12 N·m"));
    let lines = commands(&[
        "diff HEAD --at shop/seal-kit",
        "check --since HEAD shop/seal-kit",
        "diff HEAD --at shop/fan",
    ]);
    compare(name, &said(&repository.scratch, &lines))
}

/// A folder that git knows nothing of.
fn no_repository(name: &str) -> Outcome {
    let scratch = Scratch::new(&format!("history-{name}"));
    scratch.write("set.yaml", SET.as_bytes());
    scratch.write("10-close.md", close("10 N·m", "gently").as_bytes());
    compare(
        name,
        &said(
            &scratch,
            &commands(&["diff HEAD", "stale FKZ3-K1W8", "reissue --since HEAD"]),
        ),
    )
}
