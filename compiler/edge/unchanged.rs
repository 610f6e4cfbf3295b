//! Sets that an earlier build printed just as this one would: nothing of them is read again, laid out or written.
//!
//! A set is passed over if all that it is read from, and all that is asked of it, is as it was when a build last put its cards in place, and its
//! files are still those, byte for byte, and no others. That the set itself was checked comes before: findings are told either way.

use super::args::Build;
use super::cache::{Cache, Finished, Key};
use super::jobs::{Job, Stamps, shape};
use super::maker::Maker;
use super::output::Output;
use super::output::manifest::{Entry, digest};
use super::queue;
use super::shelf::Shelf;
use crate::source::FileSet;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// What was printed of a set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Whole {
    /// By name.
    pub files: BTreeMap<String, Entry>,
    pub leaves: usize,
    /// What was remarked on them.
    pub remarks: Vec<String>,
}

/// What is asked of one set.
struct Asked {
    /// Digest of all that the set is read from.
    from: String,
    /// Of that and all that is asked; `None` if something is that nobody can tell again.
    key: Option<Key>,
}

/// The sets of a build, with what is known of earlier ones.
pub struct Unchanged<'a> {
    cache: Option<&'a Cache<'a>>,
    shelf: &'a Shelf<'a>,
    asked: BTreeMap<usize, Asked>,
}

impl<'a> Unchanged<'a> {
    pub fn new(args: &Build, maker: &'a Maker<'a>, shelf: &'a Shelf<'a>, stamps: &Stamps, jobs: &[Job]) -> Self {
        let mut by_set: BTreeMap<usize, Vec<&Job>> = BTreeMap::new();
        for job in jobs {
            by_set.entry(job.set).or_default().push(job);
        }
        let pictures = by_set
            .keys()
            .next()
            .map(|set| pictures(&shelf.texts(*set)))
            .unwrap_or_default();
        // What is stamped on from a history isn't in the texts.
        let from_history = stamps.since.is_some() || stamps.issues.is_some();
        let asked = by_set.into_iter().filter_map(|(set, jobs)| {
            let place = shelf.place(set)?;
            let from = texts(&shelf.texts(set), &pictures);
            let mut making = Key::of("set");
            let paper = args.look.paper.map_or("", |paper| paper.name());
            let kinds: Vec<_> = jobs.iter().map(|job| &job.kind).collect();
            let committed = stamps.committed.as_ref().map(|codes| {
                let codes: Vec<String> = codes.iter().map(ToString::to_string).collect();
                codes.join(" ")
            });
            for part in [&from, &place.id, paper] {
                making.add(part.as_bytes());
            }
            for part in [
                format!("{:?}", shape(args)),
                format!("{:?}", args.wanted.options),
                format!("{kinds:?}"),
                format!("{committed:?}"),
            ] {
                making.add(part.as_bytes());
            }
            maker.manner(&mut making);
            let key = (!from_history).then(|| making.key());
            Some((set, Asked { from, key }))
        });
        Unchanged {
            cache: maker.cache(),
            shelf,
            asked: asked.collect(),
        }
    }

    /// Digest of all that a set is read from.
    pub fn from(&self, set: usize) -> Option<&str> {
        self.asked.get(&set).map(|asked| asked.from.as_str())
    }

    /// The sets that are printed already, looked at on so many threads.
    pub fn printed(&self, output: &Output, threads: usize) -> BTreeMap<usize, Whole> {
        let mut printed = BTreeMap::new();
        if self.cache.is_none() {
            return printed;
        }
        let sets: Vec<usize> = self.asked.keys().copied().collect();
        // What no thread can be had for is printed once more.
        let _ = queue::run(
            threads,
            &sets,
            |set| self.known(*set, output),
            |index, known| {
                if let (Some(set), Ok(Some(whole))) = (sets.get(index), known) {
                    printed.insert(*set, whole);
                }
                ControlFlow::Continue(())
            },
        );
        printed
    }

    fn known(&self, set: usize, output: &Output) -> Option<Whole> {
        let asked = self.asked.get(&set)?;
        let place = self.shelf.place(set)?;
        let finished = self.cache?.find(asked.key.as_ref()?, &place.id)?;
        let whole: Whole = serde_json::from_slice(finished.files.first()?).ok()?;
        output
            .holds(&place.id, &place.on_disk, &asked.from, &whole.files)
            .then_some(whole)
    }

    /// Notes what is printed of a set now.
    pub fn note(&self, set: usize, whole: &Whole) {
        let key = self.asked.get(&set).and_then(|asked| asked.key.as_ref());
        if let Some((cache, key)) = self.cache.zip(key) {
            // Strings and numbers always serialise.
            let text = serde_json::to_vec(whole).unwrap_or_default();
            let finished = Finished {
                files: vec![text],
                leaves: 0,
                remarks: Vec::new(),
            };
            cache.keep(key, &finished);
        }
    }
}

/// Digest of every picture.
fn pictures(files: &FileSet) -> String {
    let lines: Vec<String> = files
        .assets()
        .iter()
        .map(|(path, bytes)| format!("{} {path:?}", digest(bytes)))
        .collect();
    digest(lines.join("\n").as_bytes())
}

/// Digest of what a set is read from.
fn texts(files: &FileSet, pictures: &str) -> String {
    let texts = files.ids().map(|id| files.get(id));
    let lines: Vec<String> = texts
        .map(|file| format!("{} {:?}", digest(file.text.as_bytes()), file.path))
        .chain([pictures.to_string()])
        .collect();
    digest(lines.join("\n").as_bytes())
}
