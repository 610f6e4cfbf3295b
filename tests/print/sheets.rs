//! Sheets about a whole job, from the demo sets: printed on every paper, with and without colour, and read back.

use super::complaints;
use crate::harness::revisions::below;
use crate::harness::{Files, fixture};
use crate::printer::sheets;
use crate::printer::{self, PAPERS, Print, squeezed};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("print/sheets/kits", || complaints(kits())),
        Trial::test("print/sheets/kits-compared", || complaints(kits_compared())),
        Trial::test("print/sheets/while-you-are-there", || complaints(reaches())),
        Trial::test("print/sheets/plans", || complaints(plans())),
        Trial::test("print/sheets/plans-to-scale", || complaints(scale())),
        Trial::test("print/sheets/record", || complaints(record())),
        Trial::test("print/sheets/record-that-passes", || complaints(passes())),
        Trial::test("print/sheets/record-with-gaps", || complaints(gaps())),
        Trial::test("print/sheets/changes", || complaints(changes())),
    ]
}

/// Text without what breaks it over lines.
fn flat(text: &str) -> String {
    squeezed(text).replace(['-', '‐'], "")
}

/// A sheet, printed and read back.
struct Read {
    name: String,
    text: String,
    leaves: Vec<String>,
    boxes: usize,
    faults: Vec<String>,
}

impl Read {
    fn of<L>(name: String, printed: &Print<L>, (width, height): (f64, f64)) -> Read {
        // What a command would refuse to write.
        let mut faults: Vec<String> = printed
            .breaches()
            .iter()
            .map(|breach| format!("{name}: {breach}"))
            .collect();
        let leaves: Vec<String> = match printed.texts() {
            Ok(leaves) => leaves.iter().map(|leaf| flat(leaf)).collect(),
            Err(fault) => {
                faults.push(format!("{name}: {fault}"));
                Vec::new()
            }
        };
        for (n, leaf) in leaves.iter().enumerate() {
            if !leaf.contains(&format!("Leaf{}of{}", n + 1, leaves.len())) {
                faults.push(format!("{name}: leaf {} doesn't say which it is", n + 1));
            }
        }
        match printed.catalogue() {
            Ok(catalogue) if catalogue.has(b"StructTreeRoot") && catalogue.has(b"Lang") => {}
            _ => faults.push(format!("{name}: the PDF isn't tagged")),
        }
        for run in printed.leaves.iter().flatten() {
            let inside = run.x > 15.0 && run.y > 8.0 && run.y < height - 8.0 && run.x + run.width < width - 7.9;
            if run.size < 9.99 || !inside && !run.text.trim().is_empty() {
                faults.push(format!("{name}: {run:?}"));
            }
        }
        let boxes = printed.leaves.iter().flatten().filter(|run| run.text == "☐").count();
        Read {
            name,
            text: leaves.concat(),
            leaves,
            boxes,
            faults,
        }
    }

    fn says(&mut self, words: &str) {
        if !self.text.contains(&flat(words)) {
            self.faults.push(format!("{} doesn't say {words}", self.name));
        }
    }

    /// One text before another.
    fn says_before(&mut self, first: &str, then: &str) {
        let (a, b) = (self.text.find(&flat(first)), self.text.find(&flat(then)));
        if a.is_none() || a > b {
            self.faults
                .push(format!("{}: {first} doesn't stand before {then}", self.name));
        }
    }
}

/// Calls for every paper, with colour on one and without on the next.
fn on_papers(mut look: impl FnMut(&str, bool, (f64, f64)) -> Vec<String>) -> Vec<String> {
    let mut found = Vec::new();
    for (n, (paper, width, height)) in PAPERS.into_iter().enumerate() {
        for colour in [n % 2 == 0, n % 2 == 1] {
            found.extend(look(paper, colour, (width, height)));
        }
    }
    found
}

/// Every line with all that is known of it and its box; the head of the table on every leaf with a line.
fn kits() -> Vec<String> {
    let demo = printer::demo();
    on_papers(|paper, colour, size| {
        let mut found = Vec::new();
        for kit in sheets::kits(&demo) {
            let printed = printer::print_leaf(&demo, kit, paper, colour);
            let kit = &printed.data;
            let mut read = Read::of(format!("kit of {} on {paper}", kit.identity.set), &printed, size);
            let lines: Vec<_> = kit.sections.iter().flat_map(|s| &s.lines).collect();
            for line in &lines {
                let words = [&line.amount, &line.detail, &line.price].map(|words| words.english());
                for words in [&line.name, &line.number].into_iter().chain(&words) {
                    read.says(words);
                }
                for needed in &line.needed {
                    read.says(&format!("{}:{}", needed.card, needed.steps.join(", ")));
                }
            }
            read.says(&kit.total.english());
            kit.not_needed
                .iter()
                .for_each(|s| read.says(&format!("{} {}", s.name, s.only)));
            kit.remarks.iter().for_each(|r| read.says(&r.english()));
            if read.boxes != lines.len() {
                let fault = format!("{}: {} boxes for {} lines", read.name, read.boxes, lines.len());
                read.faults.push(fault);
            }
            for (n, leaf) in read.leaves.iter().enumerate() {
                if leaf.contains('☐') && !leaf.contains("card:step") {
                    read.faults.push(format!("{}: leaf {} has no head", read.name, n + 1));
                }
            }
            found.append(&mut read.faults);
        }
        found
    })
}

fn reaches() -> Vec<String> {
    let demo = printer::demo();
    on_papers(|paper, colour, size| {
        let mut found = Vec::new();
        for reach in sheets::reaches(&demo) {
            let printed = printer::print_leaf(&demo, reach, paper, colour);
            let reach = &printed.data;
            let mut read = Read::of(format!("reach of {} on {paper}", reach.identity.set), &printed, size);
            for act in &reach.acts {
                read.says(&act.what.english());
                read.says(&act.time.english());
                read.says(&act.at);
            }
            for row in &reach.wear {
                let words = [&row.price, &row.now, &row.later].map(|words| words.english());
                [&row.name].into_iter().chain(&words).for_each(|words| read.says(words));
            }
            for row in &reach.new {
                [&row.name, &row.number, &row.price.english()]
                    .into_iter()
                    .for_each(|words| read.says(words));
            }
            reach.open.iter().chain(&reach.parts).for_each(|name| read.says(name));
            read.says(&reach.time.english());
            let boxes = reach.acts.len() + reach.wear.len();
            if read.boxes != boxes {
                let fault = format!("{}: {} boxes, not {boxes}", read.name, read.boxes);
                read.faults.push(fault);
            }
            found.append(&mut read.faults);
        }
        found
    })
}

fn kits_compared() -> Vec<String> {
    let demo = printer::demo();
    on_papers(|paper, colour, size| {
        let mut found = Vec::new();
        for kit in sheets::comparisons(&demo) {
            let printed = printer::print_leaf(&demo, kit, paper, colour);
            let kit = &printed.data;
            let mut read = Read::of(format!("kits of {} on {paper}", kit.identity.set), &printed, size);
            let Some(against) = &kit.against else {
                return vec!["nothing is compared".to_string()];
            };
            let rows = against.sections.iter().flat_map(|s| &s.rows);
            rows.for_each(|row| read.says(&row.name));
            if against.sections.is_empty() {
                read.says("Nothing differs");
            } else {
                against
                    .left
                    .iter()
                    .chain(&against.right)
                    .for_each(|c| read.says(&c.english()));
                read.says(&format!("{}{}", against.left_total, against.right_total));
            }
            found.append(&mut read.faults);
        }
        found
    })
}

/// Every bar, every wait, every part of the critical path; that it is an estimate.
fn plans() -> Vec<String> {
    let demo = printer::demo();
    on_papers(|paper, colour, size| {
        let mut found = Vec::new();
        for (sitting, start) in [(Some("2 h"), "2026-03-02T18:10"), (None, "")] {
            for (_, plan) in sheets::plans(&demo, sitting, start) {
                let printed = printer::print_leaf(&demo, plan, paper, colour);
                let plan = &printed.data;
                let mut read = Read::of(format!("plan of {} on {paper}", plan.identity.set), &printed, size);
                read.says_before("An estimate", &plan.hands_on);
                for sitting in &plan.sittings {
                    read.says(&format!("Sitting {}", sitting.number));
                    read.says(&sitting.start);
                    for bar in &sitting.rows {
                        let steps = match (bar.wait, bar.from == bar.to) {
                            (true, _) => String::new(),
                            (false, true) => format!("{}·", bar.from),
                            (false, false) => format!("{}–{}·", bar.from, bar.to),
                        };
                        read.says(&bar.what);
                        read.says(&format!("{steps}{}", bar.length));
                    }
                }
                for wait in &plan.waits {
                    read.says(&wait.what);
                    read.says(&wait.end);
                }
                plan.critical.iter().for_each(|leg| read.says(&leg.what.english()));
                plan.remarks.iter().for_each(|r| read.says(&r.english()));
                found.append(&mut read.faults);
            }
        }
        found
    })
}

/// Bars are as long as their time, on one scale for all sittings, and lie inside their drawing.
fn scale() -> Vec<String> {
    let mut found = Vec::new();
    for (plan, sheet) in sheets::plans(&printer::demo(), Some("90 min"), "2026-03-02T18:10") {
        let longest = plan.sittings.iter().map(|s| s.end.seconds - s.start.seconds).max();
        let scale = longest.unwrap_or(1) as f64;
        for (sitting, drawn) in plan.sittings.iter().zip(&sheet.sittings) {
            for (bar, row) in sitting.work.iter().zip(&drawn.rows) {
                let share = (bar.end.seconds - bar.start.seconds) as f64 / scale;
                if (row.right - row.left - share).abs() > 1e-9 || row.wait || row.right > drawn.right + 1e-9 {
                    found.push(format!("{}: sitting {}, {}", plan.set, sitting.number, bar.from));
                }
            }
            let outside = |at: f64| !(0.0..=drawn.right + 1e-9).contains(&at);
            if drawn.rows.iter().any(|r| outside(r.left) || outside(r.right))
                || drawn.ticks.iter().any(|t| outside(t.at))
            {
                found.push(format!("{}: sitting {} leaves its drawing", plan.set, sitting.number));
            }
        }
    }
    found
}

fn demo_files() -> Files {
    let folder = fixture::root().join("procedures");
    fixture::read_folder(&folder, &folder)
}

/// The verdict first, then what fails, then every box as it was filled in.
fn record() -> Vec<String> {
    let (demo, files) = (printer::demo(), demo_files());
    let text = fixture::text(&fixture::folder("log").join("reducer-with-faults.yaml"));
    let text = text.replacen("fingerprint: \"\"", "fingerprint: \"FKZ3-K1W8\"", 1);
    on_papers(|paper, colour, size| {
        let sheet = match sheets::record(&files, &text, "K2M3-VYTW") {
            Ok(sheet) => sheet,
            Err(fault) => return vec![fault],
        };
        let printed = printer::print_leaf(&demo, sheet, paper, colour);
        let sheet = &printed.data;
        let mut read = Read::of(format!("record on {paper}"), &printed, size);
        read.says_before("✗FAIL", "Deviations");
        read.says("The card has changed since");
        if sheet.deviations.len() != 3 {
            read.faults.push(format!("{} deviations", sheet.deviations.len()));
        }
        for finding in sheet.deviations.iter().chain(&sheet.told) {
            read.says_before(&finding.message.english(), "Readings");
        }
        let report = &sheet.report;
        for words in [&report.serial, &report.by, &report.fingerprint] {
            read.says(words);
        }
        for row in &report.readings {
            read.says(&row.name);
            read.says(&row.place);
            for words in [&row.limit, &row.value, &row.converted, &row.working] {
                read.says(&words.english());
            }
        }
        report
            .torques
            .iter()
            .for_each(|q| read.says(&format!("{} of {}", q.tightened, q.of)));
        report.timers.iter().for_each(|w| read.says(&w.took));
        report.holds.iter().for_each(|h| read.says(&h.second));
        report.parts.iter().for_each(|p| read.says(&p.numbers.join(", ")));
        report
            .deferred
            .iter()
            .for_each(|d| read.says(&format!("{}{}", d.what, d.reason)));
        read.says("End of record.");
        read.faults
    })
}

/// A record that nobody filled in: every row is missing, and each of those words has its room on every paper.
fn gaps() -> Vec<String> {
    let (demo, files) = (printer::demo(), demo_files());
    let text = fixture::text(&fixture::folder("log").join("reducer-with-faults.yaml"));
    let emptied = |line: &str| match line.split_once("value: ") {
        Some((before, _)) => format!("{before}value: \"\"\n"),
        None => format!("{line}\n"),
    };
    let text: String = text.lines().map(emptied).collect();
    on_papers(|paper, colour, size| {
        let sheet = match sheets::record(&files, &text, "K2M3-VYTW") {
            Ok(sheet) => sheet,
            Err(fault) => return vec![fault],
        };
        let printed = printer::print_leaf(&demo, sheet, paper, colour);
        let mut read = Read::of(format!("empty record on {paper}"), &printed, size);
        read.says("MISSING");
        read.faults
    })
}

/// A record without a fault passes, and says so.
fn passes() -> Vec<String> {
    let set = "machine: Invented pump\ntitle: Rebuild\nlimits:\n  play: {limit: 0.05..0.10 mm}\n";
    let card = "---\ntitle: Card\n---\n\n1. Measure the [measure play].\n";
    let files = [("p/set.yaml", set), ("p/10-a.md", card)];
    let files: Files = files
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()))
        .into();
    let text = "log: 1\nset: \"p\"\nprocedure: \"a\"\nserial: \"P-1\"\nby: \"A. Invented\"\nstarted: \"2026-03-02T18:00\"\n\
                finished: \"2026-03-02T18:10\"\nreadings:\n  - {limit: \"play\", step: \"1.1\", value: \"0.07\"}\n";
    let sheet = match sheets::record(&files, text, "") {
        Ok(sheet) => sheet,
        Err(fault) => return vec![fault],
    };
    let printed = printer::print_leaf(&printer::demo(), sheet, "a4", true);
    let mut read = Read::of("record that passes".to_string(), &printed, (210.0, 297.0));
    read.says("✓PASS");
    if read.text.contains("FAIL") || read.text.contains("Deviations") {
        read.faults.push(format!("it says {}", read.text));
    }
    read.faults
}

/// What is loud first, every change with what was and what is, a box for every card to put right.
fn changes() -> Vec<String> {
    let demo = printer::demo();
    on_papers(|paper, colour, size| {
        let mut found = Vec::new();
        for path in fixture::texts(&fixture::folder("diff")) {
            let files = fixture::read(&path);
            let sheet = sheets::changes(&below(&files, "before"), &below(&files, "after"));
            let printed = printer::print_leaf(&demo, sheet, paper, colour);
            let sheet = &printed.data;
            let mut read = Read::of(format!("{} on {paper}", fixture::stem(&path)), &printed, size);
            let cards = sheet.sets.iter().flat_map(|s| &s.cards);
            let shared = sheet
                .sets
                .iter()
                .flat_map(|s| &s.shared)
                .chain(&sheet.loud)
                .map(|s| &s.change);
            for change in cards.flat_map(|c| &c.changes).chain(shared) {
                for words in [&change.subject, &change.ratio, &change.old_second, &change.new_second] {
                    read.says(&words.english());
                }
                for text in [&change.old, &change.new, &change.note] {
                    text.english().lines().for_each(|line| read.says(line));
                }
            }
            if !sheet.loud.is_empty() {
                read.says_before("Safety messages weakened or dropped", "Printed cards to put right");
            }
            for row in &sheet.replace {
                read.says(&row.title);
                read.says(&row.new_code);
            }
            if read.boxes != sheet.replace.len() {
                read.faults.push(format!("{}: {} boxes", read.name, read.boxes));
            }
            if sheet.matters == read.text.contains("Nochangethatmattersatthebench.") {
                read.faults.push(format!("{}: matters: {}", read.name, sheet.matters));
            }
            found.append(&mut read.faults);
        }
        found
    })
}
