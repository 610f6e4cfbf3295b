//! Printing what a build has found to print: each set put in place when all of it is made and read back, or one document handed over.

use crate::domain::counted::counted;
use crate::edge::args::{Build, FindingFormat};
use crate::edge::belongs::{Present, Printed as Documents};
use crate::edge::disk::Disk;
use crate::edge::files::Input;
use crate::edge::jobs::{Goes, Job, Kind, Press, Printed, Stamps, Unprinted};
use crate::edge::maker::Maker;
use crate::edge::output::manifest::Entry;
use crate::edge::output::{Failure, Installed, Output, earlier};
use crate::edge::progress::Progress;
use crate::edge::shelf::{Loaded, OneSet, Shelf};
use crate::edge::unchanged::{Unchanged, Whole};
use crate::edge::{Trouble, escape, press, terminal};
use crate::finding::Finding;
use crate::model::assigned;
use crate::source::FileSet;
use benchleaf_press as typeset;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::path::PathBuf;

/// A closing line; beside findings as JSON it goes where it is in nobody's way.
pub fn say(args: &Build, text: &str) {
    match args.findings {
        FindingFormat::Text => terminal::summary(text),
        FindingFormat::Json | FindingFormat::Sarif | FindingFormat::Github => terminal::remark(text),
    }
}

/// Says that what lies there from an earlier build is old.
pub fn remark_old(args: &Build, disk: &dyn Disk, set: &str) {
    let names = earlier(disk, &args.out, set);
    if !names.is_empty() {
        let folder = escape::path(&args.out.join(set));
        terminal::remark(&format!(
            "{folder} keeps the files of an earlier build, which are old: {}",
            names.join(", ")
        ));
    }
}

/// How far a set has come.
#[derive(Default)]
struct UnderWay {
    /// Documents still to come.
    open: usize,
    files: BTreeMap<String, Entry>,
    documents: Documents,
    leaves: usize,
    remarks: Vec<String>,
    faults: Vec<String>,
    /// A document of it is not as its leaf has it.
    unlike: bool,
    installed: Option<Installed>,
}

/// Typesets every card, one at a time on each thread, and puts each set in place when the last of it is done and read back. Gives what reading
/// back found.
pub fn print(
    args: &Build,
    disk: &dyn Disk,
    input: &Input,
    shelf: &Shelf,
    stamps: Stamps,
    jobs: &[Job],
    output: &mut Output,
) -> Result<Vec<Finding>, Trouble> {
    let mut sets: BTreeMap<usize, UnderWay> = BTreeMap::new();
    for job in jobs {
        sets.entry(job.set).or_default().open += 1;
    }
    let claimed: Vec<(String, PathBuf)> = sets
        .keys()
        .filter_map(|set| shelf.place(*set))
        .map(|place| (place.id.clone(), place.on_disk.clone()))
        .collect();
    output.claim(&claimed)?;
    let press = Press {
        args,
        shelf,
        stamps,
        maker: Maker::new(&args.look, disk)?,
        goes: Goes::Staged(output.stager()),
    };
    let unchanged = Unchanged::new(args, &press.maker, shelf, &press.stamps, jobs);
    for (set, whole) in unchanged.printed(output, press::threads(&args.look)) {
        let under_way = sets.entry(set).or_default();
        (under_way.open, under_way.leaves, under_way.remarks) = (0, whole.leaves, whole.remarks);
        under_way.installed = Some(Installed::default());
    }
    let begun = sets.iter().filter(|(_, under_way)| under_way.open > 0);
    for place in begun.filter_map(|(set, _)| shelf.place(*set)) {
        output.begin(&place.id)?;
    }
    let is_open = |job: &&Job| sets.get(&job.set).is_some_and(|under_way| under_way.open > 0);
    let open: Vec<&Job> = jobs.iter().filter(is_open).collect();
    let mut troubles: Vec<String> = Vec::new();
    let mut unlike: Vec<Finding> = Vec::new();
    let progress = Progress::new("documents", Some(open.len()));
    let mut made = 0;
    let ran = press::run(
        &args.look,
        &open,
        |job| source(shelf, job),
        |job| press.print(job),
        |index, result| {
            made += 1;
            progress.at(made);
            let begun = open.get(index).and_then(|job| Some((*job, sets.get_mut(&job.set)?)));
            let Some((job, under_way)) = begun else {
                return ControlFlow::Continue(());
            };
            under_way.open -= 1;
            match result {
                Ok(Ok(printed)) => under_way.take(printed),
                Ok(Err(Unprinted::Faulty(words))) => {
                    under_way.faults.push(format!("{}: {words}", source(shelf, job)));
                }
                Err(words) => {
                    let source = source(shelf, job);
                    under_way
                        .faults
                        .push(format!("{source}: the typesetter stopped: {words}"));
                }
                Ok(Err(Unprinted::Unlike(found))) => {
                    under_way.unlike = true;
                    let from = shelf.texts(job.set);
                    unlike.extend(found.into_iter().map(|finding| moved(finding, &from, &input.files)));
                }
                Ok(Err(Unprinted::Unwritten(trouble))) => {
                    troubles.push(trouble.0);
                    return ControlFlow::Break(());
                }
            }
            if under_way.open > 0 || !under_way.faults.is_empty() || under_way.unlike {
                return ControlFlow::Continue(());
            }
            let (Some(place), Some(loaded)) = (shelf.place(job.set), shelf.load(job.set)) else {
                return ControlFlow::Continue(());
            };
            let present = present(&loaded);
            let documents = std::mem::take(&mut under_way.documents);
            let belongs = |entry: &Entry| present.belongs(entry, &documents);
            let whole = Whole {
                files: std::mem::take(&mut under_way.files),
                leaves: under_way.leaves,
                remarks: under_way.remarks.clone(),
            };
            let (id, folder) = (&present.set.id, &place.on_disk);
            match output.install(id, folder, unchanged.from(job.set), whole.files.clone(), &belongs) {
                Ok(installed) => {
                    unchanged.note(job.set, &whole);
                    under_way.installed = Some(installed);
                }
                Err(Failure { trouble, disk }) => {
                    troubles.push(trouble.0);
                    if disk {
                        return ControlFlow::Break(());
                    }
                }
            }
            ControlFlow::Continue(())
        },
    );
    drop(progress);
    typeset::forget();
    press.maker.close();
    if let Err(Trouble(words)) = ran {
        troubles.push(words);
    }
    for (set, under_way) in &mut sets {
        troubles.append(&mut under_way.faults);
        tell(args, disk, shelf, *set, under_way);
    }
    if troubles.is_empty() && unlike.is_empty() {
        match output.clear_gone(&input.asked()) {
            Ok(gone) => {
                for (folder, result) in gone {
                    remark_removed(&folder, &result);
                }
            }
            Err(Trouble(words)) => troubles.push(words),
        }
    }
    let done = |set: &usize| sets.get(set).is_some_and(|p| p.installed.is_some());
    let printed: Vec<&Job> = jobs.iter().filter(|job| done(&job.set)).collect();
    if !printed.is_empty() {
        let leaves: usize = sets.values().filter(|p| p.installed.is_some()).map(|p| p.leaves).sum();
        let (leaves, out) = (counted(leaves, "leaf", "leaves"), escape::path(&args.out));
        say(args, &format!("{}, {leaves} in {out}", by_kind(&printed)));
    }
    unlike.sort_by(Finding::order);
    unlike.dedup();
    match troubles.first() {
        Some(_) => Err(Trouble::new(troubles.join("\n"))),
        None => Ok(unlike),
    }
}

/// `--out -`: makes the one document there is and writes it to standard output. Gives what reading back found.
pub fn hand_over(
    args: &Build,
    disk: &dyn Disk,
    input: &Input,
    shelf: &Shelf,
    stamps: Stamps,
    jobs: &[Job],
) -> Result<Vec<Finding>, Trouble> {
    let [job] = jobs else {
        return Err(Trouble::new(format!(
            "standard output takes one document, and there are {}: name one procedure, or give `--out` a folder",
            jobs.len()
        )));
    };
    let press = Press {
        args,
        shelf,
        stamps,
        maker: Maker::new(&args.look, disk)?,
        goes: Goes::Handed,
    };
    let mut made = None;
    press::run(
        &args.look,
        &[job],
        |job| source(shelf, job),
        |job| press.print(job),
        |_, result| {
            made = Some(result);
            ControlFlow::Continue(())
        },
    )?;
    press.maker.close();
    let name = source(shelf, job);
    match made {
        Some(Ok(Ok(printed))) => {
            printed.remarks.iter().for_each(|remark| terminal::remark(remark));
            let [bytes] = printed.handed.as_slice() else {
                return Err(Trouble::new(format!(
                    "{name}: standard output takes one picture, and it has {}: give `--out` a folder",
                    counted(printed.leaves, "leaf", "leaves")
                )));
            };
            terminal::bytes(bytes)?;
            Ok(Vec::new())
        }
        Some(Ok(Err(Unprinted::Unlike(found)))) => {
            let from = shelf.texts(job.set);
            Ok(found
                .into_iter()
                .map(|finding| moved(finding, &from, &input.files))
                .collect())
        }
        Some(Ok(Err(Unprinted::Faulty(words)))) => Err(Trouble::new(format!("{name}: {words}"))),
        Some(Ok(Err(Unprinted::Unwritten(trouble)))) => Err(trouble),
        Some(Err(words)) => Err(Trouble::new(format!("{name}: the typesetter stopped: {words}"))),
        None => Ok(Vec::new()),
    }
}

/// A finding of one set's files at the same place among all files.
pub fn moved(mut finding: Finding, from: &FileSet, to: &FileSet) -> Finding {
    let labels = std::iter::once(&mut finding.primary).chain(&mut finding.secondary);
    for label in labels {
        let path = &from.get(label.span.file).path;
        if let Some(file) = to.find(path) {
            label.span = label.span.of_file(file);
        }
    }
    finding
}

impl UnderWay {
    fn take(&mut self, mut printed: Printed) {
        self.leaves += printed.leaves;
        let entries = printed.files.values();
        self.documents
            .extend(entries.map(|e| (e.document.clone(), e.ending.clone())));
        self.files.append(&mut printed.files);
        self.remarks.append(&mut printed.remarks);
    }
}

/// The file that a document is mostly written in; empty if its set isn't there.
pub fn source(shelf: &Shelf, job: &Job) -> String {
    let name = |loaded: &Loaded| escape::word(loaded.of().written_in(&job.kind)).into_owned();
    shelf.load(job.set).as_deref().map(name).unwrap_or_default()
}

fn present(loaded: &Loaded) -> Present<'_> {
    let OneSet { files, set, facts, .. } = loaded.of();
    Present { files, set, facts }
}

/// Remarks on a set: what the typesetter had to say, what was removed, what is old.
fn tell(args: &Build, disk: &dyn Disk, shelf: &Shelf, set: usize, under_way: &mut UnderWay) {
    let Some(place) = shelf.place(set) else { return };
    let id = &place.id;
    under_way.remarks.sort();
    under_way.remarks.dedup();
    under_way.remarks.iter().for_each(|remark| terminal::remark(remark));
    let Some(installed) = &under_way.installed else {
        if under_way.unlike && args.findings == FindingFormat::Text {
            let title = escape::word(&place.title);
            terminal::remark(&format!(
                "{title}: nothing is written, because its pages don't say what its cards do"
            ));
        }
        remark_old(args, disk, id);
        return;
    };
    let folder = args.out.join(id);
    remark_removed(&folder, installed);
    if installed.kept.is_empty() {
        return;
    }
    let Some(loaded) = shelf.load(set) else { return };
    let present = present(&loaded);
    let old = |(name, entry): (&String, &Entry)| {
        present.is_old(entry).then(|| {
            let options = entry
                .choices
                .iter()
                .map(|(o, v)| format!(" --option {}", assigned(o, v)));
            (name.clone(), options.collect::<String>())
        })
    };
    let mut by_options: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (name, options) in installed.kept.iter().filter_map(old) {
        by_options.entry(options).or_default().insert(name);
    }
    for (options, names) in by_options {
        let names: Vec<String> = names.into_iter().map(|n| escape::path(&folder.join(n))).collect();
        let how = match options.as_str() {
            "" => "its whole set".to_string(),
            options => format!("`{}`", escape::word(options.trim())),
        };
        let (are, how) = match names.len() {
            1 => ("is", how),
            _ => ("are", how),
        };
        terminal::remark(&format!(
            "{} {are} of an earlier build and old: build {how} to print it again",
            names.join(", ")
        ));
    }
}

fn remark_removed(folder: &std::path::Path, result: &Installed) {
    for name in &result.removed {
        let place = escape::path(&folder.join(name));
        terminal::remark(&format!("{place} no longer belongs to its set: removed"));
    }
    for name in &result.left {
        let place = escape::path(&folder.join(name));
        terminal::remark(&format!(
            "{place} no longer belongs to its set, but has been changed since it was written: look at it, and take it away"
        ));
    }
}

/// `16 cards, 3 set sheets and 3 close-outs`.
fn by_kind(jobs: &[&Job]) -> String {
    let count = |is: fn(&Kind) -> bool, name: &str| {
        let count = jobs.iter().filter(|job| is(&job.kind)).count();
        (count > 0).then(|| counted(count, name, &format!("{name}s")))
    };
    let kinds = [
        count(|kind| matches!(kind, Kind::Card(..)), "card"),
        count(|kind| matches!(kind, Kind::SetSheet), "set sheet"),
        count(|kind| matches!(kind, Kind::CloseOut), "close-out"),
        count(|kind| matches!(kind, Kind::Pocket(_)), "pocket card"),
        count(|kind| matches!(kind, Kind::Form(_)), "record leaf"),
    ];
    let kinds: Vec<String> = kinds.into_iter().flatten().collect();
    match kinds.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => kinds.concat(),
    }
}
