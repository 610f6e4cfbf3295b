//! The disk as the edge uses it: everything that is read for a card or written by the program goes through one small trait, so that a
//! test can make any call of it fail. Walking folders and reading git are left to the libraries that do it.
//!
//! No link is followed in writing: a new file is made under a name that nobody could have put there, and put in place by renaming,
//! which takes the place of a link and not of what it points at.

mod faulty;
mod real;
mod whole;

use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

pub use faulty::{Fault, Faulty};
pub use real::Real;
pub use whole::{create_whole, folders, random_name, replace, rewrite, write_all, write_new};

/// What there is at a place, the last link of its path not followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    File,
    Folder,
    Link,
    /// A pipe, a device, a socket.
    Other,
}

/// What is known of a place without opening it. Two that are equal before and after reading a file mean that nobody wrote to it between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stat {
    pub kind: Kind,
    /// Bytes.
    pub len: u64,
    pub modified: Option<SystemTime>,
    /// Which file it is, where the system tells: an editor that saves by renaming makes another one.
    pub inode: u64,
}

/// Keeps others out for as long as it lives; the system lets go of it when the program ends, however it ends.
#[derive(Debug)]
pub struct Lock {
    _file: std::fs::File,
}

/// The calls. Each does one thing, and is one that can fail.
pub trait Disk: Sync {
    /// What is at a place; an error of kind `NotFound` if nothing is.
    fn stat(&self, path: &Path) -> io::Result<Stat>;
    /// The same with links followed.
    fn target(&self, path: &Path) -> io::Result<Stat>;
    /// The whole of a file.
    fn read(&self, path: &Path) -> io::Result<Vec<u8>>;
    /// Names in a folder, in order; those that aren't text are left out.
    fn list(&self, path: &Path) -> io::Result<Vec<String>>;
    /// Makes one folder, in one that is there.
    fn create_dir(&self, path: &Path) -> io::Result<()>;
    /// Makes a file that isn't there yet.
    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>>;
    /// Makes what was made, renamed or removed in a folder last.
    fn sync_dir(&self, path: &Path) -> io::Result<()>;
    /// Renames; what is at the other place gives way in one moment.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a file a second name that isn't taken yet.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a file the permissions of another, and its owner and group where the system lets us. Where it doesn't, nobody can do more with
    /// it than with the other.
    fn liken(&self, file: &Path, to: &Path) -> io::Result<()>;
    /// Marks a file as written to now.
    fn touch(&self, path: &Path) -> io::Result<()>;
    fn remove_file(&self, path: &Path) -> io::Result<()>;
    /// Removes an empty folder.
    fn remove_dir(&self, path: &Path) -> io::Result<()>;
    /// Locks a file that is there; `None` if somebody else has it locked.
    fn lock(&self, path: &Path) -> io::Result<Option<Lock>>;
}

/// A file being written for the first time.
pub trait NewFile {
    /// Takes some of the bytes and says how many, as [`io::Write::write`] does.
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize>;
    /// Makes what was written last.
    fn sync(&mut self) -> io::Result<()>;
}

/// What is at a place, `None` if nothing is.
///
/// # Errors
/// If the system can't tell.
pub fn there(disk: &dyn Disk, path: &Path) -> io::Result<Option<Stat>> {
    match disk.stat(path) {
        Ok(stat) => Ok(Some(stat)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// Removes a folder of our own with what is in it, as far as it can be: links in it are removed, not followed.
pub fn remove_all(disk: &dyn Disk, folder: &Path) {
    let mut open: Vec<(PathBuf, bool)> = vec![(folder.to_path_buf(), false)];
    while let Some((place, emptied)) = open.pop() {
        let is_folder = disk.stat(&place).is_ok_and(|s| s.kind == Kind::Folder);
        if !is_folder {
            let _ = disk.remove_file(&place);
        } else if emptied {
            let _ = disk.remove_dir(&place);
        } else {
            let names = disk.list(&place).unwrap_or_default();
            open.push((place.clone(), true));
            open.extend(names.into_iter().map(|name| (place.join(name), false)));
        }
    }
}
