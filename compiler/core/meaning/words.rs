//! Prose as words alone: marks become the names of what they point at; emphasis, wrapping and white space are gone.

use super::value::{squeeze_into, squeezed};
use crate::model::{ActKind, Item, Procedure, Set, Thing, picture_path};
use crate::model::{Block, Inline};
use crate::source::FileSet;
use sha2::{Digest, Sha256};

/// What prose says.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Words {
    /// One line a paragraph, item or caption.
    pub text: String,
    /// What each picture looks like: a digest of its bytes, or its path if it isn't there.
    pub pictures: Vec<String>,
}

/// Reads prose of one procedure.
pub struct Reading<'a> {
    pub files: &'a FileSet,
    pub set: &'a Set,
    pub procedure: &'a Procedure,
}

impl Reading<'_> {
    pub fn blocks(&self, blocks: &[Block]) -> Words {
        let mut words = Words::default();
        self.gather(blocks, &mut words, &mut String::new());
        words
    }

    /// A run of prose in one line.
    pub fn line(&self, inlines: &[Inline]) -> String {
        let mut out = String::new();
        self.inlines(inlines, &mut out);
        squeezed(&out)
    }

    /// `raw` is room to work in.
    fn gather(&self, blocks: &[Block], words: &mut Words, raw: &mut String) {
        for block in blocks {
            raw.clear();
            match block {
                Block::Paragraph(text) => {
                    self.inlines(text, raw);
                    push_line(&mut words.text, |out| squeeze_into(out, raw));
                }
                Block::Figure { path, caption, .. } => {
                    self.inlines(caption, raw);
                    push_line(&mut words.text, |out| squeeze_into(out, raw));
                    words.pictures.push(self.picture(&path.text));
                }
                Block::List { items, .. } => items.iter().for_each(|item| self.gather(item, words, raw)),
                // White space in code is the author's.
                Block::Code(code) => push_line(&mut words.text, |out| out.push_str(code.trim_end())),
            }
        }
    }

    fn picture(&self, path: &str) -> String {
        let found = picture_path(self.files, self.procedure.file, path);
        let bytes = found.as_ref().and_then(|path| self.files.assets().get(path));
        bytes.map_or_else(
            || path.to_string(),
            |bytes| {
                let digest = Sha256::digest(bytes);
                digest.iter().map(|byte| format!("{byte:02x}")).collect()
            },
        )
    }

    fn inlines(&self, inlines: &[Inline], out: &mut String) {
        for inline in inlines {
            match inline {
                Inline::Text(text) | Inline::Code(text) => out.push_str(text),
                Inline::Strong(text) | Inline::Emphasis(text) => self.inlines(text, out),
                Inline::Link { text, url } => {
                    self.inlines(text, out);
                    out.push_str(&format!(" <{url}>"));
                }
                Inline::Break => out.push(' '),
                Inline::Mark(act) => self.mark(&act.kind, out),
            }
        }
    }

    /// What a mark prints in the sentence. A card's place in its set is left out: a card is found by its title too, and one that is put
    /// in before it makes no other out of date.
    fn mark(&self, kind: &ActKind, out: &mut String) {
        let catalogue = &self.set.catalogue;
        let title = |procedure: usize| self.set.procedures.get(procedure).map_or("", |p| p.title.as_str());
        let name = match kind {
            ActKind::Torque(h) | ActKind::Snug(h) | ActKind::Loosen(h) => &catalogue.torques[*h].name,
            ActKind::Measure(h) => &catalogue.limits[*h].name,
            ActKind::Fit(Item::Part(h), _) | ActKind::Remove(Item::Part(h), _) => &catalogue.parts[*h].name,
            ActKind::Fit(Item::Temporary(h), _) | ActKind::Remove(Item::Temporary(h), _) => {
                &catalogue.temporary[*h].name
            }
            ActKind::Use(Thing::Tool(h), _) => &catalogue.tools[*h].name,
            ActKind::Use(Thing::Consumable(h), _) => &catalogue.consumables[*h].name,
            ActKind::Use(Thing::Part(h), _) => &catalogue.parts[*h].name,
            ActKind::Use(Thing::Temporary(h), _) => &catalogue.temporary[*h].name,
            ActKind::Do(h) => &catalogue.actions[*h].name,
            ActKind::Step { procedure, number } => {
                let here = self
                    .set
                    .procedures
                    .get(*procedure)
                    .is_some_and(|p| std::ptr::eq(p, self.procedure));
                out.push_str(&format!("step {number}"));
                if !here {
                    out.push_str(&format!(" of {}", title(*procedure)));
                }
                return;
            }
            ActKind::See(procedure) => title(*procedure),
            ActKind::Need(..)
            | ActKind::Set(..)
            | ActKind::Start(_)
            | ActKind::End(_)
            | ActKind::Hold(_)
            | ActKind::Label(_)
            | ActKind::Time(_)
            | ActKind::Only => return,
        };
        out.push_str(name);
    }
}

/// Puts a line under the others, unless it is empty.
fn push_line(text: &mut String, put: impl FnOnce(&mut String)) {
    let before = text.len();
    if before > 0 {
        text.push('\n');
    }
    let start = text.len();
    put(text);
    if text.len() == start {
        text.truncate(before);
    }
}
