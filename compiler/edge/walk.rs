//! Walks back through history by fingerprints: when a code was last printed, and which commit gave a card its present meaning.

use super::Trouble;
use super::git::{Commit, Repository, Snapshot};
use super::history::State;
use crate::fingerprint::{Code, of_set};
use crate::{Compilation, compile};
use gix::ObjectId;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// A card of some state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    pub code: Code,
    /// Id of the set.
    pub set: String,
    pub set_title: String,
    pub procedure: String,
    pub title: String,
    pub rev: String,
    pub choices: Vec<(String, String)>,
}

/// Every card of a state, for every choice.
pub fn cards(state: &State) -> Vec<Known> {
    known(&state.files, &state.compilation)
}

fn known(files: &crate::source::FileSet, compilation: &Compilation) -> Vec<Known> {
    let mut found = Vec::new();
    for (set, facts) in compilation.model.sets.iter().zip(&compilation.facts) {
        for card in of_set(files, set, facts) {
            let procedure = &set.procedures[card.position];
            found.push(Known {
                code: card.code,
                set: set.id.clone(),
                set_title: set.title.clone(),
                procedure: procedure.id.clone(),
                title: procedure.title.clone(),
                rev: procedure.rev.clone(),
                choices: card.choices,
            });
        }
    }
    found
}

/// A code in history.
pub struct Sighting {
    pub card: Known,
    /// The newest commit that still had it.
    pub at: Commit,
    /// The commit that changed it; `None` for the work tree.
    pub by: Option<Commit>,
}

/// Reads the cards of commits, those of the same files once.
pub struct Walk<'r> {
    repository: &'r Repository,
    cache: BTreeMap<Vec<ObjectId>, Rc<Vec<Known>>>,
}

impl<'r> Walk<'r> {
    pub fn new(repository: &'r Repository) -> Walk<'r> {
        Walk {
            repository,
            cache: BTreeMap::new(),
        }
    }

    /// # Errors
    /// If the commit can't be read.
    pub fn cards(&mut self, id: ObjectId) -> Result<Rc<Vec<Known>>, Trouble> {
        let key = self.repository.key(id)?;
        if let Some(cards) = self.cache.get(&key) {
            return Ok(cards.clone());
        }
        let Snapshot { files, .. } = self.repository.files(id)?;
        let cards = Rc::new(known(&files, &compile(&files)));
        self.cache.insert(key, cards.clone());
        Ok(cards)
    }

    /// Where codes were last seen: on the main line first, then on branches that were merged into it.
    ///
    /// # Errors
    /// If a commit can't be read.
    pub fn find(&mut self, codes: &BTreeSet<Code>) -> Result<BTreeMap<Code, Sighting>, Trouble> {
        let mut found: BTreeMap<Code, Sighting> = BTreeMap::new();
        let Some(head) = self.repository.head()? else {
            return Ok(found);
        };
        let mut main_line = BTreeSet::new();
        let mut child: Option<Commit> = None;
        let mut next = Some(head);
        while let Some(id) = next.filter(|_| found.len() < codes.len()) {
            let commit = self.repository.commit(id)?;
            self.look(&commit, child.as_ref(), codes, &mut found)?;
            main_line.insert(id);
            next = commit.parents.first().copied();
            child = Some(commit);
        }
        // By time, the newest first; the id breaks ties.
        let mut queue: BTreeSet<(i64, ObjectId)> = BTreeSet::new();
        let mut children: BTreeMap<ObjectId, Commit> = BTreeMap::new();
        let mut seen = BTreeSet::from([head]);
        queue.insert((i64::MAX, head));
        while let Some((_, id)) = queue.pop_last().filter(|_| found.len() < codes.len()) {
            let commit = self.repository.commit(id)?;
            if !main_line.contains(&id) {
                self.look(&commit, children.get(&id), codes, &mut found)?;
            }
            for parent in &commit.parents {
                if seen.insert(*parent) {
                    children.insert(*parent, commit.clone());
                    queue.insert((self.repository.commit(*parent)?.seconds, *parent));
                }
            }
        }
        Ok(found)
    }

    fn look(
        &mut self,
        commit: &Commit,
        child: Option<&Commit>,
        codes: &BTreeSet<Code>,
        found: &mut BTreeMap<Code, Sighting>,
    ) -> Result<(), Trouble> {
        for card in self.cards(commit.id)?.iter() {
            if codes.contains(&card.code) && !found.contains_key(&card.code) {
                let sighting = Sighting {
                    card: card.clone(),
                    at: commit.clone(),
                    by: child.cloned(),
                };
                found.insert(card.code, sighting);
            }
        }
        Ok(())
    }
}
