//! What somebody sees of a card: its words in order, and the pixels of its drawings and pictures. What is exempt from its code is masked, and
//! it is printed on one leaf that has no end.

use super::card::{Block, Card, Inline, Message, Standing};
use super::{Format, code, runs};
use crate::harness::{Checked, fixture};
use benchleaf_core::cards::Deck;
use benchleaf_core::model::Choices;
use benchleaf_press::{Assets, Document, Fault, Leaf, Settings, Typesetter};
use std::collections::BTreeMap;
use std::sync::LazyLock;
use typst::layout::{Abs, Frame, FrameItem, Point};
use typst::visualize::{Geometry, LineCap};

/// One card of each procedure of each set, with what is exempt from its code masked, by set and procedure.
pub fn cards(checked: &Checked) -> BTreeMap<(String, String), Card> {
    let mut all = BTreeMap::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        if checked.compilation.blocks(&checked.files, set) {
            continue;
        }
        let choices = Choices::defaults(&set.catalogue);
        let deck = Deck::new(&checked.files, set, facts, &choices);
        for (id, procedure) in set.procedures.named() {
            all.insert((set.id.clone(), procedure.id.clone()), deck.card(id));
        }
    }
    all
}

/// A card without what is exempt: revision, date, DRAFT, paper, numbers of cards, since when something stands so.
pub fn masked(card: &Card) -> Card {
    let mut card = card.clone();
    let id = &mut card.identity;
    (id.rev, id.date, id.draft, id.position, id.of) = ("A".into(), String::new(), false, 1, 1);
    id.paper = "a4".into();
    (id.set, id.procedure) = ("set".into(), "procedure".into());
    card.cover.after.iter_mut().for_each(|c| c.position = 1);
    for standing in [&mut card.carried_in, &mut card.carried_out] {
        let Standing {
            fitted,
            off,
            loose,
            states,
            timers,
            rest: _,
        } = standing;
        let rows = fitted.iter_mut().chain(off).chain(loose).chain(states).chain(timers);
        rows.for_each(|row| row.since = "".into());
    }
    blocks(&mut card.cover.about);
    card.cover.messages.iter_mut().for_each(message);
    for phase in &mut card.phases {
        inlines(&mut phase.title);
        phase.messages.iter_mut().for_each(message);
        blocks(&mut phase.intro);
        for step in phase.runs.iter_mut().flat_map(|r| &mut r.steps) {
            step.messages.iter_mut().for_each(message);
            blocks(&mut step.text);
            step.substeps.iter_mut().for_each(|s| blocks(&mut s.text));
        }
    }
    card
}

fn message(message: &mut Message) {
    inlines(&mut message.hazard);
    blocks(&mut message.consequence);
    blocks(&mut message.avoid);
}

fn blocks(all: &mut [Block]) {
    for block in all {
        match block {
            Block::Paragraph { text, .. } => inlines(text),
            Block::Figure { caption, .. } => inlines(caption),
            Block::List { items, .. } => items.iter_mut().for_each(|item| blocks(item)),
            Block::Code { .. } => {}
        }
    }
}

fn inlines(all: &mut [Inline]) {
    for inline in all {
        match inline {
            Inline::Pointer { text, says } => *text = says.clone(),
            Inline::Strong { text } | Inline::Emphasis { text } | Inline::Link { text, .. } => inlines(text),
            _ => {}
        }
    }
}

/// Prints on one leaf that has no end.
static ENDLESS: LazyLock<Typesetter> = LazyLock::new(|| {
    let theme = fixture::text(&fixture::root().join("templates/lib/theme.typ"));
    let endless = theme.replace(
        "a4: (width: 210mm, height: 297mm)",
        "a4: (width: 210mm, height: 20000mm)",
    );
    assert_ne!(theme, endless, "the size of A4 stands elsewhere now");
    typesetter(&[("lib/theme.typ", endless.as_str())])
});

/// Prints the drawings of a card alone.
static DRAWINGS: LazyLock<Typesetter> = LazyLock::new(|| {
    typesetter(&[(
        "card.typ.j2",
        "#import \"lib/theme.typ\": theme\n#import \"lib/pattern.typ\": drawing\n\
         #let t = theme({{ sheet }}, {{ card.identity }}, {{ card.patterns }})\n\
         #set document(title: \"drawings\")\n#set page(width: 100mm, height: 100mm, margin: 5mm)\n#set text(font: \"DejaVu Sans\")\n\
         {% for p in card.patterns %}#drawing(t, {{ p }}, 76mm, 76mm)\n#pagebreak()\n{% endfor %}\n",
    )])
});

fn typesetter(over: &[(&str, &str)]) -> Typesetter {
    let over = over
        .iter()
        .map(|(path, text)| (path.to_string(), text.as_bytes().to_vec()));
    Typesetter::new(&over.collect()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// What somebody sees of a card.
#[derive(PartialEq)]
pub struct Seen {
    pub words: String,
    /// Where each line that points into a picture ends, right of its corner and below, in tenths of a point.
    pointers: Vec<(i64, i64)>,
    /// Pixels of each drawing and each picture, in order.
    drawings: Vec<Vec<u8>>,
    pictures: Vec<Vec<u8>>,
}

pub fn seen(checked: &Checked, card: &Card) -> Result<Seen, String> {
    let mut assets = Assets::default();
    let mut shown = Vec::new();
    for path in card.figures() {
        let found = checked.files.assets().iter().find(|(p, _)| p.ends_with(&path));
        if let Some((_, bytes)) = found {
            assets.insert(path.clone(), bytes.clone());
            shown.push(path);
        }
    }
    let settings = Settings::default();
    let fault = |faults: Vec<Fault>| format!("{faults:?}");
    let whole = ENDLESS.typeset(card, &assets, &settings).map_err(fault)?;
    let drawings = match card.patterns.is_empty() {
        true => Vec::new(),
        false => pixels(&DRAWINGS.typeset(card, &assets, &settings).map_err(fault)?)?,
    };
    let pictures = match shown.is_empty() {
        true => Vec::new(),
        false => {
            let each = shown
                .iter()
                .map(|path| format!("#image({:?}, width: 80mm)\n#pagebreak()\n", format!("/assets/{path}")));
            let source = format!(
                // Words of a drawing are set in the font of the text round it, as on a card; without one they aren't drawn.
                "#set page(width: 100mm, height: auto, margin: 5mm)\n#set text(font: \"DejaVu Sans\")\n{}",
                each.collect::<String>()
            );
            pixels(&ENDLESS.compile_source(&source, &assets).map_err(fault)?)?
        }
    };
    let mut ends = Vec::new();
    for page in whole.pages() {
        pointers(&page.frame, Point::zero(), &mut Point::zero(), &mut ends);
    }
    // Thousands of cards are looked at in one process, on as many threads as there are processors.
    benchleaf_press::forget_beside(2);
    Ok(Seen {
        words: words(&whole, &code(card).to_string()),
        pointers: ends,
        drawings,
        pictures,
    })
}

fn pixels(document: &Document) -> Result<Vec<Vec<u8>>, String> {
    document
        .export(Format::Png { ppi: 100 })
        .map_err(|faults| format!("{faults:?}"))
}

/// Where the black line of each pointer ends, from the corner of the picture before it: no other line is so thick, and has round ends.
fn pointers(frame: &Frame, at: Point, picture: &mut Point, found: &mut Vec<(i64, i64)>) {
    let tenths = |length: Abs| (length.to_pt() * 10.0).round() as i64;
    for (place, item) in frame.items() {
        let at = at + *place;
        match item {
            FrameItem::Group(group) => {
                let moved = Point::new(group.transform.tx, group.transform.ty);
                pointers(&group.frame, at + moved, picture, found);
            }
            FrameItem::Image(..) => *picture = at,
            FrameItem::Shape(shape, _) => {
                let stroke = shape.stroke.as_ref().filter(|stroke| stroke.cap == LineCap::Round);
                let black = stroke.is_some_and(|stroke| stroke.thickness < Abs::pt(1.5));
                if let Geometry::Line(to) = &shape.geometry
                    && black
                {
                    let end = at + *to - *picture;
                    found.push((tenths(end.x), tenths(end.y)));
                }
            }
            _ => {}
        }
    }
}

/// Every word of a document in its order, one space between two; without the code itself.
fn words(document: &Document, code: &str) -> String {
    let mut out = String::new();
    let mut end = (f64::MIN, f64::MIN);
    for run in document.pages().iter().flat_map(|page| runs(&page.frame)) {
        if run.text.trim() == code {
            continue;
        }
        // Runs that touch are one word, set in two ways.
        let touches = (run.y - end.1).abs() < 0.3 && (run.x - end.0).abs() < 0.5;
        if !touches {
            out.push(' ');
        }
        out.push_str(&run.text);
        end = (run.x + run.width, run.y);
    }
    let plain: String = out.chars().filter(|c| !matches!(c, '\u{ad}' | '\u{200b}')).collect();
    // Between two facts of a line stands a point, between two lines none: where lines end says nothing.
    let words = plain.split_whitespace().filter(|word| *word != "·");
    words.collect::<Vec<_>>().join(" ")
}
