//! `build`: checks, then prints every card of every set that has no error.

use crate::cards::Deck;
use crate::cards::card::Identity;
use crate::edge::args::{Build, CardFormat, FindingFormat, half_of};
use crate::edge::choices::choices;
use crate::edge::files::Input;
use crate::edge::history::{self, Since};
use crate::edge::issue::{self, Issues};
use crate::edge::press::{self, chosen, trouble};
use crate::edge::{Outcome, Trouble, files, terminal};
use crate::finding::Finding;
use crate::fingerprint::{self, Code};
use crate::model::{Choices, Set};
use crate::source::{FileId, FileSet, join};
use crate::{Compilation, compile};
use benchleaf_press::{self as typeset, Assets, Format, Leaf, Settings, Typesetter};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

pub fn run(args: &Build) -> Result<Outcome, Trouble> {
    let revision = args.wanted.since.as_deref();
    let since = revision
        .map(|revision| Since::read(&args.wanted.path, revision))
        .transpose()?;
    print_cards(args, since.as_ref(), false)
}

/// The cards that are others than they were at a revision, and no more.
pub fn reissue(args: &Build, since: &Since) -> Result<Outcome, Trouble> {
    print_cards(args, Some(since), true)
}

fn print_cards(args: &Build, since: Option<&Since>, changed_only: bool) -> Result<Outcome, Trouble> {
    let input = files::read(&args.wanted.path)?;
    let mut compilation = compile(&input.files);
    let choices = choices(&compilation.model, &args.wanted.options)?;
    let mut unprintable = {
        let decks = decks(&input.files, &compilation, &choices);
        unprintable(&input.files, &jobs(args, &input, &decks))
    };
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
    terminal::findings(&input.files, &compilation.findings, args.findings);
    if compilation.model.sets.iter().all(|s| s.procedures.is_empty()) && compilation.findings.is_empty() {
        let place = args.wanted.path.display();
        return Err(Trouble::new(format!("there is no procedure at {place}")));
    }
    let decks = decks(&input.files, &compilation, &choices);
    let mut jobs = jobs(args, &input, &decks);
    if let Some(since) = since.filter(|_| changed_only) {
        jobs.retain(|job| job.must_reissue(since));
        if jobs.is_empty() && !compilation.has_errors() {
            terminal::say("no card must be printed again");
        }
    }
    if !jobs.is_empty() {
        let issues = || Issues::read(&history::repository(&args.wanted.path)?)?.certain();
        let issues = args.issue_from_git.then(issues).transpose()?;
        let stamps = Stamps { since, issues };
        print(args, &input.files, stamps, &jobs)?;
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

/// What is to be printed: the cards asked for, and the close-out of each set that is asked for whole; or their pocket leaves.
fn jobs<'a>(args: &Build, input: &Input, decks: &'a [Deck<'a>]) -> Vec<Job<'a>> {
    let mut jobs = Vec::new();
    for deck in decks {
        let wanted = |file| input.wants(&input.files.get(file).path);
        let procedures = deck.set().procedures.iter().enumerate();
        let positions: Vec<usize> = procedures.filter(|(_, p)| wanted(p.file)).map(|(n, _)| n).collect();
        if args.pocket {
            let kind = Kind::Pocket(positions);
            jobs.push(Job { deck, kind });
            continue;
        }
        let codes = fingerprint::of_cards(&input.files, deck.set(), deck.facts(), deck.choices());
        for position in positions {
            let Some(code) = codes.get(position).copied() else {
                continue;
            };
            let kind = Kind::Card(position, code);
            jobs.push(Job { deck, kind });
        }
        if wanted(deck.set().file) {
            let kind = Kind::CloseOut;
            jobs.push(Job { deck, kind });
        }
    }
    jobs.retain(|job| !matches!(&job.kind, Kind::Pocket(positions) if positions.is_empty()));
    jobs
}

/// Characters on these leaves that no font has. Each set's words come from its procedures, itself and the shops above it.
fn unprintable(files: &FileSet, jobs: &[Job]) -> Vec<Finding> {
    let find = |job: &Job| {
        let set = job.deck.set();
        let mut written_in: Vec<FileId> = match &job.kind {
            Kind::Card(position, _) => vec![set.procedures[*position].file],
            _ => set.procedures.iter().map(|p| p.file).collect(),
        };
        written_in.push(set.file);
        written_in.extend(files.ids().filter(|id| !written_in.contains(id)).collect::<Vec<_>>());
        match &job.kind {
            Kind::Card(position, _) => typeset::unprintable(files, &written_in, &job.deck.card(*position)),
            Kind::CloseOut => typeset::unprintable(files, &written_in, &job.deck.close_out()),
            Kind::Pocket(positions) => typeset::unprintable(files, &written_in, &job.deck.pocket(positions)),
        }
    };
    jobs.par_iter().flat_map_iter(find).collect()
}

/// One document to be printed.
struct Job<'a> {
    deck: &'a Deck<'a>,
    kind: Kind,
}

impl Job<'_> {
    /// True for a card that is another than it was; the other leaves carry no code that could be out of date.
    fn must_reissue(&self, since: &Since) -> bool {
        match self.kind {
            Kind::Card(position, code) => since.must_reissue(self.deck.set(), position, code, self.deck.choices()),
            Kind::CloseOut | Kind::Pocket(_) => false,
        }
    }
}

/// Which one: positions are those of the set's order.
enum Kind {
    /// With its check code.
    Card(usize, Code),
    CloseOut,
    Pocket(Vec<usize>),
}

/// Typesets and writes every card, one at a time on each core: a card is dropped before the next is begun.
fn print(args: &Build, files: &FileSet, stamps: Stamps, jobs: &[Job]) -> Result<(), Trouble> {
    let typesetter = press::typesetter(&args.look)?;
    let settings = press::settings(&args.look);
    let press = Press {
        args,
        files,
        stamps,
        typesetter,
        settings,
    };
    let results: Vec<Result<Printed, Trouble>> = jobs.par_iter().map(|job| press.print(job)).collect();
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
    let (leaf, out) = (if leaves == 1 { "leaf" } else { "leaves" }, args.out.display());
    terminal::say(&format!("{}, {leaves} {leaf} in {out}", counted(jobs)));
    Ok(())
}

/// `16 cards and 3 close-outs`.
fn counted(jobs: &[Job]) -> String {
    let count = |is: fn(&Kind) -> bool, name: &str| match jobs.iter().filter(|job| is(&job.kind)).count() {
        0 => None,
        1 => Some(format!("1 {name}")),
        n => Some(format!("{n} {name}s")),
    };
    let kinds = [
        count(|kind| matches!(kind, Kind::Card(..)), "card"),
        count(|kind| matches!(kind, Kind::CloseOut), "close-out"),
        count(|kind| matches!(kind, Kind::Pocket(_)), "pocket card"),
    ];
    kinds.into_iter().flatten().collect::<Vec<_>>().join(" and ")
}

/// What came of one document.
struct Printed {
    leaves: usize,
    remarks: Vec<String>,
}

/// What is put on cards that their own procedures don't say.
struct Stamps<'a> {
    since: Option<&'a Since>,
    issues: Option<Issues>,
}

/// What every document is printed with.
struct Press<'a> {
    args: &'a Build,
    files: &'a FileSet,
    stamps: Stamps<'a>,
    typesetter: Typesetter,
    settings: Settings,
}

impl Press<'_> {
    fn print(&self, job: &Job) -> Result<Printed, Trouble> {
        let set = job.deck.set();
        match &job.kind {
            Kind::Card(position, code) => {
                let mut card = job.deck.card(*position);
                issue::stamp(&mut card, set, *code, self.stamps.since, self.stamps.issues.as_ref());
                self.leaf(set, card, numbered)
            }
            Kind::CloseOut => self.leaf(set, job.deck.close_out(), numbered),
            Kind::Pocket(positions) => {
                let mut printed = self.leaf(set, job.deck.pocket(positions), pocket_name)?;
                if printed.leaves > 1 {
                    let (name, leaves) = (&set.id, printed.leaves);
                    printed
                        .remarks
                        .push(format!("{name}: torques and limits take {leaves} leaves"));
                }
                Ok(printed)
            }
        }
    }

    fn leaf<L: Leaf>(&self, set: &Set, mut leaf: L, name: fn(&Identity) -> String) -> Result<Printed, Trouble> {
        let args = self.args;
        if let Some(paper) = args.look.paper {
            leaf.identity_mut().paper = paper.name().to_string();
        }
        if args.two_up {
            let half = half_of(&leaf.identity().paper).to_string();
            leaf.identity_mut().paper = half;
        }
        let assets = assets(self.files, set, &leaf.figures());
        let document = self.typesetter.typeset(&leaf, &assets, &self.settings);
        let document = document.map_err(|faults| trouble(&faults))?;
        let format = match args.format {
            CardFormat::Pdf if args.archive => Format::PdfArchive,
            CardFormat::Pdf => Format::Pdf,
            CardFormat::Png => Format::Png { ppi: args.ppi },
            CardFormat::Svg => Format::Svg,
        };
        let mut name = name(leaf.identity()) + &chosen(leaf.identity());
        let outputs = if args.two_up {
            name.push_str("-two-up");
            document.two_up().and_then(|sheets| sheets.export(format))
        } else {
            document.export(format)
        };
        let outputs = outputs.map_err(|faults| trouble(&faults))?;
        let folder = args.out.join(&leaf.identity().set);
        for (leaf, bytes) in outputs.iter().enumerate() {
            files::write(&output_path(&folder, &name, format, leaf + 1), bytes)?;
        }
        let remarks = document.warnings.iter().map(|w| format!("{name}: {w}")).collect();
        Ok(Printed {
            leaves: document.leaves(),
            remarks,
        })
    }
}

/// The pictures that are shown, by the names they have there.
fn assets(files: &FileSet, set: &Set, figures: &[String]) -> Assets {
    let mut assets = Assets::default();
    for path in figures {
        let full = join(&set.folder, path).unwrap_or_else(|| path.clone());
        // A set at an absolute place has an absolute folder, which joining takes the slash off.
        let bytes = [full.clone(), format!("/{full}"), path.clone()]
            .iter()
            .find_map(|p| files.assets().get(p))
            .cloned();
        if let Some(bytes) = bytes {
            assets.insert(path.as_str(), bytes);
        }
    }
    assets
}

/// `02-strip`
fn numbered(identity: &Identity) -> String {
    format!("{:02}-{}", identity.position, identity.procedure)
}

/// `pocket`, or `pocket-strip` for one procedure.
fn pocket_name(identity: &Identity) -> String {
    match identity.procedure.as_str() {
        "pocket" => "pocket".to_string(),
        procedure => format!("pocket-{procedure}"),
    }
}

fn output_path(folder: &Path, name: &str, format: Format, leaf: usize) -> PathBuf {
    match format {
        Format::Pdf | Format::PdfArchive => folder.join(format!("{name}.pdf")),
        other => folder.join(format!("{name}-{leaf}.{}", other.extension())),
    }
}
