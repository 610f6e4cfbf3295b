//! What the commands about a whole job share: sets read, checked, and the choices of each.

use crate::Compilation;
use crate::check::Facts;
use crate::edge::args::FindingFormat;
use crate::edge::choices::choices;
use crate::edge::compiled::compiled;
use crate::edge::disk::Disk;
use crate::edge::files::Input;
use crate::edge::{Outcome, Trouble, escape, files, terminal};
use crate::model::{Choices, Set};
use std::path::Path;
use std::path::PathBuf;

/// The sets at a place, checked.
pub struct Sets {
    pub input: Input,
    pub compilation: Compilation,
}

/// A set with what is known of it and the choices for it.
pub type Chosen<'a> = (&'a Set, &'a Facts, Choices);

/// Reads and checks the sets at a place and tells the findings at error level.
///
/// # Errors
/// If files can't be read or there is no procedure.
pub fn read(path: &Path, disk: &dyn Disk) -> Result<Sets, Trouble> {
    let input = files::read(disk, path)?;
    let compilation = compiled(&input.files);
    if compilation.has_errors() {
        terminal::findings(&input.files, &compilation.findings, FindingFormat::Text);
    }
    let sets = Sets { input, compilation };
    if !sets.compilation.model.sets.iter().any(|set| sets.is_wanted(set)) {
        let path = escape::path(path);
        return Err(Trouble::new(format!("there is no procedure at {path}")));
    }
    Ok(sets)
}

impl Sets {
    /// True of a set with a procedure that was asked for.
    fn is_wanted(&self, set: &Set) -> bool {
        let mut files = set.procedures.iter().map(|p| &self.input.files.get(p.file).path);
        files.any(|path| self.input.wants(path))
    }

    fn is_whole(&self, set: &Set) -> bool {
        self.is_wanted(set) && !self.compilation.blocks(&self.input.files, set)
    }

    /// The sets asked for that have no error: nothing is worked out from the others.
    pub fn whole(&self) -> impl Iterator<Item = (&Set, &Facts)> {
        let sets = self.compilation.model.sets.iter().zip(&self.compilation.facts);
        sets.filter(|(set, _)| self.is_whole(set))
    }

    /// The same with the choices of each: the defaults, and these in their place.
    ///
    /// # Errors
    /// If no set has the option, or one has and doesn't take the value.
    pub fn chosen(&self, options: &[(String, String)]) -> Result<Vec<Chosen<'_>>, Trouble> {
        let all = choices(&self.compilation.model, options)?;
        let sets = self.compilation.model.sets.iter().zip(&self.compilation.facts);
        let chosen = sets.zip(all).map(|((set, facts), choices)| (set, facts, choices));
        Ok(chosen.filter(|(set, ..)| self.is_whole(set)).collect())
    }

    /// Where a set is on the disk.
    pub fn folder(&self, set: &Set) -> PathBuf {
        self.input.on_disk(&set.folder)
    }

    pub fn outcome(&self) -> Outcome {
        match self.compilation.has_errors() {
            true => Outcome::Errors,
            false => Outcome::Clean,
        }
    }
}
