//! What git says of a card: revision and date by the last commit that changed its meaning; and the stamps that a card gets.

use super::Trouble;
use super::git::Repository;
use super::known::{Among, Known};
use super::since::Since;
use super::walk::Walk;
use crate::cards::card::Card;
use crate::diff::mark::mark;
use crate::fingerprint::Code;
use crate::leaves::Sort;
use crate::model::Set;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Revision and date of each card by git.
pub struct Issues(BTreeMap<Key, Issue>);

/// Ids of set and procedure, and the choices: option and value.
pub type Key = (String, String, Vec<(String, String)>);

/// The last commit that changed what a card means.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Issue {
    /// The commit's short id; with `+` after it if the card has been changed since and not committed.
    pub rev: String,
    pub date: String,
    /// A shallow clone goes back no further: it was this commit or one before it.
    pub at_latest: bool,
}

impl Issues {
    /// Walks back along the main line until every card's last change is found: of all cards, or of those that have one of these codes now.
    /// `now` is what can be printed from the state on disk, or from HEAD where there is none.
    ///
    /// # Errors
    /// If nothing is committed, or a commit can't be read.
    pub fn read(repository: &Repository, now: &[Known], wanted: Option<&BTreeSet<Code>>) -> Result<Issues, Trouble> {
        let head = repository
            .head()?
            .ok_or_else(|| Trouble::new("nothing is committed yet, so git has no revision to give"))?;
        let on_disk = by_card(now);
        let among = wanted.map_or(Among::Cards, |wanted| {
            let cards = on_disk.iter().filter(|(_, code)| wanted.contains(*code));
            Among::CardsOf(
                cards
                    .map(|((set, procedure, _), _)| (set.clone(), procedure.clone()))
                    .collect(),
            )
        });
        let mut walk = Walk::new(repository, among);
        let committed = by_card(walk.leaves(head)?.iter().flat_map(|part| part.iter()));
        let mut open = committed.clone();
        if let Some(wanted) = wanted {
            open.retain(|card, _| on_disk.get(card).is_some_and(|code| wanted.contains(code)));
        }
        let mut issues = BTreeMap::new();
        let mut child = repository.commit(head)?;
        while !open.is_empty() {
            let parent = child.parents.first().copied();
            let before = parent.map(|id| walk.leaves(id)).transpose()?;
            let before = by_card(before.into_iter().flatten().flat_map(|part| part.iter()));
            open.retain(|card, code| {
                let same = before.get(card) == Some(code);
                if !same {
                    let edited = on_disk.get(card) != committed.get(card);
                    let rev = format!("{}{}", child.short, if edited { "+" } else { "" });
                    let date = child.date.clone();
                    let at_latest = child.cut_off;
                    issues.insert(card.clone(), Issue { rev, date, at_latest });
                }
                same
            });
            match parent {
                Some(id) => child = repository.commit(id)?,
                None => break,
            }
        }
        Ok(Issues(issues))
    }

    /// Each card with its issue, in order: what is kept of a walk.
    pub fn all(&self) -> Vec<(Key, Issue)> {
        self.0
            .iter()
            .map(|(card, issue)| (card.clone(), issue.clone()))
            .collect()
    }

    /// What was kept of a walk.
    pub fn kept(all: Vec<(Key, Issue)>) -> Issues {
        Issues(all.into_iter().collect())
    }

    /// The same, if all of them are known for certain.
    ///
    /// # Errors
    /// If a shallow clone may lack the commit that changed a card.
    pub fn certain(self) -> Result<Issues, Trouble> {
        if self.0.values().any(|issue| issue.at_latest) {
            return Err(Trouble::new(
                "this clone is shallow: the commits that cards were last changed by may be missing; `git fetch --unshallow` brings them",
            ));
        }
        Ok(self)
    }

    /// The issue of a card, by the ids of its set and procedure and its choices; `None` for a card that was never committed.
    pub fn of(&self, set: &str, procedure: &str, choices: &[(String, String)]) -> Option<&Issue> {
        self.0.get(&(set.to_string(), procedure.to_string(), choices.to_vec()))
    }
}

fn by_card<'k>(leaves: impl IntoIterator<Item = &'k Known>) -> BTreeMap<Key, Code> {
    let key = |card: &Known| (card.set.clone(), card.procedure.clone(), card.choices.clone());
    let cards = leaves.into_iter().filter(|leaf| matches!(leaf.sort, Sort::Card(_)));
    cards.map(|card| (key(card), card.code)).collect()
}

/// Puts on a card what its own procedure doesn't say: what changed, and on request the issue by git.
pub fn stamp(card: &mut Card, set: &Set, since: Option<&Since>, issues: Option<&Issues>) {
    if let Some(since) = since {
        let found = since.card_diff(set, &card.identity.procedure);
        mark(card, &since.name, found.filter(|c| c.matters()));
    }
    let choices = card.identity.choices.iter();
    let choices: Vec<(String, String)> = choices.map(|c| (c.option.clone(), c.value.clone())).collect();
    if let Some(issue) = issues.and_then(|issues| issues.of(&set.id, &card.identity.procedure, &choices)) {
        card.identity.rev = issue.rev.clone();
        card.identity.date = issue.date.clone();
    }
}
