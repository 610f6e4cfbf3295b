//! The author's desk: spelling that changes no code, completion that writes a set, names across files, questions at every place, and
//! schemas that agree with the readers.

mod agree;

use crate::harness::{Files, Outcome, check, desk, fixture, rule};
use libtest_mimic::Trial;
use std::path::{Path, PathBuf};

pub fn trials() -> Vec<Trial> {
    let mut trials = vec![
        Trial::test("desk/format-spells", spells),
        Trial::test("desk/format-keeps-codes/demo", || keeps(demo_sets())),
        Trial::test("desk/format-keeps-codes/rules", || keeps(of_rules())),
        Trial::test("desk/format-keeps-codes/slips", || keeps(crate::slips::all())),
        Trial::test("desk/format-keeps-codes/others", || keeps(others())),
        Trial::test("desk/completion-writes-a-set", written_by_completion),
        Trial::test("desk/completion-proposes-what-fits", proposes),
        Trial::test("desk/names-across-files", names),
        Trial::test("desk/hover-says-figures", hovers),
        Trial::test("desk/outline-of-a-procedure", outline),
        Trial::test("desk/schemas-stand-in-the-repository", current),
        Trial::test("desk/schemas-agree-with-the-readers", || agree::agree(47, 200)),
        Trial::test("desk/schemas-agree-at-every-place", || agree::agree(1, 5000)).with_ignored_flag(true),
        Trial::test("desk/schemas-of-records", agree::records),
    ];
    for (name, files) in demo_sets() {
        let all = files.clone();
        trials.push(Trial::test(format!("desk/asked-in-many-places/{name}"), move || {
            asked(&files, 41)
        }));
        trials
            .push(Trial::test(format!("desk/asked-everywhere/{name}"), move || asked(&all, 1)).with_ignored_flag(true));
    }
    trials
}

/// Asks at every `stride`th place. Silence everywhere would pass for an answer.
fn asked(files: &Files, stride: usize) -> Outcome {
    let (proposed, said) = check(files).ask_everywhere(stride)?;
    println!("{proposed} places with proposals, {said} with something to say");
    match proposed * stride > 1000 && said * stride > 1000 {
        true => Ok(()),
        false => Err(format!("only {proposed} places had proposals and {said} something to say").into()),
    }
}

/// The demo sets by name, each with the shop above it.
pub fn demo_sets() -> Vec<(String, Files)> {
    let procedures = fixture::root().join("procedures");
    let sets = fixture::entries(&procedures)
        .into_iter()
        .filter(|path| path.join("set.yaml").is_file());
    let one = |set: PathBuf| {
        let mut files = fixture::read_folder(&procedures, &set);
        files.insert(
            "workshop.yaml".to_string(),
            fixture::text(&procedures.join("workshop.yaml")).into_bytes(),
        );
        (fixture::name(&set), files)
    };
    sets.map(one).collect()
}

fn of_rules() -> Vec<(String, Files)> {
    let texts = rule::folders().into_iter().flat_map(|folder| fixture::texts(&folder));
    texts.map(|path| read(&path)).collect()
}

/// Fixtures of every other kind that are texts of several files.
fn others() -> Vec<(String, Files)> {
    let kinds = ["parse", "report", "kit", "plan", "calc", "wrench"].map(fixture::folder);
    let texts = kinds.iter().flat_map(|folder| fixture::texts(folder));
    let rebuilds = crate::machine::rebuilds()
        .into_iter()
        .map(|rebuild| rebuild.join("set.txt"));
    let mut all: Vec<(String, Files)> = texts.chain(rebuilds).map(|path| read(&path)).collect();
    let sets = crate::sets::folders().into_iter();
    all.extend(sets.map(|folder| (fixture::relative(&folder), fixture::read_folder(&folder, &folder))));
    all
}

fn read(path: &Path) -> (String, Files) {
    let mut files = fixture::read(path);
    // What is longer than a file may be takes minutes to spell, and is left alone.
    files.retain(|_, bytes| bytes.len() < 1 << 20);
    (fixture::relative(path), files)
}

fn keeps(all: Vec<(String, Files)>) -> Outcome {
    let mut edits = 0;
    let one = |(name, files): (String, Files)| {
        let held = desk::format_holds(&files).map(|count| edits += count);
        (name, held)
    };
    let results: Vec<_> = all.into_iter().map(one).collect();
    println!("{edits} edits");
    desk::each(results.into_iter())
}

/// A set in which a lot is spelt in unusual ways.
const ODD: &str = "\
machine: Invented pump   # a remark stays
title: Rebuild
rev: 1.10
torques:
  cover:   {fastener: M8x1.25 8.8, torque: 22 Nm +/- 10%, lubrication: dry, count: 4}
  flange:
    stages: [ 20 N.m , +90 deg ]
    fastener: M8 8.8
    lubrication: dry
parts:
  plug: {name: plug, number: 007, note: on}
timers:
  cure: {what: sealant, at-least: 12h}
states:
  power: {values: [on, off], start: on, finish: on}
limits:
  gap: 0.20 +/- 0.02mm
";

const ODD_STEPS: &str = "\
---
title: Close it
---

## Work

1. Fit  the [ fit   plug ], then [need power = on]. [time  10min]
2. Tighten the [torque  cover] and the [torque flange]. [ start cure ]
3. Measure the [measure gap]. [end cure]
";

fn spells() -> Outcome {
    let files = Files::from([
        ("set.yaml".to_string(), ODD.as_bytes().to_vec()),
        ("10-close.md".to_string(), ODD_STEPS.as_bytes().to_vec()),
    ]);
    let out = desk::formatted(&files);
    let text = |path: &str| String::from_utf8(out[path].clone()).unwrap();
    let set = ODD
        .replace("rev: 1.10", "rev: \"1.10\"")
        .replace("22 Nm +/- 10%", "22 N·m ± 10 %")
        .replace("20 N.m", "20 N·m")
        .replace("+90 deg", "+90°")
        .replace("number: 007, note: on", "number: \"007\", note: \"on\"")
        .replace("12h", "12 h")
        .replace("0.20 +/- 0.02mm", "0.20 ± 0.02 mm")
        .replace(
            "[on, off], start: on, finish: on",
            "[\"on\", \"off\"], start: \"on\", finish: \"on\"",
        );
    assert_eq!(text("set.yaml"), set);
    let steps = ODD_STEPS
        .replace("[ fit   plug ]", "[fit plug]")
        .replace("[need power = on]", "[need power=on]")
        .replace("[time  10min]", "[time 10 min]")
        .replace("[torque  cover]", "[torque cover]")
        .replace("[ start cure ]", "[start cure]");
    assert_eq!(text("10-close.md"), steps);
    desk::format_holds(&files).map(|_| ()).map_err(Into::into)
}

/// An author at an editor who types at most two letters of a name and takes what is proposed.
struct Author {
    files: Files,
    path: &'static str,
    cursor: usize,
    /// Letters typed of names that were then taken from the proposals.
    longest: usize,
}

impl Author {
    fn text(&self) -> String {
        String::from_utf8(self.files[self.path].clone()).unwrap()
    }

    fn put(&mut self, text: String, cursor: usize) {
        self.files.insert(self.path.to_string(), text.into_bytes());
        self.cursor = cursor;
    }

    /// Goes to the end of a file.
    fn open(&mut self, path: &'static str) {
        self.path = path;
        self.cursor = self.text().len();
    }

    /// Types words of the author's own.
    fn write(&mut self, words: &str) {
        let mut text = self.text();
        text.insert_str(self.cursor, words);
        let cursor = self.cursor + words.len();
        self.put(text, cursor);
    }

    /// Types the first two letters of something and takes it.
    fn take(&mut self, label: &str) -> Result<(), String> {
        let typed: String = label.chars().take(2).collect();
        self.longest = self.longest.max(typed.chars().count());
        self.write(&typed);
        let checked = check(&self.files);
        match checked.completed(self.path, self.cursor, label) {
            Some((text, cursor)) => self.put(text, cursor),
            None => {
                let proposals = checked.proposals(self.path, self.cursor);
                let text = self.text();
                let line = text[..self.cursor].lines().last().unwrap_or("");
                return Err(format!("`{label}` is not proposed behind `{line}`, but {proposals:?}"));
            }
        }
        Ok(())
    }
}

/// Fields, verbs, ids, values, words, units and threads are taken from what is proposed; what the author makes up is typed.
fn written_by_completion() -> Outcome {
    let empty = [("set.yaml", ""), ("10-open.md", "---\n\n---\n")];
    let files = empty.map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()));
    let mut author = Author {
        files: Files::from(files),
        path: "set.yaml",
        cursor: 0,
        longest: 0,
    };
    // `+` before a word says that it is taken from the proposals.
    let set = "+machine|Invented cover\n+title|Rebuild of an invented cover\n\
        +states|\n  power:\n    +values|[live, dead]\n    +start|+live|\n    +finish|+live|\n    +hazard|+electricity|\n\
        +actions|\n  cut:\n    +name|Cut the power\n    +needs| {+power|+live|}\n    +sets| {+power|+dead|}\n\
        +options|\n  seal:\n    +values|[old, new]\n    +default|+old|\n\
        +tools|\n  wrench:\n    +kind|+torque-wrench|\n    +range|5..25+N·m|\n    +step|0.5+N·m|\n\
        +torques|\n  screws:\n    +fastener|+M6x1| +8.8|\n    +torque|9+N·m|\n    +lubrication|+dry|\n    +count|4\n    +tool|+wrench|\n\
        +consumables|\n  oil:\n    +amount|50+mL|\n    +hazards|[+GHS07|]\n\
        +timers|\n  soak: 5+min|\n";
    type_in(&mut author, set)?;
    author.open("10-open.md");
    author.cursor = "---\n".len();
    type_in(&mut author, "+title|Open the cover")?;
    author.cursor = author.text().len();
    let steps = "\n## Work\n\n> [!+CAUTION|Live parts\n> They shock.\n> Avoid: cut the power first.\n\n\
        1. [+do|+cut|. [+label|safe]\n2. [+need|+power|+dead|]\n3. Wipe with [+use|+oil| 20+mL|]. [+only|+seal|+new|]\n\
        4. Loosen the [+loosen|+screws|. [+start|+soak|\n5. Tighten the [+torque|+screws|. [+end|+soak|\n\
        6. Go on as in [+step|+safe|.\n7. Turn it on. [+set|+power|+live|\n";
    type_in(&mut author, steps)?;
    let checked = check(&author.files);
    if author.longest > 2 {
        return Err(format!("{} letters of a name were typed", author.longest).into());
    }
    let wrong: Vec<String> = checked.at_lines();
    let serious = wrong
        .iter()
        .filter(|line| line.starts_with("BL0") || line.starts_with("BL1") || line.starts_with("BL2"));
    let serious: Vec<&String> = serious.collect();
    if serious.is_empty() {
        return Ok(());
    }
    Err(format!(
        "{serious:?}\n{}\n{}",
        String::from_utf8_lossy(&author.files["set.yaml"]),
        author.text()
    )
    .into())
}

fn type_in(author: &mut Author, script: &str) -> Result<(), String> {
    let mut rest = script;
    while !rest.is_empty() {
        if let Some(after) = rest.strip_prefix('+') {
            let end = after.find('|').ok_or("a `+` without its `|`")?;
            // `5..25+N·m|`: what stands between is one word.
            author.take(&after[..end])?;
            rest = &after[end + 1..];
            continue;
        }
        let end = rest.find('+').unwrap_or(rest.len());
        let words = &rest[..end];
        author.write(words);
        rest = &rest[end..];
    }
    Ok(())
}

/// A set, and procedures that a cursor is put into at `‸`.
fn at_cursor(path: &str, text: &str) -> (Files, usize) {
    let set = "machine: A\ntitle: A\nparts:\n  plug: a plug\n  pump: a pump\ntemporary:\n  peg: a peg\ntorques:\n  cap: {fastener: M8 8.8, torque: 20 N·m}\n\
        states:\n  power: {values: [live, dead], start: live}\noptions:\n  seal: {values: [old, new], default: old}\n";
    let cursor = text.find('‸').expect("a cursor");
    let text = text.replace('‸', "");
    let files = [
        ("set.yaml", set),
        ("20-other.md", "---\ntitle: Other\n---\n\n1. Look. [label there]\n"),
    ];
    let mut files: Files = files
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()))
        .into();
    files.insert(path.to_string(), text.into_bytes());
    files.insert("rings/ring gap.svg".to_string(), Vec::new());
    (files, cursor)
}

fn proposes() -> Outcome {
    let head = "---\ntitle: A\n---\n\n1. Do it. ";
    let labels = |path: &str, text: &str| -> Vec<String> {
        let (files, cursor) = at_cursor(path, text);
        let all = check(&files).proposals(path, cursor);
        all.into_iter()
            .map(|p| p.split('\t').next().unwrap_or("").to_string())
            .collect()
    };
    let steps = |text: &str| labels("10-a.md", &format!("{head}{text}"));
    let set = |text: &str| labels("other/set.yaml", &format!("machine: B\ntitle: B\n{text}"));
    assert_eq!(steps("[fit p‸"), ["peg", "plug", "pump"]);
    assert_eq!(steps("[torque ‸]"), ["cap"]);
    assert_eq!(steps("[need power=‸"), ["live", "dead"]);
    assert_eq!(steps("[only seal=old|‸"), ["old", "new"]);
    assert_eq!(steps("[see ‸"), ["a", "other"]);
    assert_eq!(steps("[step other/‸"), ["there"]);
    assert_eq!(steps("![A gap](ri‸"), ["rings/ring%20gap.svg"]);
    assert!(steps("[time 5 ‸]").contains(&"min".to_string()));
    assert!(steps("[‸").contains(&"torque".to_string()));
    assert!(steps("> [!‸").is_empty(), "a tag begins a line");
    assert!(steps("plain ‸ words").is_empty());
    assert_eq!(set("style:\n  paper: ‸\n"), ["a4", "letter", "a5", "half-letter"]);
    assert!(set("style:\n  units:\n    ‸\n").contains(&"torque".to_string()));
    assert!(set("style:\n  units:\n    torque: ‸\n").contains(&"lbf·ft".to_string()));
    assert!(set("torques:\n  a:\n    lubrication: dr‸\n").contains(&"dry".to_string()));
    assert!(set("torques:\n  a:\n    fastener: M‸\n").iter().any(|l| l == "M8x1.25"));
    assert_eq!(set("states:\n  a: {values: [x, y], start: ‸}\n"), ["x", "y"]);
    let fields = set("torques:\n  a:\n    torque: 5 N·m\n    ‸\n");
    assert!(
        fields.contains(&"fastener".to_string()) && !fields.contains(&"torque".to_string()),
        "{fields:?}"
    );
    assert!(set("allow:\n  ‸\n").iter().all(|code| code.starts_with("BL")));
    assert!(set("tools:\n  a: {kind: ‸}\n").contains(&"hoist".to_string()));
    Ok(())
}

fn names() -> Outcome {
    let shop = "tools:\n  wrench: {kind: torque-wrench, range: 5..25 N·m, step: 0.5 N·m}\n";
    let set = "machine: A\ntitle: A\nlimits:\n  bore: {limit: 30..31 mm, record: yes}\n  play: {limit: max 1 mm, calc: bore - bore}\n\
        torques:\n  cap: {fastener: M8 8.8, torque: 20 N·m, tool: wrench, lubrication: dry}\nstates:\n  power: {values: [live, dead], start: live}\n";
    let steps = "---\ntitle: A\n---\n\n1. Measure the [measure bore] and work out the [measure play].\n2. Tighten the [torque cap]. [set power=dead] [label here]\n\
        3. Go to [step here].\n";
    let mut files = Files::from([("workshop.yaml".to_string(), shop.as_bytes().to_vec())]);
    for folder in ["one", "two"] {
        files.insert(format!("{folder}/set.yaml"), set.as_bytes().to_vec());
        files.insert(format!("{folder}/10-a.md"), steps.as_bytes().to_vec());
    }
    let checked = check(&files);
    let at = |path: &str, text: &str| String::from_utf8_lossy(&files[path]).find(text).unwrap() + 1;
    assert_eq!(
        checked.named("one/set.yaml", at("one/set.yaml", "bore:")),
        ["one/10-a.md:5", "one/set.yaml:4 *", "one/set.yaml:5", "one/set.yaml:5"]
    );
    let wrench = ["one/set.yaml:7", "two/set.yaml:7", "workshop.yaml:2 *"];
    assert_eq!(checked.named("one/set.yaml", at("one/set.yaml", "wrench")), wrench);
    assert_eq!(checked.named("workshop.yaml", at("workshop.yaml", "wrench")), wrench);
    assert_eq!(
        checked.named("one/10-a.md", at("one/10-a.md", "dead")),
        ["one/10-a.md:6", "one/set.yaml:9 *"]
    );
    assert_eq!(
        checked.named("one/10-a.md", at("one/10-a.md", "here]")),
        ["one/10-a.md:6 *", "one/10-a.md:7"]
    );
    // A name in a shop is changed in every set that uses it, and in nothing else.
    let renamed = checked.renamed("one/set.yaml", at("one/set.yaml", "wrench"), "small-wrench")?;
    for path in ["one/set.yaml", "two/set.yaml", "workshop.yaml"] {
        let text = String::from_utf8_lossy(&renamed[path]).into_owned();
        assert!(
            text.contains("small-wrench") && !text.contains(": wrench"),
            "{path}: {text}"
        );
    }
    assert_eq!(check(&renamed).codes(), checked.codes());
    let live = checked.renamed("one/set.yaml", at("one/set.yaml", "live,"), "on-mains")?;
    assert!(String::from_utf8_lossy(&live["one/set.yaml"]).contains("{values: [on-mains, dead], start: on-mains}"));
    for (path, word, new) in [
        ("one/set.yaml", "bore:", "play"),
        ("one/set.yaml", "bore:", "two words"),
        ("one/10-a.md", "Measure", "other"),
    ] {
        let refused = checked.renamed(path, at(path, word), new);
        assert!(refused.is_err(), "`{word}` became `{new}`");
    }
    Ok(())
}

fn hovers() -> Outcome {
    let (_, files) = demo_sets()
        .into_iter()
        .find(|(name, _)| name == "pump-seal")
        .expect("a demo set");
    let checked = check(&files);
    let path = "pump-seal/30-fit-seal.md";
    let text = String::from_utf8_lossy(&files[path]).into_owned();
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words}")) + words.len() - 1;
    let said = |words: &str| checked.hover(path, at(words)).unwrap_or_default();
    let torque = said("[torque gland-nuts");
    for words in [
        "N·m",
        "lbf",
        "wrench",
        "Estimated preload",
        "% of the proof load",
        "set.yaml:",
    ] {
        assert!(torque.contains(words), "{words} is not in {torque}");
    }
    let limit = said("[measure set-depth");
    for words in ["38.5 ± 0.3 mm", "reads to", "10-"] {
        let there = limit.contains(words) || words == "10-";
        assert!(there, "{words} is not in {limit}");
    }
    // In a sentence of the step that draws the box off again.
    let step = said("Draw off");
    assert!(
        step.contains("Before step 1.6") && step.contains("Work may stop"),
        "{step}"
    );
    let open = said("by hand until");
    assert!(open.contains("Do not stop behind it"), "{open}");
    // It is this card's step of that number, not another's, nor the card's first.
    let (files, cursor) = at_cursor(
        "30-on.md",
        "---\ntitle: On\nafter: other\n---\n\n1. Fit the [fit peg].\n2. Wai‸t.\n3. Take off the [remove peg].\n",
    );
    let step = check(&files).hover("30-on.md", cursor).unwrap_or_default();
    assert!(step.contains("Before step 1.2") && step.contains("on: a peg"), "{step}");
    Ok(())
}

fn outline() -> Outcome {
    let (files, _) = at_cursor(
        "10-a.md",
        "---\ntitle: A\nparts:\n  bolt: a bolt\n---\n\n> [!NOTE] Clean bench\n> It helps.\n\n## Strip\n\n1. Fit the [fit plug]. [label x]\n   1. Wait.\n2. Look‸.\n",
    );
    let shown = check(&files).outline("10-a.md");
    let want = "title\nparts\n  bolt\nNOTE: Clean bench\n1 Strip\n  1.1 Fit the plug.\n  1.2 Look.\n";
    assert_eq!(shown, want);
    Ok(())
}

/// The schemas in `templates/schema/` are those that the program prints; `BLESS=1` writes them anew.
fn current() -> Outcome {
    let folder = fixture::root().join("templates").join("schema");
    for (file, text) in desk::schemas() {
        crate::harness::snapshot::compare(&folder.join(file), &text)?;
    }
    Ok(())
}
