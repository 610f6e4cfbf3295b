//! What is another than it was at a revision: `--since`.

use super::files::Reading;
use super::history::{State, between, repository};
use super::known::leaves;
use super::{Trouble, terminal};
use crate::Compilation;
use crate::diff::rules::revision_not_raised;
use crate::diff::{CardDiff, Diff, Fate};
use crate::finding::Finding;
use crate::fingerprint::Code;
use crate::model::Set;
use std::collections::BTreeSet;
use std::path::Path;

/// What changed in the work tree since a revision.
pub struct Since {
    /// What the revision is called.
    pub(super) name: String,
    /// Codes of every leaf that there was.
    former: BTreeSet<Code>,
    diff: Diff,
}

impl Since {
    /// Reads the revision and compares the files as they were read from a path with it.
    ///
    /// # Errors
    /// If the folder lies in no repository, or the revision can't be read.
    pub fn read(path: &Path, reading: &Reading, revision: &str) -> Result<Since, Trouble> {
        let repository = repository(path)?;
        let new = State::as_read(&repository, Some(reading))?;
        let old = State::before(&new, &repository, repository.commit_of(revision)?, revision)?;
        let diff = between(&old, &new);
        let former = leaves(&old).into_iter().map(|leaf| leaf.code).collect();
        Ok(Since {
            name: old.name.clone(),
            former,
            diff,
        })
    }

    /// Tells on standard error what the comparison has to remark.
    pub fn tell(&self) {
        let remarks = self.diff.remarks.iter();
        remarks.for_each(|remark| terminal::remark(&format!("note: {remark}")));
    }

    /// Procedures whose revision should have been raised, by their places in the caller's files.
    pub fn not_raised(&self, compilation: &Compilation) -> Vec<Finding> {
        revision_not_raised::check(&self.diff, &compilation.model)
    }

    /// What changed on a card, if anything is known of it.
    pub fn card_diff(&self, set: &Set, procedure: &str) -> Option<&CardDiff> {
        let found = self.diff.sets.iter().filter(|s| s.id == set.id && s.title == set.title);
        found.flat_map(|s| &s.cards).find(|c| c.procedure == procedure)
    }

    /// Cards that were there and are no more, and those of choices that there are no more: code, set and title.
    pub fn gone(&self) -> Vec<(String, String)> {
        let mut found = Vec::new();
        for (set, card) in self
            .diff
            .sets
            .iter()
            .flat_map(|set| set.cards.iter().map(move |card| (set, card)))
        {
            let name = format!("{} / {}", set.id, card.title);
            if card.fate == Fate::Removed {
                found.push((card.old_code.clone(), name.clone()));
            }
            found.extend(
                card.withdrawn
                    .iter()
                    .map(|gone| (gone.old.clone(), format!("{name} ({})", gone.words()))),
            );
        }
        found
    }

    /// True if a leaf with this code was not there.
    pub fn must_reissue(&self, code: Code) -> bool {
        !self.former.contains(&code)
    }
}
