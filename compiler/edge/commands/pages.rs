//! `check --pages`: every document that `build` would write is typeset and read back, and none is written.

use super::checking::{is_refused, nothing_at};
use super::printing::{moved, source};
use crate::domain::counted::counted;
use crate::edge::args::{Build, CardFormat, Check, FindingFormat, Look, Wanted};
use crate::edge::disk::Disk;
use crate::edge::files::Input;
use crate::edge::jobs::{Goes, Press, Stamps, Unprinted};
use crate::edge::maker::Maker;
use crate::edge::progress::Progress;
use crate::edge::shelf::Shelf;
use crate::edge::since::Since;
use crate::edge::{Outcome, Trouble, checked, press, terminal};
use crate::groups::{Groups, in_order};
use std::ops::ControlFlow;
use std::path::PathBuf;

pub fn run(args: &Check, input: &Input, since: Option<&Since>, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let asked = as_build(args);
    let threads = press::threads(&asked.look);
    let groups = Groups::new(&input.files);
    let checked = checked::check(&asked, input, &groups, since, false, threads)?;
    if !checked.any && checked.findings.is_empty() {
        return Err(nothing_at(args));
    }
    let (jobs, mut findings) = (checked.jobs, checked.findings);
    since.iter().for_each(|since| since.tell());
    let shelf = Shelf::new(&groups, checked.places, &asked.wanted.options, threads);
    let press = Press {
        args: &asked,
        shelf: &shelf,
        stamps: Stamps {
            since,
            issues: None,
            committed: None,
        },
        maker: Maker::new(&asked.look, disk)?,
        goes: Goes::Nowhere,
    };
    let (mut leaves, mut troubles) = (0, Vec::new());
    let progress = Progress::new("documents", Some(jobs.len()));
    let mut made = 0;
    let ran = press::run(
        &asked.look,
        &jobs,
        |job| source(&shelf, job),
        |job| press.print(job),
        |index, result| {
            made += 1;
            progress.at(made);
            let Some(job) = jobs.get(index) else {
                return ControlFlow::Continue(());
            };
            match result {
                Ok(Ok(printed)) => leaves += printed.leaves,
                Ok(Err(Unprinted::Unlike(found))) => {
                    let from = shelf.texts(job.set);
                    findings.extend(found.into_iter().map(|finding| moved(finding, &from, &input.files)));
                }
                Ok(Err(Unprinted::Faulty(words))) => troubles.push(format!("{}: {words}", source(&shelf, job))),
                Ok(Err(Unprinted::Unwritten(Trouble(words)))) => troubles.push(words),
                Err(words) => troubles.push(format!("{}: the typesetter stopped: {words}", source(&shelf, job))),
            }
            ControlFlow::Continue(())
        },
    );
    drop(progress);
    press.maker.close();
    in_order(&mut findings);
    terminal::findings(&input.files, &findings, args.format);
    ran?;
    troubles.sort();
    if !troubles.is_empty() {
        return Err(Trouble::new(troubles.join("\n")));
    }
    if is_refused(args, &findings) {
        return Ok(Outcome::Errors);
    }
    if args.format == FindingFormat::Text {
        let documents = counted(jobs.len(), "document", "documents");
        let leaves = counted(leaves, "leaf", "leaves");
        terminal::summary(&format!("{documents} read back, {leaves}; nothing is written"));
    }
    Ok(Outcome::Clean)
}

/// What `build` would be asked.
fn as_build(args: &Check) -> Build {
    Build {
        watch: false,
        wanted: Wanted {
            path: args.path.clone(),
            options: args.options.clone(),
            since: args.since.clone(),
        },
        out: PathBuf::new(),
        format: CardFormat::Pdf,
        ppi: 144,
        two_up: false,
        pocket: false,
        record: false,
        archive: false,
        look: Look {
            paper: args.paper,
            mono: false,
            templates: args.templates.clone(),
            jobs: None,
            longest: args.longest,
            no_cache: args.no_cache,
        },
        today: args.today,
        rev_from_git: false,
        findings: args.format,
    }
}
