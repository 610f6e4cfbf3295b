//! The documents of a build: which there are, and how one of them is made. Cards and what they are made from exist for one document at a
//! time on each thread, so that a big build takes no more memory than a small one.

use super::args::{Build, CardFormat, half_of};
use super::belongs::{made, says};
use super::files::Input;
use super::issue::{self, Issues};
use super::maker::{Maker, Shape, Unmade, trouble};
use super::output::Stager;
use super::output::manifest::{Entry, EntryKind};
use super::shelf::{Material, OneSet, Shelf};
use super::since::Since;
use super::{Trouble, naming};
use crate::cards::card::Identity;
use crate::cards::{Deck, source};
use crate::finding::Finding;
use crate::fingerprint::{Code, code};
use crate::model::{ProcedureId, Set};
use crate::source::{FileId, FileSet, Span, join};
use benchleaf_press::{self as typeset, Assets, Breach, Format, Leaf};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// One document to be printed.
pub struct Job {
    /// Place of its set among all.
    pub set: usize,
    pub kind: Kind,
}

/// Which one.
#[derive(Debug)]
pub enum Kind {
    Card(ProcedureId),
    SetSheet,
    CloseOut,
    Pocket(Vec<ProcedureId>),
    Form(Vec<ProcedureId>),
}

/// What of each set is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wants {
    /// The cards asked for; of a set that is asked for whole, its set sheet and close-out too.
    Cards,
    /// Torques and limits alone.
    Pocket,
    /// What is kept.
    Form,
}

impl Wants {
    pub fn of(args: &Build) -> Wants {
        match (args.pocket, args.record) {
            (true, _) => Wants::Pocket,
            (_, true) => Wants::Form,
            _ => Wants::Cards,
        }
    }
}

impl Material<'_> {
    /// What is to be printed of the sets that are wanted.
    pub fn jobs(&self, what: Wants, input: &Input, wanted: impl Fn(usize) -> bool) -> Vec<Job> {
        let mut jobs = Vec::new();
        for (number, one) in self.each().filter(|(number, _)| wanted(*number)) {
            let kinds = one.documents(what, input).into_iter();
            jobs.extend(kinds.map(|kind| Job { set: number, kind }));
        }
        jobs
    }

    /// What is told of the cards that are wanted and that there are none of for the choices.
    pub fn not_there(&self, input: &Input, wanted: impl Fn(usize) -> bool) -> Vec<String> {
        let mut told = Vec::new();
        for (_, OneSet { set, choices, .. }) in self.each().filter(|(number, _)| wanted(*number)) {
            for (id, procedure) in set.procedures.named() {
                let fits = procedure.only.iter().find(|only| !choices.meets(only));
                if let Some(only) = fits.filter(|_| input.wants(&input.files.get(procedure.file).path)) {
                    let (number, title, when) = (id.number(), &procedure.title, only.words(&set.catalogue));
                    told.push(format!(
                        "{} / {number:02} {title}: only for {when}, so not printed",
                        set.id
                    ));
                }
            }
        }
        told
    }
}

impl<'a> OneSet<'a> {
    fn deck(&self) -> Deck<'a> {
        Deck::new(self.files, self.set, self.facts, self.choices)
    }

    /// What is to be printed of it.
    pub fn documents(&self, what: Wants, input: &Input) -> Vec<Kind> {
        let set = self.set;
        let wants = |file| input.wants(&input.files.get(file).path);
        let there = set.procedures.there(self.choices);
        let procedures: Vec<ProcedureId> = there.filter(|id| wants(set.procedures[*id].file)).collect();
        match what {
            Wants::Cards => {}
            _ if procedures.is_empty() => return Vec::new(),
            Wants::Pocket => return vec![Kind::Pocket(procedures)],
            Wants::Form => return vec![Kind::Form(procedures)],
        }
        let beside = |kind| wants(set.file).then_some(kind);
        let cards = procedures.into_iter().map(Kind::Card);
        let all = beside(Kind::SetSheet).into_iter().chain(cards);
        all.chain(beside(Kind::CloseOut)).collect()
    }

    /// Characters on a leaf that no font has. Each set's words come from its procedures, itself and the shops above it.
    pub fn unprintable(&self, kind: &Kind) -> Vec<Finding> {
        let set = self.set;
        let mut written_in: Vec<FileId> = match kind {
            Kind::Card(procedure) => vec![set.procedures[*procedure].file],
            _ => set.procedures.iter().map(|p| p.file).collect(),
        };
        written_in.push(set.file);
        let deck = self.deck();
        let look = |leaf: &dyn Fn(&[FileId]) -> Vec<Finding>| {
            let found = leaf(&written_in);
            if found.is_empty() {
                return found;
            }
            // Only then is it worth going through the other files.
            let mut everywhere = written_in.clone();
            everywhere.extend(self.files.ids().filter(|id| !written_in.contains(id)));
            leaf(&everywhere)
        };
        match kind {
            Kind::Card(procedure) => {
                let card = deck.card(*procedure);
                look(&|files| typeset::unprintable(self.files, files, &card))
            }
            Kind::SetSheet => {
                let leaf = deck.set_sheet();
                look(&|files| typeset::unprintable(self.files, files, &leaf))
            }
            Kind::CloseOut => {
                let leaf = deck.close_out();
                look(&|files| typeset::unprintable(self.files, files, &leaf))
            }
            Kind::Pocket(procedures) => {
                let leaf = deck.pocket(procedures);
                look(&|files| typeset::unprintable(self.files, files, &leaf))
            }
            Kind::Form(procedures) => {
                let leaf = deck.record_form(procedures);
                look(&|files| typeset::unprintable(self.files, files, &leaf))
            }
        }
    }

    /// The file that a document is mostly written in.
    pub fn written_in(&self, kind: &Kind) -> &'a str {
        let set = self.set;
        let file = match kind {
            Kind::Card(procedure) => set.procedures[*procedure].file,
            Kind::SetSheet | Kind::CloseOut | Kind::Pocket(_) | Kind::Form(_) => set.file,
        };
        &self.files.get(file).path
    }

    /// True for a leaf that is another than it was.
    pub fn must_reissue(&self, kind: &Kind, since: &Since) -> bool {
        let deck = self.deck();
        since.must_reissue(match kind {
            Kind::Card(procedure) => code(&deck.card(*procedure)),
            Kind::SetSheet => code(&deck.set_sheet()),
            Kind::CloseOut => code(&deck.close_out()),
            Kind::Pocket(procedures) => code(&deck.pocket(procedures)),
            Kind::Form(procedures) => code(&deck.record_form(procedures)),
        })
    }
}

/// What is put on cards that their own procedures don't say.
pub struct Stamps<'a> {
    pub since: Option<&'a Since>,
    pub issues: Option<Issues>,
    /// Codes of every leaf that the last commit gives; `None` where all that is printed is in it, or there is none.
    pub committed: Option<BTreeSet<Code>>,
}

/// What every document is printed with.
pub struct Press<'a> {
    pub args: &'a Build,
    pub shelf: &'a Shelf<'a>,
    pub stamps: Stamps<'a>,
    pub maker: Maker<'a>,
    pub goes: Goes<'a>,
}

/// Where the bytes of documents go.
pub enum Goes<'a> {
    /// To the staging folder.
    Staged(Stager<'a>),
    /// To whoever asked.
    Handed,
    /// Nowhere: they are made and thrown away.
    Nowhere,
}

/// What came of one document.
pub struct Printed {
    pub leaves: usize,
    /// Its files in the staging folder, by name.
    pub files: BTreeMap<String, Entry>,
    /// The bytes of its files, if they are handed over.
    pub handed: Vec<Vec<u8>>,
    pub remarks: Vec<String>,
}

/// Why there is no document.
pub enum Unprinted {
    /// The typesetter found fault with it.
    Faulty(String),
    /// What was laid out is not what the leaf says; places are those of the set as the shelf has it.
    Unlike(Vec<Finding>),
    /// Its bytes could not be written.
    Unwritten(Trouble),
}

impl Press<'_> {
    pub fn print(&self, job: &Job) -> Result<Printed, Unprinted> {
        let Some(loaded) = self.shelf.load(job.set) else {
            return Err(Unprinted::Faulty("its set is not there".to_string()));
        };
        let one = loaded.of();
        let (set, deck) = (one.set, one.deck());
        match &job.kind {
            Kind::Card(procedure) => {
                let mut card = deck.card(*procedure);
                issue::stamp(&mut card, set, self.stamps.since, self.stamps.issues.as_ref());
                let id = card.identity.procedure.clone();
                let about = About {
                    kind: EntryKind::Card,
                    procedure: id,
                    code: code(&card).to_string(),
                    says: String::new(),
                    document: naming::numbered(&card.identity),
                    card: Some(*procedure),
                };
                self.leaf(one, card, about)
            }
            Kind::SetSheet => {
                let leaf = deck.set_sheet();
                let about = About::plain(EntryKind::SetSheet, &leaf, naming::numbered(&leaf.identity));
                self.leaf(one, leaf, about)
            }
            Kind::CloseOut => {
                let leaf = deck.close_out();
                let about = About::plain(EntryKind::CloseOut, &leaf, naming::numbered(&leaf.identity));
                self.leaf(one, leaf, about)
            }
            Kind::Pocket(procedures) => {
                let leaf = deck.pocket(procedures);
                let mut about = About::plain(EntryKind::Pocket, &leaf, naming::of_all("pocket", &leaf.identity));
                about.of(procedures, set, &deck);
                let mut printed = self.leaf(one, leaf, about)?;
                if printed.leaves > 1 {
                    let (name, leaves) = (&set.id, printed.leaves);
                    let remark = format!("{name}: torques and limits take {leaves} leaves");
                    printed.remarks.push(remark);
                }
                Ok(printed)
            }
            Kind::Form(procedures) => {
                let leaf = deck.record_form(procedures);
                let mut about = About::plain(EntryKind::Form, &leaf, naming::of_all("record", &leaf.identity));
                about.of(procedures, set, &deck);
                self.leaf(one, leaf, about)
            }
        }
    }

    fn leaf<L: Leaf>(&self, one: OneSet, mut leaf: L, about: About) -> Result<Printed, Unprinted> {
        let (args, set) = (self.args, one.set);
        if let Some(paper) = args.look.paper {
            leaf.identity_mut().paper = paper.name().to_string();
        }
        if args.two_up {
            let half = half_of(&leaf.identity().paper).to_string();
            leaf.identity_mut().paper = half;
        }
        let committed = self.stamps.committed.as_ref();
        leaf.identity_mut().uncommitted = committed.is_some_and(|known| !known.contains(&code(&leaf)));
        let assets = assets(one.files, set, &leaf.figures());
        let (shape, mut name) = (shape(args), about.document.clone());
        if shape.two_up {
            name.push_str(naming::TWO_UP);
        }
        let made = self.maker.make(&leaf, &assets, shape, &format!("{}/{name}", set.id));
        let made = made.map_err(|unmade| match unmade {
            Unmade::Faulty(faults) => Unprinted::Faulty(trouble(&faults).0),
            Unmade::Unlike(breaches) => {
                let finding = |breach| typeset::finding(breach, leaf.identity(), place(set, about.card, breach));
                Unprinted::Unlike(breaches.iter().map(finding).collect())
            }
        })?;
        let (format, count) = (shape.format, made.files.len());
        let mut files = BTreeMap::new();
        for (number, bytes) in made.files.iter().enumerate() {
            let file = naming::file(&name, format, number + 1, count);
            let Goes::Staged(stager) = &self.goes else {
                break;
            };
            let sha256 = stager.stage(&set.id, &file, bytes);
            let entry = about.entry(leaf.identity(), &name, format, sha256.map_err(Unprinted::Unwritten)?);
            files.insert(file, entry);
        }
        let remarks = made.remarks.iter().map(|words| format!("{name}: {words}")).collect();
        Ok(Printed {
            leaves: made.leaves,
            handed: match self.goes {
                Goes::Handed => made.files,
                Goes::Staged(_) | Goes::Nowhere => Vec::new(),
            },
            files,
            remarks,
        })
    }
}

/// How the documents of a build are written.
pub fn shape(args: &Build) -> Shape {
    Shape {
        format: match args.format {
            CardFormat::Pdf if args.archive => Format::PdfArchive,
            CardFormat::Pdf => Format::Pdf,
            CardFormat::Png => Format::Png { ppi: args.ppi },
            CardFormat::Svg => Format::Svg,
        },
        two_up: args.two_up,
    }
}

/// Where that was written which a breach is about.
fn place(set: &Set, procedure: Option<ProcedureId>, breach: &Breach) -> Span {
    source::place(set, procedure, breach.subject.span)
}

/// What a manifest says of a document, before it is laid out.
struct About {
    kind: EntryKind,
    procedure: String,
    code: String,
    says: String,
    /// Its file's name without the ending.
    document: String,
    /// The procedure that it prints, if it prints one.
    card: Option<ProcedureId>,
}

impl About {
    /// A leaf without a code.
    fn plain(kind: EntryKind, leaf: &impl Serialize, document: String) -> About {
        About {
            kind,
            procedure: String::new(),
            code: String::new(),
            says: says(leaf),
            document,
            card: None,
        }
    }

    /// That it is of these procedures of a set.
    fn of(&mut self, procedures: &[ProcedureId], set: &Set, deck: &Deck) {
        match procedures {
            [one] => self.procedure.clone_from(&set.procedures[*one].id),
            // Of some procedures and not all: nobody can tell later of which.
            _ if procedures.len() < deck.procedures().len() => self.says = String::new(),
            _ => {}
        }
    }

    fn entry(&self, identity: &Identity, document: &str, format: Format, sha256: String) -> Entry {
        Entry {
            kind: self.kind,
            procedure: self.procedure.clone(),
            choices: made(&identity.choices),
            code: self.code.clone(),
            says: self.says.clone(),
            document: document.to_string(),
            ending: format.extension().to_string(),
            sha256,
        }
    }
}

/// The pictures that are shown, by the names they have there.
pub fn assets(files: &FileSet, set: &Set, figures: &[String]) -> Assets {
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
