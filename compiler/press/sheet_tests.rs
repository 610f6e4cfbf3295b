//! Sheets about a whole job under strain and empty: the same layout rules as for cards.

use super::layout_tests::{PAPERS, assert_grey, leaf_texts, runs, squeeze, typesetter};
use super::sample::sheets;
use super::{Assets, Document, Format, Leaf, Settings};

fn set<L: Leaf>(mut leaf: L, paper: &str, colour: bool) -> Document {
    leaf.identity_mut().paper = paper.into();
    let settings = Settings {
        colour,
        ..Settings::default()
    };
    let document = typesetter().typeset(&leaf, &Assets::default(), &settings).unwrap();
    assert_eq!(document.warnings, []);
    document
}

/// Type large enough, nothing over the edge, and the bytes of a PDF.
fn look<L: Leaf + Clone>(leaf: &L) {
    for (n, (paper, width, height)) in PAPERS.into_iter().enumerate() {
        let document = set(leaf.clone(), paper, n % 2 == 0);
        for (n, page) in document.pages().iter().enumerate() {
            for run in runs(&page.frame) {
                let (name, text) = (L::NAME, &run.text);
                let place = format!(
                    "{name}, {paper}, leaf {}: {text:?} at {:.1}, {:.1} mm",
                    n + 1,
                    run.x,
                    run.y
                );
                assert!(run.size > 9.99, "{place} is {:.1} pt", run.size);
                assert!(run.x > 15.0 && run.y > 8.0 && run.y < height - 8.0, "{place}");
                let end = run.x + run.width;
                assert!(
                    end < width - 7.9 || text.trim().is_empty(),
                    "{place} ends at {end:.1} mm"
                );
            }
        }
        assert!(document.export(Format::Pdf).is_ok());
    }
}

#[test]
fn sheets_hold_long_names_and_many_rows() {
    look(&sheets::kit(10));
    look(&sheets::against(60));
    look(&sheets::plan(3, 12));
    look(&sheets::record(60));
    // A row is never cut: more boxes with names of ten lines each than a half sheet holds are refused by the reader, not printed.
    look(&sheets::form(3, 14));
    look(&sheets::changes(8));
}

#[test]
fn what_must_come_off_holds_long_names_and_many_rows() {
    look(&sheets::reach(10));
    look(&sheets::reach(3));
}

// Few rows are kept on one leaf where that holds them; where it doesn't they go on.
#[test]
fn few_rows_that_are_tall_stay_on_their_leaves() {
    for rows in [3, 6] {
        look(&sheets::kit(rows));
        look(&sheets::against(rows));
        look(&sheets::plan(1, rows));
        look(&sheets::record(rows));
        look(&sheets::changes(rows));
    }
}

#[test]
fn sheets_hold_empty_lists() {
    look(&sheets::kit(0));
    look(&sheets::reach(0));
    look(&sheets::against(0));
    look(&sheets::plan(0, 0));
    look(&sheets::record(0));
    look(&sheets::form(0, 0));
    look(&sheets::changes(0));
    let text = leaf_texts(&set(sheets::changes(0), "a4", true)).concat();
    assert!(text.contains("Nochangethatmattersatthebench."));
    let text = leaf_texts(&set(sheets::record(0), "a4", true)).concat();
    assert!(text.contains("✓\u{202f}PASS") || text.contains("✓PASS"), "{text}");
}

#[test]
fn rows_are_whole_and_heads_come_again() {
    for (paper, ..) in PAPERS {
        let texts = leaf_texts(&set(sheets::record(60), paper, true));
        let whole = squeeze("mean of (0.50 mm, 0.52 mm, 0.51 mm, 0.50 mm) + 0.04 mm = 0.548 mm");
        let rows: usize = texts.iter().map(|text| text.matches(&whole).count()).sum();
        assert_eq!(rows, 60, "{paper}");
        let (with_rows, with_head) = texts.iter().fold((0, 0), |(rows, heads), text| {
            let has = text.contains(&whole);
            (
                rows + usize::from(has),
                heads + usize::from(has && text.contains("ReadingVerdict")),
            )
        });
        assert!(
            with_rows > 3 && with_head == with_rows,
            "{paper}: {with_rows} leaves, {with_head} heads"
        );
        // The head of the kit, and below it the kind of thing.
        let texts = leaf_texts(&set(sheets::kit(20), paper, true));
        for (n, text) in texts.iter().enumerate().filter(|(_, text)| text.contains("REV-00")) {
            assert!(text.contains("card:step"), "{paper}, leaf {}: no head", n + 1);
        }
    }
}

#[test]
fn every_line_has_its_box_on_its_leaf() {
    for (paper, ..) in PAPERS {
        for text in leaf_texts(&set(sheets::kit(20), paper, false)) {
            let lines = text.matches("REV-0000000000000001").count();
            assert_eq!(text.matches('☐').count(), lines, "{paper}");
        }
    }
}

#[test]
fn black_toner_prints_no_colour() {
    let documents = [
        set(sheets::plan(2, 4), "a4", false),
        set(sheets::record(6), "a5", false),
        set(sheets::changes(3), "letter", false),
        set(sheets::kit(2), "half-letter", false),
    ];
    for leaf in documents.iter().flat_map(|d| d.export(Format::Svg).unwrap()) {
        let svg = String::from_utf8(leaf).unwrap();
        assert_grey(&svg);
    }
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let print = || {
        super::forget();
        let plan = set(sheets::plan(3, 6), "a4", true).export(Format::Pdf).unwrap();
        let record = set(sheets::record(6), "a5", false).export(Format::Pdf).unwrap();
        (plan, record)
    };
    assert!(print() == print());
}

#[test]
fn what_is_written_into_a_record_stays_text() {
    let nasty = "#pagebreak() *b* _i_ `c` $x$ \\ \" ' @a <b> // c = [e] {f} ~ -- {{ i }}";
    let mut sheet = sheets::record(1);
    sheet.report.serial = nasty.into();
    sheet.report.readings[0].value = nasty.into();
    sheet.deviations[0].message = nasty.into();
    let text = leaf_texts(&set(sheet, "letter", true)).concat();
    assert_eq!(text.matches("#pagebreak()*b*_i_").count(), 3, "{text}");
}

/// Every key of some data, whatever it lies in.
fn keys(value: &serde_json::Value, found: &mut std::collections::BTreeSet<String>) {
    match value {
        serde_json::Value::Object(fields) => {
            found.extend(fields.keys().cloned());
            fields.values().for_each(|value| keys(value, found));
        }
        serde_json::Value::Array(items) => items.iter().for_each(|item| keys(item, found)),
        _ => {}
    }
}

#[test]
fn template_authors_are_told_of_every_field() {
    let readme = include_str!("../../templates/README.md");
    let mut found = std::collections::BTreeSet::new();
    for value in [
        serde_json::to_value(sheets::kit(1)),
        serde_json::to_value(sheets::reach(1)),
        serde_json::to_value(sheets::against(1)),
        serde_json::to_value(sheets::plan(1, 1)),
        serde_json::to_value(sheets::record(1)),
        serde_json::to_value(sheets::changes(1)),
    ] {
        keys(&value.unwrap(), &mut found);
    }
    let untold: Vec<&String> = found
        .iter()
        .filter(|key| !readme.contains(&format!("`{key}`")))
        .collect();
    assert!(untold.is_empty(), "{untold:?}");
}
