//! The other kinds of leaf, and the other ways to print them: close-outs, pocket leaves, two on a sheet, for the archive, on many threads.

use super::complaints;
use crate::printer::card::{Card, Phase, Signal};
use crate::printer::{self, Format, Leaf, PAPERS, Print, code, squeezed};
use libtest_mimic::Trial;
use std::collections::BTreeSet;

pub fn trials() -> Vec<Trial> {
    vec![
        Trial::test("print/set-sheets", || complaints(set_sheets())),
        Trial::test("print/close-outs", || complaints(close_outs())),
        Trial::test("print/record-leaves", || complaints(record_leaves())),
        Trial::test("print/pockets", || complaints(pockets())),
        Trial::test("print/two-up", || complaints(two_up())),
        Trial::test("print/identity", || complaints(identity())),
        Trial::test("print/changes", || complaints(changes())),
        Trial::test("print/archive", || complaints(archive())),
        Trial::test("print/same-bytes-on-many-threads", || complaints(threads())),
    ]
}

/// What a build would refuse to write.
fn refused<L: Leaf>(printed: &Print<L>, paper: &str) -> Vec<String> {
    let set = &printed.data.identity().set;
    let breaches = printed.breaches().into_iter();
    breaches.map(|breach| format!("{set} on {paper}: {breach}")).collect()
}

/// What all cards have in common once: each card with the code at its foot, each thing that any of them takes, the worst of their hazards.
fn set_sheets() -> Vec<String> {
    let demo = printer::demo();
    let cards = printer::cards(&demo);
    let mut found = Vec::new();
    let worst = |cards: &[&Card]| cards.iter().filter_map(|card| card.cover.worst).max();
    for (paper, ..) in PAPERS {
        for sheet in printer::set_sheets(&demo) {
            let printed = printer::print_leaf(&demo, sheet, paper, true);
            found.extend(refused(&printed, paper));
            let sheet = &printed.data;
            let set = &sheet.identity.set;
            let text = printed.texts().unwrap_or_default().concat();
            let cards: Vec<_> = cards.iter().filter(|card| card.identity.set == *set).collect();
            if cards.is_empty() || sheet.cards.len() != cards.len() {
                found.push(format!("{set} lists {} cards of {}", sheet.cards.len(), cards.len()));
            }
            let mut words: Vec<String> = Vec::new();
            for card in &cards {
                words.extend([card.identity.title.english(), code(*card).to_string()]);
                let cover = &card.cover;
                let kit = [&cover.tools, &cover.parts, &cover.consumables, &cover.temporary];
                words.extend(kit.into_iter().flatten().map(|row| row.name.clone()));
                let worst = cover.hazards.iter().filter(|row| Some(row.signal) == worst(&cards));
                words.extend(worst.map(|row| row.hazard.english()));
            }
            let missing = words.iter().filter(|words| !text.contains(&squeezed(words)));
            found.extend(missing.map(|words| format!("{paper}: {set} doesn't say {words}")));
            // It is read, not worked through.
            if text.contains('☐') {
                found.push(format!("{paper}: {set} has boxes"));
            }
        }
    }
    found
}

/// Each item, fastener, hold and state of a set has its box on the close-out.
fn close_outs() -> Vec<String> {
    let demo = printer::demo();
    let mut found = Vec::new();
    for (paper, ..) in PAPERS {
        for out in printer::close_outs(&demo) {
            let printed = printer::print_leaf(&demo, out, paper, true);
            found.extend(refused(&printed, paper));
            let out = &printed.data;
            let text = printed.texts().unwrap_or_default().concat();
            let lists = [&out.temporary, &out.torques, &out.holds, &out.states];
            let rows: Vec<_> = lists.into_iter().flatten().collect();
            for row in &rows {
                for words in [row.what.clone(), row.detail.english(), row.since.english()] {
                    if !text.contains(&squeezed(&words)) {
                        found.push(format!("{paper}: {} doesn't say {words}", out.identity.set));
                    }
                }
            }
            // One more for the cards themselves.
            let boxes = printed.leaves.iter().flatten().filter(|run| run.text == "☐").count();
            if boxes != rows.len() + 1 {
                found.push(format!(
                    "{paper}: {} has {boxes} boxes for {} rows",
                    out.identity.set,
                    rows.len()
                ));
            }
        }
    }
    found
}

/// What must be kept has its place: each reading that is to be recorded, fasteners, clocks and signatures of every card; readings that nobody
/// asks to keep have none.
fn record_leaves() -> Vec<String> {
    let demo = printer::demo();
    let cards = printer::cards(&demo);
    let mut found = Vec::new();
    for (paper, ..) in PAPERS {
        for form in printer::record_forms(&demo) {
            let printed = printer::print_leaf(&demo, form, paper, true);
            found.extend(refused(&printed, paper));
            let set = &printed.data.identity.set;
            let text = printed.texts().unwrap_or_default().concat();
            let of_set = || cards.iter().filter(|card| card.identity.set == *set);
            let mut words: Vec<String> = Vec::new();
            for card in of_set() {
                let kept = card.measurements.iter().filter(|m| m.record);
                words.extend(kept.flat_map(|m| [vec![m.name.clone(), m.limit.to_string()], m.rows.clone()].concat()));
                words.extend(card.torques.iter().map(|q| q.name.clone()));
                words.extend(card.cover.timers.iter().map(|timer| timer.what.clone()));
                words.extend(card.holds.iter().map(|hold| hold.what.clone()));
            }
            let missing = words.iter().filter(|words| !text.contains(&squeezed(words)));
            found.extend(missing.map(|words| format!("{paper}: {set} doesn't say {words}")));
            let kept: BTreeSet<&str> = of_set()
                .flat_map(|card| card.measurements.iter().filter(|m| m.record).map(|m| m.name.as_str()))
                .collect();
            let passing = of_set().flat_map(|card| &card.measurements);
            let passing = passing.filter(|m| !m.record && !kept.iter().any(|name| name.contains(m.name.as_str())));
            let told = passing.filter(|m| text.contains(&squeezed(&m.name)));
            found.extend(told.map(|m| format!("{paper}: {set} keeps {}", m.name)));
            if text.contains('☐') || words.is_empty() {
                found.push(format!("{paper}: {set} has boxes to tick, or nothing"));
            }
        }
    }
    found
}

/// Torques and limits alone, on one leaf.
fn pockets() -> Vec<String> {
    let demo = printer::demo();
    let mut found = Vec::new();
    for (paper, ..) in PAPERS {
        for pocket in printer::pockets(&demo) {
            let printed = printer::print_leaf(&demo, pocket, paper, true);
            found.extend(refused(&printed, paper));
            let pocket = &printed.data;
            let text = printed.texts().unwrap_or_default().concat();
            let stages = pocket
                .torques
                .iter()
                .flat_map(|q| &q.stages)
                .map(|s| s.figure.to_string());
            let limits = pocket.measurements.iter().map(|m| {
                if m.range.is_empty() {
                    m.limit.to_string()
                } else {
                    m.range.english()
                }
            });
            let missing = stages.chain(limits).filter(|words| !text.contains(&squeezed(words)));
            found.extend(missing.map(|words| format!("{paper}: {} doesn't say {words}", pocket.identity.set)));
            if text.contains("Avoid:") || text.contains('☐') {
                found.push(format!("{paper}: {} has more than figures", pocket.identity.set));
            }
            // Thirty-six figures don't go on half a sheet at a size that can be read.
            let most = if pocket.torques.len() + pocket.measurements.len() > 20 && paper != "a4" && paper != "letter" {
                2
            } else {
                1
            };
            if printed.leaves.len() > most {
                found.push(format!(
                    "{paper}: {} takes {} leaves",
                    pocket.identity.set,
                    printed.leaves.len()
                ));
            }
        }
    }
    found
}

/// Two half-size leaves on a sheet, in order, the last alone if the number is odd; never two full-size ones.
fn two_up() -> Vec<String> {
    let mut found = Vec::new();
    for (paper, width, height) in [("a5", 297.0, 210.0), ("half-letter", 279.4, 215.9)] {
        for printed in printer::demo_cards(paper) {
            let name = &printed.data.identity.procedure;
            let (sheets, x, y) = match printed.two_up() {
                Ok(sheets) => sheets,
                Err(fault) => return vec![format!("{name}: {fault}")],
            };
            if (x - width).abs() > 0.01 || (y - height).abs() > 0.01 || sheets.len() != printed.leaves.len().div_ceil(2)
            {
                found.push(format!("{name}: {} sheets of {x} by {y} mm", sheets.len()));
            }
            for (n, sheet) in sheets.iter().enumerate() {
                for leaf in [2 * n + 1, 2 * n + 2] {
                    let there = sheet.contains(&format!("Leaf{leaf}of"));
                    if there != (leaf <= printed.leaves.len()) {
                        found.push(format!("{name}: sheet {} and leaf {leaf}", n + 1));
                    }
                }
            }
        }
    }
    let mut full = printer::demo_cards("letter").iter();
    if full.any(|printed| printed.two_up().is_ok()) {
        found.push("two full leaves on a sheet".to_string());
    }
    found
}

/// Every leaf says whose it is and how bad it can get in its phase, and has the text of its code in one piece.
fn identity() -> Vec<String> {
    let mut found = Vec::new();
    for printed in ["a4", "a5"].into_iter().flat_map(printer::demo_cards) {
        let code = code(&printed.data).to_string();
        let id = &printed.data.identity;
        let mut words = vec![
            squeezed(&id.title.english()),
            format!("Card{}of{}", id.position, id.of),
            format!("Rev{}", id.rev),
            id.date.clone(),
            code.clone(),
        ];
        words.extend(id.choices.iter().map(|c| format!("{}={}", c.option, c.value)));
        // Half a sheet has room for how the title of the set begins.
        words.extend(id.set_title.split_whitespace().next().map(squeezed));
        let leaves = printed.texts().unwrap_or_default();
        let first = leaves.first().map_or("", |leaf| leaf.as_str());
        let worst = printed.data.cover.worst.map(|signal| signal.word().to_string());
        if let Some(worst) = worst.filter(|worst| !first.contains(worst.as_str())) {
            found.push(format!("{} doesn't say {worst} on its first leaf", id.procedure));
        }
        for (n, leaf) in leaves.iter().enumerate() {
            let phases = printed.data.phases.iter().filter(|phase| {
                let named = |sign| leaf.contains(&format!("Phase{}{sign}", phase.number));
                named(':') || named(',')
            });
            let levels = |phase: &Phase| phase.messages.iter().map(|message| message.signal).max();
            let worst = phases.filter_map(levels).filter(|signal| *signal != Signal::Note);
            let worst: Vec<String> = worst.map(|signal| signal.word().to_string()).collect();
            let missing = words
                .iter()
                .chain(&worst)
                .filter(|words| !leaf.contains(words.as_str()));
            found.extend(missing.map(|words| format!("{} leaf {} doesn't say {words}", id.procedure, n + 1)));
        }
        let runs = printed.leaves.iter().flatten();
        let whole = runs.filter(|run| run.text.contains(&code)).count();
        if whole != leaves.len() {
            found.push(format!("{}: the check code is whole in {whole} places", id.procedure));
        }
    }
    found
}

/// The cover says what changed, the loud ones first.
fn changes() -> Vec<String> {
    use crate::printer::card::Change;
    let demo = printer::demo();
    let mut found = Vec::new();
    for mut card in printer::cards(&demo).into_iter().take(2) {
        let change = |loud, kind: &str, text: &str| Change {
            loud,
            kind: kind.into(),
            text: text.into(),
        };
        card.cover.changes = vec![
            change(false, "1.1", "worded anew"),
            change(true, "head bolts", "18 N·m was 12 N·m"),
        ];
        let printed = printer::print_leaf(&demo, card, "letter", false);
        let text = printed.texts().unwrap_or_default().concat();
        let (loud, quiet) = (text.find("headbolts:18N·mwas12N·m"), text.find("1.1:wordedanew"));
        if loud.is_none() || quiet.is_none() || loud > quiet {
            found.push(format!("{}: {loud:?} {quiet:?}", printed.data.identity.procedure));
        }
    }
    found
}

/// PDF/A-2a and PDF/UA-1 in one, and both said in the metadata.
fn archive() -> Vec<String> {
    let mut found = Vec::new();
    for printed in printer::demo_cards("a4").iter().take(3) {
        match printed.export(Format::PdfArchive) {
            Ok(files) => {
                let said = String::from_utf8_lossy(&files[0]).into_owned();
                for words in ["pdfaid:part", "pdfuaid:part"] {
                    if !said.contains(words) {
                        found.push(format!("{}: no {words}", printed.data.identity.procedure));
                    }
                }
            }
            Err(fault) => found.push(fault),
        }
    }
    found
}

/// Three threads at once give what one gives.
fn threads() -> Vec<String> {
    let demo = printer::demo();
    let cards = &printer::cards(&demo)[..4];
    let one = || {
        let print = |card: &printer::card::Card| printer::print_leaf(&demo, card.clone(), "a4", true).pdf;
        cards.iter().map(print).collect::<Vec<_>>()
    };
    let alone = one();
    let together = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..3).map(|_| scope.spawn(one)).collect();
        threads
            .into_iter()
            .map(|t| t.join().unwrap_or_default())
            .collect::<Vec<_>>()
    });
    let differ = together.iter().enumerate().filter(|(_, bytes)| **bytes != alone);
    differ.map(|(n, _)| format!("thread {n} prints other bytes")).collect()
}
