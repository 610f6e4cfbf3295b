//! `--format pdf`: answers as leaves, checked for what can't be printed, typeset and written.

use super::args::{FindingFormat, Look, Sheet};
use super::{Outcome, Trouble, files, terminal};
use crate::cards::card::Identity;
use crate::finding::Finding;
use crate::source::FileSet;
use benchleaf_press::{self as typeset, Assets, Fault, Format, Leaf, Settings, Typesetter};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Leaves of one kind, gathered to be printed together.
pub struct Press<'a, L> {
    asked: &'a Sheet,
    leaves: Vec<(String, L)>,
}

impl<'a, L: Leaf> Press<'a, L> {
    /// Takes what the command line says of paper; `pdf` is whether it asks for any, `name` what the file would be called.
    ///
    /// # Errors
    /// If a PDF has no place to go, or what is for a PDF was said without asking for one.
    pub fn begin(asked: &'a Sheet, pdf: bool, name: &str) -> Result<Self, Trouble> {
        let Look { paper, mono, templates } = &asked.look;
        if pdf && asked.out.is_none() {
            return Err(Trouble::new(format!(
                "a PDF needs a place to go: add `--out {name}.pdf`, or a folder"
            )));
        }
        if !pdf && (asked.out.is_some() || paper.is_some() || *mono || templates.is_some()) {
            return Err(Trouble::new(
                "`--out`, `--paper`, `--mono` and `--templates` are for paper: add `--format pdf`",
            ));
        }
        Ok(Press {
            asked,
            leaves: Vec::new(),
        })
    }

    /// Adds a document; `name` is its file's, without the ending, where the user gave a folder.
    pub fn add(&mut self, name: impl Into<String>, leaf: L) {
        self.leaves.push((name.into(), leaf));
    }

    /// Prints what was added: the words of it come from `sources`, the likeliest first. Nothing is written if a character of any
    /// can't be printed.
    ///
    /// # Errors
    /// If there are several documents and one file, or a file can't be written.
    pub fn print(mut self, sources: &[&FileSet], what: &str) -> Result<Outcome, Trouble> {
        let Some(out) = self.asked.out.as_deref().filter(|_| !self.leaves.is_empty()) else {
            return Ok(Outcome::Clean);
        };
        if let Some(paper) = self.asked.look.paper {
            let leaves = self.leaves.iter_mut();
            leaves.for_each(|(_, leaf)| leaf.identity_mut().paper = paper.name().to_string());
        }
        let places = self.places(out)?;
        for files in sources {
            let found = unprintable(files, &self.leaves);
            if !found.is_empty() {
                terminal::findings(files, &found, FindingFormat::Human);
                return Ok(Outcome::Errors);
            }
        }
        let (typesetter, settings) = (typesetter(&self.asked.look)?, settings(&self.asked.look));
        let mut count = 0;
        for ((_, leaf), place) in self.leaves.iter().zip(&places) {
            let document = typesetter.typeset(leaf, &Assets::default(), &settings);
            let document = document.map_err(|faults| trouble(&faults))?;
            let bytes = document.export(Format::Pdf).map_err(|faults| trouble(&faults))?;
            for bytes in &bytes {
                files::write(place, bytes)?;
            }
            count += document.leaves();
            let warnings = document.warnings.iter();
            warnings.for_each(|w| terminal::remark(&format!("{}: {w}", place.display())));
        }
        let (leaf, out) = (if count == 1 { "leaf" } else { "leaves" }, out.display());
        let plural = if places.len() == 1 { "" } else { "s" };
        terminal::say(&format!("{} {what}{plural}, {count} {leaf} in {out}", places.len()));
        Ok(Outcome::Clean)
    }

    /// Where each document goes.
    fn places(&self, out: &Path) -> Result<Vec<PathBuf>, Trouble> {
        let is_file = out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
        if is_file && self.leaves.len() > 1 {
            let (place, count) = (out.display(), self.leaves.len());
            return Err(Trouble::new(format!(
                "{place} is one file, and there are {count} sets: name one of them, or give `--out` a folder"
            )));
        }
        if is_file {
            return Ok(vec![out.to_path_buf()]);
        }
        let place = |(name, leaf): &(String, L)| {
            let id = leaf.identity();
            out.join(&id.set).join(format!("{name}{}.pdf", chosen(id)))
        };
        let places: Vec<PathBuf> = self.leaves.iter().map(place).collect();
        let mut seen = BTreeSet::new();
        match places.iter().find(|place| !seen.insert(*place)) {
            Some(twice) => Err(Trouble::new(format!(
                "two sets would be written to {}: name one of them",
                twice.display()
            ))),
            None => Ok(places),
        }
    }
}

fn unprintable<L: Leaf>(files: &FileSet, leaves: &[(String, L)]) -> Vec<Finding> {
    let written_in: Vec<_> = files.ids().collect();
    let all = leaves.iter().map(|(_, leaf)| leaf);
    let mut found: Vec<Finding> = all
        .flat_map(|leaf| typeset::unprintable(files, &written_in, leaf))
        .collect();
    found.sort_by(Finding::order);
    found.dedup();
    found
}

/// The typesetter with the user's templates.
///
/// # Errors
/// If they can't be read or are no templates.
pub fn typesetter(look: &Look) -> Result<Typesetter, Trouble> {
    let user = look.templates.as_deref();
    let user = user.map_or_else(|| Ok(BTreeMap::new()), files::tree)?;
    Typesetter::new(&user).map_err(|faults| trouble(&faults))
}

/// How to print.
pub fn settings(look: &Look) -> Settings {
    Settings {
        colour: !look.mono,
        ..Settings::default()
    }
}

/// The choices that somebody made, so that two choices don't overwrite each other.
pub fn chosen(identity: &Identity) -> String {
    let made = identity.choices.iter().filter(|c| !c.default);
    made.map(|c| format!("+{}={}", c.option, c.value)).collect()
}

/// What the typesetter found fault with.
pub fn trouble(faults: &[Fault]) -> Trouble {
    Trouble::new(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
}
