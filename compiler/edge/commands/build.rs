//! `build`: checks, then prints every card of every set that has no error. A set is put in place whole, when all of it is printed.

use crate::domain::counted::counted;
use crate::edge::args::{Build, FindingFormat};
use crate::edge::belongs::{Present, Printed as Documents};
use crate::edge::checked;
use crate::edge::disk::Disk;
use crate::edge::files::{self, Input, Reading};
use crate::edge::git::Repository;
use crate::edge::history::{self, State};
use crate::edge::issue::Issues;
use crate::edge::jobs::{Job, Kind, Press, Printed, Stamps, Unprinted};
use crate::edge::output::manifest::Entry;
use crate::edge::output::{Failure, Installed, Output, earlier};
use crate::edge::press::{self, WAITING};
use crate::edge::shelf::{Loaded, Shelf};
use crate::edge::since::Since;
use crate::edge::walk::leaves;
use crate::edge::{Outcome, Trouble, escape, terminal, watch};
use crate::finding::Finding;
use crate::fingerprint::Code;
use crate::groups::Groups;
use crate::model::assigned;
use crate::source::{FileSet, Span};
use benchleaf_press as typeset;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

pub fn run(args: &Build, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    if args.watch {
        return watch::again(disk, &args.wanted.path, &mut || once(args, disk));
    }
    once(args, disk)
}

fn once(args: &Build, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let reading = files::reading(disk, &args.wanted.path)?;
    print_cards(args, disk, reading, false)
}

/// The cards that are others than they were at the revision asked for, and no more.
pub fn reissue(args: &Build, disk: &dyn Disk, reading: Reading) -> Result<Outcome, Trouble> {
    print_cards(args, disk, reading, true)
}

fn print_cards(args: &Build, disk: &dyn Disk, reading: Reading, changed_only: bool) -> Result<Outcome, Trouble> {
    let mut held = None;
    let mut reading = reading;
    loop {
        match attempt(args, disk, reading, held, changed_only)? {
            Attempt::Done(outcome) => return Ok(outcome),
            Attempt::Waited(output) => held = Some(output),
        }
        // Somebody else's build may have printed something newer than what we had read.
        reading = files::reading(disk, &args.wanted.path)?;
    }
}

/// How far it came.
enum Attempt<'d> {
    Done(Outcome),
    /// Another command had the output folder first; now it is ours, and nothing is written or told yet.
    Waited(Output<'d>),
}

fn attempt<'d>(
    args: &Build,
    disk: &'d dyn Disk,
    reading: Reading,
    held: Option<Output<'d>>,
    changed_only: bool,
) -> Result<Attempt<'d>, Trouble> {
    let revision = args.wanted.since.as_ref();
    let since = revision.map(|revision| Since::read(&args.wanted.path, &reading, revision));
    let since = since.transpose()?;
    let committed = committed(&args.wanted.path, &reading)?;
    let (input, reading) = match args.rev_from_git {
        true => (reading.input(), Some(reading)),
        false => (reading.into_input(), None),
    };
    let threads = press::threads(&args.look);
    let groups = Groups::new(&input.files);
    let checked = checked::check(args, &input, &groups, since.as_ref(), changed_only, threads)?;
    let jobs = &checked.jobs;
    let mut output = held;
    if !jobs.is_empty() && output.is_none() {
        let opened = Output::open(disk, &args.out, || terminal::remark(WAITING))?;
        opened.remarks.iter().for_each(|remark| terminal::remark(remark));
        if opened.waited {
            return Ok(Attempt::Waited(opened.output));
        }
        output = Some(opened.output);
    }
    since.iter().for_each(Since::tell);
    // One document of findings holds those of reading back as well.
    let held_back = match args.findings {
        FindingFormat::Sarif => Some(checked.findings.clone()),
        FindingFormat::Text | FindingFormat::Json | FindingFormat::Github => {
            terminal::findings(&input.files, &checked.findings, args.findings);
            None
        }
    };
    if !checked.any && checked.findings.is_empty() {
        let place = escape::path(&args.wanted.path);
        return Err(Trouble::new(format!("there is no procedure at {place}")));
    }
    let has_errors = checked.has_errors();
    if jobs.is_empty() && changed_only && !has_errors {
        say(args, "nothing must be printed again");
    }
    let blocked = checked.blocked;
    // From here on each set is read when its turn comes.
    let shelf = Shelf::new(&groups, checked.places, &args.wanted.options, threads);
    let mut printed = Ok(Vec::new());
    if let Some(mut output) = output.filter(|_| !jobs.is_empty()) {
        let issues = || {
            let repository = history::repository(&args.wanted.path)?;
            let state = State::as_read(&repository, reading.as_ref())?;
            Issues::read(&repository, Some(&state))?.certain()
        };
        let issues = args.rev_from_git.then(issues).transpose()?;
        let since = since.as_ref();
        let stamps = Stamps {
            since,
            issues,
            committed,
        };
        printed = print(args, disk, &input, &shelf, stamps, jobs, &mut output);
    }
    for set in (0..blocked.len()).filter(|set| blocked[*set]) {
        let place = shelf.place(set);
        if args.findings == FindingFormat::Text {
            let title = escape::word(&place.title);
            terminal::remark(&format!("{title}: no card is printed from a set with errors"));
        }
        remark_old(args, disk, &place.id);
    }
    let is_one_document = held_back.is_some();
    let mut told = held_back.unwrap_or_default();
    let unlike = printed.as_ref().map_or(&[][..], Vec::as_slice);
    told.extend(unlike.iter().cloned());
    if is_one_document || !told.is_empty() {
        terminal::findings(&input.files, &told, args.findings);
    }
    let has_errors = has_errors || !printed?.is_empty();
    Ok(Attempt::Done(match has_errors {
        true => Outcome::Errors,
        false => Outcome::Clean,
    }))
}

/// The codes of everything that can be printed from the last commit; `None` where there is none, or the files are as it has them.
fn committed(path: &Path, reading: &Reading) -> Result<Option<BTreeSet<Code>>, Trouble> {
    let Some(repository) = Repository::find(path)? else {
        return Ok(None);
    };
    let Some(head) = repository.head()?.filter(|_| repository.has_work_tree()) else {
        return Ok(None);
    };
    let (now, then) = (
        repository.work_tree(Some(reading))?.files,
        repository.files(head)?.files,
    );
    let texts = |files: &FileSet| -> BTreeMap<String, String> {
        let all = files.ids().map(|id| files.get(id));
        all.map(|file| (file.path.clone(), file.text.clone())).collect()
    };
    if texts(&now) == texts(&then) && now.assets() == then.assets() {
        return Ok(None);
    }
    let state = State::at(&repository, head, "HEAD")?;
    Ok(Some(leaves(&state).into_iter().map(|leaf| leaf.code).collect()))
}

/// A closing line; beside findings as JSON it goes where it is in nobody's way.
fn say(args: &Build, text: &str) {
    match args.findings {
        FindingFormat::Text => terminal::summary(text),
        FindingFormat::Json | FindingFormat::Sarif | FindingFormat::Github => terminal::remark(text),
    }
}

/// Says that what lies there from an earlier build is old.
fn remark_old(args: &Build, disk: &dyn Disk, set: &str) {
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
struct Progress {
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
fn print(
    args: &Build,
    disk: &dyn Disk,
    input: &Input,
    shelf: &Shelf,
    stamps: Stamps,
    jobs: &[Job],
    output: &mut Output,
) -> Result<Vec<Finding>, Trouble> {
    let mut sets: BTreeMap<usize, Progress> = BTreeMap::new();
    for job in jobs {
        sets.entry(job.set).or_default().open += 1;
    }
    let claimed: Vec<(String, PathBuf)> = sets
        .keys()
        .map(|set| (shelf.place(*set).id.clone(), shelf.place(*set).on_disk.clone()))
        .collect();
    output.claim(&claimed)?;
    let press = Press {
        args,
        shelf,
        stamps,
        typesetter: press::typesetter(&args.look, disk)?,
        settings: press::settings(&args.look),
        stager: Some(output.stager()),
    };
    for set in sets.keys() {
        output.begin(&shelf.place(*set).id)?;
    }
    let mut troubles: Vec<String> = Vec::new();
    let mut unlike: Vec<Finding> = Vec::new();
    let ran = press::run(
        &args.look,
        jobs,
        |job| source(shelf, job),
        |job| press.print(job),
        |index, result| {
            let job = &jobs[index];
            let Some(progress) = sets.get_mut(&job.set) else {
                return ControlFlow::Continue(());
            };
            progress.open -= 1;
            match result {
                Ok(Ok(printed)) => progress.take(printed),
                Ok(Err(Unprinted::Faulty(words))) => {
                    progress.faults.push(format!("{}: {words}", source(shelf, job)));
                }
                Err(words) => {
                    let source = source(shelf, job);
                    progress
                        .faults
                        .push(format!("{source}: the typesetter stopped: {words}"));
                }
                Ok(Err(Unprinted::Unlike(found))) => {
                    progress.unlike = true;
                    let loaded = shelf.load(job.set);
                    let from = loaded.material().files;
                    unlike.extend(found.into_iter().map(|finding| moved(finding, from, &input.files)));
                }
                Ok(Err(Unprinted::Unwritten(trouble))) => {
                    troubles.push(trouble.0);
                    return ControlFlow::Break(());
                }
            }
            if progress.open > 0 || !progress.faults.is_empty() || progress.unlike {
                return ControlFlow::Continue(());
            }
            let loaded = shelf.load(job.set);
            let present = present(&loaded);
            let documents = std::mem::take(&mut progress.documents);
            let belongs = |entry: &Entry| present.belongs(entry, &documents);
            let files = std::mem::take(&mut progress.files);
            match output.install(&present.set.id, &shelf.place(job.set).on_disk, files, &belongs) {
                Ok(installed) => {
                    progress.installed = Some(installed);
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
    typeset::forget();
    if let Err(Trouble(words)) = ran {
        troubles.push(words);
    }
    for (set, progress) in &mut sets {
        troubles.append(&mut progress.faults);
        tell(args, disk, shelf, *set, progress);
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

/// A finding of one set's files at the same place among all files.
pub fn moved(mut finding: Finding, from: &FileSet, to: &FileSet) -> Finding {
    let labels = std::iter::once(&mut finding.primary).chain(&mut finding.secondary);
    for label in labels {
        let path = &from.get(label.span.file).path;
        if let Some(file) = to.find(path) {
            label.span = Span { file, ..label.span };
        }
    }
    finding
}

impl Progress {
    fn take(&mut self, mut printed: Printed) {
        self.leaves += printed.leaves;
        let entries = printed.files.values();
        self.documents
            .extend(entries.map(|e| (e.document.clone(), e.ending.clone())));
        self.files.append(&mut printed.files);
        self.remarks.append(&mut printed.remarks);
    }
}

/// The file that a document is mostly written in.
pub fn source(shelf: &Shelf, job: &Job) -> String {
    let loaded = shelf.load(job.set);
    let written_in = loaded.material().written_in(loaded.index(), &job.kind);
    escape::word(written_in).into_owned()
}

fn present(loaded: &Loaded) -> Present<'_> {
    let (material, index) = (loaded.material(), loaded.index());
    Present {
        files: material.files,
        set: &material.sets[index],
        facts: &material.facts[index],
    }
}

/// Remarks on a set: what the typesetter had to say, what was removed, what is old.
fn tell(args: &Build, disk: &dyn Disk, shelf: &Shelf, set: usize, progress: &mut Progress) {
    let id = &shelf.place(set).id;
    progress.remarks.sort();
    progress.remarks.dedup();
    progress.remarks.iter().for_each(|remark| terminal::remark(remark));
    let Some(installed) = &progress.installed else {
        if progress.unlike && args.findings == FindingFormat::Text {
            let title = escape::word(&shelf.place(set).title);
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
    let loaded = shelf.load(set);
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
    ];
    let kinds: Vec<String> = kinds.into_iter().flatten().collect();
    match kinds.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => kinds.concat(),
    }
}
