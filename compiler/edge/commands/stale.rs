//! `stale`: codes from printed cards in; which are current, which are superseded, since which commit and by what.

use crate::diff::{CardDiff, Change, Class, Fate, Kind, human};
use crate::edge::args::{LogFormat, Stale};
use crate::edge::cache::Cache;
use crate::edge::disk::Disk;
use crate::edge::git::Repository;
use crate::edge::history::{State, between_of};
use crate::edge::known::{Known, leaves};
use crate::edge::remembered::{everywhere, issues};
use crate::edge::walk::{By, Sighting};
use crate::edge::{Outcome, Trouble, files, terminal};
use crate::fingerprint::{Code, Misread};
use crate::leaves::Sort;
use crate::model::all_assigned;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

pub fn run(args: &Stale, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let typed = typed(args, disk)?;
    if typed.is_empty() {
        return Err(Trouble::new(
            "there is no code to look up: give one, or a file with one a line",
        ));
    }
    let wanted: Vec<(String, Result<Code, Misread>)> = typed
        .into_iter()
        .map(|text| {
            let code = Code::parse(&text);
            (text, code)
        })
        .collect();
    let repository = Repository::find(&args.at)?;
    let now = match &repository {
        Some(repository) if repository.has_work_tree() => State::work_tree(repository, disk)?,
        Some(repository) => {
            let head = repository
                .head()?
                .ok_or_else(|| Trouble::new("nothing is committed yet"))?;
            State::at(repository, head, "HEAD")?
        }
        None => State::folder(&args.at, disk)?,
    };
    let current = leaves(&now);
    let known: BTreeSet<Code> = current.iter().map(|card| card.code).collect();
    let codes = wanted.iter().filter_map(|(_, code)| code.as_ref().ok());
    let missing: BTreeSet<Code> = codes.copied().filter(|code| !known.contains(code)).collect();
    let cache = Cache::open(disk, !args.no_cache);
    let sightings = match &repository {
        Some(repository) if !missing.is_empty() => everywhere(repository, &missing, cache.as_ref())?,
        _ => BTreeMap::new(),
    };
    let there = args.at.exists() || sightings.values().any(|sighting| !sighting.wide);
    if !there {
        let place = args.at.display();
        return Err(Trouble::new(format!(
            "{place} isn't there, and no leaf of these codes ever was"
        )));
    }
    if current.is_empty() && sightings.is_empty() && now.compilation.model.sets.is_empty() {
        let place = args.at.display();
        return Err(Trouble::new(format!(
            "there is no set at {place}, and no leaf of these codes was ever there"
        )));
    }
    let valid = wanted.iter().filter_map(|(_, code)| code.as_ref().ok());
    let valid: BTreeSet<Code> = valid.copied().filter(|code| known.contains(code)).collect();
    let issues = match &repository {
        Some(repository) if !valid.is_empty() && repository.head()?.is_some() => {
            Some(issues(repository, &current, &valid, cache.as_ref())?)
        }
        _ => None,
    };
    cache.iter().for_each(Cache::close);
    now.remarks
        .iter()
        .for_each(|remark| terminal::remark(&format!("note: {remark}")));
    let mut outdated = false;
    for (text, code) in &wanted {
        let mut verdict = verdict(text, code, repository.as_ref(), &now, &current, &sightings)?;
        let card = verdict.cards.first().filter(|_| verdict.status == "current");
        if let Some(issue) = card.and_then(|card| issues.as_ref()?.of(&card.set, &card.procedure, &card.choices)) {
            let or_before = if issue.at_latest { " or before" } else { "" };
            verdict.since = format!("{}{or_before} ({})", issue.rev, issue.date);
        }
        outdated |= verdict.status != "current";
        if args.json || args.format == LogFormat::Json {
            terminal::say_json(&verdict.json().to_string());
        } else {
            verdict.lines().iter().for_each(|line| terminal::say(line));
        }
    }
    Ok(if outdated { Outcome::Errors } else { Outcome::Clean })
}

/// The codes of the command line, then those of the file. A card's foot, or what stands by its QR code, may be given whole.
fn typed(args: &Stale, disk: &dyn Disk) -> Result<Vec<String>, Trouble> {
    let mut all: Vec<String> = Vec::new();
    for text in &args.codes {
        let codes = among(text);
        match codes.is_empty() {
            true => all.push(text.clone()),
            false => all.extend(codes),
        }
    }
    if let Some(file) = &args.file {
        let text = files::text(disk, file)?;
        for line in text.strip_prefix('\u{feff}').unwrap_or(&text).lines() {
            let words = line.split('#').next().unwrap_or("").trim();
            let codes = among(words);
            if !codes.is_empty() {
                all.extend(codes);
                continue;
            }
            // A code may be written with a space in it, and words may follow it.
            let parts: Vec<&str> = words.split_whitespace().collect();
            all.push(match parts[..] {
                [] => continue,
                [first, second, ..] if Code::parse(first).is_err() => {
                    let both = format!("{first} {second}");
                    if matches!(Code::parse(&both), Ok(_) | Err(Misread::Older)) {
                        both
                    } else {
                        first.to_string()
                    }
                }
                [first, ..] => first.to_string(),
            });
        }
    }
    Ok(all)
}

/// The words of several that are codes, of whatever form.
fn among(text: &str) -> Vec<String> {
    let is_code = |word: &&str| word.contains('-') && matches!(Code::parse(word), Ok(_) | Err(Misread::Older));
    text.split_whitespace().filter(is_code).map(str::to_string).collect()
}

/// What is known of one code.
struct Verdict<'a> {
    text: String,
    /// `current`, `superseded`, `older-form`, `unknown` or `mistyped`.
    status: &'static str,
    cards: Vec<&'a Known>,
    since: String,
    /// The code of the leaf now; empty if there is none.
    now: String,
    /// Changes with what they are of, worst first.
    changes: Vec<(String, Change)>,
    /// What only looks like a change.
    same: Vec<String>,
    note: String,
}

const UNKNOWN: &str = "no leaf here has this code now or had it in any commit that this repository still knows: it may be of another \
                       folder, of edits that were never committed, of a commit that is gone, or made with other arguments";

fn verdict<'a>(
    text: &str,
    code: &Result<Code, Misread>,
    repository: Option<&Repository>,
    now: &State,
    current: &'a [Known],
    sightings: &'a BTreeMap<Code, Sighting>,
) -> Result<Verdict<'a>, Trouble> {
    let mut verdict = Verdict {
        text: text.to_string(),
        status: "mistyped",
        cards: Vec::new(),
        since: String::new(),
        now: String::new(),
        changes: Vec::new(),
        same: Vec::new(),
        note: String::new(),
    };
    let code = match code {
        Ok(code) => code,
        Err(why) => {
            if *why == Misread::Older {
                verdict.status = "older-form";
            }
            verdict.note = why.to_string();
            return Ok(verdict);
        }
    };
    verdict.text = code.to_string();
    verdict.cards = current.iter().filter(|card| card.code == *code).collect();
    if !verdict.cards.is_empty() {
        verdict.status = "current";
        return Ok(verdict);
    }
    let (Some(repository), Some(sighting)) = (repository, sightings.get(code)) else {
        verdict.status = "unknown";
        verdict.note = match repository {
            None => "no leaf here has this code, and there is no history to look into".to_string(),
            Some(r) if r.is_shallow() => {
                "no leaf has this code as far back as this shallow clone goes; it may be older".to_string()
            }
            Some(_) => UNKNOWN.to_string(),
        };
        return Ok(verdict);
    };
    verdict.status = "superseded";
    let was = &sighting.card;
    verdict.cards = vec![was];
    let old = match sighting.wide {
        true => State::whole(repository, sighting.at.id)?,
        false => State::at(repository, sighting.at.id, "")?,
    };
    verdict.since = match &sighting.by {
        By::Commit(commit) => format!("{} ({}, “{}”)", commit.short, commit.date, commit.subject),
        By::WorkTree => "the work tree, not committed yet".to_string(),
        By::Aside => {
            let at = &sighting.at;
            verdict.note = format!(
                "printed from {} ({}, “{}”), which is not in what stands here",
                at.short, at.date, at.subject
            );
            String::new()
        }
    };
    if now.is_broken(&was.set_title) {
        verdict.note = "what there is now has errors and isn't compared".to_string();
        return Ok(verdict);
    }
    let found = between_of(&old, now, &|set| set.id == was.set);
    let set = found.sets.first();
    let cards = set.map_or(&[][..], |set| &set.cards);
    // The procedure may have got another name along the way.
    let former = |card: &CardDiff| {
        if card.was.is_empty() {
            card.procedure.clone()
        } else {
            card.was.clone()
        }
    };
    let own = cards
        .iter()
        .filter(|c| c.fate != Fate::Added)
        .find(|c| former(c) == was.procedure);
    let alive = own.is_none_or(|card| card.fate != Fate::Removed) && set.is_none_or(|set| set.fate != Fate::Removed);
    let name = own.map_or(&was.procedure, |card| &card.procedure);
    let (id, title) = set.map_or((&was.set, &was.set_title), |set| (&set.id, &set.title));
    let heirs = current.iter().filter(|leaf| {
        alive && leaf.same_sort(was) && leaf.procedure == *name && leaf.set == *id && leaf.set_title == *title
    });
    let agrees = |leaf: &&Known| {
        leaf.choices
            .iter()
            .all(|c| was.choices.iter().all(|o| o.0 != c.0 || o.1 == c.1))
    };
    let heirs: Vec<&Known> = heirs.collect();
    let heir = heirs
        .iter()
        .find(|leaf| leaf.choices == was.choices)
        .or_else(|| heirs.iter().find(|leaf| agrees(leaf)));
    let Some(heir) = heir else {
        verdict.note = "there is no such leaf any more: take it down".to_string();
        return Ok(verdict);
    };
    verdict.now = heir.code.to_string();
    let single = was.sort.procedure().is_some();
    for card in cards
        .iter()
        .filter(|card| !single || own.is_some_and(|own| std::ptr::eq(*card, own)))
    {
        let concerned = card
            .changes_for(&was.choices)
            .iter()
            .filter(|change| concerns(was.sort, change));
        let of = if single { String::new() } else { card.title.clone() };
        verdict
            .changes
            .extend(concerned.map(|change| (of.clone(), change.clone())));
        if single {
            verdict.same.extend(card.same.iter().map(|same| same.english()));
        }
    }
    verdict.changes.sort_by_key(|(_, change)| (change.class, change.kind));
    verdict.changes.dedup_by(|a, b| human::tell(&a.1) == human::tell(&b.1));
    Ok(verdict)
}

/// True if a change of a card is one of a leaf of some sort too.
fn concerns(sort: Sort, change: &Change) -> bool {
    let register = change.place.register.as_str();
    match sort {
        // It lists the codes of all cards.
        Sort::SetSheet | Sort::Card(_) | Sort::Record(_) => true,
        Sort::Pocket | Sort::PocketOf(_) => ["torques", "limits"].contains(&register),
        Sort::Form | Sort::FormOf(_) => ["torques", "limits", "timers", "holds"].contains(&register),
        Sort::CloseOut => {
            ["torques", "holds", "temporary"].contains(&register)
                || matches!(change.kind, Kind::StepGuard | Kind::CarriedGuard | Kind::StepWork)
        }
        Sort::Kit | Sort::KitAgainst => {
            ["torques", "parts", "temporary", "consumables", "tools"].contains(&register)
                || change.kind == Kind::StepWork
        }
        Sort::Plan => change.class == Class::Order || change.kind == Kind::StepWork || register == "timers",
    }
}

impl Verdict<'_> {
    fn lines(&self) -> Vec<String> {
        let mut head = format!("{:9}  {:10}", self.text, self.status);
        for (n, card) in self.cards.iter().enumerate() {
            head += if n == 0 { "  " } else { "; " };
            head += &named(card);
        }
        if !self.since.is_empty() {
            head += &format!("; since {}", self.since);
        }
        if !self.now.is_empty() {
            head += &format!(", now {}", self.now);
        }
        if !self.note.is_empty() {
            head += if self.cards.is_empty() { "  " } else { "; " };
            head += &self.note;
        }
        let mut lines = vec![head];
        for (of, change) in &self.changes {
            let of = if of.is_empty() {
                String::new()
            } else {
                format!(" [on {of}]")
            };
            lines.push(format!("    {}{of}", human::told(change)));
        }
        lines.extend(
            self.same
                .iter()
                .map(|same| format!("    {:7} {:14} {same}", "", "no change")),
        );
        lines
    }

    fn json(&self) -> Value {
        let card = |card: &&Known| {
            let choices: BTreeMap<_, _> = card.choices.iter().cloned().collect();
            json!({"leaf": if card.sort.word().is_empty() { "card" } else { card.sort.word() }, "set": card.set, "procedure": card.procedure, "title": card.title, "rev": card.rev, "choices": choices})
        };
        json!({
            "code": self.text,
            "status": self.status,
            "cards": self.cards.iter().map(card).collect::<Vec<_>>(),
            "since": self.since,
            "now": self.now,
            "changes": self.changes.iter().map(|(of, change)| json!({"on": of, "change": change})).collect::<Vec<_>>(),
            "same": self.same,
            "note": self.note,
        })
    }
}

/// `pump / Fit the seal (seals=renew), rev C`.
fn named(card: &Known) -> String {
    let choices = all_assigned(card.choices.iter().map(|(o, v)| (o.as_str(), v.as_str())));
    let choices = if choices.is_empty() {
        String::new()
    } else {
        format!(" ({choices})")
    };
    let rev = if card.rev.is_empty() {
        String::new()
    } else {
        format!(", rev {}", card.rev)
    };
    format!("{} / {}{choices}{rev}", card.set, card.title)
}
