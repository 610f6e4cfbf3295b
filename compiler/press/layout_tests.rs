//! Layout rules, asserted on the frames of real cards: what lies on which leaf, how large, how far from the edge.

use std::collections::BTreeMap;
use std::sync::{LazyLock, Mutex};

use typst::layout::{Abs, Frame, FrameItem, Point};

use super::sample;
use super::{Assets, Document, Format, Settings, Typesetter};
use benchleaf_core::cards::card::{Card, Signal};

pub(super) const PAPERS: [(&str, f64, f64); 4] = [
    ("a4", 210.0, 297.0),
    ("letter", 215.9, 279.4),
    ("a5", 148.0, 210.0),
    ("half-letter", 139.7, 215.9),
];

/// A run of text on a leaf, in millimetres and points.
pub(super) struct Run {
    pub text: String,
    pub size: f64,
    pub x: f64,
    pub y: f64,
    pub width: f64,
}

pub(super) fn runs(frame: &Frame) -> Vec<Run> {
    let mut found = Vec::new();
    collect(frame, Point::zero(), &mut found);
    found
}

fn collect(frame: &Frame, offset: Point, found: &mut Vec<Run>) {
    for (at, item) in frame.items() {
        let at = offset + *at;
        match item {
            FrameItem::Group(group) => collect(
                &group.frame,
                at + Point::new(group.transform.tx, group.transform.ty),
                found,
            ),
            FrameItem::Text(text) => found.push(Run {
                text: text.text.to_string(),
                size: text.size.to_pt(),
                x: at.x.to_mm(),
                y: at.y.to_mm(),
                width: text.width().to_mm(),
            }),
            _ => {}
        }
    }
}

/// The text of each leaf without white space, so that line breaks don't matter.
pub(super) fn leaf_texts(document: &Document) -> Vec<String> {
    let leaf = |page: &typst_layout::Page| runs(&page.frame).into_iter().map(|run| squeeze(&run.text)).collect();
    document.pages().iter().map(leaf).collect()
}

pub(super) fn squeeze(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '\u{200b}' | '\u{ad}' | '\u{a0}'))
        .collect()
}

fn fresh() -> Typesetter {
    Typesetter::new(&BTreeMap::new()).unwrap()
}

static SHARED: LazyLock<Typesetter> = LazyLock::new(fresh);

/// One for all tests: to load the fonts and templates for each would be most of their time.
pub(super) fn typesetter() -> &'static Typesetter {
    &SHARED
}

/// A card typeset once, for all tests that look at it.
fn set(card: &Card) -> &'static Document {
    static SET: Mutex<BTreeMap<String, &Document>> = Mutex::new(BTreeMap::new());
    let key = format!("{card:?}");
    if let Some(document) = SET.lock().unwrap().get(&key) {
        return document;
    }
    let document = typesetter()
        .typeset(card, &Assets::default(), &Settings::default())
        .unwrap();
    assert_eq!(document.warnings, []);
    let document: &Document = Box::leak(Box::new(document));
    SET.lock().unwrap().insert(key, document);
    document
}

fn on_paper(mut card: Card, paper: &str) -> Card {
    card.identity.paper = paper.into();
    card
}

#[test]
fn leaves_have_the_size_of_their_paper() {
    for (paper, width, height) in PAPERS {
        for page in set(&on_paper(sample::tiny(), paper)).pages() {
            let size = page.frame.size();
            assert!((size.x - Abs::mm(width)).to_mm().abs() < 0.01 && (size.y - Abs::mm(height)).to_mm().abs() < 0.01);
        }
    }
}

#[test]
fn text_is_never_under_ten_points_and_stays_inside_the_margins() {
    for card in [sample::full(), sample::stress()] {
        for (paper, width, height) in PAPERS {
            for (n, page) in set(&on_paper(card.clone(), paper)).pages().iter().enumerate() {
                for run in runs(&page.frame) {
                    let place = format!(
                        "{paper}, leaf {}: {:?} at {:.1}, {:.1} mm",
                        n + 1,
                        run.text,
                        run.x,
                        run.y
                    );
                    assert!(run.size > 9.99, "{place} is {:.1} pt", run.size);
                    assert!(run.x > 15.0 && run.y > 8.0 && run.y < height - 8.0, "{place}");
                    assert!(
                        run.x + run.width < width - 7.9 || run.text.trim().is_empty(),
                        "{place} is {:.1} mm wide",
                        run.width
                    );
                }
            }
        }
    }
}

#[test]
fn nothing_runs_over_the_foot() {
    for card in [sample::full(), sample::stress(), sample::long(60)] {
        for (paper, ..) in PAPERS {
            for page in set(&on_paper(card.clone(), paper)).pages() {
                let runs = runs(&page.frame);
                let foot = runs
                    .iter()
                    .filter(|run| run.text.starts_with("Local codes") && run.size < 10.5)
                    .map(|run| run.y);
                let foot = foot.fold(0.0, f64::max);
                // The foot's own lines and the check bar's words.
                let below = runs.iter().filter(|run| run.y > foot - 6.0).count();
                assert!(below <= 12, "{paper}: {below} runs in the foot");
            }
        }
    }
}

#[test]
fn every_step_stands_wholly_on_one_leaf() {
    let sentence = squeeze(
        "Turn the adjusting ring until the mark stands on the line, hold it there with the pin spanner and lock the nut.",
    );
    for (paper, ..) in PAPERS {
        let texts = leaf_texts(set(&on_paper(sample::long(300), paper)));
        let whole: usize = texts.iter().map(|text| text.matches(sentence.as_str()).count()).sum();
        assert_eq!(whole, 300, "{paper}");
        // Each leaf has a box for every step on it, and one where a phase ends; the last ones have three more for how the machine is left.
        for text in &texts {
            let steps = text.matches(sentence.as_str()).count();
            let boxes = text.matches('☐').count();
            assert!(
                boxes == steps + text.matches("stepsticked").count()
                    || text.contains("Everyboxoneveryleaf")
                    || text.contains("Endofcard"),
                "{paper}: {boxes} boxes, {steps} steps"
            );
        }
    }
}

#[test]
fn messages_stand_with_their_step() {
    for (paper, ..) in PAPERS {
        let texts = leaf_texts(set(&on_paper(sample::full(), paper)));
        for (message, step) in [
            ("Theheadliftsoffandcanbreakbones.", "Ventthereceiveruntil"),
            ("Itwillflashatasparkandburnyou.", "Wipebothsealingfaces"),
            ("Ascratchacrossthebeadleaks.", "Fittheguidestuds,then"),
        ] {
            let together = texts
                .iter()
                .any(|text| text.find(message).is_some_and(|at| text[at..].contains(step)));
            assert!(together, "{paper}: {message}");
        }
        let hold = texts.iter().find(|text| text.contains("Nothingpastthisline")).unwrap();
        // No half sheet holds this step's grid of boxes: it goes on overleaf between two rows, and the hold point with its end.
        assert!(
            hold.contains("Measurebothbores.") || ["a5", "half-letter"].contains(&paper),
            "{paper}: the hold point has left its step"
        );
    }
}

#[test]
fn leaves_say_where_they_are() {
    let texts = leaf_texts(set(&sample::full()));
    for (n, text) in texts.iter().enumerate() {
        assert!(text.contains(&format!("Leaf{}of{}", n + 1, texts.len())));
        assert!(text.contains("Fitthevalveplateandcylinderhead") && text.contains("Card4") && text.contains("DRAFT"));
        assert!(text.contains("gasket=renew") && text.contains("2026-11-02"));
        assert_eq!(text.contains(&format!("Next:leaf{}", n + 2)), n + 1 < texts.len());
    }
    assert!(texts.last().unwrap().contains("Thelistiscomplete."));
    assert!(texts.last().unwrap().contains("Endofcard"));
}

#[test]
fn figures_that_a_tool_is_set_to_are_large() {
    let document = set(&sample::full());
    let all: Vec<Run> = document.pages().iter().flat_map(|page| runs(&page.frame)).collect();
    for figure in [
        "15\u{a0}lbf·ft",
        "80\u{a0}lbf·in",
        "+90°",
        "10\u{a0}lbf·ft",
        "max\u{a0}0.05\u{a0}mm",
    ] {
        let sizes: Vec<f64> = all
            .iter()
            .filter(|run| run.text == figure)
            .map(|run| run.size)
            .collect();
        assert!(sizes.iter().any(|size| *size > 13.9), "{figure}: {sizes:?}");
    }
    let step = all
        .iter()
        .find(|run| run.text.contains("Lay the straight edge"))
        .unwrap();
    assert!(step.size > 12.9);
}

#[test]
fn all_sixty_rows_and_the_long_words_are_there() {
    let text = leaf_texts(set(&sample::stress())).concat();
    for n in 0..60 {
        assert!(text.contains(&format!("screw{n}oftheintermediateflange,part123456789012")));
    }
    assert!(
        text.replace(['-', '‐'], "")
            .contains("Donaudampfschifffahrtsgesellschaftskapitän")
    );
    for n in 0..40 {
        assert!(text.contains(&format!("Hazard{n}")));
    }
}

#[test]
fn what_an_author_writes_stays_text() {
    let nasty =
        "#pagebreak() *b* _i_ `c` $x$ \\ \" ' @a <b> // c /* d */ = [e] {f} ~ -- http://g.h \u{2028}{{ i }} {% j %}";
    let mut card = sample::tiny();
    card.identity.title = nasty.into();
    card.cover.about = sample::para(nasty);
    card.phases[0].runs[0].steps[0]
        .messages
        .push(sample::message(Signal::Warning, nasty, nasty, nasty));
    let document = set(&card);
    assert_eq!(document.leaves(), 1);
    let text = leaf_texts(document).concat();
    assert!(text.matches(&squeeze("#pagebreak() ")).count() >= 4, "{text}");
    assert!(text.contains("{{i}}{%j%}"));
}

/// Another typesetter, and nothing remembered: the same bytes in every format.
fn same_twice(paper: &str) {
    for colour in [true, false] {
        let card = on_paper(sample::full(), paper);
        let settings = Settings {
            colour,
            ..Settings::default()
        };
        let print = || {
            super::forget();
            fresh().typeset(&card, &Assets::default(), &settings).unwrap()
        };
        let (one, two) = (print(), print());
        for format in [Format::Pdf, Format::PdfArchive, Format::Svg, Format::Png { ppi: 30 }] {
            let bytes = one.export(format).unwrap();
            assert!(bytes == two.export(format).unwrap(), "{paper}, {format:?}");
            let files = if format.extension() == "pdf" { 1 } else { one.leaves() };
            assert_eq!(bytes.len(), files);
        }
    }
}

#[test]
fn every_format_on_a4_is_the_same_twice() {
    same_twice("a4");
}

#[test]
fn every_format_on_letter_is_the_same_twice() {
    same_twice("letter");
}

#[test]
fn every_format_on_a5_is_the_same_twice() {
    same_twice("a5");
}

#[test]
fn every_format_on_half_letter_is_the_same_twice() {
    same_twice("half-letter");
}

/// Every ink of a leaf is a grey.
pub fn assert_grey(svg: &str) {
    for (at, _) in svg.match_indices("fill=\"#").chain(svg.match_indices("stroke=\"#")) {
        let hex = svg[at..]
            .split('#')
            .nth(1)
            .and_then(|rest| rest.get(..6))
            .unwrap_or_default();
        assert!(hex[..2] == hex[2..4] && hex[..2] == hex[4..6], "#{hex} is not a grey");
    }
}

#[test]
fn black_toner_means_no_colour() {
    let settings = Settings {
        colour: false,
        ..Settings::default()
    };
    let document = typesetter()
        .typeset(&sample::full(), &Assets::default(), &settings)
        .unwrap();
    for leaf in document.export(Format::Svg).unwrap() {
        let svg = String::from_utf8(leaf).unwrap();
        assert_grey(&svg);
    }
}

/// What is drawn right of a line, in millimetres: from the left, width, height; and the thickness of its stroke in points.
fn drawn_beyond(frame: &Frame, line: f64, offset: Point, found: &mut Vec<(f64, f64, f64, f64)>) {
    for (at, item) in frame.items() {
        let at = offset + *at;
        match item {
            FrameItem::Group(group) => {
                let moved = Point::new(group.transform.tx, group.transform.ty);
                drawn_beyond(&group.frame, line, at + moved, found);
            }
            FrameItem::Shape(shape, _) => {
                let bounds = shape.geometry.bbox(None);
                let x = (at.x + bounds.min.x).to_mm();
                if x > line {
                    let thickness = shape.stroke.as_ref().map_or(0.0, |stroke| stroke.thickness.to_pt());
                    found.push((x, bounds.size().x.to_mm(), bounds.size().y.to_mm(), thickness));
                }
            }
            _ => {}
        }
    }
}

#[test]
fn change_bars_stand_in_the_outer_margin_beside_what_changed() {
    for (paper, width, _) in PAPERS {
        let mut card = on_paper(sample::full(), paper);
        let plain = set(&card);
        card.phases[0].runs[0].steps[1].changed = true;
        card.phases[1].runs[0].steps[2].changed = true;
        let marked = set(&card);
        let bars = |document: &Document| {
            let mut found = Vec::new();
            for page in document.pages() {
                drawn_beyond(&page.frame, width - 13.9, Point::zero(), &mut found);
            }
            found
        };
        assert_eq!(bars(plain), [], "{paper}");
        let bars = bars(marked);
        // On a half sheet the second step goes on overleaf, and so does its bar.
        let most = if ["a5", "half-letter"].contains(&paper) { 3 } else { 2 };
        assert!((2..=most).contains(&bars.len()), "{paper}: {bars:?}");
        for (x, across, down, thickness) in bars {
            let thick = thickness.max(across / 0.3528);
            assert!(
                thick >= 1.5 && x + across < width - 8.0 && down > 10.0,
                "{paper}: {x} {across} {down} {thickness}"
            );
        }
        assert_eq!(plain.leaves(), marked.leaves());
    }
}
