//! The sets of a build, taken from the shelf when their turn comes: what is known of all of them at once would grow with their number. A
//! set is read anew from its texts, which are in memory as they were read, so it is the same set.

use crate::Compilation;
use crate::check::Facts;
use crate::groups::Groups;
use crate::model::{Choices, Set};
use crate::source::{FileId, FileSet};
use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

/// What documents are made from.
#[derive(Clone, Copy)]
pub struct Material<'a> {
    pub files: &'a FileSet,
    pub sets: &'a [Set],
    /// Of each set.
    pub facts: &'a [Facts],
    pub choices: &'a [Choices],
}

/// Sets by their places in the model that all of them were checked in.
pub struct Shelf<'a> {
    groups: &'a Groups<'a>,
    places: Vec<Place>,
    options: &'a [(String, String)],
    /// The sets asked for last, the latest at the end.
    recent: Mutex<VecDeque<Arc<Loaded>>>,
    /// As many as threads can be at work on.
    most: usize,
}

/// What is known of a set that lies on the shelf.
pub struct Place {
    pub file: FileId,
    pub id: String,
    pub title: String,
    /// Where it is on the disk.
    pub on_disk: PathBuf,
}

/// A set at hand.
pub struct Loaded {
    number: usize,
    /// Place of the set in its own small model.
    index: usize,
    files: FileSet,
    compilation: Compilation,
    choices: Vec<Choices>,
}

impl<'a> Shelf<'a> {
    /// `options` are those of the command line, which some set has; `threads` how many take from it at once.
    pub fn new(groups: &'a Groups, places: Vec<Place>, options: &'a [(String, String)], threads: usize) -> Self {
        Shelf {
            groups,
            places,
            options,
            recent: Mutex::new(VecDeque::new()),
            most: threads + 1,
        }
    }

    pub fn place(&self, number: usize) -> &Place {
        &self.places[number]
    }

    /// The texts that a set is read from, with every picture.
    pub fn texts(&self, number: usize) -> FileSet {
        let part = self.groups.of_set(self.places[number].file).unwrap_or_default();
        self.groups.files(part)
    }

    /// Takes a set down.
    pub fn load(&self, number: usize) -> Arc<Loaded> {
        // While one thread reads a set, another that wants the same waits for it instead of reading it as well.
        let mut recent = self.recent.lock().unwrap_or_else(PoisonError::into_inner);
        let known = recent.iter().position(|loaded| loaded.number == number);
        let loaded = match known.and_then(|at| recent.remove(at)) {
            Some(loaded) => loaded,
            None => Arc::new(self.read(number)),
        };
        recent.push_back(Arc::clone(&loaded));
        if recent.len() > self.most {
            recent.pop_front();
        }
        loaded
    }

    fn read(&self, number: usize) -> Loaded {
        let own = self.places[number].file;
        let part = self.groups.of_set(own).unwrap_or_default();
        let files = self.texts(number);
        let mut compilation = self.groups.compile(part);
        // They are told already.
        compilation.findings = Vec::new();
        let sets = &compilation.model.sets;
        let index = sets.iter().position(|set| set.file == own).unwrap_or_default();
        let chosen = |set: &Set| {
            let mut choices = Choices::defaults(&set.catalogue);
            for (option, value) in self.options {
                // An option that this set doesn't have is another's.
                let _ = choices.choose(&set.catalogue, option, value);
            }
            choices
        };
        let choices = sets.iter().map(chosen).collect();
        Loaded {
            number,
            index,
            files,
            compilation,
            choices,
        }
    }
}

impl Loaded {
    pub fn material(&self) -> Material<'_> {
        Material {
            files: &self.files,
            sets: &self.compilation.model.sets,
            facts: &self.compilation.facts,
            choices: &self.choices,
        }
    }

    /// The set's place in the material.
    pub fn index(&self) -> usize {
        self.index
    }
}
