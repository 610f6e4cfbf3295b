//! What a code from a wall is answered with: nothing that is printed changes without it, whatever leaf it is on and wherever it came from.

use super::{SET, close, code_after, commands, compare, said};
use crate::harness::Outcome;
use crate::program::repository::{Content, Contents, Repository, texts};

pub const CASES: [(&str, super::Case); 10] = [
    ("live-terminals", live_terminals),
    ("torque-on-another-card", torque_on_another_card),
    ("readings-renamed", readings_renamed),
    ("pocket-and-close-out", pocket_and_close_out),
    ("older-form", older_form),
    ("told-whole", told_whole),
    ("withdrawn", withdrawn),
    ("elsewhere", elsewhere),
    ("amended", amended),
    ("broken", broken),
];

/// The first code after some words of what a command says.
fn code(repository: &Repository, command: &str, words: &str) -> String {
    code_after(&said(&repository.scratch, &commands(&[command])), words)
}

/// Two commits of some files, the second checked out.
fn two(name: &str, old: &Contents, new: &Contents) -> Repository {
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", old, &[]);
    repository.commit("main", "Second thoughts", new, &[first]);
    repository.check_out(new);
    repository
}

fn procedure(title: &str, steps: &[&str]) -> String {
    let steps = steps.iter().enumerate().map(|(n, step)| format!("{}. {step}\n", n + 1));
    format!("---\ntitle: {title}\n---\n\n# {title}\n\n{}", steps.collect::<String>())
}

/// A card that comes after another: in any other order the set would be wrong.
fn after(first: &str, title: &str, steps: &[&str]) -> String {
    procedure(title, steps).replacen("\n---\n", &format!("\nafter: [{first}]\n---\n"), 1)
}

/// A card that says nothing of power takes it over: switched off before it, and then no more.
fn live_terminals(name: &str) -> Outcome {
    let set = "machine: Invented switchboard\ntitle: Board\nrev: A\n\
               states:\n  power: {name: mains power, values: [live, off], start: live, finish: live}\n";
    let files = |first: &[&str], last: &str| {
        texts(&[
            ("set.yaml", set),
            ("10-off.md", &procedure("Switch off", first)),
            (
                "20-look.md",
                &after("off", "Look at the terminals", &["Look at the terminals."]),
            ),
            ("30-on.md", &after("look", "Switch on", &[last])),
        ])
    };
    let old = files(&["Switch off. [set power=off]"], "Switch on. [set power=live]");
    let new = files(
        &["Switch off. [set power=off]", "Switch on again. [set power=live]"],
        "Go on. [need power=live]",
    );
    let repository = two(name, &old, &new);
    let look = code(&repository, "diff HEAD~1 HEAD", "Look at the terminals");
    let mut lines = commands(&["diff HEAD~1 HEAD", "reissue --since HEAD~1 --list"]);
    lines.push(format!("stale {look}"));
    compare(name, &said(&repository.scratch, &lines))
}

/// What is loose between two cards stands on both, and on every card between them.
fn torque_on_another_card(name: &str) -> Outcome {
    let set = "machine: Invented pump\ntitle: Pump\nrev: A\ntorques:\n  nuts: {name: flange nuts, torque: 40 N·m, count: 4}\n";
    let files = |second: &str, last: &str| {
        texts(&[
            ("set.yaml", set),
            ("10-open.md", &procedure("Open", &["Break loose the [loosen nuts]."])),
            ("20-seal.md", &after("open", "Seal", &["Put in the seal.", second])),
            ("30-wipe.md", &after("seal", "Wipe", &["Wipe the flange."])),
            ("40-shut.md", &after("wipe", "Shut", &["Look at the flange.", last])),
        ])
    };
    let old = files("Tighten the [torque nuts].", "Write the date.");
    let new = files("Write the date.", "Tighten the [torque nuts].");
    let repository = two(name, &old, &new);
    let wipe = code(&repository, "diff HEAD~1 HEAD", "Wipe (wipe)");
    let mut lines = commands(&["diff HEAD~1 HEAD", "reissue --since HEAD~1 --list"]);
    lines.push(format!("stale {wipe}"));
    compare(name, &said(&repository.scratch, &lines))
}

/// A calculation is printed with its readings, which stand on another card; what they are called in the files is nobody's business.
fn readings_renamed(name: &str) -> Outcome {
    let set = |bore: &str, named: &str| {
        format!(
            "machine: Invented pump\ntitle: Pump\nrev: A\nlimits:\n  {bore}: {{name: {named}, limit: 30.00..30.02 mm}}\n  \
             shaft: {{name: shaft, limit: 29.97..29.99 mm}}\n  gap: {{name: clearance, limit: 0.01..0.05 mm, calc: {bore} - shaft}}\n"
        )
    };
    let files = |bore: &str, named: &str| {
        let measure = procedure(
            "Measure",
            &[&format!("Take the [measure {bore}] and the [measure shaft].")],
        );
        texts(&[
            ("set.yaml", &set(bore, named)),
            ("10-measure.md", &measure),
            (
                "20-judge.md",
                &after("measure", "Judge", &["Work out the [measure gap]."]),
            ),
        ])
    };
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &files("bore", "bore"), &[]);
    let second = repository.commit("main", "Only the id", &files("hole", "bore"), &[first]);
    let last = files("hole", "bush bore");
    repository.commit("main", "Told in full", &last, &[second]);
    repository.check_out(&last);
    let judge = code(&repository, "diff HEAD~1 HEAD", "Judge (judge)");
    let mut lines = commands(&["diff HEAD~2 HEAD~1", "diff HEAD~1 HEAD"]);
    lines.push(format!("stale {judge}"));
    compare(name, &said(&repository.scratch, &lines))
}

fn pump(torque: &str) -> Contents {
    texts(&[("set.yaml", SET), ("10-close.md", &close(torque, "gently"))])
}

/// Every leaf has a code of its own, and is told by it.
fn pocket_and_close_out(name: &str) -> Outcome {
    let repository = two(name, &pump("9 N·m"), &pump("6 N·m"));
    let scratch = &repository.scratch;
    repository.check_out(&pump("9 N·m"));
    let printed = said(
        scratch,
        &commands(&["reissue --since HEAD --list", "reissue --since HEAD --pocket --list"]),
    );
    let close_out = code_before(&printed, "close-out");
    let pocket = code_before(&printed, "pocket card");
    repository.check_out(&pump("6 N·m"));
    let mut lines = commands(&[
        "reissue --since HEAD~1 --list",
        "reissue --since HEAD~1 --pocket --list",
        "reissue --since HEAD --pocket --list",
    ]);
    lines.push(format!("stale {close_out} {pocket}"));
    lines.push(format!("stale {pocket} --json"));
    compare(name, &(printed + &said(scratch, &lines)))
}

/// The code at the beginning of a line that ends with some words.
fn code_before(text: &str, words: &str) -> String {
    let line = text.lines().find(|line| line.ends_with(words)).unwrap_or("");
    line.split_whitespace().next().unwrap_or("").to_string()
}

/// Codes as they stood on cards before a code stood for what is printed; one of them with a character misread.
fn older_form(name: &str) -> Outcome {
    let repository = two(name, &pump("9 N·m"), &pump("6 N·m"));
    repository.scratch.write(
        "wall.txt",
        "set/close · WD47-9V4K\nset/close rev A VXJ8-Z1XZ seal=old\n".as_bytes(),
    );
    let lines = commands(&[
        "stale WD47-9V4K WD47-9V4J",
        "stale --file wall.txt",
        "stale WD47-9V4K --json",
    ]);
    compare(name, &said(&repository.scratch, &lines))
}

/// A reworded step, and a commit later a torque in another unit: all of it is told against what is printed, the worst first.
fn told_whole(name: &str) -> Outcome {
    let files = |torque: &str, words: &str| texts(&[("set.yaml", SET), ("10-close.md", &close(torque, words))]);
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &files("120 lbf·in", "gently"), &[]);
    let second = repository.commit("main", "Say it otherwise", &files("120 lbf·in", "with care"), &[first]);
    let last = files("120 lbf·ft", "with care");
    repository.commit("main", "In feet", &last, &[second]);
    repository.check_out(&last);
    let printed = code(&repository, "diff HEAD~2 HEAD", "Close the pump");
    compare(
        name,
        &said(
            &repository.scratch,
            &commands(&["diff HEAD~2 HEAD", &format!("stale {printed}")]),
        ),
    )
}

/// An option goes, and a value of another: the cards that were printed for them are to be taken down.
fn withdrawn(name: &str) -> Outcome {
    let set = |options: &str| format!("machine: Invented pump\ntitle: Pump\nrev: A\n{options}");
    let all = "options:\n  seal: {what: Seal, values: {old: kept, new: renewed, spare: from the shelf}, default: old}\n  oil: {what: Oil, values: {thin: summer, thick: winter}, default: thin}\n";
    let fewer = "options:\n  seal: {what: Seal, values: {old: kept, new: renewed}, default: old}\n";
    let files = |options: &str, seal: &[&str], oil: &[&str]| {
        texts(&[
            ("set.yaml", &set(options)),
            ("10-seal.md", &procedure("Seal", seal)),
            ("20-oil.md", &procedure("Oil", oil)),
        ])
    };
    let old = files(
        all,
        &[
            "Look at the lip.",
            "Press in the new one. [only seal=new]",
            "Take the spare. [only seal=spare]",
        ],
        &["Pour in the oil.", "Warm it. [only oil=thick]"],
    );
    let new = files(
        fewer,
        &["Look at the lip.", "Press in the new one. [only seal=new]"],
        &["Pour in the oil."],
    );
    let repository = two(name, &old, &new);
    let diff = said(&repository.scratch, &commands(&["diff HEAD~1 HEAD"]));
    let spare = code_after(&diff, "take down");
    let lines = [format!("stale {spare}"), "reissue --since HEAD~1 --list".to_string()];
    compare(name, &(diff + &said(&repository.scratch, &lines)))
}

/// On another branch, in a folder that was renamed, from edits that were never committed; and what can't be answered.
fn elsewhere(name: &str) -> Outcome {
    let files = |folder: &str, torque: &str| {
        texts(&[
            (&format!("{folder}/set.yaml"), SET),
            (&format!("{folder}/10-close.md"), &close(torque, "gently")),
        ])
    };
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &files("pump", "10 N·m"), &[]);
    repository.commit("trial", "Try twelve", &files("pump", "12 N·m"), &[first]);
    let renamed = files("seal-kit", "14 N·m");
    repository.commit("main", "Rename, and fourteen", &renamed, &[first]);
    let codes = said(
        &repository.scratch,
        &commands(&["diff main~1 trial", "diff main~1 main"]),
    );
    let (printed, tried) = (code_after(&codes, "Close the pump"), code_after(&codes, "→"));
    repository.check_out(&files("seal-kit", "15 N·m"));
    let dirty = code(&repository, "diff main --at seal-kit", "→");
    repository.check_out(&renamed);
    repository
        .scratch
        .write("wall.txt", format!("{printed} {tried}\n# nothing\n").as_bytes());
    repository.scratch.write("none.txt", b"# nothing\n");
    let lines = [
        format!("stale {printed} --at seal-kit"),
        format!("stale {tried} --at seal-kit"),
        format!("stale {dirty} --at seal-kit"),
        "stale --file wall.txt --at seal-kit".to_string(),
        "stale --file none.txt".to_string(),
        format!("stale {printed} --at no-such-folder"),
    ];
    compare(name, &said(&repository.scratch, &lines))
}

/// A commit that was amended: its cards may hang on a wall.
fn amended(name: &str) -> Outcome {
    let mut repository = Repository::new(name, false);
    let first = repository.commit("main", "First cards", &pump("10 N·m"), &[]);
    let gone = repository.commit("main", "Twelve", &pump("12 N·m"), &[first]);
    let last = repository.commit("main", "Thirteen", &pump("13 N·m"), &[first]);
    repository.check_out(&pump("13 N·m"));
    let printed = code(&repository, &format!("diff HEAD~1 {gone}"), "→");
    // What git itself writes down when a commit is amended.
    let line =
        |from, to| format!("{from} {to} A. Fitter <fitter@example.org> 1767225600 +0000\tcommit (amend): Thirteen\n");
    let log = line(first, gone) + &line(gone, last);
    repository.scratch.write(".git/logs/HEAD", log.as_bytes());
    compare(
        name,
        &said(&repository.scratch, &commands(&[&format!("stale {printed}")])),
    )
}

/// A state with errors is told and never compared as if it were meant so.
fn broken(name: &str) -> Outcome {
    let repository = two(name, &pump("10 N·m"), &pump("12 N·m"));
    let old = code(&repository, "diff HEAD~1 HEAD", "Close the pump");
    let mut conflict = pump("12 N·m");
    let text = close("12 N·m", "gently").replace("torque: 12 N·m", "torque: 12 foo");
    conflict.insert(b"10-close.md".to_vec(), Content::File(text.into_bytes()));
    repository.check_out(&conflict);
    let lines = commands(&["diff HEAD", &format!("stale {old}"), "reissue --since HEAD --list"]);
    compare(name, &said(&repository.scratch, &lines))
}
