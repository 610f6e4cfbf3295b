//! `build`: checks, then prints every card of every set that has no error.

use crate::cards::Deck;
use crate::cards::card::Card;
use crate::edge::args::{Build, CardFormat, FindingFormat};
use crate::edge::files::Input;
use crate::edge::{Outcome, Trouble, files, terminal};
use crate::finding::Finding;
use crate::finding::did_you_mean;
use crate::model::{Choices, Model, Set};
use crate::source::{FileSet, join};
use crate::typeset::{self, Assets, Fault, Format, Settings, Typesetter, figures};
use crate::{Compilation, compile};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

pub fn run(args: &Build) -> Result<Outcome, Trouble> {
    let input = files::read(&args.path)?;
    let mut compilation = compile(&input.files);
    let choices = choices(&compilation.model, &args.options)?;
    let mut unprintable = {
        let decks = decks(&input.files, &compilation, &choices);
        unprintable(&input.files, &jobs(&input, &decks))
    };
    compilation.findings.append(&mut unprintable);
    compilation.findings.sort_by(Finding::order);
    compilation.findings.dedup();
    terminal::findings(&input.files, &compilation, args.findings);
    if compilation.model.sets.iter().all(|s| s.procedures.is_empty()) && compilation.findings.is_empty() {
        let place = args.path.display();
        return Err(Trouble::new(format!("there is no procedure at {place}")));
    }
    let decks = decks(&input.files, &compilation, &choices);
    let jobs = jobs(&input, &decks);
    if !jobs.is_empty() {
        print(args, &input.files, &jobs)?;
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

/// The decks of the sets that have no error, in the model's order.
fn decks<'a>(files: &'a FileSet, compilation: &'a Compilation, choices: &'a [Choices]) -> Vec<Deck<'a>> {
    let sets = compilation.model.sets.iter().zip(&compilation.facts).zip(choices);
    let whole = sets.filter(|((set, _), _)| !compilation.blocks(files, set));
    whole
        .map(|((set, facts), choices)| Deck::new(files, set, facts, choices))
        .collect()
}

/// The cards asked for.
fn jobs<'a>(input: &Input, decks: &'a [Deck<'a>]) -> Vec<Job<'a>> {
    let mut jobs = Vec::new();
    for deck in decks {
        for (position, procedure) in deck.set().procedures.iter().enumerate() {
            if input.wants(&input.files.get(procedure.file).path) {
                jobs.push(Job { deck, position });
            }
        }
    }
    jobs
}

/// Characters on these cards that no font has. Each set's words come from its procedures, itself and the shops above it.
fn unprintable(files: &FileSet, jobs: &[Job]) -> Vec<Finding> {
    let find = |job: &Job| {
        let mut written_in = vec![job.deck.set().procedures[job.position].file, job.deck.set().file];
        written_in.extend(files.ids().filter(|id| !written_in.contains(id)).collect::<Vec<_>>());
        typeset::unprintable(files, &written_in, &job.card())
    };
    jobs.par_iter().flat_map_iter(find).collect()
}

/// One card to be printed.
struct Job<'a> {
    deck: &'a Deck<'a>,
    position: usize,
}

impl Job<'_> {
    fn card(&self) -> Card {
        self.deck.card(self.position)
    }
}

/// The choices of every set, in the model's order.
fn choices(model: &Model, options: &[(String, String)]) -> Result<Vec<Choices>, Trouble> {
    let mut all: Vec<Choices> = model.sets.iter().map(|s| Choices::defaults(&s.catalogue)).collect();
    for (option, value) in options {
        let mut known = false;
        for (set, choices) in model.sets.iter().zip(&mut all) {
            known |= choices.choose(&set.catalogue, option, value).map_err(|fault| {
                let values = fault.values.join(", ");
                Trouble::new(format!(
                    "option `{}` of {} takes {values}, not `{}`",
                    fault.option, set.title, fault.value
                ))
            })?;
        }
        if !known {
            let ids = model
                .sets
                .iter()
                .flat_map(|s| s.catalogue.options.iter().map(|(_, d)| d.id.text.as_str()));
            let near = did_you_mean(option, ids).map_or_else(String::new, |n| format!("; did you mean `{n}`?"));
            return Err(Trouble::new(format!("no set here has an option `{option}`{near}")));
        }
    }
    Ok(all)
}

/// Typesets and writes every card, one at a time on each core: a card is dropped before the next is begun.
fn print(args: &Build, files: &FileSet, jobs: &[Job]) -> Result<(), Trouble> {
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
        .map(|job| print_one(args, files, &typesetter, &settings, job))
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
) -> Result<Printed, Trouble> {
    let mut card = job.card();
    if let Some(paper) = args.paper {
        card.identity.paper = paper.name().to_string();
    }
    let assets = assets(files, job.deck.set(), &card);
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
