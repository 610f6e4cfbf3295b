//! `diff`: what changed by meaning between two revisions, two folders, or a revision and the work tree.

use crate::diff::sheet;
use crate::diff::{human, markdown};
use crate::edge::args::{Diff, DiffFormat};
use crate::edge::disk::Disk;
use crate::edge::history::{State, between, repository};
use crate::edge::press::Press;
use crate::edge::{Outcome, Trouble, terminal};
use crate::model::Set;
use std::path::Path;
use std::path::PathBuf;

pub fn run(args: &Diff, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let mut press = Press::begin(&args.sheet, args.format == DiffFormat::Pdf, "changes")?;
    let (old, new) = states(args, disk)?;
    let found = between(&old, &new);
    let outcome = match found.matters() || !found.uncompared.is_empty() {
        true => Outcome::Errors,
        false => Outcome::Clean,
    };
    let text = match args.format {
        DiffFormat::Text => human::render(&found),
        DiffFormat::Markdown => markdown::render(&found),
        DiffFormat::Json => serde_json::to_string_pretty(&found)
            .map_err(|e| Trouble::new(format!("the changes can't be written as JSON: {e}")))?,
        DiffFormat::Pdf => {
            let (language, paper) = style(&new, &old);
            press.add("changes", sheet(&found, &language, &paper), PathBuf::new());
            return Ok(match press.print(&[&new.files, &old.files], "change sheet", disk)? {
                Outcome::Errors => Outcome::Errors,
                Outcome::Clean => outcome,
            });
        }
    };
    match args.format {
        DiffFormat::Json => terminal::say_json(text.trim_end()),
        _ => terminal::say(text.trim_end()),
    }
    Ok(outcome)
}

/// Language and paper of the first set there is, the newer state before the older.
fn style(new: &State, old: &State) -> (String, String) {
    let mut sets = [new, old].into_iter().flat_map(|s| &s.compilation.model.sets);
    let usual = || ("en".to_string(), "a4".to_string());
    let of = |set: &Set| {
        (
            set.language.clone(),
            set.paper.clone().unwrap_or_else(|| "a4".to_string()),
        )
    };
    sets.next().map_or_else(usual, of)
}

/// Two folders are compared as they are on disk; anything else names revisions. Where a name is both, two names of folders are folders.
fn states(args: &Diff, disk: &dyn Disk) -> Result<(State, State), Trouble> {
    let is_folder = |name: &str| Path::new(name).is_dir();
    if let Some(new) = args.new.as_deref().filter(|new| is_folder(new) && is_folder(&args.old)) {
        let old = State::folder(Path::new(&args.old), disk)?;
        return Ok((old, State::folder(Path::new(new), disk)?));
    }
    let repository = repository(&args.at)?;
    let (from, to) = repository.range(&args.old)?;
    let one = |name: &str| State::at(&repository, repository.commit_of(name)?, name);
    match (to, &args.new) {
        (Some(_), Some(_)) => Err(Trouble::new(format!("`{}` names two revisions already", args.old))),
        (Some(to), None) => {
            let new = State::at(&repository, to, "")?;
            Ok((State::before(&new, &repository, from, "")?, new))
        }
        (None, Some(new)) => {
            let new = one(new)?;
            Ok((State::before(&new, &repository, from, &args.old)?, new))
        }
        (None, None) => {
            let new = State::work_tree(&repository, disk)?;
            Ok((State::before(&new, &repository, from, &args.old)?, new))
        }
    }
}
