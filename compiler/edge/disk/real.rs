//! The machine's own disk.

use super::{Disk, Kind, Lock, NewFile, Stat};
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Write};
use std::path::Path;
use std::time::SystemTime;

/// The machine's own disk.
pub struct Real;

impl Disk for Real {
    fn stat(&self, path: &Path) -> io::Result<Stat> {
        fs::symlink_metadata(path).map(|m| stat(&m))
    }

    fn target(&self, path: &Path) -> io::Result<Stat> {
        fs::metadata(path).map(|m| stat(&m))
    }

    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        fs::read(path)
    }

    fn list(&self, path: &Path) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(path)? {
            names.extend(entry?.file_name().into_string().ok());
        }
        names.sort();
        Ok(names)
    }

    fn create_dir(&self, path: &Path) -> io::Result<()> {
        fs::create_dir(path)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        let file = OpenOptions::new().write(true).create_new(true).open(path)?;
        Ok(Box::new(Open(file)))
    }

    fn sync_dir(&self, path: &Path) -> io::Result<()> {
        // Elsewhere a folder can't be opened, and the system orders its own changes.
        if cfg!(unix) {
            File::open(path)?.sync_all()?;
        }
        Ok(())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn liken(&self, file: &Path, to: &Path) -> io::Result<()> {
        let wanted = fs::metadata(to)?;
        let permissions = owned_as(file, &wanted)?;
        fs::set_permissions(file, permissions)
    }

    fn touch(&self, path: &Path) -> io::Result<()> {
        OpenOptions::new()
            .append(true)
            .open(path)?
            .set_modified(SystemTime::now())
    }

    fn remove_file(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn remove_dir(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir(path)
    }

    fn lock(&self, path: &Path) -> io::Result<Option<Lock>> {
        let file = File::open(path)?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Lock { _file: file })),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}

/// Gives a file owner and group as far as the system lets us, and says which permissions it may then have: a group that is another one may do
/// what everybody may.
#[cfg(unix)]
fn owned_as(file: &Path, wanted: &fs::Metadata) -> io::Result<fs::Permissions> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};
    let now = fs::metadata(file)?;
    let mut permissions = wanted.permissions();
    let mode = permissions.mode() & 0o777;
    if now.uid() != wanted.uid() {
        // Only the superuser may give a file away.
        let _ = chown(file, Some(wanted.uid()), None);
    }
    if now.gid() != wanted.gid() && chown(file, None, Some(wanted.gid())).is_err() {
        permissions.set_mode(mode & (0o707 | (mode & 0o007) << 3));
    } else {
        permissions.set_mode(mode);
    }
    Ok(permissions)
}

#[cfg(not(unix))]
fn owned_as(_file: &Path, wanted: &fs::Metadata) -> io::Result<fs::Permissions> {
    Ok(wanted.permissions())
}

fn stat(metadata: &fs::Metadata) -> Stat {
    let kind = metadata.file_type();
    let kind = if kind.is_symlink() {
        Kind::Link
    } else if kind.is_file() {
        Kind::File
    } else if kind.is_dir() {
        Kind::Folder
    } else {
        Kind::Other
    };
    #[cfg(unix)]
    let inode = std::os::unix::fs::MetadataExt::ino(metadata);
    #[cfg(not(unix))]
    let inode = 0;
    Stat {
        kind,
        len: metadata.len(),
        modified: metadata.modified().ok(),
        inode,
    }
}

struct Open(File);

impl NewFile for Open {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.0.sync_all()
    }
}
