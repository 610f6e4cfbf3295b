//! The folder that people print from: whole sets, old or new, and nothing else touched.
//!
//! A command that writes cards opens the folder, which locks it and sets right what an earlier one left half done; stages its files;
//! and puts each set in place when all of it is there.

mod install;
pub mod manifest;
mod places;
mod recover;
#[cfg(test)]
mod tests;

use super::Trouble;
use super::disk::{self, Disk, Kind, Lock, folders, random_name, remove_all, there, write_new};
use super::escape;
use super::paths::{canonical, slashed};
use crate::source::SET_FILE;
use manifest::{Entry, Found, Manifest, digest, is_plain, look};
use places::{Places, STAGING, folded, same_but_for_case, set_of};
use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Component, Path, PathBuf};
use std::time::Duration;

pub use install::{Failure, Installed, Wanted};

/// How often a lock is tried, and how often before giving up: ten minutes.
const WAIT: Duration = Duration::from_millis(200);
const TRIES: usize = 3000;

/// An output folder that is ours to write to.
pub struct Output<'d> {
    disk: &'d dyn Disk,
    places: Places,
    /// The folder without links in its path.
    here: PathBuf,
    /// The sets that have a manifest, with their own folders as it has them. The manifests themselves are read when they are needed: all of
    /// them would be as much as a build may take.
    sources: BTreeMap<String, String>,
    _lock: Lock,
}

/// What opening came to.
pub struct Opened<'d> {
    pub output: Output<'d>,
    /// Another command wrote there in the meantime: what was read before may be old.
    pub waited: bool,
    pub remarks: Vec<String>,
}

impl<'d> Output<'d> {
    /// Opens a folder, made if it isn't there; `waiting` is called once if another command has to end first.
    ///
    /// # Errors
    /// If it can't be written to, or what is known of it can't be read.
    pub fn open(disk: &'d dyn Disk, root: &Path, waiting: impl FnOnce()) -> Result<Opened<'d>, Trouble> {
        let trouble = |error: std::io::Error| Trouble::file("write", root, &error);
        let places = Places::new(root, &random_name(STAGING).map_err(trouble)?);
        let state = places.state();
        folders(disk, places.trusted(), &state).map_err(trouble)?;
        let (lock, waited) = locked(disk, &places, waiting)?;
        let mut sources = BTreeMap::new();
        let mut remarks = Vec::new();
        let names = disk.list(&state).map_err(trouble)?;
        for name in &names {
            if let Some(set) = set_of(name) {
                let manifest = Manifest::read(disk, &state.join(name))?;
                let (manifest, mut told) = recover::recover(disk, &places, manifest).map_err(trouble)?;
                remarks.append(&mut told);
                sources.insert(set.to_string(), manifest.source);
            }
        }
        // What no manifest speaks of any more.
        for name in names {
            if name.starts_with(STAGING) || name.starts_with(".benchleaf") {
                remove_all(disk, &state.join(name));
            }
        }
        let here = canonical(root).map_err(trouble)?;
        let output = Output {
            disk,
            places,
            here,
            sources,
            _lock: lock,
        };
        Ok(Opened {
            output,
            waited,
            remarks,
        })
    }

    /// Refuses sets that would share a folder with another: with one of these, by their ids and own folders, or one that was printed
    /// earlier and is still there.
    ///
    /// # Errors
    /// If two share one.
    pub fn claim(&self, sets: &[(String, PathBuf)]) -> Result<(), Trouble> {
        let mut seen: BTreeMap<String, &(String, PathBuf)> = BTreeMap::new();
        let present = self.disk.list(self.places.root()).unwrap_or_default();
        for set in sets {
            let (id, folder) = set;
            if !is_plain(id) {
                let (id, place) = (escape::word(id), escape::path(folder));
                return Err(Trouble::new(format!(
                    "the set in {place} would be printed to a folder called `{id}`, which can't be: rename its own folder"
                )));
            }
            if let Some(other) = seen.insert(folded(id), set) {
                return Err(shared(&self.places.set(id), folder, &other.1));
            }
            if let Some(other) = present.iter().find(|other| same_but_for_case(other, id)) {
                let other = escape::path(&self.places.set(other));
                return Err(Trouble::new(format!(
                    "{other} is there already, and some disks take `{id}` for the same name: give another `--out`, or rename one"
                )));
            }
            let known = self.sources.get(id).filter(|source| !source.is_empty());
            let Some(source) = known.filter(|_| !folder.as_os_str().is_empty()) else {
                continue;
            };
            let earlier = self.here.join(source);
            if *source != self.source(folder) && !self.is_gone(&earlier) {
                return Err(shared(&self.places.set(id), folder, &tidied(&earlier)));
            }
        }
        Ok(())
    }

    /// Makes room for the new files of a set.
    ///
    /// # Errors
    /// If there is none.
    pub fn begin(&self, set: &str) -> Result<(), Trouble> {
        let fresh = self.places.fresh(set);
        folders(self.disk, self.places.trusted(), &fresh).map_err(|e| self.trouble(&e))
    }

    /// What writes to the staging folder, from any thread.
    pub fn stager(&self) -> Stager<'d> {
        Stager {
            disk: self.disk,
            places: self.places.clone(),
        }
    }

    /// True if the files of a set are these and no others, each as it should be, and were put in place when the set was read from what has this
    /// digest.
    pub fn holds(&self, set: &str, folder: &Path, from: &str, files: &BTreeMap<String, Entry>) -> bool {
        let Ok(Some(manifest)) = self.manifest(set) else {
            return false;
        };
        let known = manifest.from == from && manifest.source == self.source(folder) && manifest.files == *files;
        let own = self.places.set(set);
        let right =
            |(name, entry): (&String, &Entry)| look(self.disk, &own.join(name)).is_ok_and(|f| f.is(Some(entry)));
        known && manifest.installing.is_none() && files.iter().all(right)
    }

    /// Puts the staged files of a set in place; `folder` is the set's own, empty if it isn't known, `from` the digest of all that the set is read from
    /// if its cards are among the files.
    ///
    /// # Errors
    /// If the set keeps its old files.
    pub fn install(
        &mut self,
        set: &str,
        folder: &Path,
        from: Option<&str>,
        files: BTreeMap<String, Entry>,
        belongs: &dyn Fn(&Entry) -> bool,
    ) -> Result<Installed, Failure> {
        let before = self.manifest(set).map_err(|trouble| Failure { trouble, disk: true })?;
        let source = if folder.as_os_str().is_empty() {
            self.sources.get(set).cloned().unwrap_or_default()
        } else {
            self.source(folder)
        };
        let wanted = Wanted {
            set,
            source: &source,
            from: from.unwrap_or_else(|| before.as_ref().map_or("", |manifest| &manifest.from)),
            files,
            belongs,
        };
        let installed = install::install(self.disk, &self.places, before.as_ref(), wanted)?;
        self.sources.insert(set.to_string(), source);
        remove_all(self.disk, &self.places.aside(set));
        Ok(installed)
    }

    /// Removes the files of sets that were below a folder and are there no more. Gives the files removed and those left because they
    /// aren't as we left them.
    ///
    /// # Errors
    /// If a file can't be removed.
    pub fn clear_gone(&mut self, below: &Path) -> Result<Vec<(PathBuf, Installed)>, Trouble> {
        let gone = |(_, source): &(&String, &String)| {
            let own = tidied(&self.here.join(source));
            !source.is_empty() && own.starts_with(below) && self.is_gone(&own)
        };
        let gone: Vec<String> = self.sources.iter().filter(gone).map(|(set, _)| set.clone()).collect();
        let mut all = Vec::new();
        for set in gone {
            let Some(manifest) = self.manifest(&set)? else { continue };
            let folder = self.places.set(&manifest.set);
            let mut result = Installed::default();
            for (name, entry) in &manifest.files {
                let place = folder.join(name);
                match look(self.disk, &place).map_err(|e| self.trouble(&e))? {
                    Found::Nothing => {}
                    found if found.is(Some(entry)) => {
                        let removed = self.disk.remove_file(&place);
                        removed.map_err(|e| Trouble::file("remove", &place, &e))?;
                        result.removed.push(name.clone());
                    }
                    _ => result.left.push(name.clone()),
                }
            }
            let known = self.places.manifest(&manifest.set);
            let removed = self.disk.remove_file(&known);
            removed.map_err(|e| Trouble::file("remove", &known, &e))?;
            // It stays where there is something else in it.
            let _ = self.disk.remove_dir(&folder);
            self.sources.remove(&set);
            all.push((folder, result));
        }
        Ok(all)
    }

    /// What is known of a set that was printed.
    fn manifest(&self, set: &str) -> Result<Option<Manifest>, Trouble> {
        match self.sources.contains_key(set) {
            true => Manifest::read(self.disk, &self.places.manifest(set)).map(Some),
            false => Ok(None),
        }
    }

    /// True if there is certainly no set in a folder: one that can't be looked at is there.
    fn is_gone(&self, folder: &Path) -> bool {
        let found = self.disk.target(&folder.join(SET_FILE));
        found.is_err_and(|error| error.kind() == ErrorKind::NotFound)
    }

    /// A set's own folder as seen from here.
    fn source(&self, folder: &Path) -> String {
        let mut own = folder.components().peekable();
        let mut here = self.here.components().peekable();
        // No way leads from one drive to another.
        if matches!(own.peek(), Some(Component::Prefix(_))) && own.peek() != here.peek() {
            return slashed(folder);
        }
        while own.peek().is_some() && own.peek() == here.peek() {
            own.next();
            here.next();
        }
        let up = here.map(|_| "..".to_string());
        let down = own.map(|part| part.as_os_str().to_string_lossy().into_owned());
        let parts: Vec<String> = up.chain(down).collect();
        if parts.is_empty() {
            ".".to_string()
        } else {
            parts.join("/")
        }
    }

    fn trouble(&self, error: &std::io::Error) -> Trouble {
        Trouble::file("write", self.places.root(), error)
    }
}

/// Writes new files to the staging folder.
pub struct Stager<'d> {
    disk: &'d dyn Disk,
    places: Places,
}

impl Stager<'_> {
    /// Writes a file of a set that was begun, unless it is in its place already, and says what its digest is.
    ///
    /// # Errors
    /// If it can't be written.
    pub fn stage(&self, set: &str, name: &str, bytes: &[u8]) -> Result<String, Trouble> {
        if !is_plain(name) {
            let name = escape::word(name);
            return Err(Trouble::new(format!("`{name}` can't be the name of a file")));
        }
        let (sha256, place) = (digest(bytes), self.places.set(set).join(name));
        // What can't be looked at is told when it is to be put in place.
        if look(self.disk, &place).is_ok_and(|found| found == Found::File(sha256.clone())) {
            return Ok(sha256);
        }
        let written = write_new(self.disk, &self.places.fresh(set).join(name), bytes);
        written.map_err(|e| Trouble::file("write", &place, &e))?;
        Ok(sha256)
    }
}

impl Drop for Output<'_> {
    fn drop(&mut self) {
        // What a set still needs to be set right stays for the next command.
        let staging = self.places.staging_name();
        let needed = |set: &String| {
            let manifest = Manifest::read(self.disk, &self.places.manifest(set));
            manifest.is_ok_and(|m| m.installing.is_some_and(|i| i.staging == staging))
        };
        let sets = self.disk.list(&self.places.state()).unwrap_or_default();
        let mut sets = sets.iter().filter_map(|name| set_of(name)).map(String::from);
        if !sets.any(|set| needed(&set)) {
            remove_all(self.disk, &self.places.staging());
        }
    }
}

/// Names of the files that an earlier build left for a set, for telling that they are old: what is there and known to be ours.
pub fn earlier(disk: &dyn Disk, root: &Path, set: &str) -> Vec<String> {
    let places = Places::new(root, STAGING);
    if !is_plain(set) {
        return Vec::new();
    }
    let Ok(manifest) = Manifest::read(disk, &places.manifest(set)) else {
        return Vec::new();
    };
    let before = manifest.installing.map_or(manifest.files, |under_way| under_way.files);
    let folder = places.set(set);
    let mut names: Vec<String> = before.into_keys().collect();
    names.retain(|name| disk.stat(&folder.join(name)).is_ok());
    names
}

fn locked(disk: &dyn Disk, places: &Places, waiting: impl FnOnce()) -> Result<(Lock, bool), Trouble> {
    let path = places.lock();
    let trouble = |error: std::io::Error| Trouble::file("lock", &path, &error);
    match there(disk, &path).map_err(trouble)? {
        Some(stat) if stat.kind == Kind::File => {}
        Some(_) => return Err(trouble(std::io::Error::other("it is no regular file"))),
        None => match write_new(disk, &path, b"") {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            made => made.map_err(trouble)?,
        },
    }
    if let Some(lock) = disk.lock(&path).map_err(trouble)? {
        return Ok((lock, false));
    }
    waiting();
    for _ in 0..TRIES {
        std::thread::sleep(WAIT);
        if let Some(lock) = disk.lock(&path).map_err(trouble)? {
            return Ok((lock, true));
        }
    }
    let root = escape::path(places.root());
    Err(Trouble::new(format!(
        "another benchleaf has been writing to {root} for ten minutes: end it, or give another `--out`"
    )))
}

fn shared(output: &Path, one: &Path, other: &Path) -> Trouble {
    let (output, one, other) = (escape::path(output), escape::path(one), escape::path(other));
    Trouble::new(format!(
        "two sets would be printed to {output}: {one} and {other}; give one of them another `--out`, or rename its folder"
    ))
}

/// A path without `..`, where it has no links.
fn tidied(path: &Path) -> PathBuf {
    let mut tidy = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir => {
                tidy.pop();
            }
            Component::CurDir => {}
            part => tidy.push(part),
        }
    }
    tidy
}

/// Puts one file where the user says, in a folder that is made if it isn't there; an older one gives way.
///
/// # Errors
/// If it can't be written.
pub fn put(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let trouble = |error: std::io::Error| Trouble::file("write", path, &error);
    let places = Places::new(path, STAGING);
    if let Some(folder) = path.parent() {
        folders(disk, places.trusted(), folder).map_err(trouble)?;
    }
    disk::replace(disk, path, bytes).map_err(trouble)
}
