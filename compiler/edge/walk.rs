//! Walks back through history by fingerprints: when a code was last printed, and which commit gave a card its present meaning.

use super::Trouble;
use super::git::{Commit, Repository};
use super::history::State;
use super::output::manifest::digest;
use super::progress::Progress;
use super::snapshot::Snapshot;
use crate::Compilation;
use crate::fingerprint::Code;
use crate::groups::Groups;
use crate::leaves::{Printable, Sort, Together, cards_of, of_set, some_of_set};
use crate::model::Set;
use crate::source::{FileSet, SET_FILE, file_name};
use gix::ObjectId;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// A leaf of some state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    pub code: Code,
    pub sort: Sort,
    /// Id of the set.
    pub set: String,
    pub set_title: String,
    /// Id of the procedure; empty for a leaf of a whole set.
    pub procedure: String,
    /// Title of the card, or what else it is.
    pub title: String,
    pub rev: String,
    pub choices: Vec<(String, String)>,
}

impl Known {
    fn new(set: &Set, leaf: Printable) -> Known {
        let Printable { sort, choices, code } = leaf;
        let procedure = sort.procedure().and_then(|at| set.procedures.of(at));
        let title = match (procedure, sort.word()) {
            (Some(procedure), "") => procedure.title.clone(),
            (Some(procedure), word) => format!("{}, {word}", procedure.title),
            (None, word) => word.to_string(),
        };
        Known {
            code,
            sort,
            set: set.id.clone(),
            set_title: set.title.clone(),
            procedure: procedure.map_or_else(String::new, |p| p.id.clone()),
            title,
            rev: procedure.map_or_else(String::new, |p| p.rev.clone()),
            choices,
        }
    }

    /// True if it is the same leaf of a set as another, whatever it says.
    pub fn same_sort(&self, other: &Known) -> bool {
        self.sort.word() == other.sort.word()
    }
}

/// Which leaves of the states are looked at: working out the others costs more than reading the state.
pub enum Among {
    All,
    /// Those that are worked out together.
    Some(Together),
    /// Cards alone.
    Cards,
    /// Cards of some procedures: ids of set and procedure.
    CardsOf(BTreeSet<(String, String)>),
}

impl Among {
    /// False if nothing of a part of a state is looked at.
    fn concerns(&self, groups: &Groups, part: usize) -> bool {
        let Among::CardsOf(wanted) = self else {
            return true;
        };
        let mut ids = groups.ids(part).peekable();
        ids.peek().is_none() || ids.any(|id| wanted.iter().any(|(set, _)| set == id))
    }

    fn of(&self, files: &FileSet, compilation: &Compilation) -> Vec<Known> {
        let mut found = Vec::new();
        let whole = compilation.model.sets.iter().zip(&compilation.facts);
        // Nothing is printed from a set with errors.
        for (set, facts) in whole.filter(|(set, _)| !compilation.blocks(files, set)) {
            let leaves = match self {
                Among::All => of_set(files, set, facts),
                Among::Some(together) => some_of_set(files, set, facts, *together),
                Among::Cards => cards_of(files, set, facts, &|_| true),
                Among::CardsOf(wanted) => {
                    let id = |at| set.procedures.of(at).map(|one| one.id.as_str());
                    let is_wanted = |at| wanted.iter().any(|(of, one)| *of == set.id && id(at) == Some(one));
                    cards_of(files, set, facts, &is_wanted)
                }
            };
            found.extend(leaves.into_iter().map(|leaf| Known::new(set, leaf)));
        }
        found
    }
}

/// Every card of a state, for every choice.
pub fn cards(state: &State) -> Vec<Known> {
    Among::Cards.of(&state.files, &state.compilation)
}

/// Every leaf of a state, for every choice.
pub fn leaves(state: &State) -> Vec<Known> {
    Among::All.of(&state.files, &state.compilation)
}

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

/// Reads the cards of commits, those of the same files once.
pub struct Walk<'r> {
    repository: &'r Repository,
    among: Among,
    /// Looks at every folder of the repository.
    wide: bool,
    cache: BTreeMap<Vec<ObjectId>, Rc<Vec<Known>>>,
    /// The leaves of sets and what else is read together, by what they are read from: a commit changes few of them.
    parts: BTreeMap<String, Rc<Vec<Known>>>,
    progress: Progress,
}

impl<'r> Walk<'r> {
    pub fn new(repository: &'r Repository, among: Among) -> Walk<'r> {
        Walk {
            repository,
            among,
            wide: false,
            cache: BTreeMap::new(),
            parts: BTreeMap::new(),
            progress: Progress::new("commits read", None),
        }
    }

    /// Where codes were last seen: in the folder that was asked about, then anywhere in the repository.
    ///
    /// # Errors
    /// If a commit can't be read.
    pub fn everywhere(repository: &Repository, codes: &BTreeSet<Code>) -> Result<BTreeMap<Code, Sighting>, Trouble> {
        let mut found = BTreeMap::new();
        let folders = if repository.is_whole() {
            &[false][..]
        } else {
            &[false, true]
        };
        for wide in folders {
            // Most that are asked about are cards, and what few ask about takes longest to work out.
            for together in Together::ALL {
                let missing: BTreeSet<Code> = codes.iter().copied().filter(|code| !found.contains_key(code)).collect();
                if missing.is_empty() {
                    return Ok(found);
                }
                let mut walk = Walk::new(repository, Among::Some(together));
                walk.wide = *wide;
                found.extend(walk.find(&missing)?);
            }
        }
        Ok(found)
    }

    /// # Errors
    /// If the commit can't be read.
    pub fn cards(&mut self, id: ObjectId) -> Result<Rc<Vec<Known>>, Trouble> {
        let key = match self.wide {
            true => vec![self.repository.whole_key(id)?],
            false => self.repository.key(id)?,
        };
        if let Some(cards) = self.cache.get(&key) {
            return Ok(cards.clone());
        }
        let Snapshot { files, ids, .. } = match self.wide {
            true => self.repository.all_files(id)?,
            false => self.repository.files(id)?,
        };
        let cards = Rc::new(self.of(&files, &ids));
        self.cache.insert(key, cards.clone());
        self.progress.at(self.cache.len());
        Ok(cards)
    }

    /// The leaves of files, each part of which is compiled once for all commits that have it as it is.
    fn of(&mut self, files: &FileSet, ids: &BTreeMap<String, ObjectId>) -> Vec<Known> {
        let groups = Groups::new(files);
        let id = |path: &str| ids.get(path).map(ToString::to_string).unwrap_or_default();
        // Which sets there are decides what they are called, and any may show a picture.
        let sets = ids.keys().filter(|path| file_name(path) == SET_FILE);
        let pictures = files.assets().keys().map(|path| format!("{} {path:?}", id(path)));
        let common: Vec<String> = sets.cloned().chain(pictures).collect();
        let mut found = Vec::new();
        for part in (0..groups.count()).filter(|part| self.among.concerns(&groups, *part)) {
            let own = groups.files(part);
            let texts = own.ids().map(|file| &own.get(file).path);
            let lines = texts.map(|path| format!("{} {path:?}", id(path)));
            let lines: Vec<String> = common.iter().cloned().chain(lines).collect();
            let leaves = self.parts.entry(digest(lines.join("\n").as_bytes()));
            let leaves = leaves.or_insert_with(|| Rc::new(self.among.of(&own, &groups.compile(part))));
            found.extend(leaves.iter().cloned());
        }
        found
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
        for card in self.cards(commit.id)?.iter() {
            if codes.contains(&card.code) && !found.contains_key(&card.code) {
                let sighting = Sighting {
                    card: card.clone(),
                    at: commit.clone(),
                    by: by.clone(),
                    wide: self.wide,
                };
                found.insert(card.code, sighting);
            }
        }
        Ok(())
    }
}
