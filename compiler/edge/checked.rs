//! What a build knows of all sets before it prints: what is wrong, and which documents there will be. Parts of the input that know nothing of
//! each other are checked beside each other, and of each no more is kept than that.

use super::args::Build;
use super::choices::Asked;
use super::files::Input;
use super::jobs::{Job, Wants};
use super::shelf::{Material, Place};
use super::since::Since;
use super::{Trouble, escape, queue, terminal};
use crate::check::calibration_over;
use crate::finding::{Finding, Severity};
use crate::groups::{Groups, in_order};
use std::ops::ControlFlow;

/// Of every set, in the order of their files.
pub struct Checked {
    pub findings: Vec<Finding>,
    pub places: Vec<Place>,
    /// True of each set that can't be printed.
    pub blocked: Vec<bool>,
    pub jobs: Vec<Job>,
    /// True if there is a procedure anywhere.
    pub any: bool,
}

impl Checked {
    /// True if there is a finding at error level.
    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|f| f.severity() == Severity::Error)
    }
}

/// One part of the input.
struct Part {
    findings: Vec<Finding>,
    sets: Vec<(Place, bool, Vec<Job>)>,
    asked: Asked,
    any: bool,
}

/// Checks every part, on so many threads.
///
/// # Errors
/// If an option is asked for that there isn't, or there is no thread to work on.
pub fn check(
    args: &Build,
    input: &Input,
    groups: &Groups,
    since: Option<&Since>,
    changed_only: bool,
    threads: usize,
) -> Result<Checked, Trouble> {
    let numbers: Vec<usize> = (0..groups.count()).collect();
    let mut parts: Vec<(usize, Part)> = Vec::with_capacity(numbers.len());
    let mut troubles: Vec<(usize, String)> = Vec::new();
    queue::run(
        threads,
        &numbers,
        |number| part(args, input, groups, *number, since, changed_only),
        |number, result| {
            match result {
                Ok(Ok(part)) => parts.push((number, part)),
                Ok(Err(Trouble(words))) => troubles.push((number, words)),
                Err(words) => {
                    let first = groups.files(number).ids().next();
                    let place = first.map_or("", |id| input.files.get(id).path.as_str());
                    troubles.push((number, format!("{}: the check stopped: {words}", escape::word(place))));
                }
            }
            ControlFlow::Continue(())
        },
    )?;
    if let Some((_, words)) = troubles.into_iter().min() {
        return Err(Trouble::new(words));
    }
    let (mut asked, mut findings, mut sets) = (Asked::default(), Vec::new(), Vec::new());
    let mut any = false;
    for (_, mut part) in parts {
        asked.join(part.asked);
        findings.append(&mut part.findings);
        sets.append(&mut part.sets);
        any |= part.any;
    }
    asked.known(&args.wanted.options)?;
    in_order(&mut findings);
    sets.sort_by_key(|(place, ..)| place.file);
    let mut checked = Checked {
        findings,
        places: Vec::with_capacity(sets.len()),
        blocked: Vec::with_capacity(sets.len()),
        jobs: Vec::new(),
        any,
    };
    for (number, (place, blocked, jobs)) in sets.into_iter().enumerate() {
        checked.places.push(place);
        checked.blocked.push(blocked);
        checked
            .jobs
            .extend(jobs.into_iter().map(|job| Job { set: number, ..job }));
    }
    Ok(checked)
}

fn part(
    args: &Build,
    input: &Input,
    groups: &Groups,
    number: usize,
    since: Option<&Since>,
    changed_only: bool,
) -> Result<Part, Trouble> {
    let files = &groups.files(number);
    let mut compilation = groups.compile(number);
    let mut asked = Asked::default();
    let choices = compilation.model.sets.iter();
    let choices = choices.map(|set| asked.choose(set, &args.wanted.options));
    let choices = choices.collect::<Result<Vec<_>, _>>()?;
    let material = Material {
        files,
        sets: &compilation.model.sets,
        facts: &compilation.facts,
        choices: &choices,
    };
    let whole = |set: usize| material.of(set).is_some_and(|one| !compilation.blocks(files, one.set));
    let mut jobs = material.jobs(Wants::of(args), input, whole);
    for told in material.not_there(input, whole) {
        terminal::remark(&told);
    }
    let mut more = material.unprintable(input, whole);
    if let Some(since) = since {
        more.extend(since.not_raised(&compilation));
    }
    if let Some(today) = args.today {
        more.extend(calibration_over::check(&compilation.model, &compilation.facts, today));
    }
    if let Some(since) = since.filter(|_| changed_only) {
        jobs.retain(|job| {
            material
                .of(job.set)
                .is_some_and(|one| one.must_reissue(&job.kind, since))
        });
    }
    compilation.findings.append(&mut more);
    in_order(&mut compilation.findings);
    let mut sets: Vec<(Place, bool, Vec<Job>)> = Vec::new();
    for set in &compilation.model.sets {
        let place = Place {
            file: set.file,
            id: set.id.clone(),
            title: set.title.clone(),
            on_disk: input.on_disk(&set.folder),
        };
        sets.push((place, compilation.blocks(files, set), Vec::new()));
    }
    for job in jobs {
        if let Some((_, false, of_set)) = sets.get_mut(job.set) {
            of_set.push(job);
        }
    }
    Ok(Part {
        any: compilation.model.sets.iter().any(|set| !set.procedures.is_empty()),
        findings: compilation.findings,
        sets,
        asked,
    })
}
