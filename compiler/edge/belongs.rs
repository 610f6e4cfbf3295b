//! What has become of a file that an earlier build wrote: whether a build of the set as it is now would write it, and whether it would
//! say the same.

use super::naming::{self, TWO_UP};
use super::output::manifest::{Entry, EntryKind, digest};
use crate::cards::{self, Deck};
use crate::check::Facts;
use crate::fingerprint;
use crate::model::{Choices, ProcedureId, Set};
use crate::source::FileSet;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A set as it is now.
#[derive(Clone, Copy)]
pub struct Present<'a> {
    pub files: &'a FileSet,
    pub set: &'a Set,
    pub facts: &'a Facts,
}

/// Documents just printed, by name and ending.
pub type Printed = BTreeSet<(String, String)>;

/// What stands where a file of an earlier build was.
struct Now {
    document: String,
    code: String,
    says: String,
}

impl Present<'_> {
    /// True if a build of the set as it is now, for some choices, would write this file. A leaf of a document that was just printed
    /// and isn't among its files is one beyond the last.
    pub fn belongs(&self, entry: &Entry, printed: &Printed) -> bool {
        if printed.contains(&(entry.document.clone(), entry.ending.clone())) {
            return false;
        }
        if entry.kind == EntryKind::Sheet {
            return true;
        }
        let written = entry.document.strip_suffix(TWO_UP).unwrap_or(&entry.document);
        self.now(entry, false).is_some_and(|now| now.document == written)
    }

    /// True if the file says something else than it would if it were printed now.
    pub fn is_old(&self, entry: &Entry) -> bool {
        if entry.kind == EntryKind::Sheet {
            return false;
        }
        self.now(entry, true)
            .is_none_or(|now| now.code != entry.code || (!entry.says.is_empty() && now.says != entry.says))
    }

    /// The document for the same choices now; `None` if there is none any more. What it says is only worked out if `fully`.
    fn now(&self, entry: &Entry, fully: bool) -> Option<Now> {
        let Present { files, set, facts } = *self;
        let mut choices = Choices::defaults(&set.catalogue);
        for (option, value) in &entry.choices {
            match choices.choose(&set.catalogue, option, value) {
                Ok(true) => {}
                _ => return None,
            }
        }
        let procedure = set.procedures.find(&entry.procedure);
        let deck = || Deck::new(files, set, facts, &choices);
        match entry.kind {
            EntryKind::Card => {
                let procedure = procedure.filter(|id| choices.meet(&set.procedures[*id].only))?;
                let code = || fingerprint::code(&deck().card(procedure)).to_string();
                let chosen = cards::heads(&cards::chosen(set, procedure, &choices));
                Some(Now {
                    document: naming::card(procedure.number(), &entry.procedure, &chosen),
                    code: if fully { code() } else { String::new() },
                    says: String::new(),
                })
            }
            EntryKind::SetSheet => {
                let leaf = deck().set_sheet();
                Some(Now {
                    document: naming::numbered(&leaf.identity),
                    code: String::new(),
                    says: says(&leaf),
                })
            }
            EntryKind::CloseOut => {
                let leaf = deck().close_out();
                Some(Now {
                    document: naming::numbered(&leaf.identity),
                    code: String::new(),
                    says: says(&leaf),
                })
            }
            EntryKind::Pocket | EntryKind::Form => {
                let procedures: Vec<ProcedureId> = match procedure {
                    Some(procedure) => vec![procedure],
                    None if entry.procedure.is_empty() => set.procedures.ids().collect(),
                    None => return None,
                };
                let (document, says) = if entry.kind == EntryKind::Pocket {
                    let leaf = deck().pocket(&procedures);
                    (naming::of_all("pocket", &leaf.identity), says(&leaf))
                } else {
                    let leaf = deck().record_form(&procedures);
                    (naming::of_all("record", &leaf.identity), says(&leaf))
                };
                Some(Now {
                    document,
                    code: String::new(),
                    says,
                })
            }
            EntryKind::Sheet => None,
        }
    }
}

/// Digest of all that a leaf says, apart from its paper.
pub fn says(leaf: &impl Serialize) -> String {
    // Leaves hold only strings and numbers, which always serialise.
    digest(&serde_json::to_vec(leaf).unwrap_or_default())
}

/// The choices that somebody made, for a manifest.
pub fn made(choices: &[cards::card::Chosen]) -> BTreeMap<String, String> {
    let made = choices.iter().filter(|choice| !choice.default);
    made.map(|choice| (choice.option.clone(), choice.value.clone()))
        .collect()
}
