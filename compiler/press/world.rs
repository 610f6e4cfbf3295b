//! The typesetter's view of the outside: one generated main file, the template library, the set's images, four embedded fonts.
//!
//! `World` is implemented here rather than through a wrapper crate. It is seven short methods; a wrapper brings file resolvers, package
//! downloads and caches that we must not have, parses the library files anew for each card, and hides spans that we need for pointing
//! at a template's line. This way the cost over the bare typesetter is a map look-up. Nothing is read from disk, network or clock.

use crate::laid;
use std::collections::BTreeMap;
use std::sync::LazyLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Binding, Bytes, Datetime, Duration, Value};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

/// Where the set's images lie in the typesetter's file system.
pub const ASSET_ROOT: &str = "/assets/";

/// The standard library, built once a process.
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(library()));

/// The standard library without plug-ins (a template brings words and lines, never a program), and with what `laid.rs` adds.
fn library() -> Library {
    let mut library = <Library as LibraryExt>::default();
    let none = || Binding::detached(Value::None);
    library.global.scope_mut().bind("plugin".into(), none());
    library
        .global
        .scope_mut()
        .bind("laid-out".into(), Binding::detached(laid::function()));
    // `std.plugin` is the same by its other name.
    library.std = Binding::detached(library.global.clone());
    library
}

/// The embedded fonts, parsed once a process.
static FONTS: LazyLock<Fonts> = LazyLock::new(Fonts::embedded);

struct Fonts {
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

impl Fonts {
    fn embedded() -> Self {
        let faces = [
            dejavu::sans::regular(),
            dejavu::sans::bold(),
            dejavu::sans_mono::regular(),
            dejavu::sans_mono::bold(),
        ];
        let fonts: Vec<Font> = faces
            .into_iter()
            .filter_map(|face| Font::new(Bytes::new(face), 0))
            .collect();
        Fonts {
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
        }
    }
}

/// The id of a file of ours; `None` if the path can't be one (it climbs out, or has a backslash).
pub fn file_id(path: &str) -> Option<FileId> {
    Some(RootedPath::new(VirtualRoot::Project, VirtualPath::new(path).ok()?).intern())
}

/// Characters of a text that no embedded font can draw, each once, in order of appearance. Line breaks, tabs and other invisible
/// characters need no glyph.
pub fn missing_glyphs(text: &str) -> Vec<char> {
    let mut missing = Vec::new();
    for c in text.chars() {
        let drawn = c.is_whitespace() || c.is_control() || is_default_ignorable(c) || has_glyph(c);
        if !drawn && !missing.contains(&c) {
            missing.push(c);
        }
    }
    missing
}

/// Both cuts of the text face must have it: the same word prints in regular in a step and bold in a table.
fn has_glyph(c: char) -> bool {
    FONTS
        .fonts
        .iter()
        .take(2)
        .all(|font| font.info().coverage.contains(c as u32))
        || FONTS
            .fonts
            .iter()
            .skip(2)
            .all(|font| font.info().coverage.contains(c as u32))
}

/// Joiners, variation selectors and direction marks, which shape other characters.
fn is_default_ignorable(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
        | '\u{fe00}'..='\u{fe0f}' | '\u{feff}')
}

/// Everything one compilation may see.
pub struct CardWorld<'a> {
    /// The source that the card template printed.
    pub main: Source,
    /// The template library, parsed once for all cards.
    pub library: &'a BTreeMap<String, Source>,
    /// The templates' own words in the language of the leaf.
    pub words: &'a Source,
    /// Other files of the templates folder, such as a logo.
    pub extras: &'a BTreeMap<String, Bytes>,
    /// Images of the set, by path below its folder.
    pub assets: &'a BTreeMap<String, Bytes>,
    pub today: Option<Datetime>,
}

impl World for CardWorld<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() {
            return Ok(self.main.clone());
        }
        if id == self.words.id() {
            return Ok(self.words.clone());
        }
        let path = project_path(id)?;
        match self.library.get(path) {
            Some(source) => Ok(source.clone()),
            None => Err(FileError::NotFound(path.into())),
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let path = project_path(id)?;
        let asset = ASSET_ROOT.strip_prefix('/').and_then(|root| path.strip_prefix(root));
        if let Some(bytes) = asset.and_then(|asset| self.assets.get(asset)) {
            return Ok(bytes.clone());
        }
        if let Some(bytes) = self.extras.get(path) {
            return Ok(bytes.clone());
        }
        self.source(id)
            .map(|source| Bytes::from_string(source.text().to_string()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.fonts.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        self.today
    }
}

/// The path of a file of the project; packages don't exist here.
fn project_path(id: FileId) -> FileResult<&'static str> {
    let rooted: &'static RootedPath = id.get();
    match rooted.root() {
        VirtualRoot::Project => Ok(rooted.vpath().get_without_slash()),
        VirtualRoot::Package(_) => Err(FileError::Other(Some("packages are not available to templates".into()))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_fonts_parse() {
        assert_eq!(FONTS.fonts.len(), 4);
    }

    #[test]
    fn glyphs_for_the_trade_are_there() {
        assert_eq!(
            missing_glyphs("12 N·m ± 0,5 °C µm Ø30 H7 ≤ ≥ × → ☐ Łódź Žižka naïve Ω 1/2 ½ ³ “q” – … Ελ Ру"),
            Vec::<char>::new()
        );
    }

    #[test]
    fn missing_ones_are_named_once() {
        assert_eq!(missing_glyphs("泵 a 泵\n軸"), vec!['泵', '軸']);
    }

    #[test]
    fn paths_that_climb_out_are_no_files() {
        assert!(file_id("/lib/step.typ").is_some());
        assert!(file_id("../up.typ").is_none());
    }
}
