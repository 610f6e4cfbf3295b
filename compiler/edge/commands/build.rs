//! `build`: checks, then prints every card of every set that has no error.

use crate::cards::{self, card::Card};
use crate::check::Facts;
use crate::edge::args::{Build, CardFormat, FindingFormat};
use crate::edge::choices::choices;
use crate::edge::files::Input;
use crate::edge::history::{self, Since};
use crate::edge::walk::Issues;
use crate::edge::{Outcome, Trouble, files, terminal};
use crate::finding::Finding;
use crate::model::{Choices, Set};
use crate::readers::fingerprint::{self, Code};
use crate::source::{FileSet, join};
use crate::typeset::{self, Assets, Fault, Format, Settings, Typesetter, figures};
use crate::{Compilation, compile};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

pub fn run(args: &Build) -> Result<Outcome, Trouble> {
    let since = since(args)?;
    print_cards(args, since.as_ref(), false)
}

/// The cards that are others than they were at a revision, and no more.
pub fn reissue(args: &Build, since: &Since) -> Result<Outcome, Trouble> {
    print_cards(args, Some(since), true)
}

fn since(args: &Build) -> Result<Option<Since>, Trouble> {
    let revision = args.wanted.since.as_deref();
    revision
        .map(|revision| Since::read(&args.wanted.path, revision))
        .transpose()
}

fn issues(args: &Build) -> Result<Issues, Trouble> {
    Issues::read(&history::repository(&args.wanted.path)?)
}

fn print_cards(args: &Build, since: Option<&Since>, changed_only: bool) -> Result<Outcome, Trouble> {
    let input = files::read(&args.wanted.path)?;
    let mut compilation = compile(&input.files);
    let choices = choices(&compilation.model, &args.wanted.options)?;
    let mut unprintable = unprintable(&input.files, &jobs(&input, &compilation, &choices));
    compilation.findings.append(&mut unprintable);
    if let Some(since) = since {
        compilation.findings.extend(since.not_raised(&compilation));
        since
            .remarks()
            .iter()
            .for_each(|remark| terminal::remark(&format!("note: {remark}")));
    }
    compilation.findings.sort_by(Finding::order);
    compilation.findings.dedup();
    terminal::findings(&input.files, &compilation, args.findings);
    if compilation.model.sets.iter().all(|s| s.procedures.is_empty()) && compilation.findings.is_empty() {
        let place = args.wanted.path.display();
        return Err(Trouble::new(format!("there is no procedure at {place}")));
    }
    let mut jobs = jobs(&input, &compilation, &choices);
    if let Some(since) = since.filter(|_| changed_only) {
        jobs.retain(|job| since.must_reissue(job.set, job.position, job.code, job.choices));
        if jobs.is_empty() && !compilation.has_errors() {
            terminal::say("no card must be printed again");
        }
    }
    if !jobs.is_empty() {
        let issues = args.issue_from_git.then(|| issues(args)).transpose()?;
        print(args, &input.files, &jobs, since, issues.as_ref())?;
    }
    if !compilation.has_errors() {
        return Ok(Outcome::Clean);
    }
    for set in &compilation.model.sets {
        if compilation.blocks(&input.files, set) && args.findings == FindingFormat::Human {
            terminal::remark(&format!("{}: no card is printed from a set with errors", set.title));
        }
    }
    Ok(Outcome::Errors)
}

/// The cards asked for of every set that has no error.
fn jobs<'a>(input: &Input, compilation: &'a Compilation, choices: &'a [Choices]) -> Vec<Job<'a>> {
    let mut jobs = Vec::new();
    let sets = compilation.model.sets.iter().zip(&compilation.facts).zip(choices);
    for ((set, facts), choices) in sets {
        if compilation.blocks(&input.files, set) {
            continue;
        }
        let codes = fingerprint::of_cards(&input.files, set, facts, choices);
        for ((position, procedure), code) in set.procedures.iter().enumerate().zip(codes) {
            if input.wants(&input.files.get(procedure.file).path) {
                jobs.push(Job {
                    set,
                    facts,
                    choices,
                    position,
                    code,
                });
            }
        }
    }
    jobs
}

/// Characters on these cards that no font has. Each set's words come from its procedures, itself and the shops above it.
fn unprintable(files: &FileSet, jobs: &[Job]) -> Vec<Finding> {
    let find = |job: &Job| {
        let mut written_in = vec![job.set.procedures[job.position].file, job.set.file];
        written_in.extend(files.ids().filter(|id| !written_in.contains(id)).collect::<Vec<_>>());
        typeset::unprintable(files, &written_in, &job.card(files))
    };
    jobs.par_iter().flat_map_iter(find).collect()
}

/// One card to be printed.
struct Job<'a> {
    set: &'a Set,
    facts: &'a Facts,
    choices: &'a Choices,
    position: usize,
    code: Code,
}

impl Job<'_> {
    fn card(&self, files: &FileSet) -> Card {
        cards::card(files, self.set, self.facts, self.position, self.choices)
    }
}

/// Typesets and writes every card, one at a time on each core: a card is dropped before the next is begun.
fn print(
    args: &Build,
    files: &FileSet,
    jobs: &[Job],
    since: Option<&Since>,
    issues: Option<&Issues>,
) -> Result<(), Trouble> {
    let user = args
        .templates
        .as_deref()
        .map_or_else(|| Ok(BTreeMap::new()), files::tree)?;
    let typesetter = Typesetter::new(&user).map_err(|faults| trouble(&faults))?;
    let settings = Settings {
        colour: !args.mono,
        ..Settings::default()
    };
    let results: Vec<Result<Printed, Trouble>> = jobs
        .par_iter()
        .map(|job| {
            let mut card = job.card(files);
            history::stamp(&mut card, job.set, job.code, since, issues);
            print_one(args, files, &typesetter, &settings, job, card)
        })
        .collect();
    let mut leaves = 0;
    let mut remarks = Vec::new();
    for result in results {
        let printed = result?;
        leaves += printed.leaves;
        remarks.extend(printed.remarks);
    }
    remarks.sort();
    remarks.dedup();
    remarks.iter().for_each(|r| terminal::remark(r));
    let (cards, plural) = (jobs.len(), if jobs.len() == 1 { "" } else { "s" });
    terminal::say(&format!(
        "{cards} card{plural}, {leaves} leaves in {}",
        args.out.display()
    ));
    Ok(())
}

/// What came of one card.
struct Printed {
    leaves: usize,
    remarks: Vec<String>,
}

fn print_one(
    args: &Build,
    files: &FileSet,
    typesetter: &Typesetter,
    settings: &Settings,
    job: &Job,
    mut card: Card,
) -> Result<Printed, Trouble> {
    if let Some(paper) = args.paper {
        card.identity.paper = paper.name().to_string();
    }
    let assets = assets(files, job.set, &card);
    let document = typesetter
        .typeset(&card, &assets, settings)
        .map_err(|faults| trouble(&faults))?;
    let format = match args.format {
        CardFormat::Pdf => Format::Pdf,
        CardFormat::Png => Format::Png { ppi: args.ppi },
        CardFormat::Svg => Format::Svg,
    };
    let outputs = document.export(format).map_err(|faults| trouble(&faults))?;
    let name = file_name(&card);
    let folder = args.out.join(&card.identity.set);
    for (leaf, bytes) in outputs.iter().enumerate() {
        files::write(&output_path(&folder, &name, format, leaf + 1), bytes)?;
    }
    let remarks = document.warnings.iter().map(|w| format!("{name}: {w}")).collect();
    Ok(Printed {
        leaves: document.leaves(),
        remarks,
    })
}

/// The pictures a card shows, by the name it has for them.
fn assets(files: &FileSet, set: &Set, card: &Card) -> Assets {
    let mut assets = Assets::default();
    for path in figures(card) {
        let full = join(&set.folder, &path).unwrap_or_else(|| path.clone());
        // A set at an absolute place has an absolute folder, which joining takes the slash off.
        let bytes = [full.clone(), format!("/{full}"), path.clone()]
            .iter()
            .find_map(|p| files.assets().get(p))
            .cloned();
        if let Some(bytes) = bytes {
            assets.insert(path, bytes);
        }
    }
    assets
}

/// `02-strip`, and the choices that somebody made after it, so that two choices don't overwrite each other.
fn file_name(card: &Card) -> String {
    let identity = &card.identity;
    let mut name = format!("{:02}-{}", identity.position, identity.procedure);
    for choice in identity.choices.iter().filter(|c| !c.default) {
        name.push_str(&format!("+{}={}", choice.option, choice.value));
    }
    name
}

fn output_path(folder: &Path, name: &str, format: Format, leaf: usize) -> PathBuf {
    match format {
        Format::Pdf => folder.join(format!("{name}.pdf")),
        other => folder.join(format!("{name}-{leaf}.{}", other.extension())),
    }
}

fn trouble(faults: &[Fault]) -> Trouble {
    Trouble::new(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
}
