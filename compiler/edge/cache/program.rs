//! Which build of the program this is. Fonts, templates, reader and all are in it, so that what another build made is of no use to this one.

use crate::edge::output::manifest;
use crate::edge::version;
use std::fs::{self, Metadata};
use std::io;
use std::path::PathBuf;
use std::sync::OnceLock;
#[cfg(not(unix))]
use std::time::SystemTime;

/// The file that runs. What is behind its name may be a newer one by now.
fn own() -> io::Result<PathBuf> {
    match cfg!(target_os = "linux") {
        true => Ok(PathBuf::from("/proc/self/exe")),
        false => std::env::current_exe(),
    }
}

/// A digest that no other build of the program has on this machine; `None` where the system doesn't tell enough. It takes the file's identity and
/// when it was last written to: to read all of a program of some 50 MB would take longer than what is kept saves for a small set. A copy of the
/// program is another one, and begins with an empty cache.
pub fn digest() -> Option<&'static str> {
    static DIGEST: OnceLock<Option<String>> = OnceLock::new();
    let worked_out = || {
        let metadata = own().and_then(fs::metadata).ok()?;
        let file = file(&metadata)?;
        Some(manifest::digest(format!("{}\n{file}", version::long()).as_bytes()))
    };
    DIGEST.get_or_init(worked_out).as_deref()
}

/// Device, file, length, and when it last changed: the time of change is the system's own and can't be set.
#[cfg(unix)]
fn file(metadata: &Metadata) -> Option<String> {
    use std::os::unix::fs::MetadataExt;
    let m = metadata;
    Some(format!(
        "{} {} {} {}.{} {}.{}",
        m.dev(),
        m.ino(),
        m.len(),
        m.ctime(),
        m.ctime_nsec(),
        m.mtime(),
        m.mtime_nsec()
    ))
}

/// Length, and when it was made and last written to.
#[cfg(not(unix))]
fn file(metadata: &Metadata) -> Option<String> {
    let since = |at: io::Result<SystemTime>| at.ok()?.duration_since(SystemTime::UNIX_EPOCH).ok();
    let (made, written) = (since(metadata.created())?, since(metadata.modified())?);
    Some(format!("{} {made:?} {written:?}", metadata.len()))
}
