//! A set that a machine made up, through its cards and the typesetter to the reader of leaves. Where checking finds nothing that keeps it from
//! being printed, every leaf is laid out: the template doesn't stop, no leaf loses anything or has ink that is nobody's, and it becomes a PDF. What is
//! too much for a leaf is told (too large a table, too long a word), and that is an answer.

use crate::harness::fuzz::targets;
use crate::harness::{check, fuzz};
use benchleaf_core::cards::Deck;
use benchleaf_core::model::{Choices, Set};
use benchleaf_core::source::FileSet;
use benchleaf_press::{Assets, BreachKind, Format, Leaf, Settings, Typesetter, forget_beside, unprintable};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// As it is called among the targets.
pub const NAME: &str = "leaves";

/// Leaves of a text that are laid out; each takes tenths of a second.
const MOST: usize = 3;

/// Papers to choose among: the small ones, where things break.
const PAPERS: [&str; 3] = ["half-letter", "a5", "a4"];

static TYPESETTER: LazyLock<Typesetter> =
    LazyLock::new(|| Typesetter::new(&BTreeMap::new()).unwrap_or_else(|faults| panic!("{faults:?}")));

/// What it starts from: sets that are no longer than what is printed within a second or two.
pub fn seeds() -> Vec<String> {
    let all = fuzz::seeds::seeds(fuzz::Target::Set).into_iter();
    all.filter(|text| text.len() < 8 << 10).collect()
}

/// What came of a text.
#[derive(Debug, Default, Clone, Copy)]
pub struct Printed {
    /// Leaves that were laid out.
    pub laid: usize,
    /// Those of which the reader told that something is too much.
    pub told: usize,
}

/// The pictures of a leaf, as a build finds them.
fn assets(files: &FileSet, set: &Set, figures: &[String]) -> Assets {
    let mut assets = Assets::default();
    for path in figures {
        let full = format!("{}/{path}", set.folder);
        let found = [full.trim_start_matches('/'), path.as_str()]
            .iter()
            .find_map(|path| files.assets().get(*path));
        if let Some(bytes) = found {
            assets.insert(path.as_str(), bytes.clone());
        }
    }
    assets
}

/// Prints what can be printed of a text.
///
/// # Errors
/// What is not as it must be.
pub fn hold(text: &str) -> Result<Printed, String> {
    let checked = check(&targets::files(text));
    let mut printed = Printed::default();
    // What is asked of a text must hang on it alone.
    let turn = text
        .bytes()
        .fold(0_usize, |sum, byte| sum.wrapping_mul(31).wrapping_add(byte.into()));
    for (set, facts) in checked.compilation.model.sets.iter().zip(&checked.compilation.facts) {
        if checked.compilation.blocks(&checked.files, set) {
            continue;
        }
        let choices = Choices::defaults(&set.catalogue);
        let deck = Deck::new(&checked.files, set, facts, &choices);
        let all = deck.procedures();
        if all.is_empty() {
            // A build prints nothing of it.
            continue;
        }
        let lay = |leaf: &mut dyn FnMut() -> Result<bool, String>, printed: &mut Printed| {
            if printed.laid < MOST {
                printed.laid += 1;
                printed.told += usize::from(leaf()?);
            }
            Ok::<(), String>(())
        };
        let paper = PAPERS[turn % PAPERS.len()];
        let page = Page {
            files: &checked.files,
            set,
            paper,
        };
        match turn / 3 % 5 {
            0 => lay(&mut || page.lay(deck.set_sheet()), &mut printed)?,
            1 => lay(&mut || page.lay(deck.close_out()), &mut printed)?,
            2 => lay(&mut || page.lay(deck.pocket(&all)), &mut printed)?,
            3 => lay(&mut || page.lay(deck.record_form(&all)), &mut printed)?,
            _ => {}
        }
        for id in &all {
            lay(&mut || page.lay(deck.card(*id)), &mut printed)?;
        }
    }
    Ok(printed)
}

/// Where leaves are laid out.
struct Page<'a> {
    files: &'a FileSet,
    set: &'a Set,
    paper: &'a str,
}

impl Page<'_> {
    /// Lays a leaf out; true if it is too much for the paper.
    fn lay<L: Leaf>(&self, mut leaf: L) -> Result<bool, String> {
        leaf.identity_mut().paper = self.paper.to_string();
        let name = format!("“{}” on {}", leaf.identity().title.english(), self.paper);
        let every: Vec<_> = self.files.ids().collect();
        if !unprintable(self.files, &every, &leaf).is_empty() {
            // A character that no font has is told before anything is laid out.
            return Ok(false);
        }
        let figures = leaf.figures();
        let assets = assets(self.files, self.set, &figures);
        let made = TYPESETTER.typeset(&leaf, &assets, &Settings::default());
        // Or every leaf would stay in memory.
        forget_beside(2);
        let document = match made {
            Ok(document) => document,
            // Its pictures are no part of such a text.
            Err(faults) if faults.iter().all(|fault| figures.contains(&fault.file)) => return Ok(false),
            Err(faults) => return Err(format!("{name} stops: {faults:?}")),
        };
        let grave = |kind| matches!(kind, BreachKind::Lost | BreachKind::Unowned);
        if let Some(breach) = document.breaches.iter().find(|breach| grave(breach.kind)) {
            return Err(format!(
                "{name}, leaf {}: {:?}: {}",
                breach.leaf, breach.kind, breach.words
            ));
        }
        if !document.breaches.is_empty() {
            return Ok(true);
        }
        let pdf = document
            .export(Format::Pdf)
            .map_err(|fault| format!("{name}: {fault:?}"))?;
        match pdf.iter().all(|bytes| bytes.starts_with(b"%PDF-")) {
            true => Ok(false),
            false => Err(format!("{name} is no PDF")),
        }
    }
}
