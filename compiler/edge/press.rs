//! `--format pdf`: answers as leaves, checked for what can't be printed, typeset and written.

use super::args::{FindingFormat, LONGEST, Look, Sheet};
use super::belongs::made;
use super::cache::Finished;
use super::disk::Disk;
use super::maker::{Maker, Shape, Unmade, trouble};
use super::naming::chosen;
use super::output::manifest::{Entry, EntryKind};
use super::output::{Output, put};
use super::queue::Watch;
use super::{Outcome, Trouble, escape, queue, terminal};
use crate::domain::counted::counted;
use crate::finding::Finding;
use crate::source::{FileSet, Span};
use benchleaf_press::{self as typeset, Assets, Breach, Format, Leaf};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Leaves of one kind, gathered to be printed together.
pub struct Press<'a, L> {
    asked: &'a Sheet,
    leaves: Vec<Gathered<L>>,
}

struct Gathered<L> {
    /// Of its file, without the ending, where the user gave a folder.
    name: String,
    leaf: L,
    /// The folder of the set it is about; empty if it isn't known.
    folder: PathBuf,
}

impl<'a, L: Leaf + Sync> Press<'a, L> {
    /// Takes what the command line says of paper; `pdf` is whether it asks for any, `name` what the file would be called.
    ///
    /// # Errors
    /// If a PDF has no place to go, or what is for a PDF was said without asking for one.
    pub fn begin(asked: &'a Sheet, pdf: bool, name: &str) -> Result<Self, Trouble> {
        let Look {
            paper,
            mono,
            templates,
            jobs,
            longest,
            no_cache,
        } = &asked.look;
        if pdf && asked.out.is_none() {
            return Err(Trouble::new(format!(
                "a PDF needs a place to go: add `--out {name}.pdf`, or a folder"
            )));
        }
        let of_work = jobs.is_some() || longest.is_some() || *no_cache;
        let of_paper = paper.is_some() || *mono || templates.is_some() || of_work;
        if !pdf && (asked.out.is_some() || of_paper) {
            return Err(Trouble::new(
                "`--out`, `--paper`, `--mono`, `--templates`, `--jobs`, `--longest` and `--no-cache` are for paper: add `--format pdf`",
            ));
        }
        Ok(Press {
            asked,
            leaves: Vec::new(),
        })
    }

    /// Adds a document; `name` is its file's, without the ending, where the user gave a folder; `folder` that of the set it is about,
    /// empty if it isn't known.
    pub fn add(&mut self, name: impl Into<String>, leaf: L, folder: PathBuf) {
        let name = name.into();
        self.leaves.push(Gathered { name, leaf, folder });
    }

    /// Prints what was added: the words of it come from `sources`, the likeliest first. Nothing is written if a character of any
    /// can't be printed.
    ///
    /// # Errors
    /// If there are several documents and one file, or a file can't be written.
    pub fn print(mut self, sources: &[&FileSet], what: &str, disk: &dyn Disk) -> Result<Outcome, Trouble> {
        let Some(out) = self.asked.out.as_deref().filter(|_| !self.leaves.is_empty()) else {
            return Ok(Outcome::Clean);
        };
        if let Some(paper) = self.asked.look.paper {
            let leaves = self.leaves.iter_mut();
            leaves.for_each(|g| g.leaf.identity_mut().paper = paper.name().to_string());
        }
        let places = self.places(out)?;
        for files in sources {
            let found = unprintable(files, &self.leaves);
            if !found.is_empty() {
                terminal::findings(files, &found, FindingFormat::Text);
                return Ok(Outcome::Errors);
            }
        }
        let documents = self.documents(disk)?;
        if documents.iter().any(Result::is_err) {
            // What nobody wrote has no place but the head of the first file.
            let first = sources.iter().find_map(|files| Some((*files, files.ids().next()?)));
            let Some((files, file)) = first else {
                return Err(Trouble::new(UNLIKE));
            };
            let found = self.unlike(Span::new(file, 0, 0), &documents);
            terminal::findings(files, &found, FindingFormat::Text);
            return Ok(Outcome::Errors);
        }
        if is_pdf(out) {
            for (place, finished) in places.iter().zip(documents.iter().flatten()) {
                put(disk, place, &finished.files.concat())?;
            }
        } else {
            self.install(out, &documents, disk)?;
        }
        let finished = || documents.iter().flatten();
        for (place, finished) in places.iter().zip(finished()) {
            let remarks = finished.remarks.iter();
            remarks.for_each(|words| terminal::remark(&format!("{}: {words}", escape::path(place))));
        }
        let count: usize = finished().map(|finished| finished.leaves).sum();
        let made = counted(places.len(), what, &format!("{what}s"));
        let leaves = counted(count, "leaf", "leaves");
        terminal::say(&format!("{made}, {leaves} in {}", escape::path(out)));
        Ok(Outcome::Clean)
    }

    /// What reading back found on the documents.
    fn unlike(&self, span: Span, documents: &[Result<Finished, Vec<Breach>>]) -> Vec<Finding> {
        let of = |(gathered, made): (&Gathered<L>, &Result<Finished, Vec<Breach>>)| {
            let breaches = made.as_ref().err().into_iter().flatten();
            breaches
                .map(|breach| typeset::finding(breach, gathered.leaf.identity(), span))
                .collect::<Vec<_>>()
        };
        self.leaves.iter().zip(documents).flat_map(of).collect()
    }

    /// Each document, or what reading back found on it.
    fn documents(&self, disk: &dyn Disk) -> Result<Vec<Result<Finished, Vec<Breach>>>, Trouble> {
        let maker = Maker::new(&self.asked.look, disk)?;
        let shape = Shape {
            format: Format::Pdf,
            two_up: false,
        };
        let work = |gathered: &Gathered<L>| maker.make(&gathered.leaf, &Assets::default(), shape, &gathered.name);
        let mut done: BTreeMap<usize, Result<Finished, Vec<Breach>>> = BTreeMap::new();
        let mut troubles = Vec::new();
        let name = |gathered: &Gathered<L>| escape::word(&gathered.name).into_owned();
        run(&self.asked.look, &self.leaves, name, work, |index, result| {
            match result {
                Ok(Ok(finished)) => {
                    done.insert(index, Ok(finished));
                }
                Ok(Err(Unmade::Unlike(breaches))) => {
                    done.insert(index, Err(breaches));
                }
                Ok(Err(Unmade::Faulty(faults))) => troubles.push(trouble(&faults).0),
                Err(words) => troubles.push(format!("the typesetter stopped: {words}")),
            }
            ControlFlow::Continue(())
        })?;
        maker.close();
        troubles.sort();
        match troubles.first() {
            Some(_) => Err(Trouble::new(troubles.join("\n"))),
            None => Ok(done.into_values().collect()),
        }
    }

    /// Puts the documents into the folders of their sets, beside their cards.
    fn install(&self, out: &Path, documents: &[Result<Finished, Vec<Breach>>], disk: &dyn Disk) -> Result<(), Trouble> {
        let waiting = || terminal::remark(WAITING);
        let mut opened = Output::open(disk, out, waiting)?;
        opened.remarks.iter().for_each(|remark| terminal::remark(remark));
        let named = self.leaves.iter().filter(|g| !g.leaf.identity().set.is_empty());
        let claimed: Vec<(String, PathBuf)> = named
            .map(|g| (g.leaf.identity().set.clone(), g.folder.clone()))
            .collect();
        opened.output.claim(&claimed)?;
        for (gathered, finished) in self.leaves.iter().zip(documents.iter().flatten()) {
            let bytes = &finished.files.concat();
            let identity = gathered.leaf.identity();
            let document = format!("{}{}", gathered.name, chosen(&identity.choices));
            let name = format!("{document}.pdf");
            if identity.set.is_empty() {
                // About several sets: in the folder itself, as the user asked for it.
                put(disk, &out.join(name), bytes)?;
                continue;
            }
            opened.output.begin(&identity.set)?;
            let sha256 = opened.output.stager().stage(&identity.set, &name, bytes)?;
            let entry = Entry {
                kind: EntryKind::Sheet,
                procedure: identity.procedure.clone(),
                choices: made(&identity.choices),
                code: String::new(),
                says: String::new(),
                document,
                ending: "pdf".to_string(),
                sha256,
            };
            let files = BTreeMap::from([(name, entry)]);
            let installed = opened
                .output
                .install(&identity.set, &gathered.folder, None, files, &|_| true);
            installed.map_err(|failure| failure.trouble)?;
        }
        Ok(())
    }

    /// Where each document goes.
    fn places(&self, out: &Path) -> Result<Vec<PathBuf>, Trouble> {
        if is_pdf(out) && self.leaves.len() > 1 {
            let (place, count) = (escape::path(out), self.leaves.len());
            return Err(Trouble::new(format!(
                "{place} is one file, and there are {count} sets: name one of them, or give `--out` a folder"
            )));
        }
        if is_pdf(out) {
            return Ok(vec![out.to_path_buf()]);
        }
        let place = |gathered: &Gathered<L>| {
            let id = gathered.leaf.identity();
            out.join(&id.set)
                .join(format!("{}{}.pdf", gathered.name, chosen(&id.choices)))
        };
        let places: Vec<PathBuf> = self.leaves.iter().map(place).collect();
        let mut seen = BTreeSet::new();
        match places.iter().find(|place| !seen.insert(*place)) {
            Some(twice) => Err(Trouble::new(format!(
                "two sets would be written to {}: name one of them",
                escape::path(twice)
            ))),
            None => Ok(places),
        }
    }
}

/// Told when another command is writing to the same folder.
pub const WAITING: &str = "another benchleaf is writing there: waiting for it to end";

/// Told where what is wrong with pages has no place in any file.
const UNLIKE: &str = "nothing is written, because the pages don't say what they were made from";

/// True for the name of one PDF rather than a folder.
fn is_pdf(out: &Path) -> bool {
    out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"))
}

fn unprintable<L: Leaf>(files: &FileSet, leaves: &[Gathered<L>]) -> Vec<Finding> {
    let written_in: Vec<_> = files.ids().collect();
    let mut found: Vec<Finding> = leaves
        .iter()
        .flat_map(|gathered| typeset::unprintable(files, &written_in, &gathered.leaf))
        .collect();
    found.sort_by(Finding::order);
    found.dedup();
    found
}

/// How many documents are worked on at once.
pub fn threads(look: &Look) -> usize {
    look.jobs.map_or_else(queue::cores, |jobs| jobs as usize)
}

/// Works on documents, as many at once as was asked for, and calls `done` with each as it comes; `name` says which one is meant. Little of the
/// typesetter's memory is kept between them, and one that takes longer than it may ends the process: what is staged is cleared away by the
/// next command, as after any sudden end.
///
/// # Errors
/// If there is no thread to be had.
pub fn run<J: Sync, T: Send>(
    look: &Look,
    jobs: &[J],
    name: impl Fn(&J) -> String + Sync,
    work: impl Fn(&J) -> T + Sync,
    mut done: impl FnMut(usize, Result<T, String>) -> ControlFlow<()>,
) -> Result<(), Trouble> {
    let longest = look.longest.unwrap_or(LONGEST);
    let late = |index: usize| {
        let name = jobs.get(index).map(&name).unwrap_or_default();
        terminal::trouble(&format!(
            "{name}: not laid out after {longest} s, so all work is ended here: look for a template that loops, or a picture with too much in it; `--longest` gives it more time"
        ));
        std::process::exit(2);
    };
    let watch = Watch {
        longest: Duration::from_secs(longest.into()),
        late: &late,
    };
    queue::run_watched(threads(look), &watch, jobs, work, |index, result| {
        typeset::forget_beside(threads(look).min(queue::cores()));
        done(index, result)
    })
}
