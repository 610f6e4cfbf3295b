//! `build`: checks, then prints every card of every set that has no error. A set is put in place whole, when all of it is printed.

use crate::edge::args::{Build, FindingFormat};
use crate::edge::checked;
use crate::edge::disk::Disk;
use crate::edge::files::{self, Reading};
use crate::edge::git::Repository;
use crate::edge::history::{self, State};
use crate::edge::issue::Issues;
use crate::edge::jobs::Stamps;
use crate::edge::known::{cards, leaves};
use crate::edge::output::Output;
use crate::edge::press::{self, WAITING};
use crate::edge::shelf::Shelf;
use crate::edge::since::Since;
use crate::edge::{Outcome, Trouble, escape, terminal, watch};
use crate::fingerprint::Code;
use crate::groups::Groups;
use crate::source::FileSet;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use super::printing::{hand_over, print, remark_old, say};

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
    let to_stdout = args.out.as_os_str() == "-";
    if to_stdout && (args.watch || args.findings != FindingFormat::Text) {
        return Err(Trouble::new(
            "with `--out -` standard output is the document: no `--watch`, and findings as text",
        ));
    }
    if !jobs.is_empty() && output.is_none() && !to_stdout {
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
    if !jobs.is_empty() {
        let issues = || {
            let repository = history::repository(&args.wanted.path)?;
            let state = State::as_read(&repository, reading.as_ref())?;
            Issues::read(&repository, &cards(&state), None)?.certain()
        };
        let issues = args.rev_from_git.then(issues).transpose()?;
        let since = since.as_ref();
        let stamps = Stamps {
            since,
            issues,
            committed,
        };
        printed = match output {
            Some(mut output) => print(args, disk, &input, &shelf, stamps, jobs, &mut output),
            None => hand_over(args, disk, &input, &shelf, stamps, jobs),
        };
    }
    let blocked = blocked.iter().enumerate().filter(|(_, blocked)| **blocked);
    for place in blocked.filter_map(|(set, _)| shelf.place(set)) {
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
