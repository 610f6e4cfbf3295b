//! The folder of cards after a build: what belongs there, and nothing else of ours; what is somebody else's as it was.

use super::{Check, OPEN, SET, close, compare, out, pump, run, told};
use crate::program::faulty;
use crate::program::{Scratch, program};
use std::collections::BTreeMap;
use std::os::unix::fs::symlink;
use std::process::Stdio;

pub const CHECKS: [(&str, Check); 13] = [
    ("a-renamed-procedure-leaves-nothing", renamed),
    ("leaves-beyond-the-last-go", fewer_leaves),
    ("a-set-with-errors-says-that-its-cards-are-old", errors),
    ("a-fault-of-the-typesetter-leaves-the-set-old", typesetter_fault),
    ("cards-of-other-choices-are-told-when-old", other_choices),
    ("a-set-that-is-gone-goes", gone),
    ("two-sets-share-no-folder", shared),
    ("somebody-elses-file-is-left", in_the_way),
    ("links-are-not-written-through", links_out),
    ("links-are-not-read-through", links_in),
    ("two-builds-at-once", at_once),
    ("threads-change-no-byte", threads),
    ("killed-now-and-then", killed),
];

fn renamed(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let mut faults = told(
        scratch,
        "build pump --out out",
        0,
        &["2 cards, 1 set sheet and 1 close-out"],
    );
    scratch.remove("pump/20-close.md");
    scratch.write("pump/20-shut.md", close("9 N·m").as_bytes());
    let words = ["out/pump/02-close.pdf no longer belongs to its set: removed"];
    faults.extend(told(scratch, "build pump --out out", 0, &words));
    let names: Vec<String> = out(scratch).into_keys().collect();
    if names
        != [
            "pump/00-set-sheet.pdf",
            "pump/01-open.pdf",
            "pump/02-shut.pdf",
            "pump/03-close-out.pdf",
        ]
    {
        faults.push(format!("there are {names:?}"));
    }
    faults
}

fn fewer_leaves(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let long: String = (1..60).map(|n| format!("{n}. Look at part {n}.\n")).collect();
    scratch.write(
        "pump/10-open.md",
        OPEN.replace("1. Take off the cover.\n", &long).as_bytes(),
    );
    let mut faults = told(scratch, "build pump/10-open.md --out out --format png --ppi 36", 0, &[]);
    let before = out(scratch).len();
    scratch.write("pump/10-open.md", OPEN.as_bytes());
    faults.extend(told(
        scratch,
        "build pump/10-open.md --out out --format png --ppi 36",
        0,
        &["removed"],
    ));
    let after: Vec<String> = out(scratch).into_keys().collect();
    if after.len() >= before {
        faults.push(format!("{before} leaves before and still {after:?}"));
    }
    let fresh: Vec<String> = {
        run(scratch, "build pump/10-open.md --out fresh --format png --ppi 36");
        scratch.files("fresh").into_iter().map(|(name, _)| name).collect()
    };
    if after != fresh {
        faults.push(format!("{after:?} instead of {fresh:?}"));
    }
    faults
}

fn errors(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let mut faults = told(scratch, "build pump --out out", 0, &[]);
    let before = out(scratch);
    scratch.write("pump/20-close.md", close("8").as_bytes());
    let words = [
        "out/pump keeps the files of an earlier build, which are old: 00-set-sheet.pdf, 01-open.pdf, 02-close.pdf, 03-close-out.pdf",
    ];
    faults.extend(told(scratch, "build pump --out out", 1, &words));
    faults.extend(told(scratch, "build pump --out out --findings json", 1, &words));
    faults.extend(compare("after the errors", &out(scratch), &before));
    faults
}

fn typesetter_fault(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let mut faults = told(scratch, "build pump --out out", 0, &[]);
    let before = out(scratch);
    scratch.write("pump/10-open.md", OPEN.replace("cover", "lid").as_bytes());
    let template =
        "{% if card.identity.procedure == 'close' %}{{ card.nothing }}{% endif %}#set document(title: \"x\")\nx";
    scratch.write("own/card.typ.j2", template.as_bytes());
    let words = ["pump/20-close.md: card.typ.j2:1", "which are old"];
    faults.extend(told(scratch, "build pump --out out --templates own", 2, &words));
    faults.extend(compare("after the fault", &out(scratch), &before));
    faults
}

fn other_choices(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let options = "options:\n  seal: {what: the seal, values: {keep: it is good, renew: it leaks}, default: keep}\n";
    let set = format!("{SET}{options}");
    scratch.write("pump/set.yaml", set.as_bytes());
    let step = "\n1. Take off the cover.\n2. Pull the seal. [only seal=renew]\n";
    scratch.write(
        "pump/10-open.md",
        OPEN.replace("\n1. Take off the cover.\n", step).as_bytes(),
    );
    let mut faults = told(scratch, "build pump --out out --option seal=renew", 0, &[]);
    faults.extend(told(scratch, "build pump --out out", 0, &[]));
    let quiet = run(scratch, "build pump --out out").1;
    if quiet.contains("old") {
        faults.push(format!("nothing is old yet: {quiet}"));
    }
    scratch.write(
        "pump/10-open.md",
        OPEN.replace("\n1. Take off the cover.\n", &step.replace("Pull", "Cut out"))
            .as_bytes(),
    );
    let words = ["out/pump/01-open+seal=renew.pdf", "`--option seal=renew`", "old"];
    faults.extend(told(scratch, "build pump --out out", 0, &words));
    scratch.write("pump/set.yaml", set.replace("renew", "change").as_bytes());
    scratch.write(
        "pump/10-open.md",
        OPEN.replace("\n1. Take off the cover.\n", &step.replace("renew", "change"))
            .as_bytes(),
    );
    let words = ["out/pump/01-open+seal=renew.pdf no longer belongs to its set: removed"];
    faults.extend(told(scratch, "build pump --out out", 0, &words));
    faults
}

fn gone(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "sets/");
    scratch.write("sets/drill/set.yaml", SET.replace("Pump", "Drill").as_bytes());
    scratch.write("sets/drill/10-open.md", OPEN.as_bytes());
    let mut faults = told(
        scratch,
        "build sets --out out",
        0,
        &["3 cards, 2 set sheets and 2 close-outs"],
    );
    scratch.remove("sets/drill/set.yaml");
    scratch.remove("sets/drill/10-open.md");
    faults.extend(told(scratch, "build sets/pump --out out", 0, &[]));
    if !out(scratch).contains_key("drill/01-open.pdf") {
        faults.push("a build of one set took another's cards away".to_string());
    }
    faults.extend(told(
        scratch,
        "build sets --out out",
        0,
        &["out/drill/01-open.pdf no longer belongs"],
    ));
    if out(scratch).keys().any(|name| name.starts_with("drill/")) {
        faults.push("cards of a set that is gone are there".to_string());
    }
    faults
}

fn shared(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "a/");
    pump(scratch, "b/");
    scratch.write("b/pump/10-open.md", OPEN.replace("cover", "lid").as_bytes());
    let mut faults = told(scratch, "build a/pump --out out", 0, &[]);
    let before = out(scratch);
    faults.extend(told(
        scratch,
        "build b/pump --out out",
        2,
        &["two sets would be printed to out/pump"],
    ));
    faults.extend(compare("after the other set", &out(scratch), &before));
    // Both at once are told apart by their whole paths; names that differ in capitals only are not.
    faults.extend(told(scratch, "build . --out both", 0, &[]));
    pump(scratch, "c/");
    scratch.write("c/Pump/set.yaml", SET.as_bytes());
    scratch.write("c/Pump/10-open.md", OPEN.as_bytes());
    faults.extend(told(
        scratch,
        "build c --out capitals",
        2,
        &["two sets would be printed to"],
    ));
    faults
}

fn in_the_way(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    scratch.write("out/pump/02-close.pdf", b"somebody's own");
    scratch.write("out/pump/notes.txt", b"a note");
    let before = out(scratch);
    let mut faults = told(
        scratch,
        "build pump --out out",
        2,
        &["out/pump/02-close.pdf: not a file of ours"],
    );
    faults.extend(compare("with a file in the way", &out(scratch), &before));
    scratch.remove("out/pump/02-close.pdf");
    faults.extend(told(scratch, "build pump --out out", 0, &[]));
    scratch.write("out/pump/02-close.pdf", b"printed and written on");
    faults.extend(told(
        scratch,
        "build pump --out out",
        2,
        &["changed since it was written"],
    ));
    if out(scratch).get("pump/notes.txt").map(Vec::as_slice) != Some(b"a note") {
        faults.push("a note was touched".to_string());
    }
    faults
}

fn links_out(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    scratch.write("victim", b"untouched");
    scratch.write("out/pump/keep.txt", b"x");
    let link = |at: &str| symlink(scratch.path().join("victim"), scratch.path().join(at)).expect("a link");
    link("out/pump/01-open.pdf.part");
    let mut faults = told(scratch, "build pump --out out", 0, &[]);
    scratch.remove("out/pump/02-close.pdf");
    link("out/pump/02-close.pdf");
    faults.extend(told(
        scratch,
        "build pump --out out",
        2,
        &["02-close.pdf: not a file of ours"],
    ));
    // A folder that came as a link.
    scratch.write("elsewhere/x.txt", b"x");
    symlink(scratch.path().join("elsewhere"), scratch.path().join("linked")).expect("a link");
    faults.extend(told(
        scratch,
        "build pump --out linked",
        2,
        &["linked is a link, and links are not followed"],
    ));
    // One PDF by name: the link gives way, not what it points at.
    link("kit.pdf");
    faults.extend(told(scratch, "kit pump --format pdf --out kit.pdf", 0, &[]));
    if std::fs::read(scratch.path().join("victim")).unwrap_or_default() != b"untouched" {
        faults.push("a file behind a link was written to".to_string());
    }
    if scratch.files("elsewhere").len() != 1 {
        faults.push("a folder behind a link was written to".to_string());
    }
    faults
}

fn links_in(scratch: &Scratch) -> Vec<String> {
    let outside = Scratch::new("left-outside");
    outside.write(
        "secret.svg",
        b"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"/>",
    );
    outside.write("secret.md", OPEN.as_bytes());
    outside.write("secret.yaml", SET.as_bytes());
    let mut faults = Vec::new();
    for (name, secret) in [
        ("shape.svg", "secret.svg"),
        ("30-more.md", "secret.md"),
        ("set.yaml", "secret.yaml"),
    ] {
        pump(scratch, "");
        let place = scratch.path().join("pump").join(name);
        let _ = std::fs::remove_file(&place);
        symlink(outside.path().join(secret), &place).expect("a link");
        for line in ["check pump", "build pump --out out", "kit pump"] {
            faults.extend(told(scratch, line, 2, &[&format!("pump/{name} leads to"), secret]));
        }
        std::fs::remove_file(&place).expect("it was made");
    }
    if !out(scratch).is_empty() {
        faults.push("something was printed".to_string());
    }
    // One that stays inside is no harm.
    pump(scratch, "");
    scratch.write(
        "shapes/shape.svg",
        b"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"/>",
    );
    symlink("../shapes/shape.svg", scratch.path().join("pump/shape.svg")).expect("a link");
    faults.extend(told(scratch, "check pump", 0, &[]));
    faults
}

fn at_once(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let start = || {
        program(scratch.path())
            .args(["build", "pump", "--out", "out"])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program can be run")
    };
    let both = [start(), start(), start()];
    let ended = both.map(|child| child.wait_with_output().expect("it ends"));
    let mut faults: Vec<String> = ended
        .iter()
        .filter(|output| output.status.code() != Some(0))
        .map(|output| String::from_utf8_lossy(&output.stderr).into_owned())
        .collect();
    faults.extend(told(scratch, "build pump --out alone", 0, &[]));
    let alone: BTreeMap<_, _> = scratch.files("alone").into_iter().collect();
    faults.extend(compare("after three builds at once", &out(scratch), &alone));
    faults
}

fn threads(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let one = |jobs: &str| {
        let faults = told(
            scratch,
            &format!("build pump --out {jobs} --jobs {jobs} --no-cache"),
            0,
            &[],
        );
        let files: BTreeMap<_, _> = scratch.files(jobs).into_iter().collect();
        (faults, files)
    };
    let (mut faults, alone) = one("1");
    for jobs in ["2", "8"] {
        let (more, files) = one(jobs);
        faults.extend(more);
        faults.extend(compare(&format!("{jobs} threads"), &files, &alone));
    }
    faults
}

/// A few places of a build to die at; `.ci/long` takes each.
fn killed(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let build = ["build", "pump/10-open.md", "--out", "out", "--jobs", "1"];
    let mut faults = told(scratch, "build pump/10-open.md --out out", 0, &[]);
    let old = out(scratch);
    let edit = |word: &str| scratch.write("pump/10-open.md", OPEN.replace("cover", word).as_bytes());
    edit("lid");
    let calls = faulty::run(scratch.path(), "delay", 0, &build).calls;
    if calls < 30 {
        return vec![format!("a build of one card makes {calls} calls: are they counted?")];
    }
    let new = out(scratch);
    for at in (3..calls).step_by(usize::try_from(calls / 6).unwrap_or(1)) {
        edit("cover");
        faults.extend(told(scratch, "build pump/10-open.md --out out", 0, &[]));
        edit("lid");
        // What is kept is put there anew as well.
        let _ = std::fs::remove_dir_all(scratch.cache());
        let ended = faulty::run(scratch.path(), "kill", at, &build);
        if ended.code.is_some() {
            faults.push(format!("call {at} of {calls} didn't kill it"));
        }
        // Any command that writes there sets it right.
        faults.extend(told(scratch, "kit pump --format pdf --out out", 0, &[]));
        let mut found = out(scratch);
        found.retain(|name, _| !name.ends_with("kit.pdf"));
        if found != old && found != new {
            faults.push(format!("killed at call {at}: neither old nor new: {:?}", found.keys()));
        }
    }
    faults.extend(told(scratch, "build pump/10-open.md --out out", 0, &[]));
    faults
}
