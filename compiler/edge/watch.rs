//! Doing a thing again whenever its files have changed, until somebody stops the program.

use super::disk::Disk;
use super::{Outcome, Trouble, escape, files, terminal};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

/// How often the files are looked at.
const EVERY: Duration = Duration::from_millis(200);

/// Does something now, and again whenever a file that it reads has changed. Trouble is told, and may pass: a folder that was deleted may
/// come back. Ends where standard output is gone.
///
/// # Errors
/// None; what `run` gives is told as it comes.
pub fn again(
    disk: &dyn Disk,
    path: &Path,
    run: &mut dyn FnMut() -> Result<Outcome, Trouble>,
) -> Result<Outcome, Trouble> {
    loop {
        let before = contents(disk, path);
        let outcome = run().unwrap_or_else(|trouble| {
            terminal::trouble(&trouble.0);
            Outcome::Errors
        });
        if !terminal::all_said() {
            return Ok(outcome);
        }
        terminal::remark(&format!("watching {}; Ctrl-C ends it", escape::path(path)));
        while settled(disk, path) == before {
            thread::sleep(EVERY);
        }
    }
}

type Contents = BTreeMap<PathBuf, Vec<u8>>;

/// What is read now; `None` where it can't be.
fn contents(disk: &dyn Disk, path: &Path) -> Option<Contents> {
    let mut found = files::reading(disk, path).ok()?.into_contents();
    // Of other files the names alone are known; a build may well be writing them.
    found.retain(|path, _| files::is_ours(path));
    Some(found)
}

/// The same once nobody is writing: two looks one after the other that see the same.
fn settled(disk: &dyn Disk, path: &Path) -> Option<Contents> {
    let mut last = contents(disk, path);
    loop {
        thread::sleep(EVERY / 4);
        let now = contents(disk, path);
        if now == last {
            return now;
        }
        last = now;
    }
}
