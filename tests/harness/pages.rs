//! Cards printed and read back by a reader that has nothing to do with the one that wrote them.

use super::{Checked, fixture};
use benchleaf::cards::{Deck, card::Card};
use benchleaf::model::Choices;
use benchleaf::typeset::{Assets, Format, Settings, Typesetter, figures};
use std::path::Path;
use std::sync::LazyLock;

pub use benchleaf::cards::card;

static TYPESETTER: LazyLock<Typesetter> =
    LazyLock::new(|| Typesetter::new(&Default::default()).unwrap_or_else(|e| panic!("embedded templates: {e:?}")));

/// A card as data and as PDF.
pub struct Printed {
    pub card: Card,
    pub leaves: usize,
    pub pdf: Vec<u8>,
}

impl Printed {
    /// The text of each leaf, as a reader finds it, white space taken out.
    pub fn texts(&self) -> Result<Vec<String>, String> {
        let document = lopdf::Document::load_mem(&self.pdf).map_err(|e| format!("the PDF can't be read: {e}"))?;
        let mut texts = Vec::new();
        for number in document.get_pages().keys() {
            let text = document
                .extract_text(&[*number])
                .map_err(|e| format!("leaf {number} can't be read: {e}"))?;
            texts.push(squeezed(&text));
        }
        Ok(texts)
    }

    /// The catalogue of the document, for what it says about itself.
    pub fn catalogue(&self) -> Result<lopdf::Dictionary, String> {
        let document = lopdf::Document::load_mem(&self.pdf).map_err(|e| format!("the PDF can't be read: {e}"))?;
        document.catalog().cloned().map_err(|e| format!("no catalogue: {e}"))
    }
}

/// Text without white space: readers differ in where they put it.
pub fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{ad}').collect()
}

/// Every card of every set of some files, for the default choices, on a paper.
pub fn print(checked: &Checked, paper: &str, colour: bool) -> Vec<Printed> {
    let mut printed = Vec::new();
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        let choices = Choices::defaults(&set.catalogue);
        let deck = Deck::new(&checked.files, set, facts, &choices);
        for position in 0..set.procedures.len() {
            let mut card = deck.card(position);
            card.identity.paper = paper.to_string();
            let mut assets = Assets::default();
            for path in figures(&card) {
                let found = checked.files.assets().iter().find(|(p, _)| p.ends_with(&path));
                if let Some((_, bytes)) = found {
                    assets.insert(path, bytes.clone());
                }
            }
            let settings = Settings {
                colour,
                ..Settings::default()
            };
            let name = card.identity.procedure.clone();
            let document = TYPESETTER
                .typeset(&card, &assets, &settings)
                .unwrap_or_else(|e| panic!("{name}: {e:?}"));
            let pdf = document
                .export(Format::Pdf)
                .unwrap_or_else(|e| panic!("{name}: {e:?}"))
                .remove(0);
            printed.push(Printed {
                card,
                leaves: document.leaves(),
                pdf,
            });
        }
    }
    printed
}

/// The demo sets.
pub fn demo() -> Checked {
    let folder = fixture::root().join("procedures");
    super::check(&fixture::read_folder(&folder, Path::new(&folder)))
}
