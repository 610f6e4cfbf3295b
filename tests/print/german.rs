//! A set in German: every kind of leaf of it on a whole and on half a sheet, in German to the last word.

use super::complaints;
use crate::harness::{Checked, Files, check, fixture, job};
use crate::printer::{self, Language, Leaf, PAPERS, Phrase, card::Spec, sheets, squeezed};
use libtest_mimic::Trial;

pub fn trials() -> Vec<Trial> {
    vec![Trial::test("print/german", || complaints(german()))]
}

fn files() -> Files {
    fixture::read(&fixture::folder("german").join("pumpe.txt"))
}

/// What the tables say in English and nowhere in German.
fn english() -> Vec<String> {
    let fragments = |name: &str| -> Vec<String> {
        let table = fixture::text(&fixture::root().join("templates/words").join(name));
        let words = table.lines().filter(|line| !line.starts_with('#'));
        let words = words.filter_map(|line| line.split_once(" = ").map(|(_, words)| words.to_string()));
        let pieces = words.flat_map(|words| -> Vec<String> {
            let pieces = words.split(['{', '}', '|', '"']).map(squeezed);
            pieces.collect()
        });
        pieces.collect()
    };
    let german = fragments("de.txt");
    let mut own: Vec<String> = fragments("en.txt")
        .into_iter()
        .filter(|words| words.chars().filter(|c| c.is_alphabetic()).count() >= 6)
        .filter(|words| !german.iter().any(|known| known.contains(words.as_str())))
        .collect();
    own.sort();
    own.dedup();
    own
}

/// Prints a leaf on two papers; its words must be German. The words of the other pieces are given.
fn look<L: Leaf>(checked: &Checked, leaf: &L, says: &[String], english: &[String], found: &mut Vec<String>) {
    for (paper, ..) in PAPERS.iter().filter(|(paper, ..)| ["a4", "a5"].contains(paper)) {
        let printed = printer::print_leaf(checked, leaf.clone(), paper, true);
        let text = match printed.texts() {
            Ok(texts) => texts.concat(),
            Err(fault) => {
                found.push(fault);
                continue;
            }
        };
        let name = format!("{} of {} on {paper}", L::NAME, leaf.identity().procedure);
        // A step that is too large for its leaf is so in any language.
        let breaches = printed
            .breaches()
            .into_iter()
            .filter(|breach| !breach.contains(", Parted: "));
        found.extend(breaches.map(|breach| format!("{name}: {breach}")));
        let left = english.iter().filter(|words| text.contains(words.as_str()));
        found.extend(left.map(|words| format!("{name} says “{words}” in English")));
        let missing = says.iter().filter(|words| !text.contains(&squeezed(words)));
        found.extend(missing.map(|words| format!("{name} doesn't say “{words}”")));
    }
}

fn german() -> Vec<String> {
    let files = files();
    let checked = check(&files);
    let listing = checked.listing();
    let mut found = Vec::new();
    if checked.compilation.has_errors() {
        return vec![listing];
    }
    let english = english();
    if english.len() < 300 {
        found.push(format!("only {} English texts are looked for", english.len()));
    }
    let said = |phrase: &Phrase| phrase.in_language(Language::German);
    let mut decimals = 0;
    for card in printer::cards(&checked) {
        let mut says: Vec<String> = ["Karte", "Blatt1von", "WARNUNG", "Schritt", "Hinterlassen"]
            .map(String::from)
            .into();
        for spec in card
            .phases
            .iter()
            .flat_map(|p| &p.runs)
            .flat_map(|r| &r.steps)
            .flat_map(|s| &s.specs)
        {
            let seconds: Vec<&Phrase> = match spec {
                Spec::Torque(torque) => torque.stages.iter().map(|s| &s.second).collect(),
                Spec::Measure(limit) => vec![&limit.second, &limit.range],
                _ => Vec::new(),
            };
            for second in seconds.into_iter().filter(|second| !second.is_empty()) {
                decimals += usize::from(said(second) != second.english());
                says.push(said(second));
            }
        }
        look(&checked, &card, &says, &english, &mut found);
    }
    if decimals < 3 {
        found.push(format!("only {decimals} figures have a decimal comma"));
    }
    let says = |words: &[&str]| words.iter().map(|w| w.to_string()).collect::<Vec<String>>();
    for sheet in printer::set_sheets(&checked) {
        look(
            &checked,
            &sheet,
            &says(&["Satzblatt zu 2 Karten", "Wie eine Karte gelesen wird"]),
            &english,
            &mut found,
        );
    }
    for out in printer::close_outs(&checked) {
        look(
            &checked,
            &out,
            &says(&["Abschluss von 2 Karten", "zweite Person"]),
            &english,
            &mut found,
        );
    }
    for pocket in printer::pockets(&checked) {
        look(
            &checked,
            &pocket,
            &says(&["Taschenkarte", "Grenzmaße"]),
            &english,
            &mut found,
        );
    }
    for kit in sheets::kits(&checked) {
        look(
            &checked,
            &kit,
            &says(&["Bereitstellungsliste", "Zu bestellen", "12,50 EUR"]),
            &english,
            &mut found,
        );
    }
    for kit in sheets::comparisons(&checked) {
        look(
            &checked,
            &kit,
            &says(&["Was sich bei zwei Wahlen unterscheidet"]),
            &english,
            &mut found,
        );
    }
    for (_, plan) in sheets::plans(&checked, Some("2 h"), "2026-03-02T18:00") {
        look(
            &checked,
            &plan,
            &says(&["Arbeitsplan", "Eine Schätzung"]),
            &english,
            &mut found,
        );
    }
    match record(&files) {
        Ok(record) => look(
            &checked,
            &record,
            &says(&["NICHT BESTANDEN", "Abweichungen", "fehlt"]),
            &english,
            &mut found,
        ),
        Err(fault) => found.push(fault),
    }
    let mut changed = files.clone();
    for (path, text) in changed.iter_mut() {
        let was = String::from_utf8_lossy(text).into_owned();
        let is = was
            .replace("torque: 25 N·m", "torque: 25 lbf·ft")
            .replace("> [!CAUTION] Scharfe Kanten", "> [!NOTICE] Scharfe Kanten")
            .replace("max 0.25 mm", "max 0.30 mm")
            .replace("Nehmen Sie keinen Schaber.", "Nehmen Sie Schaber aus Kunststoff.");
        if was != is {
            *text = is.into_bytes();
        } else if !path.ends_with(".md") {
            found.push(format!("{path} stays as it is"));
        }
    }
    let mut sheet = sheets::changes(&files, &changed);
    sheet.identity.language = "de".into();
    look(
        &checked,
        &sheet,
        &says(&["Änderungsblatt", "ABGESCHWÄCHT", "Drehmoment „Ablassstopfen“"]),
        &english,
        &mut found,
    );
    found
}

/// A record with readings missing, unreadable and out of limits.
fn record(files: &Files) -> Result<sheets::RecordSheet, String> {
    let text = job::begun(files, ("pumpe", "oeffnen"), "", "KP-4-7", &[])?;
    let mut values = ["29.90", "30,1 x"].into_iter();
    let filled: Vec<String> = text
        .lines()
        .map(|line| {
            match line
                .strip_suffix("\"\"")
                .filter(|rest| rest.contains("oben") || rest.contains("unten"))
            {
                Some(rest) => format!("{rest}\"{}\"", values.next().unwrap_or("")),
                None => line.to_string(),
            }
        })
        .collect();
    let mut sheet = sheets::record(files, &filled.join("\n"), "")?;
    sheet.identity.language = "de".into();
    match sheet.deviations.len() >= 5 {
        true => Ok(sheet),
        false => Err(format!(
            "only {} deviations: {:?}",
            sheet.deviations.len(),
            sheet.deviations
        )),
    }
}
