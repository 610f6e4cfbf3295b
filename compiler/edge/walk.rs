//! Walks back through history by fingerprints: when a code was last printed, and which commit gave a card its present meaning.

use super::Trouble;
use super::git::{Commit, Repository};
use super::known::{Among, Known};
use super::parts::{Leaves, Parts};
use super::progress::Progress;
use super::snapshot::Snapshot;
use crate::fingerprint::Code;
use gix::ObjectId;
use std::collections::{BTreeMap, BTreeSet};

/// Most commits that are read at once. Fewer at first: what is looked for is often in the newest.
const MOST_AHEAD: usize = 16;

/// A code in history.
pub struct Sighting {
    pub card: Known,
    /// The newest commit that still had it.
    pub at: Commit,
    pub by: By,
    /// It was found in another folder than the one that was asked about.
    pub wide: bool,
}

/// What changed a leaf.
#[derive(Clone)]
pub enum By {
    Commit(Commit),
    WorkTree,
    /// Nothing: the commit that has it is not among those that lead here.
    Aside,
}

/// Reads the leaves of commits, those of the same files once.
pub struct Walk<'r> {
    repository: &'r Repository,
    among: Among,
    /// Looks at every folder of the repository.
    wide: bool,
    /// The leaves of each state by what it is read from.
    states: BTreeMap<Vec<ObjectId>, Vec<Leaves>>,
    parts: Parts,
    /// How many commits are read at once when the next is asked about.
    ahead: usize,
    progress: Progress,
}

impl<'r> Walk<'r> {
    pub fn new(repository: &'r Repository, among: Among) -> Walk<'r> {
        Walk {
            repository,
            among,
            wide: false,
            states: BTreeMap::new(),
            parts: Parts::default(),
            ahead: 1,
            progress: Progress::new("commits read", None),
        }
    }

    /// Where codes were last seen: in the folder that was asked about, then anywhere in the repository.
    ///
    /// # Errors
    /// If a commit can't be read.
    pub fn everywhere(repository: &Repository, codes: &BTreeSet<Code>) -> Result<BTreeMap<Code, Sighting>, Trouble> {
        let mut walk = Walk::new(repository, Among::All);
        let mut found = walk.find(codes)?;
        let missing: BTreeSet<Code> = codes.iter().copied().filter(|code| !found.contains_key(code)).collect();
        if !missing.is_empty() && !repository.is_whole() {
            // What lies in the folder is known by now, and isn't compiled again.
            walk.wide = true;
            walk.ahead = 1;
            walk.states.clear();
            found.extend(walk.find(&missing)?);
        }
        Ok(found)
    }

    /// The leaves of a commit, part by part.
    ///
    /// # Errors
    /// If the commit can't be read.
    pub fn leaves(&mut self, id: ObjectId) -> Result<&[Leaves], Trouble> {
        let key = self.key(id)?;
        if !self.states.contains_key(&key) {
            self.read(id)?;
        }
        Ok(self.states.get(&key).map_or(&[], Vec::as_slice))
    }

    /// Reads a commit, and those before it that are likely to be asked about next.
    fn read(&mut self, id: ObjectId) -> Result<(), Trouble> {
        let mut states: Vec<Snapshot> = vec![self.snapshot(id)?];
        let mut keys: Vec<Vec<ObjectId>> = vec![self.key(id)?];
        let mut last = id;
        while keys.len() < self.ahead {
            // What can't be read is told when it is asked about.
            let Some((before, key)) = self.before(last) else { break };
            last = before;
            if self.states.contains_key(&key) || keys.contains(&key) {
                continue;
            }
            let Ok(state) = self.snapshot(before) else { break };
            states.push(state);
            keys.push(key);
        }
        let leaves = self.parts.of(&states, &self.among)?;
        self.states.extend(keys.into_iter().zip(leaves));
        self.progress.at(self.states.len());
        self.ahead = (self.ahead * 2).min(MOST_AHEAD);
        Ok(())
    }

    /// The commit before another, and what it is read from; `None` if there is none, or it can't be read.
    fn before(&self, id: ObjectId) -> Option<(ObjectId, Vec<ObjectId>)> {
        let before = self.repository.commit(id).ok()?.parents.first().copied()?;
        Some((before, self.key(before).ok()?))
    }

    fn snapshot(&self, id: ObjectId) -> Result<Snapshot, Trouble> {
        match self.wide {
            true => self.repository.all_files(id),
            false => self.repository.files(id),
        }
    }

    /// What a commit is read from.
    fn key(&self, id: ObjectId) -> Result<Vec<ObjectId>, Trouble> {
        match self.wide {
            true => Ok(vec![self.repository.whole_key(id)?]),
            false => self.repository.key(id),
        }
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
            let by = child.take().map_or(By::WorkTree, By::Commit);
            self.look(&commit, by, codes, &mut found)?;
            main_line.insert(id);
            next = commit.parents.first().copied();
            child = Some(commit);
        }
        let mut queue: BTreeSet<(i64, ObjectId)> = BTreeSet::new();
        let mut children: BTreeMap<ObjectId, Commit> = BTreeMap::new();
        let mut seen = BTreeSet::from([head]);
        queue.insert((i64::MAX, head));
        self.back(queue, &mut seen, &main_line, &mut children, codes, &mut found)?;
        // Other branches, tags, and what HEAD once stood at: commits that were amended are there for a while.
        let mut aside = BTreeSet::new();
        for tip in self.repository.tips() {
            if seen.insert(tip) && found.len() < codes.len() {
                aside.insert((self.repository.commit(tip)?.seconds, tip));
            }
        }
        children.clear();
        self.back(aside, &mut seen, &main_line, &mut children, codes, &mut found)?;
        Ok(found)
    }

    /// Looks at commits and those before them, the newest first; by time, the id breaks ties.
    fn back(
        &mut self,
        mut queue: BTreeSet<(i64, ObjectId)>,
        seen: &mut BTreeSet<ObjectId>,
        main_line: &BTreeSet<ObjectId>,
        children: &mut BTreeMap<ObjectId, Commit>,
        codes: &BTreeSet<Code>,
        found: &mut BTreeMap<Code, Sighting>,
    ) -> Result<(), Trouble> {
        while let Some((_, id)) = queue.pop_last().filter(|_| found.len() < codes.len()) {
            let commit = self.repository.commit(id)?;
            if !main_line.contains(&id) {
                let by = children.get(&id).cloned().map_or(By::Aside, By::Commit);
                self.look(&commit, by, codes, found)?;
            }
            for parent in &commit.parents {
                if seen.insert(*parent) {
                    children.insert(*parent, commit.clone());
                    queue.insert((self.repository.commit(*parent)?.seconds, *parent));
                }
            }
        }
        Ok(())
    }

    fn look(
        &mut self,
        commit: &Commit,
        by: By,
        codes: &BTreeSet<Code>,
        found: &mut BTreeMap<Code, Sighting>,
    ) -> Result<(), Trouble> {
        let wide = self.wide;
        for card in self.leaves(commit.id)?.iter().flat_map(|part| part.iter()) {
            if codes.contains(&card.code) && !found.contains_key(&card.code) {
                let sighting = Sighting {
                    card: card.clone(),
                    at: commit.clone(),
                    by: by.clone(),
                    wide,
                };
                found.insert(card.code, sighting);
            }
        }
        Ok(())
    }
}
