//! Folders and revisions as compiled states, and what lies between them.

use super::disk::Disk;
use super::files::{self, Reading};
use super::git::{Repository, Snapshot};
use super::{Trouble, escape};
use crate::cards;
use crate::diff::rules::revision_not_raised;
use crate::diff::{CardDiff, Diff, Fate, Side, diff};
use crate::finding::{Finding, Severity};
use crate::fingerprint::{self, Code};
use crate::model::{Choices, Set};
use crate::parse::WORKSHOP_FILE;
use crate::source::{FileSet, file_name, folder, lies_in};
use crate::{Compilation, compile};
use gix::ObjectId;
use std::path::Path;

/// One state of a folder, compiled.
pub struct State {
    pub name: String,
    pub files: FileSet,
    pub compilation: Compilation,
    pub remarks: Vec<String>,
}

impl State {
    fn new(name: String, files: FileSet, mut remarks: Vec<String>) -> State {
        let compilation = compile(&files);
        let errors = compilation
            .findings
            .iter()
            .filter(|f| f.severity() == Severity::Error)
            .count();
        if errors > 0 {
            let plural = if errors == 1 { "" } else { "s" };
            remarks.push(format!(
                "{name} has {errors} error{plural}: what can't be read there isn't compared"
            ));
        }
        State {
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
        let Snapshot { files, remarks } = repository.files(id)?;
        let short = super::git::short(id);
        let name = if typed.is_empty() || id.to_string().starts_with(typed) {
            short
        } else {
            format!("{typed} ({short})")
        };
        let remarks = remarks.into_iter().map(|r| format!("{name}: {r}")).collect();
        Ok(State::new(name, files, remarks))
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
        let everything = compile(&files).model.sets;
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
            name: &self.name,
        }
    }
}

/// What changed from one state to the other, with what each side had to remark.
pub fn between(old: &State, new: &State) -> Diff {
    let mut found = diff(old.side(), new.side());
    found.remarks.extend(old.remarks.iter().chain(&new.remarks).cloned());
    found
}

/// What changed in the work tree since a revision.
pub struct Since {
    /// What the revision is called.
    pub(super) name: String,
    former: Vec<Former>,
    diff: Diff,
}

impl Since {
    /// Reads the revision and compares the files as they were read from a path with it.
    ///
    /// # Errors
    /// If the folder lies in no repository, or the revision can't be read.
    pub fn read(path: &Path, reading: &Reading, revision: &str) -> Result<Since, Trouble> {
        let repository = repository(path)?;
        let new = State::as_read(&repository, Some(reading))?;
        let old = State::before(&new, &repository, repository.commit_of(revision)?, revision)?;
        let diff = between(&old, &new);
        let former = former(&old);
        Ok(Since {
            name: old.name.clone(),
            former,
            diff,
        })
    }

    pub fn remarks(&self) -> &[String] {
        &self.diff.remarks
    }

    /// Procedures whose revision should have been raised, by their places in the caller's files.
    pub fn not_raised(&self, compilation: &Compilation) -> Vec<Finding> {
        revision_not_raised::check(&self.diff, &compilation.model)
    }

    /// What changed on a card, if anything is known of it.
    pub fn card_diff(&self, set: &Set, procedure: &str) -> Option<&CardDiff> {
        let found = self.diff.sets.iter().filter(|s| s.id == set.id && s.title == set.title);
        found.flat_map(|s| &s.cards).find(|c| c.procedure == procedure)
    }

    /// Cards that were there and are no more: set, title and code.
    pub fn gone(&self) -> Vec<(&str, &CardDiff)> {
        let sets = self.diff.sets.iter();
        let cards = sets.flat_map(|set| set.cards.iter().map(|card| (set.id.as_str(), card)));
        cards.filter(|(_, card)| card.fate == Fate::Removed).collect()
    }

    /// True if the card for these choices is another than it was, or is new.
    pub fn must_reissue(&self, set: &Set, position: usize, code: Code, choices: &Choices) -> bool {
        let procedure = &set.procedures[position];
        let Some(found) = self.card_diff(set, &procedure.id).filter(|found| found.matters()) else {
            return false;
        };
        let former = if found.was.is_empty() {
            &procedure.id
        } else {
            &found.was
        };
        let chosen: Vec<(String, String)> = cards::chosen(set, position, choices)
            .into_iter()
            .map(|c| (c.option, c.value))
            .collect();
        // The code covers what the choices mean; an option that neither card hangs on is in neither list.
        let same = |card: &Former| card.procedure == *former && card.code == code && card.choices == chosen;
        !self.former.iter().any(same)
    }
}

/// A card of the older state.
struct Former {
    procedure: String,
    choices: Vec<(String, String)>,
    code: Code,
}

fn former(state: &State) -> Vec<Former> {
    let Compilation { model, facts, .. } = &state.compilation;
    let mut found = Vec::new();
    for (set, facts) in model.sets.iter().zip(facts) {
        let cards = fingerprint::of_set(&state.files, set, facts).into_iter();
        found.extend(cards.map(|card| Former {
            procedure: set.procedures[card.position].id.clone(),
            choices: card.choices,
            code: card.code,
        }));
    }
    found
}

/// The repository a path lies in.
///
/// # Errors
/// If it lies in none.
pub fn repository(path: &Path) -> Result<Repository, Trouble> {
    Repository::find(path)?.ok_or_else(|| Trouble::new(format!("{} lies in no git repository", escape::path(path))))
}
