//! What is at an author's hand on the command line: standard input, watching, spelling, starters, completions and pages.

use crate::harness::{Outcome, fixture};
use crate::program::{Scratch, program};
use libtest_mimic::Trial;
use std::fs::{self, Permissions};
use std::io::{BufRead, BufReader, Write};
use std::os::unix::fs::PermissionsExt;
use std::process::{Command, Stdio};
use std::time::Duration;

pub fn trials() -> Vec<Trial> {
    let mut trials = vec![
        Trial::test("hand/standard-input", standard_input),
        Trial::test("hand/watching", watching),
        Trial::test("hand/fmt-writes-spans-only", spelling),
        Trial::test("hand/completions-and-pages", paper),
        Trial::test("hand/quiet-and-verbose", tone),
        Trial::test("hand/which-version-this-is", version),
        Trial::test("hand/one-more-procedure", procedure),
    ];
    for kind in ["cover", "seal", "bearing", "head-gasket", "isolation", "service"] {
        trials.push(Trial::test(format!("hand/starter/{kind}"), move || starter(kind)));
    }
    trials
}

fn run(scratch: &Scratch, words: &str) -> (String, String, Option<i32>) {
    let arguments: Vec<String> = words.split_whitespace().map(str::to_string).collect();
    scratch.run(&arguments)
}

/// Runs the program with a text as its standard input.
fn fed(scratch: &Scratch, arguments: &[&str], input: &str) -> (String, String, Option<i32>) {
    let mut child = program(scratch.path())
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program can be run");
    let mut stdin = child.stdin.take().expect("its input");
    let _ = stdin.write_all(input.as_bytes());
    drop(stdin);
    let output = child.wait_with_output().expect("it ends");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&output.stdout), text(&output.stderr), output.status.code())
}

/// Short and long, with the commit where whoever built program and tests said it.
fn version() -> Outcome {
    let scratch = Scratch::new("hand-version");
    let (short, _, code) = run(&scratch, "-V");
    assert_eq!(code, Some(0));
    let (long, _, code) = run(&scratch, "--version");
    assert_eq!(code, Some(0));
    let number = env!("CARGO_PKG_VERSION");
    match option_env!("BENCHLEAF_COMMIT").filter(|commit| !commit.is_empty()) {
        Some(commit) => {
            let shown: String = commit.chars().take(7).collect();
            assert!(short.starts_with(&format!("benchleaf {number} ({shown}")), "{short}");
            assert_eq!(commit.ends_with('+'), short.contains('+'), "{short}");
            assert!(long.contains(&format!("\ncommit    {commit}\n")), "{long}");
        }
        None => {
            assert!(short.starts_with(&format!("benchleaf {number}")), "{short}");
            assert!(long.contains("\ncommit    not said when it was built\n"), "{long}");
        }
    }
    assert_eq!(short.lines().count(), 1, "{short}");
    assert!(long.starts_with(short.trim_end()), "{long}");
    for what in ["\nlanguage  1, ", "\ncodes     of form ", "\nbuilt for "] {
        assert!(long.contains(what), "{long}");
    }
    Ok(())
}

fn standard_input() -> Outcome {
    let scratch = Scratch::new("hand-input");
    scratch.write("pump/set.yaml", b"machine: A\ntitle: A\nparts:\n  plug: a plug\n");
    scratch.write(
        "pump/10-a.md",
        b"---\ntitle: A\n---\n\n1. Take off the [remove plug].\n2. Fit the [fit plug].\n",
    );
    let bad = "---\ntitle: A\n---\n\n1. Take off the [remove plug].\n2. Fit the [fit plough].\n";
    // In place of the file on the disk, which is left as it is.
    let (out, _, code) = fed(
        &scratch,
        &["check", "-", "--as", "pump/10-a.md", "--format", "json"],
        bad,
    );
    assert_eq!(code, Some(1), "{out}");
    assert!(out.contains("pump/10-a.md") && out.contains("\"BL101\""), "{out}");
    // As a file that isn't there yet.
    let (out, _, code) = fed(
        &scratch,
        &["check", "-", "--as", "pump/20-b.md", "--format", "json"],
        bad,
    );
    assert!(code == Some(1) && out.contains("pump/20-b.md"), "{out}");
    let good = "---\ntitle: B\n---\n\n1. Look at the pump.\n";
    let (out, errors, code) = fed(&scratch, &["check", "-", "--as", "pump/20-b.md"], good);
    assert_eq!((out.as_str(), code), ("1 procedure checked\n", Some(0)), "{errors}");
    let (_, errors, code) = fed(&scratch, &["check", "-", "--as", "pump/picture.pdf"], good);
    assert!(code == Some(2) && errors.contains("no file of a set"), "{errors}");
    let (_, errors, code) = fed(&scratch, &["check", "-", "--fix"], good);
    assert!(code == Some(2) && errors.contains("nothing else"), "{errors}");
    assert_eq!(run(&scratch, "check pump").2, Some(0));
    Ok(())
}

/// A program that goes on until it is stopped; stopped when this goes.
struct Watching(std::process::Child);

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn watching() -> Outcome {
    let scratch = Scratch::new("hand-watch");
    scratch.write("pump/set.yaml", b"machine: A\ntitle: A\nparts:\n  plug: a plug\n");
    let good = "---\ntitle: A\n---\n\n1. Take off the [remove plug].\n2. Fit the [fit plug].\n";
    scratch.write("pump/10-a.md", good.as_bytes());
    let child = program(scratch.path())
        .args(["check", "pump", "--watch", "--format", "json"])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program can be run");
    let mut child = Watching(child);
    let (say, heard) = std::sync::mpsc::channel();
    let (out, errors) = (
        child.0.stdout.take().expect("output"),
        child.0.stderr.take().expect("errors"),
    );
    let more = say.clone();
    std::thread::spawn(move || {
        BufReader::new(out)
            .lines()
            .map_while(Result::ok)
            .for_each(|line| drop(say.send(line)))
    });
    std::thread::spawn(move || {
        BufReader::new(errors)
            .lines()
            .map_while(Result::ok)
            .for_each(|line| drop(more.send(line)))
    });
    // What comes over one way may overtake what was said before over the other: lines that weren't waited for yet are kept.
    let mut kept: Vec<String> = Vec::new();
    let mut wait = |words: &str| -> Result<(), String> {
        loop {
            if let Some(at) = kept.iter().position(|line| line.contains(words)) {
                kept.remove(at);
                return Ok(());
            }
            let line = heard
                .recv_timeout(Duration::from_secs(60))
                .map_err(|_| format!("`{words}` never came"))?;
            kept.push(line);
        }
    };
    wait("watching pump")?;
    scratch.write("pump/10-a.md", good.replace("[fit plug]", "[fit plough]").as_bytes());
    wait("\"BL101\"")?;
    wait("watching pump")?;
    // A folder that goes and comes back is no reason to stop.
    fs::rename(scratch.path().join("pump"), scratch.path().join("away")).expect("it moves");
    wait("can't read")?;
    wait("watching pump")?;
    fs::rename(scratch.path().join("away"), scratch.path().join("pump")).expect("it moves back");
    wait("\"BL101\"")?;
    assert!(child.0.try_wait().expect("it can be asked").is_none(), "it goes on");
    Ok(())
}

fn spelling() -> Outcome {
    let scratch = Scratch::new("hand-fmt");
    let set = "machine: A   # kept\ntitle: A\ntorques:\n  cap: {fastener: M8 8.8, torque: 20 Nm, lubrication: dry}\n";
    scratch.write("pump/set.yaml", set.as_bytes());
    scratch.write(
        "pump/10-a.md",
        b"---\ntitle: A\n---\r\n\r\n1. Tighten  the [torque  cap].\r\n",
    );
    let (out, _, code) = run(&scratch, "fmt --check pump");
    assert_eq!(
        (out.as_str(), code),
        (
            "pump/10-a.md would be spelt otherwise\npump/set.yaml would be spelt otherwise\n",
            Some(1)
        )
    );
    let read = |path: &str| fs::read_to_string(scratch.path().join(path)).expect("a file");
    assert_eq!(read("pump/set.yaml"), set, "nothing is written to look");
    // The file is the author's: who may read it stays.
    let place = scratch.path().join("pump/set.yaml");
    fs::set_permissions(&place, Permissions::from_mode(0o640)).expect("a file of ours");
    assert_eq!(run(&scratch, "fmt pump").2, Some(0));
    let mode = fs::metadata(&place).expect("a file of ours").permissions().mode();
    assert_eq!(mode & 0o777, 0o640);
    assert_eq!(read("pump/set.yaml"), set.replace("20 Nm", "20 N·m"));
    assert_eq!(
        read("pump/10-a.md"),
        "---\ntitle: A\n---\r\n\r\n1. Tighten  the [torque cap].\r\n"
    );
    assert_eq!(
        run(&scratch, "fmt --check pump"),
        (String::new(), String::new(), Some(0))
    );
    let (_, errors, code) = run(&scratch, "fmt nowhere");
    assert!(code == Some(2) && errors.contains("can't read nowhere"), "{errors}");
    Ok(())
}

/// Every command as the help lists it.
fn commands(scratch: &Scratch) -> Vec<String> {
    let (help, _, _) = run(scratch, "--help");
    let list = help
        .split("Commands:\n")
        .nth(1)
        .unwrap_or("")
        .split("\n\n")
        .next()
        .unwrap_or("")
        .to_string();
    let names = list
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    names
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .map(str::to_string)
        .collect()
}

fn paper() -> Outcome {
    let scratch = Scratch::new("hand-paper");
    let names = commands(&scratch);
    assert!(names.len() > 12 && names.contains(&"lsp".to_string()), "{names:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let (text, errors, code) = run(&scratch, &format!("completions {shell}"));
        assert_eq!(code, Some(0), "{errors}");
        let left: Vec<&String> = names.iter().filter(|name| !text.contains(name.as_str())).collect();
        assert!(left.is_empty(), "{shell} knows nothing of {left:?}");
    }
    let (text, _, _) = run(&scratch, "completions bash");
    scratch.write("completions.sh", text.as_bytes());
    if let Ok(status) = Command::new("bash")
        .arg("-n")
        .arg(scratch.path().join("completions.sh"))
        .status()
    {
        assert!(status.success(), "bash can't read it");
    }
    assert_eq!(run(&scratch, "--quiet man --out pages").2, Some(0));
    for name in &names {
        let page = fs::read_to_string(scratch.path().join(format!("pages/benchleaf-{name}.1"))).expect("a page");
        assert!(page.contains(".TH") && page.contains(".SH SYNOPSIS"), "{name}: {page}");
    }
    assert!(scratch.path().join("pages/benchleaf-log-check.1").is_file());
    assert!(
        run(&scratch, "man")
            .0
            .contains("Check procedures without printing them")
    );
    assert_eq!(
        run(&scratch, "schema --out schemas --quiet"),
        (String::new(), String::new(), Some(0))
    );
    assert_eq!(scratch.files("schemas").len(), 4);
    assert!(run(&scratch, "schema record").0.contains("\"readings\""));
    Ok(())
}

fn tone() -> Outcome {
    let scratch = Scratch::new("hand-tone");
    assert_eq!(run(&scratch, "-q new pump"), (String::new(), String::new(), Some(0)));
    assert_eq!(run(&scratch, "check pump -q"), (String::new(), String::new(), Some(0)));
    let (out, errors, _) = run(&scratch, "check pump -v");
    assert!(
        out == "2 procedures checked\n" && errors.contains("read 3 files below"),
        "{errors}"
    );
    scratch.write("pump/30-bad.md", b"---\ntitle: B\n---\n\n1. Fit the [fit nothing].\n");
    let (_, errors, code) = run(&scratch, "check pump -q");
    assert!(
        code == Some(1) && errors.contains("BL101") && !errors.contains("tells more"),
        "{errors}"
    );
    assert_eq!(run(&scratch, "check pump -q -v").2, Some(2));
    // Without a command there is nothing to be quiet about; licences stand by themselves.
    let (out, errors, code) = run(&scratch, "-q");
    assert!(
        out.is_empty() && code == Some(2) && errors.contains("name a command"),
        "{errors}"
    );
    let (out, errors, code) = run(&scratch, "--licences");
    assert!(code == Some(0) && out.contains("MIT") && errors.is_empty(), "{errors}");
    for line in ["--licences -q", "--licences check pump", "-v --licences"] {
        let (out, _, code) = run(&scratch, line);
        assert!(code == Some(2) && out.is_empty(), "{line} gave {out}");
    }
    Ok(())
}

fn procedure() -> Outcome {
    let scratch = Scratch::new("hand-procedure");
    run(&scratch, "new pump");
    let (out, errors, code) = run(&scratch, "new pump --procedure look-again");
    assert_eq!(
        (out.as_str(), code),
        ("pump/30-look-again.md is ready to be written\n", Some(0)),
        "{errors}"
    );
    let text = fs::read_to_string(scratch.path().join("pump/30-look-again.md")).expect("it is there");
    assert!(
        text.contains("title: 'Look again'") && text.contains("after: [close]"),
        "{text}"
    );
    assert_eq!(run(&scratch, "check pump --deny warnings").2, Some(0));
    for (words, why) in [
        ("new pump --procedure look-again", "already"),
        ("new pump --procedure ../out", "can't be an id"),
        ("new nowhere --procedure a", "there is no set.yaml"),
    ] {
        let (_, errors, code) = run(&scratch, words);
        assert!(code == Some(2) && errors.contains(why), "{words}: {errors}");
    }
    Ok(())
}

/// A set of each kind checks clean, is spelt as it should be, has what a careful person writes, and names the schema that it holds to.
fn starter(kind: &str) -> Outcome {
    let scratch = Scratch::new(&format!("hand-starter-{kind}"));
    let (_, errors, code) = run(&scratch, &format!("new set-of-mine --kind {kind}"));
    assert_eq!(code, Some(0), "{errors}");
    let (out, errors, code) = run(&scratch, "check set-of-mine --deny warnings");
    if code != Some(0) || !errors.is_empty() {
        return Err(format!("{out}{errors}").into());
    }
    let (out, errors, code) = run(&scratch, "fmt --check set-of-mine");
    assert_eq!(code, Some(0), "{out}{errors}");
    let files = fixture::walk(&scratch.path().join("set-of-mine"));
    let written = files.iter().filter(|path| {
        path.extension()
            .is_some_and(|ending| ending == "md" || ending == "yaml")
    });
    let texts: String = written.map(|path| fixture::text(path)).collect();
    for words in ["[!", "Avoid:", "[time "] {
        assert!(texts.contains(words), "no {words}");
    }
    if kind != "cover" {
        assert!(
            texts.contains("[hold ") && texts.contains("[measure "),
            "no hold point or limit"
        );
    }
    let first = texts_first_line(&scratch);
    let named = first.strip_prefix("# $schema: ").expect("a schema is named");
    assert!(
        scratch.path().join("set-of-mine").join(named).is_file(),
        "{named} is there"
    );
    Ok(())
}

fn texts_first_line(scratch: &Scratch) -> String {
    let set = fixture::text(&scratch.path().join("set-of-mine/set.yaml"));
    set.lines().next().unwrap_or("").to_string()
}
