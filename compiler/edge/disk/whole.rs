//! Whole files or none: what is written stands under a random name until it is complete.

use super::{Disk, Kind, NewFile, there};
use crate::domain::counted::counted;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// A name that nobody can have put there before us.
///
/// # Errors
/// If the system has no random numbers.
pub fn random_name(what: &str) -> io::Result<String> {
    let number = getrandom::u64().map_err(|e| io::Error::other(e.to_string()))?;
    Ok(format!("{what}-{number:016x}"))
}

/// Hands a file all of some bytes.
///
/// # Errors
/// If it takes no more of them.
pub fn write_all(file: &mut dyn NewFile, bytes: &[u8]) -> io::Result<()> {
    let mut rest = bytes;
    while !rest.is_empty() {
        match file.write(rest) {
            Ok(0) => return Err(ErrorKind::WriteZero.into()),
            Ok(n) => rest = rest.get(n..).unwrap_or_default(),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(())
}

/// Makes a new file of these bytes and makes it last; what can't be written whole is taken away again.
///
/// # Errors
/// If something is there, or it can't be written.
pub fn write_new(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = disk.create(path)?;
    let written = (|| {
        write_all(&mut *file, bytes)?;
        file.sync()?;
        // A disk that takes less than it says is met on networks.
        let len = disk.stat(path)?.len;
        if len == bytes.len() as u64 {
            Ok(())
        } else {
            let words = format!("only {len} of {} arrived", counted(bytes.len(), "byte", "bytes"));
            Err(io::Error::other(words))
        }
    })();
    if written.is_err() {
        let _ = disk.remove_file(path);
    }
    written
}

/// Puts a file of these bytes at a place, whatever file was there before: readers see the old one or the new one.
///
/// # Errors
/// If it can't be written; then what was there still is.
pub fn replace(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    if there(disk, path)?.is_some_and(|s| s.kind == Kind::Folder) {
        return Err(ErrorKind::IsADirectory.into());
    }
    put(disk, path, bytes, |_| Ok(()))
}

/// The same in the place of a file that somebody else made: permissions stay as they are, and owner and group where the system lets us.
///
/// # Errors
/// If there is no file, or it can't be written; then what was there still is.
pub fn rewrite(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    put(disk, path, bytes, |part| disk.liken(part, path))
}

/// Writes a file under a name of its own, does something to it, and puts it in place.
fn put(disk: &dyn Disk, path: &Path, bytes: &[u8], ready: impl Fn(&Path) -> io::Result<()>) -> io::Result<()> {
    let folder = folder_of(path);
    let part = folder.join(random_name(".benchleaf")?);
    write_new(disk, &part, bytes)?;
    let renamed = ready(&part).and_then(|()| disk.rename(&part, path));
    if renamed.is_err() {
        let _ = disk.remove_file(&part);
    }
    renamed?;
    disk.sync_dir(&folder)
}

/// Puts a file of these bytes at a place where nothing is yet.
///
/// # Errors
/// If something is there (`AlreadyExists`), or it can't be written.
pub fn create_whole(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    if there(disk, path)?.is_some() {
        return Err(ErrorKind::AlreadyExists.into());
    }
    let folder = folder_of(path);
    let part = folder.join(random_name(".benchleaf")?);
    write_new(disk, &part, bytes)?;
    // A second name is refused where somebody else was quicker; not every disk has second names.
    let linked = match disk.link(&part, path) {
        Err(error) if error.kind() == ErrorKind::Unsupported || error.kind() == ErrorKind::PermissionDenied => {
            write_new(disk, path, bytes)
        }
        other => other,
    };
    let removed = disk.remove_file(&part);
    linked?;
    removed?;
    disk.sync_dir(&folder)
}

/// Makes a folder and those above it that aren't there yet.
///
/// # Errors
/// If one can't be made, or there is something else, such as a link, in a place below `trusted`: what the user named is followed,
/// what stands below it is not.
pub fn folders(disk: &dyn Disk, trusted: &Path, folder: &Path) -> io::Result<()> {
    let mut missing: Vec<PathBuf> = Vec::new();
    for place in folder.ancestors() {
        if place.as_os_str().is_empty() {
            break;
        }
        let below = place != trusted && place.starts_with(trusted);
        let found = match there(disk, place)? {
            Some(stat) if stat.kind == Kind::Link && !below => disk.target(place).ok(),
            found => found,
        };
        match found {
            None => missing.push(place.to_path_buf()),
            Some(stat) if stat.kind == Kind::Folder && below => {}
            Some(stat) if stat.kind == Kind::Folder => break,
            Some(stat) if stat.kind == Kind::Link => {
                let words = format!(
                    "{} is a link, and links are not followed",
                    super::super::escape::path(place)
                );
                return Err(io::Error::other(words));
            }
            Some(_) => return Err(ErrorKind::NotADirectory.into()),
        }
    }
    for place in missing.iter().rev() {
        match disk.create_dir(place) {
            // Somebody else's build may need it as well.
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            made => made?,
        }
        disk.sync_dir(&folder_of(place))?;
    }
    Ok(())
}

/// The folder a file lies in; that of a bare name is the current one.
fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
        _ => PathBuf::from("."),
    }
}
