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

/// What the documents of one set are made from.
#[derive(Clone, Copy)]
pub struct OneSet<'a> {
    pub files: &'a FileSet,
    pub set: &'a Set,
    pub facts: &'a Facts,
    pub choices: &'a Choices,
}

impl<'a> Material<'a> {
    /// What one of the sets is made from; `None` if there are not so many.
    pub fn of(&self, number: usize) -> Option<OneSet<'a>> {
        Some(OneSet {
            files: self.files,
            set: self.sets.get(number)?,
            facts: self.facts.get(number)?,
            choices: self.choices.get(number)?,
        })
    }

    /// What every set is made from, with its place among all.
    pub fn each(self) -> impl Iterator<Item = (usize, OneSet<'a>)> {
        (0..self.sets.len()).filter_map(move |number| Some((number, self.of(number)?)))
    }
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
    files: FileSet,
    set: Set,
    facts: Facts,
    choices: Choices,
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

    /// `None` if not so many sets lie on the shelf.
    pub fn place(&self, number: usize) -> Option<&Place> {
        self.places.get(number)
    }

    /// The texts that a set is read from, with every picture; none if there is no such set.
    pub fn texts(&self, number: usize) -> FileSet {
        let part = self.place(number).and_then(|place| self.groups.of_set(place.file));
        part.map(|part| self.groups.files(part)).unwrap_or_default()
    }

    /// Takes a set down; `None` if there is no such set.
    pub fn load(&self, number: usize) -> Option<Arc<Loaded>> {
        // While one thread reads a set, another that wants the same waits for it instead of reading it as well.
        let mut recent = self.recent.lock().unwrap_or_else(PoisonError::into_inner);
        let known = recent.iter().position(|loaded| loaded.number == number);
        let loaded = match known.and_then(|at| recent.remove(at)) {
            Some(loaded) => loaded,
            None => Arc::new(self.read(number)?),
        };
        recent.push_back(Arc::clone(&loaded));
        if recent.len() > self.most {
            recent.pop_front();
        }
        Some(loaded)
    }

    fn read(&self, number: usize) -> Option<Loaded> {
        let own = self.place(number)?.file;
        let part = self.groups.of_set(own)?;
        // Findings are told already, and other sets of the part have their own turn.
        let Compilation { model, facts, .. } = self.groups.compile(part);
        let mut all = model.sets.into_iter().zip(facts);
        let (set, facts) = all.find(|(set, _)| set.file == own)?;
        let mut choices = Choices::defaults(&set.catalogue);
        for (option, value) in self.options {
            // An option that this set doesn't have is another's.
            let _ = choices.choose(&set.catalogue, option, value);
        }
        Some(Loaded {
            number,
            files: self.groups.files(part),
            set,
            facts,
            choices,
        })
    }
}

impl Loaded {
    pub fn of(&self) -> OneSet<'_> {
        OneSet {
            files: &self.files,
            set: &self.set,
            facts: &self.facts,
            choices: &self.choices,
        }
    }
}
