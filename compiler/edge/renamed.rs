//! Options that had another name once: who gives the old one is told the new.

use clap::Error;
use clap::error::{ContextKind, ContextValue, ErrorKind};

/// Old and new name of an option. What stands here stays: cards are printed by scripts that nobody looks at for years.
const RENAMED: [(&str, &str); 1] = [("--issue-from-git", "--rev-from-git")];

/// All of them, for the manual.
pub fn all() -> impl Iterator<Item = (&'static str, &'static str)> {
    RENAMED.into_iter()
}

/// What to say of an argument that nobody takes any more; `None` for one that never was.
pub fn told(error: &Error) -> Option<String> {
    if error.kind() != ErrorKind::UnknownArgument {
        return None;
    }
    let ContextValue::String(argument) = error.get(ContextKind::InvalidArg)? else {
        return None;
    };
    let name = argument.split('=').next().unwrap_or_default();
    let (old, new) = RENAMED.iter().find(|(old, _)| *old == name)?;
    Some(format!("`{old}` is called `{new}` now"))
}
