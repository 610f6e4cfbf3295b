//! Folders and revisions as compiled states, and what lies between them.

use super::compiled::compiled;
use super::disk::Disk;
use super::files::{self, Reading};
use super::git::Repository;
use super::snapshot::Snapshot;
use super::{Trouble, escape};
use crate::Compilation;
use crate::diff::{Diff, Side, diff, diff_of};
use crate::domain::counted::counted;
use crate::finding::Severity;
use crate::model::Set;
use crate::source::WORKSHOP_FILE;
use crate::source::{FileSet, file_name, folder, lies_in};
use crate::words::Phrase;
use gix::ObjectId;
use std::path::Path;

/// One state of a folder, compiled.
pub struct State {
    pub name: String,
    pub files: FileSet,
    pub compilation: Compilation,
    /// Of each set, whether errors keep it from being printed.
    blocked: Vec<bool>,
    pub remarks: Vec<String>,
}

impl State {
    fn new(name: String, files: FileSet, mut remarks: Vec<String>) -> State {
        let compilation = compiled(&files);
        let errors = compilation
            .findings
            .iter()
            .filter(|f| f.severity() == Severity::Error)
            .count();
        if errors > 0 {
            remarks.push(format!(
                "{name} has {}: what can't be read there isn't compared",
                counted(errors, "error", "errors")
            ));
        }
        let sets = compilation.model.sets.iter();
        State {
            blocked: sets.map(|set| compilation.blocks(&files, set)).collect(),
            name,
            files,
            compilation,
            remarks,
        }
    }

    /// The folder at a commit; `typed` is what the user called it.
    ///
    /// # Errors
    /// If it can't be read.
    pub fn at(repository: &Repository, id: ObjectId, typed: &str) -> Result<State, Trouble> {
        let Snapshot { files, remarks, .. } = repository.files(id)?;
        let short = super::git::short(id);
        let name = if typed.is_empty() || id.to_string().starts_with(typed) {
            short
        } else {
            format!("{typed} ({short})")
        };
        let remarks = remarks.into_iter().map(|r| format!("{name}: {r}")).collect();
        Ok(State::new(name, files, remarks))
    }

    /// Every folder of the repository at a commit.
    ///
    /// # Errors
    /// If it can't be read.
    pub fn whole(repository: &Repository, id: ObjectId) -> Result<State, Trouble> {
        let Snapshot { files, remarks, .. } = repository.all_files(id)?;
        Ok(State::new(super::git::short(id), files, remarks))
    }

    /// True if errors keep every set of that title from being printed: what it seems to say may not be what was meant.
    pub fn is_broken(&self, title: &str) -> bool {
        let sets = self.compilation.model.sets.iter().zip(&self.blocked);
        let mut own = sets.filter(|(set, _)| set.title == title).peekable();
        own.peek().is_some() && own.all(|(_, blocked)| *blocked)
    }

    /// The same, for what has become of it: where there was no such folder, the sets are looked for that its sets were elsewhere.
    ///
    /// # Errors
    /// If it can't be read.
    pub fn before(new: &State, repository: &Repository, id: ObjectId, typed: &str) -> Result<State, Trouble> {
        let old = State::at(repository, id, typed)?;
        if !old.compilation.model.sets.is_empty() || new.compilation.model.sets.is_empty() {
            return Ok(old);
        }
        let Snapshot { files, .. } = repository.all_files(id)?;
        let everything = compiled(&files).model.sets;
        let alike = |a: &Set, b: &Set| a.id == b.id || (a.title == b.title && a.machine == b.machine);
        let former = everything
            .iter()
            .filter(|set| new.compilation.model.sets.iter().any(|now| alike(set, now)));
        let folders: Vec<&str> = former.map(|set| set.folder.as_str()).collect();
        let wanted = |path: &str| {
            let is_shop = file_name(path) == WORKSHOP_FILE;
            folders
                .iter()
                .any(|set| lies_in(folder(path), set) || (is_shop && lies_in(set, folder(path))))
        };
        Ok(State::new(old.name, files.only(wanted), old.remarks))
    }

    /// The folder as it is on disk.
    ///
    /// # Errors
    /// If it can't be read.
    pub fn work_tree(repository: &Repository, disk: &dyn Disk) -> Result<State, Trouble> {
        let reading = repository
            .asked()
            .map(|asked| files::reading(disk, asked))
            .transpose()?;
        State::as_read(repository, reading.as_ref())
    }

    /// The same from what was read already; `None` for a folder that isn't there.
    ///
    /// # Errors
    /// If there is no work tree.
    pub fn as_read(repository: &Repository, reading: Option<&Reading>) -> Result<State, Trouble> {
        let files = repository.work_tree(reading)?.files;
        Ok(State::new("work tree".to_string(), files, Vec::new()))
    }

    /// A folder on disk, whether it lies in a repository or not.
    ///
    /// # Errors
    /// If it can't be read.
    pub fn folder(path: &Path, disk: &dyn Disk) -> Result<State, Trouble> {
        let input = files::reading(disk, path)?.input_apart();
        Ok(State::new(escape::path(path), input.files, Vec::new()))
    }

    pub fn side(&self) -> Side<'_> {
        Side {
            files: &self.files,
            model: &self.compilation.model,
            facts: &self.compilation.facts,
            blocked: &self.blocked,
            name: &self.name,
        }
    }
}

/// What changed from one state to the other, with what each side had to remark.
pub fn between(old: &State, new: &State) -> Diff {
    remarked(diff(old.side(), new.side()), old, new)
}

/// The same, of sets alone whose former state is wanted.
pub fn between_of(old: &State, new: &State, wanted: &dyn Fn(&Set) -> bool) -> Diff {
    let of_old = |set: Option<&Set>| set.is_some_and(wanted);
    remarked(diff_of(old.side(), new.side(), &of_old), old, new)
}

fn remarked(mut found: Diff, old: &State, new: &State) -> Diff {
    let remarks = old.remarks.iter().chain(&new.remarks);
    found.remarks.extend(remarks.map(Phrase::from));
    found
}

/// The repository a path lies in.
///
/// # Errors
/// If it lies in none.
pub fn repository(path: &Path) -> Result<Repository, Trouble> {
    Repository::find(path)?.ok_or_else(|| Trouble::new(format!("{} lies in no git repository", escape::path(path))))
}
