//! Where the pages go: by a shop's defaults, and to standard output.

use super::{Check, OPEN, SET, close, compare, out, pump, run, told};
use crate::program::{Scratch, program};
use std::collections::BTreeMap;
use std::os::unix::fs::symlink;
use std::process::Stdio;

pub const CHECKS: [(&str, Check); 5] = [
    ("defaults-stand-for-options", defaults),
    ("the-nearest-defaults-hold", nearest),
    ("defaults-that-are-wrong-are-told", wrong),
    ("defaults-lead-nowhere-else", elsewhere),
    ("one-document-to-standard-output", handed),
];

fn files(scratch: &Scratch, below: &str) -> BTreeMap<String, Vec<u8>> {
    scratch.files(below).into_iter().collect()
}

fn defaults(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let mut faults = told(scratch, "build pump --out plain", 0, &[]);
    faults.extend(told(scratch, "build pump --out half --paper a5 --mono", 0, &[]));
    faults.extend(told(scratch, "build pump --out whole --paper a4 --mono", 0, &[]));
    faults.extend(told(
        scratch,
        "kit pump --format pdf --out half-kit --paper a5 --mono",
        0,
        &[],
    ));
    let plan = run(scratch, "plan pump --step 10min --sitting 10min").0;
    scratch.write(
        "benchleaf.yaml",
        b"# How we print.\npaper: a5\nmono: yes\nno-cache: no\nout: out\nstep: 10min\nsitting: 10min\njobs: 1\n",
    );
    faults.extend(told(scratch, "build pump", 0, &["in "]));
    faults.extend(compare("with defaults", &out(scratch), &files(scratch, "half")));
    // What is said goes before.
    faults.extend(told(scratch, "build pump --out said --paper a4", 0, &[]));
    faults.extend(compare(
        "said otherwise",
        &files(scratch, "said"),
        &files(scratch, "whole"),
    ));
    faults.extend(told(scratch, "build pump --no-defaults --out bare", 0, &[]));
    faults.extend(compare("without", &files(scratch, "bare"), &files(scratch, "plain")));
    // A folder below is about the same shop, and an option that isn't for what was asked is none.
    faults.extend(told(scratch, "check pump/10-open.md", 0, &["1 procedure checked"]));
    faults.extend(told(scratch, "kit pump", 0, &[]));
    faults.extend(told(scratch, "kit pump --format pdf --out kit", 0, &[]));
    faults.extend(compare("a kit", &files(scratch, "kit"), &files(scratch, "half-kit")));
    if run(scratch, "plan pump").0 != plan || plan == run(scratch, "plan pump --no-defaults").0 {
        faults.push("the plan doesn't go by them".to_string());
    }
    let (listed, _, _) = run(scratch, "check . --files");
    if !listed.contains("benchleaf.yaml: a shop's defaults for options") {
        faults.push(listed);
    }
    scratch.write("benchleaf.yaml", b"deny: warnings\n");
    scratch.write(
        "pump/30-odd.md",
        OPEN.replace("the cover", "the cover, about 3 mm").as_bytes(),
    );
    let (_, plainly, code) = run(scratch, "check pump --no-defaults");
    if code == Some(0) && plainly.contains("warning") {
        faults.extend(told(scratch, "check pump", 1, &["warning"]));
    }
    faults
}

fn nearest(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "shop/");
    scratch.write("benchleaf.yaml", b"paper: a5\n");
    scratch.write("shop/benchleaf.yaml", b"paper: letter\n");
    scratch.write("shop/other/set.yaml", SET.replace("Pump", "Other").as_bytes());
    scratch.write("shop/other/10-open.md", OPEN.as_bytes());
    scratch.write("shop/other/benchleaf.yaml", b"# Nothing is said here.\n");
    let mut faults = Vec::new();
    for (line, plain) in [
        (
            "build shop/pump --out a",
            "build shop/pump --no-defaults --paper letter --out b",
        ),
        (
            "build shop/other/10-open.md --out c",
            "build shop/other/10-open.md --no-defaults --out d",
        ),
    ] {
        faults.extend(told(scratch, line, 0, &[]));
        faults.extend(told(scratch, plain, 0, &[]));
    }
    faults.extend(compare("of the shop", &files(scratch, "a"), &files(scratch, "b")));
    faults.extend(compare("of the set", &files(scratch, "c"), &files(scratch, "d")));
    // Nothing above a repository, and without one nothing above the folder.
    let outside = Scratch::outside("left-defaults-outside");
    outside.write("benchleaf.yaml", b"papr: a5\n");
    pump(&outside, "in/");
    faults.extend(told(&outside, "build in/pump --out out", 0, &[]));
    outside.write("in/pump/.git/HEAD", b"");
    faults.extend(told(&outside, "build in/pump --out out", 0, &[]));
    // With a shop file it is the shop's.
    outside.remove("in/pump/.git/HEAD");
    std::fs::remove_dir(outside.path().join("in/pump/.git")).expect("empty");
    outside.write("workshop.yaml", b"shop: Invented\n");
    faults.extend(told(
        &outside,
        "build in/pump --out out",
        2,
        &["benchleaf.yaml: `papr` is no default; did you mean `paper`?"],
    ));
    faults
}

fn wrong(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let mut faults = Vec::new();
    for (text, words) in [
        ("papr: a5\n", "`papr` is no default; did you mean `paper`?"),
        ("since: HEAD\n", "`since` is no default"),
        ("paper: a6\n", "invalid value 'a6'"),
        ("jobs: many\n", "invalid value 'many'"),
        ("mono: perhaps\n", "`mono: perhaps` is neither yes nor no"),
        ("- paper\n", "benchleaf.yaml: "),
        ("paper: [a4]\n", "benchleaf.yaml: "),
        ("paper: a4\npaper: a5\n", "benchleaf.yaml: "),
        ("paper: \"a4\n", "benchleaf.yaml: "),
    ] {
        scratch.write("benchleaf.yaml", text.as_bytes());
        faults.extend(told(scratch, "build pump --out out", 2, &["benchleaf.yaml", words]));
        faults.extend(told(scratch, "build pump --out out --no-defaults", 0, &[]));
        // What takes none of them has nothing to do with it.
        faults.extend(told(scratch, "convert 9mm in", 0, &[]));
    }
    scratch.write("benchleaf.yaml", &[0xff, 0xfe]);
    faults.extend(told(
        scratch,
        "build pump --out out",
        2,
        &["benchleaf.yaml is no UTF-8 text"],
    ));
    faults
}

fn elsewhere(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "repository/");
    scratch.write("repository/.git/HEAD", b"");
    let mut faults = Vec::new();
    for path in ["../out", "/nowhere/out", "a/../../out", "\"\""] {
        scratch.write("repository/benchleaf.yaml", format!("out: {path}\n").as_bytes());
        let words = ["leads out of the folder that the file lies in"];
        faults.extend(told(scratch, "build repository/pump", 2, &words));
    }
    scratch.write("repository/benchleaf.yaml", b"templates: ../own\n");
    faults.extend(told(
        scratch,
        "build repository/pump --out out",
        2,
        &["leads out of the folder"],
    ));
    // A link that came with the repository leads out of it just as well.
    scratch.write("outside/keep.txt", b"x");
    symlink("../outside", scratch.path().join("repository/way")).expect("a link");
    for text in ["out: way\n", "out: way/in\n", "templates: way/in\n"] {
        scratch.write("repository/benchleaf.yaml", text.as_bytes());
        faults.extend(told(scratch, "build repository/pump", 2, &["goes through a link"]));
    }
    if scratch.files("outside").len() != 1 {
        faults.push("something was written behind a link".to_string());
    }
    scratch.remove("repository/benchleaf.yaml");
    scratch.write("secret.yaml", b"paper: a5\n");
    symlink("../secret.yaml", scratch.path().join("repository/benchleaf.yaml")).expect("a link");
    faults.extend(told(
        scratch,
        "build repository/pump --out out",
        2,
        &["no link is followed there"],
    ));
    if !out(scratch).is_empty() {
        faults.push("something was printed".to_string());
    }
    faults
}

fn handed(scratch: &Scratch) -> Vec<String> {
    pump(scratch, "");
    let mut faults = told(scratch, "build pump --out out", 0, &[]);
    let expected = out(scratch);
    let run = |line: &str| {
        program(scratch.path())
            .args(line.split_whitespace())
            .stdin(Stdio::null())
            .output()
            .expect("the program can be run")
    };
    for _ in 0..2 {
        let output = run("build pump/20-close.md --out -");
        let same = expected.get("pump/02-close.pdf") == Some(&output.stdout);
        if output.status.code() != Some(0) || !same {
            let errors = String::from_utf8_lossy(&output.stderr);
            faults.push(format!(
                "{:?}, the file's bytes: {same}: {errors}",
                output.status.code()
            ));
        }
    }
    let picture = run("build pump/20-close.md --out - --format png --ppi 40 --no-cache");
    if !picture.stdout.starts_with(b"\x89PNG") {
        faults.push("no picture".to_string());
    }
    let long: String = (1..90).map(|n| format!("{n}. Look at part {n}.\n")).collect();
    scratch.write(
        "pump/10-open.md",
        OPEN.replace("1. Take off the cover.\n", &long).as_bytes(),
    );
    for (line, code, words) in [
        (
            "build pump --out -",
            2,
            "standard output takes one document, and there are 4",
        ),
        (
            "build pump/20-close.md --out - --findings json",
            2,
            "with `--out -` standard output is the document",
        ),
        (
            "build pump/10-open.md --out - --format svg",
            2,
            "standard output takes one picture, and it has ",
        ),
        ("build nothing --out -", 2, "nothing"),
    ] {
        let output = run(line);
        let errors = String::from_utf8_lossy(&output.stderr);
        if output.status.code() != Some(code) || !output.stdout.is_empty() || !errors.contains(words) {
            faults.push(format!("`{line}`: {:?}: {errors}", output.status.code()));
        }
    }
    // From a set with errors nothing comes, nor from one whose pages are refused.
    scratch.write("pump/20-close.md", close("9 parsecs").as_bytes());
    let output = run("build pump/20-close.md --out -");
    if output.status.code() != Some(1) || !output.stdout.is_empty() {
        faults.push(format!("a set with errors: {:?}", output.status.code()));
    }
    if scratch.path().join("-").exists() {
        faults.push("a folder called `-` was made".to_string());
    }
    faults
}
