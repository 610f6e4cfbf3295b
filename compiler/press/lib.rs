//! Cards in, pages out: templates, Typst source, document, bytes.
//!
//! ```text
//! Leaf ─▶ template.rs (minijinja, escape.rs) ─▶ Typst source ─▶ world.rs (Typst) ─▶ Document ─▶ export.rs ─▶ PDF / SVG / PNG
//! ```
//!
//! Pure and shareable: a `Typesetter` is built once, used from any thread, and the same card gives the same bytes on each of them. It uses
//! the thread pool it is called in for the parts of a document; a caller with several documents gives each thread a pool of its own.

#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::string_slice, reason = "tests may stop"))]

mod assets;
mod code;
mod escape;
mod export;
mod fault;
mod glyphs;
mod impose;
mod laid;
mod layout;
#[cfg(test)]
mod layout_tests;
mod leaf;
mod reader;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod sheet_tests;
mod template;
#[cfg(test)]
mod template_tests;
mod words;
mod world;

use std::collections::BTreeMap;

use minijinja::value::{Serde, Value};
use typst::WorldExt;
use typst::diag::{Severity, SourceDiagnostic};
use typst::foundations::Datetime;
use typst::syntax::{DiagSpan, Source};
use typst_layout::PagedDocument;

pub use assets::{Assets, figures};
pub use export::{Document, Format, MAX_PPI};
pub use fault::{Fault, Level};
pub use glyphs::{finding, may_be_unprintable, unprintable};
pub use leaf::Leaf;
pub use reader::{Breach, Kind as BreachKind, Spot, Subject};
pub use world::missing_glyphs;

use benchleaf_core::cards::card::Identity;
use benchleaf_core::words::Language;
use template::{Rendered, Templates};
use world::CardWorld;

/// Path of the generated source in the typesetter's file system; its folder is the root, so imports read as in the templates folder.
const MAIN: &str = "/card.typ";

/// How to print, apart from what the card says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// False for a printer with black toner only.
    pub colour: bool,
    /// Year, month, day, for templates that ask; the embedded ones don't.
    pub today: Option<(i32, u8, u8)>,
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            colour: true,
            today: None,
        }
    }
}

/// Turns cards and other kinds of leaf into documents.
pub struct Typesetter {
    templates: Templates,
}

impl Typesetter {
    /// With the embedded templates and `user` files laid over them, by path below the user's templates folder.
    pub fn new(user: &BTreeMap<String, Vec<u8>>) -> Result<Self, Vec<Fault>> {
        Ok(Typesetter {
            templates: Templates::new(user)?,
        })
    }

    /// The Typst source of a leaf, as `typeset` compiles it.
    pub fn typst_source<L: Leaf>(&self, leaf: &L, settings: &Settings) -> Result<String, Vec<Fault>> {
        let code = code::drawn(&benchleaf_core::fingerprint::code(leaf));
        let leaf = &said(leaf, spoken(leaf.identity())?);
        Ok(self.render(leaf, &reader::keyed(leaf).0, code.as_ref(), settings)?.text)
    }

    /// Lays a card, or another kind of leaf, out.
    pub fn typeset<L: Leaf>(&self, leaf: &L, assets: &Assets, settings: &Settings) -> Result<Document, Vec<Fault>> {
        let missing = assets.missing(leaf.figures());
        if !missing.is_empty() {
            return Err(missing);
        }
        let language = spoken(leaf.identity())?;
        // The code stands for keys; templates get them in words, and the reader asks for those.
        let code = code::drawn(&benchleaf_core::fingerprint::code(leaf));
        let leaf = &said(leaf, language);
        let (data, tree) = reader::keyed(leaf);
        let rendered = self.render(leaf, &data, code.as_ref(), settings)?;
        let made = self.compile(&rendered, language, assets, settings);
        let (paged, warnings) = made.map_err(|faults| {
            // A picture that can't be read is to blame for itself, not the template that shows it.
            let unread = assets.unread(leaf.figures());
            if unread.is_empty() { faults } else { unread }
        })?;
        let identity = leaf.identity();
        Ok(Document {
            breaches: reader::read(&paged, &tree, identity, code.as_ref(), assets),
            paged,
            identifier: identifier(L::NAME, identity),
            date: parse_date(&identity.date).and_then(|(y, m, d)| Datetime::from_ymd(y, m, d)),
            warnings,
        })
    }

    /// Hands out, piece by piece, all that a document of this leaf is made from, apart from this program itself: what the templates are given,
    /// its code, its pictures, the templates and words that replace our own, and the settings. The pieces are the same, and in the same order,
    /// exactly for what gives the same document.
    ///
    /// # Errors
    /// If there are no words in the leaf's language.
    pub fn ingredients<L: Leaf>(
        &self,
        leaf: &L,
        assets: &Assets,
        settings: &Settings,
        piece: &mut dyn FnMut(&[u8]),
    ) -> Result<(), Vec<Fault>> {
        let code = benchleaf_core::fingerprint::code(leaf).to_string();
        let said = said(leaf, spoken(leaf.identity())?);
        // Leaves hold only strings and numbers, which always serialise.
        let data = serde_json::to_vec(&said).unwrap_or_default();
        for part in [L::NAME.as_bytes(), code.as_bytes(), &data] {
            piece(part);
        }
        self.manner(settings, piece);
        for path in leaf.figures() {
            piece(path.as_bytes());
            piece(assets.0.get(&path).map_or(&[][..], |bytes| bytes.as_slice()));
        }
        Ok(())
    }

    /// The pieces of [`Typesetter::ingredients`] that are the same for every leaf.
    pub fn manner(&self, settings: &Settings, piece: &mut dyn FnMut(&[u8])) {
        piece(format!("{settings:?}").as_bytes());
        for (path, bytes) in &self.templates.own {
            piece(path.as_bytes());
            piece(bytes);
        }
    }

    /// Compiles a source that `typst_source` gave and nothing else: the floor that `typeset` is measured against.
    pub fn compile_source(&self, source: &str, assets: &Assets) -> Result<Document, Vec<Fault>> {
        let rendered = Rendered::bare(source);
        let (paged, warnings) = self.compile(&rendered, Language::English, assets, &Settings::default())?;
        Ok(Document {
            paged,
            breaches: Vec::new(),
            identifier: String::new(),
            date: None,
            warnings,
        })
    }

    fn render<L: Leaf>(
        &self,
        leaf: &L,
        data: &serde_json::Value,
        code: Option<&code::Code>,
        settings: &Settings,
    ) -> Result<Rendered, Vec<Fault>> {
        let identity = leaf.identity();
        let (language, region) = language(&identity.language);
        let date = parse_date(&identity.date).map(|(year, month, day)| {
            BTreeMap::from([
                ("year", Value::from(year)),
                ("month", month.into()),
                ("day", day.into()),
            ])
        });
        let sheet = BTreeMap::from([
            ("colour", Value::from(settings.colour)),
            ("lang", Value::from(language)),
            ("region", region.map_or(Value::from(()), Value::from)),
            ("date", date.map_or(Value::from(()), Value::from)),
            ("code", Value::from(Serde(code))),
        ]);
        let context = BTreeMap::from([(L::NAME, Value::from(Serde(data))), ("sheet", Value::from(sheet))]);
        self.templates.render(L::TEMPLATE, Value::from(context))
    }

    /// What the typesetter sees of a source.
    fn world<'a>(
        &'a self,
        text: &str,
        language: Language,
        assets: &'a Assets,
        settings: &Settings,
    ) -> Result<CardWorld<'a>, Vec<Fault>> {
        let Some(id) = world::file_id(MAIN) else {
            return Err(vec![Fault::error(
                template::CARD_TEMPLATE,
                "the main file has no place",
            )]);
        };
        Ok(CardWorld {
            main: Source::new(id, text.to_string()),
            library: &self.templates.library,
            words: self.templates.words(language),
            extras: &self.templates.extras,
            assets: &assets.0,
            today: settings
                .today
                .and_then(|(year, month, day)| Datetime::from_ymd(year, month, day)),
        })
    }

    fn compile(
        &self,
        rendered: &Rendered,
        language: Language,
        assets: &Assets,
        settings: &Settings,
    ) -> Result<(PagedDocument, Vec<Fault>), Vec<Fault>> {
        let world = self.world(&rendered.text, language, assets, settings)?;
        let result = layout::lay_out(&world);
        // Tests have nobody who hands out the work.
        #[cfg(test)]
        forget_beside(2);
        let locate = |diagnostics: &[SourceDiagnostic]| -> Vec<Fault> {
            diagnostics
                .iter()
                .map(|diagnostic| locate(&world, rendered, diagnostic))
                .collect()
        };
        match result.output {
            Ok(document) => Ok((document, locate(&result.warnings))),
            Err(errors) => Err(locate(&errors)),
        }
    }
}

/// Where on the leaves of a document each step and entry of its leaf is printed. Nothing for a leaf in a language that there are no words in.
pub fn spots<L: Leaf>(document: &Document, leaf: &L) -> Vec<Spot> {
    let Ok(language) = spoken(leaf.identity()) else {
        return Vec::new();
    };
    reader::spots(&document.paged, &reader::keyed(&said(leaf, language)).1)
}

/// Drops all that compilations left in memory. The typesetter remembers across all threads of the process, so whoever hands out the work
/// calls this or [`forget_beside`], once a document: without it every card of a build would stay in memory. What is printed doesn't
/// depend on it.
pub fn forget() {
    typst::comemo::evict(0);
}

/// The same where so many processors lay documents out at once. What the others are at work on must stay, or they work it out once more: what was
/// used since the last few documents were done is kept: as many as are laid out at once, for twice as many took more memory and no less time.
/// Cards share so little that on one nothing is.
pub fn forget_beside(at_once: usize) {
    typst::comemo::evict(if at_once < 2 { 0 } else { at_once });
}

/// Drops what the last so many compilations made no use of. Whoever lays out the same document again and again, each time a little other,
/// calls this instead of [`forget`].
pub fn forget_unused(compilations: usize) {
    typst::comemo::evict(compilations);
}

/// A typesetter's diagnostic at the template's line: library files keep their places, places in the generated source are led back to
/// the template that printed them.
fn locate(world: &CardWorld, rendered: &Rendered, diagnostic: &SourceDiagnostic) -> Fault {
    let (file, line, column) = place(world, rendered, diagnostic.span).unwrap_or_default();
    let mut hints: Vec<String> = diagnostic.hints.iter().map(|hint| hint.v.to_string()).collect();
    // The outermost call is the template's own, which tells the author which step it was about.
    let caller = diagnostic
        .trace
        .iter()
        .filter_map(|point| place(world, rendered, point.span.into()))
        .next_back();
    if let Some((file, line, _)) = caller {
        hints.push(format!("called from {file}:{line}"));
    }
    Fault {
        level: if diagnostic.severity == Severity::Error {
            Level::Error
        } else {
            Level::Warning
        },
        file,
        line,
        column,
        message: diagnostic.message.to_string(),
        hint: hints.join("; "),
    }
}

fn place(world: &CardWorld, rendered: &Rendered, span: DiagSpan) -> Option<(String, usize, usize)> {
    let id = span.id()?;
    let range = world.range(span)?;
    if id == world.main.id() {
        let (name, line) = rendered.origin(range.start)?;
        return Some((name.to_string(), line, 0));
    }
    let path = id.get().vpath().get_without_slash().to_string();
    match world.library.get(&path) {
        Some(source) => {
            let (line, column) = source.lines().byte_to_line_column(range.start)?;
            // A user's own words are theirs under the name that they gave them.
            let path = if path == words::OWN {
                words::FILE.to_string()
            } else {
                path
            };
            Some((path, line + 1, column + 1))
        }
        // An image: its bytes have no lines.
        None => Some((path, 0, 0)),
    }
}

/// The same for every edition of a card, different for each other card and each other kind of leaf.
fn identifier(kind: &str, identity: &Identity) -> String {
    let mut text = format!("benchleaf:{kind}:{}/{}", identity.set, identity.procedure);
    for choice in &identity.choices {
        text.push_str(&format!("?{}", choice.assigned()));
    }
    text
}

/// Year, month and day of an ISO date; a card may carry any text there.
fn parse_date(text: &str) -> Option<(i32, u8, u8)> {
    let mut parts = text.trim().splitn(3, '-');
    let date = (
        parts.next()?.parse().ok()?,
        parts.next()?.parse().ok()?,
        parts.next()?.parse().ok()?,
    );
    Datetime::from_ymd(date.0, date.1, date.2).map(|_| date)
}

/// The language that a leaf is put into words in.
///
/// # Errors
/// If there are no words in it: nothing is printed in another one instead.
fn spoken(identity: &Identity) -> Result<Language, Vec<Fault>> {
    Language::find(&identity.language).ok_or_else(|| {
        let message = format!("there are no words in the language `{}`", &*identity.language);
        vec![Fault::error(words::FILE, message).with_hint("`language:` in set.yaml is `en` or `de`")]
    })
}

/// A leaf with every phrase of it in words.
fn said<L: Leaf>(leaf: &L, language: Language) -> L {
    let mut said = leaf.clone();
    said.speak(language);
    said
}

/// Language and region of a BCP 47 tag, as far as the typesetter takes them; English if the tag makes no sense.
fn language(tag: &str) -> (String, Option<String>) {
    let is_alphabetic = |part: &str, lengths: std::ops::RangeInclusive<usize>| {
        lengths.contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_alphabetic())
    };
    let mut parts = tag.split(['-', '_']);
    let language = parts.next().unwrap_or_default();
    if !is_alphabetic(language, 2..=3) {
        return ("en".to_string(), None);
    }
    let region = parts
        .find(|part| is_alphabetic(part, 2..=2))
        .map(str::to_ascii_uppercase);
    (language.to_ascii_lowercase(), region)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn languages() {
        assert_eq!(language("en"), ("en".into(), None));
        assert_eq!(language("de-AT"), ("de".into(), Some("AT".into())));
        assert_eq!(language("sr-Latn-RS"), ("sr".into(), Some("RS".into())));
        assert_eq!(language("x-klingon"), ("en".into(), None));
        assert_eq!(language(""), ("en".into(), None));
    }

    #[test]
    fn dates() {
        assert_eq!(parse_date("2026-03-01"), Some((2026, 3, 1)));
        assert_eq!(parse_date("2026-02-30"), None);
        assert_eq!(parse_date("spring"), None);
    }

    /// Our loop gives the pages that the typesetter's own gives, to the last mark in them.
    #[test]
    fn laid_out_as_the_typesetter_does() {
        let typesetter = Typesetter::new(&BTreeMap::new()).unwrap();
        let (assets, settings) = (Assets::default(), Settings::default());
        for card in [sample::full(), sample::long(40)] {
            let source = typesetter.typst_source(&card, &settings).unwrap();
            let world = typesetter
                .world(&source, Language::English, &assets, &settings)
                .unwrap();
            let pages = |document: Option<PagedDocument>| {
                let pages = document.unwrap().pages().to_vec();
                pages.iter().map(typst::utils::hash128).collect::<Vec<_>>()
            };
            let ours = pages(layout::lay_out(&world).output.ok());
            forget();
            let stock = pages(typst::compile::<PagedDocument>(&world).output.ok());
            forget();
            assert!(ours.len() > 2 && ours == stock);
        }
    }

    #[test]
    fn typesetter_is_shareable() {
        fn shareable<T: Send + Sync>() {}
        shareable::<Typesetter>();
        shareable::<Document>();
        shareable::<Assets>();
    }
}
