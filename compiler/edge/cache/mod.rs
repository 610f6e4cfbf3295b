//! Finished documents of earlier builds, in the user's cache folder: what is laid out once and read back needn't be again.
//!
//! ```text
//! <cache>/benchleaf/made-1/3f/3f9c….made     one entry: a document, or what was printed of a set (entry.rs)
//! ```
//!
//! An entry is found by a digest of all that it is made from, this program included (key.rs), and is believed only if its own digest is right. Nothing
//! hangs on it: what can't be read, written or believed is told and made anew, and whoever takes the folder away loses time only.

mod entry;
mod key;
mod program;
#[cfg(test)]
mod tests;

use super::disk::{Disk, Kind, folders, random_name, write_all};
use super::{escape, terminal};
use etcetera::BaseStrategy;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, SystemTime};

pub use entry::Finished;
pub use key::{Key, Making};

/// Raised when entries get another form: older programs leave other folders alone.
const FOLDER: &str = "benchleaf/made-1";

/// Names another cache folder than the platform's, such as one that a build server keeps.
const ASKED: &str = "BENCHLEAF_CACHE";

/// The most that all entries take together, in bytes; beyond it the ones that were of no use for longest go, until a quarter is free.
const MOST: u64 = 1 << 30;

/// An entry that was used is marked as used if the last mark is older.
const MARKED: Duration = Duration::from_secs(24 * 60 * 60);

/// The ending of entries.
const ENDING: &str = "made";

/// The cache as one command uses it.
pub struct Cache<'d> {
    disk: &'d dyn Disk,
    folder: PathBuf,
    /// Told once: nothing more is put there.
    full: AtomicBool,
    kept: AtomicUsize,
    found: AtomicUsize,
}

/// What there is of a key.
enum Found {
    Nothing,
    Entry(Finished),
    /// Something that is no entry of this key.
    Bad,
}

impl<'d> Cache<'d> {
    /// The user's cache; `None` if it isn't wanted, or there is no place for one.
    pub fn open(disk: &'d dyn Disk, wanted: bool) -> Option<Cache<'d>> {
        if !wanted || program::digest().is_none() {
            return None;
        }
        let asked = std::env::var_os(ASKED).filter(|folder| !folder.is_empty());
        let above = match asked {
            Some(folder) => PathBuf::from(folder),
            None => etcetera::base_strategy::choose_native_strategy().ok()?.cache_dir(),
        };
        // From the current folder it would be another one for each command.
        above.is_absolute().then(|| Cache::at(disk, above.join(FOLDER)))
    }

    fn at(disk: &'d dyn Disk, folder: PathBuf) -> Cache<'d> {
        Cache {
            disk,
            folder,
            full: AtomicBool::new(false),
            kept: AtomicUsize::new(0),
            found: AtomicUsize::new(0),
        }
    }

    /// What was finished under a key; `name` is what it is told by if the entry is damaged.
    pub fn find(&self, key: &Key, name: &str) -> Option<Finished> {
        let place = self.place(key);
        match self.look(key, &place) {
            Ok(Found::Entry(finished)) => {
                self.found.fetch_add(1, Ordering::Relaxed);
                Some(finished)
            }
            Ok(Found::Nothing) => None,
            Ok(Found::Bad) => {
                let (name, place) = (escape::word(name), escape::path(&place));
                terminal::remark(&format!(
                    "{name}: what was kept of it in {place} is damaged, or not ours: it is made anew"
                ));
                None
            }
            // A folder that can't be looked into is told when something can't be put there.
            Err(_) => None,
        }
    }

    /// Keeps what was finished. It is no trouble if it can't be: it is told once.
    pub fn keep(&self, key: &Key, finished: &Finished) {
        if self.full.load(Ordering::Relaxed) {
            return;
        }
        match self.put(&self.place(key), &entry::written(key, finished)) {
            Ok(()) => {
                self.kept.fetch_add(1, Ordering::Relaxed);
            }
            Err(error) => {
                if !self.full.swap(true, Ordering::Relaxed) {
                    let folder = escape::path(&self.folder);
                    terminal::remark(&format!(
                        "what is finished can't be kept in {folder} for the next time ({error}): `--no-cache` leaves it be"
                    ));
                }
            }
        }
    }

    /// Says what was found, for somebody who wants to know, and makes room if it has become too much.
    pub fn close(&self) {
        let (found, kept) = (self.found.load(Ordering::Relaxed), self.kept.load(Ordering::Relaxed));
        terminal::detail(&format!(
            "{}: {found} found, {kept} put there",
            escape::path(&self.folder)
        ));
        if kept > 0 {
            self.make_room(MOST);
        }
    }

    fn place(&self, key: &Key) -> PathBuf {
        let name = key.name();
        let shelf = name.get(..2).unwrap_or_default().to_string();
        self.folder.join(shelf).join(format!("{name}.{ENDING}"))
    }

    fn look(&self, key: &Key, place: &Path) -> io::Result<Found> {
        let stat = match self.disk.stat(place) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Found::Nothing),
            stat => stat?,
        };
        // A link could lead to anything, a pipe never end.
        if stat.kind != Kind::File {
            return Ok(Found::Bad);
        }
        let bytes = match self.disk.read(place) {
            // Another build has just made room.
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Found::Nothing),
            bytes => bytes?,
        };
        let Some(finished) = entry::read(key, &bytes) else {
            return Ok(Found::Bad);
        };
        let fresh = |at: SystemTime| at.elapsed().is_ok_and(|age| age < MARKED);
        if !stat.modified.is_some_and(fresh) {
            // One that can't be marked goes sooner, and that is all.
            let _ = self.disk.touch(place);
        }
        Ok(Found::Entry(finished))
    }

    /// Whole or not at all, under a name of its own first: two builds may put the same there. Nothing is made to last: what the next crash of
    /// the machine leaves half written has the wrong digest.
    fn put(&self, place: &Path, bytes: &[u8]) -> io::Result<()> {
        let Some(shelf) = place.parent() else {
            return Ok(());
        };
        let trusted = self.folder.parent().and_then(Path::parent).unwrap_or(&self.folder);
        folders(self.disk, trusted, shelf)?;
        match self.disk.stat(place) {
            // What isn't ours gives way, but for a folder.
            Ok(stat) if stat.kind != Kind::File => self.disk.remove_file(place)?,
            _ => {}
        }
        let part = shelf.join(random_name(".part")?);
        let written = self
            .disk
            .create(&part)
            .and_then(|mut file| write_all(&mut *file, bytes));
        let written = written.and_then(|()| self.disk.rename(&part, place));
        if written.is_err() {
            let _ = self.disk.remove_file(&part);
        }
        written
    }

    /// Takes away what was of no use for longest, if all together is more than so many bytes.
    fn make_room(&self, most: u64) {
        let mut entries: Vec<(SystemTime, u64, PathBuf)> = Vec::new();
        for shelf in self.disk.list(&self.folder).unwrap_or_default() {
            let shelf = self.folder.join(shelf);
            for name in self.disk.list(&shelf).unwrap_or_default() {
                let place = shelf.join(name);
                let Ok(stat) = self.disk.stat(&place) else { continue };
                let used = stat.modified.unwrap_or(SystemTime::UNIX_EPOCH);
                entries.push((used, stat.len, place));
            }
        }
        let mut all: u64 = entries.iter().map(|(_, len, _)| len).sum();
        if all <= most {
            return;
        }
        entries.sort();
        for (_, len, place) in entries {
            if all <= most / 4 * 3 {
                break;
            }
            if self.disk.remove_file(&place).is_ok() {
                all -= len;
            }
        }
    }
}
