//! `diff`: what changed by meaning between two revisions, two folders, or a revision and the work tree.

use crate::edge::args::{Diff, DiffFormat};
use crate::edge::history::{State, between, repository};
use crate::edge::{Outcome, Trouble, terminal};
use crate::readers::diff::{human, markdown};
use std::path::Path;

pub fn run(args: &Diff) -> Result<Outcome, Trouble> {
    let (old, new) = states(args)?;
    let found = between(&old, &new);
    let text = match args.format {
        DiffFormat::Human => human::render(&found),
        DiffFormat::Markdown => markdown::render(&found),
        DiffFormat::Json => serde_json::to_string_pretty(&found)
            .map_err(|e| Trouble::new(format!("the changes can't be written as JSON: {e}")))?,
    };
    terminal::say(text.trim_end());
    Ok(if found.matters() {
        Outcome::Errors
    } else {
        Outcome::Clean
    })
}

/// Two folders are compared as they are on disk; anything else names revisions. Where a name is both, two names of folders are folders.
fn states(args: &Diff) -> Result<(State, State), Trouble> {
    let is_folder = |name: &str| Path::new(name).is_dir();
    if let Some(new) = args.new.as_deref().filter(|new| is_folder(new) && is_folder(&args.old)) {
        return Ok((State::folder(Path::new(&args.old))?, State::folder(Path::new(new))?));
    }
    let repository = repository(&args.at)?;
    let (from, to) = repository.range(&args.old)?;
    let one = |name: &str| State::at(&repository, repository.commit_of(name)?, name);
    match (to, &args.new) {
        (Some(_), Some(_)) => Err(Trouble::new(format!("`{}` names two revisions already", args.old))),
        (Some(to), None) => Ok((State::at(&repository, from, "")?, State::at(&repository, to, "")?)),
        (None, Some(new)) => Ok((State::at(&repository, from, &args.old)?, one(new)?)),
        (None, None) => Ok((State::at(&repository, from, &args.old)?, State::work_tree(&repository)?)),
    }
}
