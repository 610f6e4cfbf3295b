//! `stale`: codes from printed cards in; which are current, which are superseded, since which commit and by what.

use crate::diff::{CardDiff, Fate, human};
use crate::edge::args::Stale;
use crate::edge::disk::Disk;
use crate::edge::git::Repository;
use crate::edge::history::{State, between};
use crate::edge::issue::Issues;
use crate::edge::walk::{Known, Sighting, Walk, cards};
use crate::edge::{Outcome, Trouble, files, terminal};
use crate::fingerprint::Code;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

pub fn run(args: &Stale, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let typed = typed(args, disk)?;
    let wanted: Vec<(String, Result<Code, String>)> = typed
        .into_iter()
        .map(|text| {
            let code = Code::parse(&text).map_err(|misread| misread.to_string());
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
    let current = cards(&now);
    let known: BTreeSet<Code> = current.iter().map(|card| card.code).collect();
    let codes = wanted.iter().filter_map(|(_, code)| code.as_ref().ok());
    let missing: BTreeSet<Code> = codes.copied().filter(|code| !known.contains(code)).collect();
    let sightings = match &repository {
        Some(repository) if !missing.is_empty() => Walk::new(repository).find(&missing)?,
        _ => BTreeMap::new(),
    };
    let issues = match &repository {
        Some(repository) if repository.head()?.is_some() => {
            let work_tree = repository.has_work_tree().then_some(&now);
            Some(Issues::read(repository, work_tree)?)
        }
        _ => None,
    };
    let mut outdated = false;
    for (text, code) in &wanted {
        let mut verdict = verdict(text, code, repository.as_ref(), &now, &current, &sightings)?;
        let card = verdict.cards.first().filter(|_| verdict.status == "current");
        if let Some(issue) = card.and_then(|card| issues.as_ref()?.of(&card.set, &card.procedure, &card.choices)) {
            let or_before = if issue.at_latest { " or before" } else { "" };
            verdict.since = format!("{}{or_before} ({})", issue.rev, issue.date);
        }
        outdated |= verdict.status != "current";
        if args.json {
            terminal::say_json(&verdict.json().to_string());
        } else {
            verdict.lines().iter().for_each(|line| terminal::say(line));
        }
    }
    Ok(if outdated { Outcome::Errors } else { Outcome::Clean })
}

/// The codes of the command line, then those of the file. A card's foot, or what stands by its QR code, may be given whole.
fn typed(args: &Stale, disk: &dyn Disk) -> Result<Vec<String>, Trouble> {
    let mut all: Vec<String> = args
        .codes
        .iter()
        .map(|text| among(text).unwrap_or_else(|| text.clone()))
        .collect();
    if let Some(file) = &args.file {
        let text = files::text(disk, file)?;
        for line in text.strip_prefix('\u{feff}').unwrap_or(&text).lines() {
            let words = line.split('#').next().unwrap_or("").trim();
            // A code may be written with a space in it, and words may follow it.
            let parts: Vec<&str> = words.split_whitespace().collect();
            let whole = match parts[..] {
                [] => continue,
                [first, second, ..] if Code::parse(first).is_err() => {
                    let both = format!("{first} {second}");
                    if Code::parse(&both).is_ok() {
                        both
                    } else {
                        first.to_string()
                    }
                }
                [first, ..] => first.to_string(),
            };
            all.push(among(words).unwrap_or(whole));
        }
    }
    Ok(all)
}

/// The one word of several that is a code.
fn among(text: &str) -> Option<String> {
    let mut codes = text
        .split_whitespace()
        .filter(|word| word.contains('-') && Code::parse(word).is_ok());
    let code = codes.next()?;
    codes.next().is_none().then(|| code.to_string())
}

/// What is known of one code.
struct Verdict<'a> {
    text: String,
    /// `current`, `superseded`, `unknown` or `mistyped`.
    status: &'static str,
    cards: Vec<&'a Known>,
    since: String,
    /// The code of the card now; empty if there is none.
    now: String,
    change: Option<CardDiff>,
    note: String,
}

fn verdict<'a>(
    text: &str,
    code: &Result<Code, String>,
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
        change: None,
        note: String::new(),
    };
    let code = match code {
        Ok(code) => code,
        Err(why) => {
            verdict.note = why.clone();
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
            None => "no card here has this code, and there is no history to look into".to_string(),
            Some(r) if r.is_shallow() => {
                "no card has this code as far back as this shallow clone goes; it may be older".to_string()
            }
            Some(_) => "no card of this folder has ever had this code".to_string(),
        };
        return Ok(verdict);
    };
    verdict.status = "superseded";
    verdict.cards = vec![&sighting.card];
    let old = State::at(repository, sighting.at.id, "")?;
    let new;
    let newer = match &sighting.by {
        Some(commit) => {
            verdict.since = format!("{} ({}, “{}”)", commit.short, commit.date, commit.subject);
            new = State::at(repository, commit.id, "")?;
            &new
        }
        None => {
            verdict.since = "the work tree, not committed yet".to_string();
            now
        }
    };
    let procedure = &sighting.card.procedure;
    verdict.change = followed(&old, newer, procedure);
    // The procedure may have got another name along the way.
    let heir = followed(&old, now, procedure);
    let alive = heir.as_ref().is_none_or(|card| card.fate != Fate::Removed);
    let name = heir.as_ref().map_or(procedure, |card| &card.procedure);
    let heir = current.iter().filter(|_| alive).find(|card| {
        let same = card.procedure == *name && card.set_title == sighting.card.set_title;
        same && card.choices == sighting.card.choices
    });
    match heir {
        Some(card) => verdict.now = card.code.to_string(),
        None => verdict.note = "there is no such card any more".to_string(),
    }
    Ok(verdict)
}

/// What became of a procedure from one state to another; `None` if nothing did.
fn followed(old: &State, new: &State, procedure: &str) -> Option<CardDiff> {
    let cards = between(old, new).sets.into_iter().flat_map(|set| set.cards);
    let former = |card: &CardDiff| {
        if card.was.is_empty() {
            card.procedure.clone()
        } else {
            card.was.clone()
        }
    };
    let mut found = cards.filter(|card| card.fate != Fate::Added);
    found.find(|card| former(card) == procedure)
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
        if let Some(change) = self.change.as_ref().filter(|c| c.fate == Fate::Kept) {
            lines.extend(change.changes.iter().map(|c| format!("    {}", human::told(c))));
        }
        lines
    }

    fn json(&self) -> Value {
        let card = |card: &&Known| {
            let choices: BTreeMap<_, _> = card.choices.iter().cloned().collect();
            json!({"set": card.set, "procedure": card.procedure, "title": card.title, "rev": card.rev, "choices": choices})
        };
        json!({
            "code": self.text,
            "status": self.status,
            "cards": self.cards.iter().map(card).collect::<Vec<_>>(),
            "since": self.since,
            "now": self.now,
            "change": self.change,
            "note": self.note,
        })
    }
}

/// `pump / Fit the seal (seals=renew), rev C`.
fn named(card: &Known) -> String {
    let choices: Vec<String> = card.choices.iter().map(|(o, v)| format!("{o}={v}")).collect();
    let choices = if choices.is_empty() {
        String::new()
    } else {
        format!(" ({})", choices.join(", "))
    };
    let rev = if card.rev.is_empty() {
        String::new()
    } else {
        format!(", rev {}", card.rev)
    };
    format!("{} / {}{choices}{rev}", card.set, card.title)
}
