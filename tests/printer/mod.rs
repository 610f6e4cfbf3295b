//! Cards and other leaves printed, and read back: the bytes by a reader that has nothing to do with the one that wrote them, what lies where
//! from the leaves as they were laid out.

pub mod fuzzed;
pub mod seen;
pub mod sheets;

use crate::harness::{Checked, check, fixture};
use benchleaf_core::cards::beside::{CloseOut, Pocket, RecordForm, SetSheet};
use benchleaf_core::cards::{self, Deck, card::Card};
use benchleaf_core::model::Choices;
use benchleaf_press::{Document, Fault, Settings, Typesetter};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{LazyLock, OnceLock};
use typst::layout::{Frame, FrameItem, Point};

pub use benchleaf_core::cards::card;
pub use benchleaf_core::finding::Finding;
pub use benchleaf_core::fingerprint::code;
pub use benchleaf_core::words::{Language, Phrase};
pub use benchleaf_press::{Assets, BreachKind, Format, Leaf};

/// The papers a set can ask for, with width and height in millimetres.
pub const PAPERS: [(&str, f64, f64); 4] = [
    ("a4", 210.0, 297.0),
    ("letter", 215.9, 279.4),
    ("a5", 148.0, 210.0),
    ("half-letter", 139.7, 215.9),
];

/// The built-in templates as they lie on the disk, laid over those that were built in: the same files.
pub fn templates() -> BTreeMap<String, Vec<u8>> {
    let root = fixture::root().join("templates");
    let mut files = BTreeMap::new();
    for folder in [root.clone(), root.join("lib")] {
        for path in fixture::entries(&folder).into_iter().filter(|path| path.is_file()) {
            let name = path.strip_prefix(&root).unwrap().to_string_lossy().replace('\\', "/");
            files.insert(name, std::fs::read(&path).unwrap());
        }
    }
    files.remove("README.md");
    files
}

/// A typesetter with these templates.
pub fn typesetter(templates: &BTreeMap<String, Vec<u8>>) -> Typesetter {
    Typesetter::new(templates).unwrap_or_else(|e| panic!("templates: {e:?}"))
}

static TYPESETTER: LazyLock<Typesetter> = LazyLock::new(|| typesetter(&templates()));

/// A run of text as it lies on a leaf: millimetres from the top left to its base line, size in points.
#[derive(Debug, Clone)]
pub struct Run {
    pub text: String,
    pub size: f64,
    pub bold: bool,
    pub x: f64,
    pub y: f64,
    pub width: f64,
}

/// Something printed: the data, the leaves as laid out, the PDF.
pub struct Print<L> {
    pub data: L,
    /// The runs of each leaf, in reading order.
    pub leaves: Vec<Vec<Run>>,
    pub pdf: Vec<u8>,
    document: Document,
}

/// A card, printed.
pub type Printed = Print<Card>;

impl<L> Print<L> {
    /// The text of each page, as a reader of the PDF finds it, white space taken out.
    pub fn texts(&self) -> Result<Vec<String>, String> {
        texts(&self.pdf)
    }

    /// What reading back found.
    pub fn breaches(&self) -> Vec<String> {
        let breaches = self.document.breaches.iter();
        breaches
            .map(|b| format!("leaf {}, {:?}: {}", b.leaf, b.kind, b.words))
            .collect()
    }

    /// The catalogue of the document, for what it says about itself.
    pub fn catalogue(&self) -> Result<lopdf::Dictionary, String> {
        let document = lopdf::Document::load_mem(&self.pdf).map_err(|e| format!("the PDF can't be read: {e}"))?;
        document.catalog().cloned().map_err(|e| format!("no catalogue: {e}"))
    }

    /// The text of each page of the same leaves two on a sheet, and the size of the sheets in millimetres.
    pub fn two_up(&self) -> Result<(Vec<String>, f64, f64), String> {
        let sheets = self.document.two_up().map_err(|e| format!("{e:?}"))?;
        let size = sheets.pages()[0].frame.size();
        let pdf = sheets.export(Format::Pdf).map_err(|e| format!("{e:?}"))?.remove(0);
        Ok((texts(&pdf)?, size.x.to_mm(), size.y.to_mm()))
    }

    /// The bytes in another format.
    pub fn export(&self, format: Format) -> Result<Vec<Vec<u8>>, String> {
        self.document.export(format).map_err(|e| format!("{e:?}"))
    }
}

fn texts(pdf: &[u8]) -> Result<Vec<String>, String> {
    let document = lopdf::Document::load_mem(pdf).map_err(|e| format!("the PDF can't be read: {e}"))?;
    let page = |number: &u32| match document.extract_text(&[*number]) {
        Ok(text) => Ok(squeezed(&text)),
        Err(e) => Err(format!("page {number} can't be read: {e}")),
    };
    document.get_pages().keys().map(page).collect()
}

/// Text without white space, of which readers differ in where they put it, and without what only joins or parts words.
pub fn squeezed(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '\u{ad}' | '\u{200b}' | '\u{2060}'))
        .collect()
}

/// The runs of text of a leaf, in reading order.
pub fn runs(frame: &Frame) -> Vec<Run> {
    let mut found = Vec::new();
    gather(frame, Point::zero(), &mut found);
    found
}

fn gather(frame: &Frame, offset: Point, found: &mut Vec<Run>) {
    for (at, item) in frame.items() {
        let at = offset + *at;
        match item {
            FrameItem::Group(group) => {
                let moved = Point::new(group.transform.tx, group.transform.ty);
                gather(&group.frame, at + moved, found);
            }
            FrameItem::Text(text) => found.push(Run {
                text: text.text.to_string(),
                size: text.size.to_pt(),
                bold: text.font.info().variant.weight.to_number() >= 700,
                x: at.x.to_mm(),
                y: at.y.to_mm(),
                width: text.width().to_mm(),
            }),
            _ => {}
        }
    }
}

/// Prints one leaf kind's data with the embedded templates.
pub fn print_leaf<L: Leaf>(checked: &Checked, mut data: L, paper: &str, colour: bool) -> Print<L> {
    data.identity_mut().paper = paper.to_string();
    let mut assets = Assets::default();
    for path in data.figures() {
        let found = checked.files.assets().iter().find(|(p, _)| p.ends_with(&path));
        if let Some((_, bytes)) = found {
            assets.insert(path, bytes.clone());
        }
    }
    let settings = Settings {
        colour,
        ..Settings::default()
    };
    let name = data.identity().procedure.clone();
    let document = TYPESETTER
        .typeset(&data, &assets, &settings)
        .unwrap_or_else(|e| panic!("{name}: {e:?}"));
    let pdf = document
        .export(Format::Pdf)
        .unwrap_or_else(|e| panic!("{name}: {e:?}"))
        .remove(0);
    // Or every leaf of the suite would stay in memory.
    benchleaf_press::forget_beside(2);
    let leaves = document.pages().iter().map(|page| runs(&page.frame));
    Print {
        data,
        leaves: leaves.collect(),
        pdf,
        document,
    }
}

/// Calls with the deck of every set, for the default choices.
fn each_deck<T>(checked: &Checked, mut make: impl FnMut(&Deck) -> Vec<T>) -> Vec<T> {
    let mut all = Vec::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        all.extend(make(&Deck::new(&checked.files, set, facts, &choices)));
    }
    all
}

/// Every card of every set.
pub fn cards(checked: &Checked) -> Vec<Card> {
    each_deck(checked, |deck| {
        let procedures = deck.procedures().into_iter();
        procedures.map(|procedure| deck.card(procedure)).collect()
    })
}

/// The set sheet of every set.
pub fn set_sheets(checked: &Checked) -> Vec<SetSheet> {
    each_deck(checked, |deck| vec![deck.set_sheet()])
}

/// The close-out of every set.
pub fn close_outs(checked: &Checked) -> Vec<CloseOut> {
    each_deck(checked, |deck| vec![deck.close_out()])
}

/// The record leaf of every set.
pub fn record_forms(checked: &Checked) -> Vec<RecordForm> {
    each_deck(checked, |deck| vec![deck.record_form(&deck.procedures())])
}

/// The pocket leaf of every set.
pub fn pockets(checked: &Checked) -> Vec<Pocket> {
    each_deck(checked, |deck| vec![deck.pocket(&deck.procedures())])
}

/// Every card of every set of some files, on a paper.
pub fn print(checked: &Checked, paper: &str, colour: bool) -> Vec<Printed> {
    let cards = cards(checked).into_iter();
    cards.map(|card| print_leaf(checked, card, paper, colour)).collect()
}

/// The cards of the demo sets in colour on a paper: typeset once, looked at by many.
pub fn demo_cards(paper: &str) -> &'static [Printed] {
    static PRINTED: [OnceLock<Vec<Printed>>; PAPERS.len()] = [const { OnceLock::new() }; PAPERS.len()];
    let place = PAPERS.iter().position(|(name, ..)| *name == paper).unwrap();
    PRINTED[place].get_or_init(|| print(&demo(), paper, true))
}

/// The demo sets.
pub fn demo() -> Checked {
    let folder = fixture::root().join("procedures");
    check(&fixture::read_folder(&folder, Path::new(&folder)))
}

/// One procedure in a set of its own, from its front matter's registers and its body.
pub fn procedure(registers: &str, body: &str) -> Checked {
    written(&format!(
        "---\ntitle: Strain\ntried: 2026-01-02\n{registers}---\n{body}"
    ))
}

/// The same from a whole file.
pub fn written(text: &str) -> Checked {
    written_with(text, Vec::new())
}

/// The same with pictures beside it, by their names.
pub fn written_with(text: &str, pictures: Vec<(String, Vec<u8>)>) -> Checked {
    let set = "machine: Test stand\ntitle: Strain\nrev: A\ndate: 2026-01-02\nstyle:\n  units:\n    torque: lbf·ft\n";
    let files = [
        ("strain/set.yaml", set.to_string()),
        ("strain/10-strain.md", text.to_string()),
    ];
    let bytes = files.map(|(path, text)| (path.to_string(), text.into_bytes()));
    let pictures = pictures
        .into_iter()
        .map(|(name, bytes)| (format!("strain/{name}"), bytes));
    check(&bytes.into_iter().chain(pictures).collect())
}

/// The text of a card that other templates set, as a reader of the PDF finds it, white space taken out.
pub fn text_by(templates: &BTreeMap<String, Vec<u8>>, checked: &Checked, card: &Card) -> Result<String, String> {
    let fault = |faults| format!("{faults:?}");
    let typesetter = typesetter(templates);
    let mut assets = Assets::default();
    for path in benchleaf_press::figures(card) {
        let asset = checked.files.assets().iter().find(|(p, _)| p.ends_with(&path));
        assets.insert(path, asset.map(|(_, bytes)| bytes.clone()).unwrap_or_default());
    }
    let source = typesetter.typst_source(card, &Settings::default()).map_err(fault)?;
    let document = typesetter.compile_source(&source, &assets).map_err(fault)?;
    let pdf = document.export(Format::Pdf).map_err(fault)?.remove(0);
    benchleaf_press::forget_beside(2);
    Ok(texts(&pdf)?.concat())
}

/// Typesets a card; where it can't be, the files that are to blame, with why.
pub fn blamed(typesetter: &Typesetter, card: &Card, assets: &Assets) -> Result<(), Vec<(String, String)>> {
    let document = typesetter.typeset(card, assets, &Settings::default());
    benchleaf_press::forget_beside(2);
    let blame = |faults: Vec<Fault>| faults.into_iter().map(|f| (f.file, f.message)).collect();
    document.map(drop).map_err(blame)
}

/// What reading back finds on a card: its kind and its words.
pub fn breaches(typesetter: &Typesetter, card: &Card, assets: &Assets) -> Result<Vec<(BreachKind, String)>, String> {
    let document = typesetter.typeset(card, assets, &Settings::default());
    benchleaf_press::forget_beside(2);
    let document = document.map_err(|faults| format!("{faults:?}"))?;
    Ok(document.breaches.into_iter().map(|b| (b.kind, b.words)).collect())
}

/// What reading back finds on the cards of some files, at its places.
pub fn read_back(typesetter: &Typesetter, checked: &Checked) -> Vec<Finding> {
    let mut found = Vec::new();
    for set in &checked.compilation.model.sets {
        for (position, card) in cards(checked).iter().enumerate() {
            let document = typesetter.typeset(card, &Assets::default(), &Settings::default());
            let document = document.unwrap_or_else(|e| panic!("{e:?}"));
            for breach in &document.breaches {
                let procedure = set.procedures.ids().nth(position);
                let place = cards::source::place(set, procedure, breach.subject.span);
                found.push(benchleaf_press::finding(breach, &card.identity, place));
            }
        }
    }
    benchleaf_press::forget_beside(2);
    found
}

/// What printing would find: characters that no font has.
pub fn unprintable(checked: &Checked) -> Vec<Finding> {
    let Checked { files, compilation } = checked;
    let mut found = Vec::new();
    for (set, facts) in compilation.model.sets.iter().zip(&compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        for (id, procedure) in set.procedures.named() {
            let card = cards::card(files, set, facts, id, &choices);
            found.extend(benchleaf_press::unprintable(files, &[procedure.file, set.file], &card));
        }
    }
    found
}
