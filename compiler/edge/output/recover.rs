//! Setting right what a build that was cut off has left: the manifest says what it was about to do, and each old and each new file is
//! still somewhere. Every step looks at what is there, so that this may be cut off itself.

use super::manifest::{Entry, Found, Installing, Manifest, look};
use super::places::Places;
use crate::edge::disk::Disk;
use crate::edge::escape;
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// Finishes what a manifest says is under way, or takes it back if the new files aren't all there. Gives the manifest as it then is, and
/// what to tell.
///
/// # Errors
/// If the disk fails; then it can be tried again.
pub fn recover(disk: &dyn Disk, places: &Places, manifest: Manifest) -> io::Result<(Manifest, Vec<String>)> {
    let Some(under_way) = &manifest.installing else {
        return Ok((manifest, Vec::new()));
    };
    let at = Places::new(places.root(), &under_way.staging);
    let work = Work {
        disk,
        folder: at.set(&manifest.set),
        fresh: at.fresh(&manifest.set),
        aside: at.aside(&manifest.set),
        before: &under_way.files,
        after: &manifest.files,
    };
    let (settled, told) = if work.can_finish(under_way)? {
        (work.finish(under_way)?, "its new files are in place now")
    } else {
        (work.take_back(under_way)?, "its old files are back in place")
    };
    match disk.sync_dir(&work.folder) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    let mut whole = Manifest::new(&manifest.set, &settled.source(&manifest));
    whole.files = settled.files;
    let shown = escape::path(&work.folder);
    let mut remarks = vec![format!(
        "{shown}: a build was cut off while it put files in place; {told}"
    )];
    for name in &settled.strange {
        let place = escape::path(&work.folder.join(name));
        remarks.push(format!(
            "{place} is not as it was left then: look at it, and build again"
        ));
    }
    whole.write(disk, &at.manifest(&manifest.set))?;
    Ok((whole, remarks))
}

struct Work<'a> {
    disk: &'a dyn Disk,
    folder: PathBuf,
    fresh: PathBuf,
    aside: PathBuf,
    before: &'a BTreeMap<String, Entry>,
    after: &'a BTreeMap<String, Entry>,
}

/// How it ended.
struct Settled {
    files: BTreeMap<String, Entry>,
    finished: bool,
    /// Names that hold something else than we know of, or nothing.
    strange: Vec<String>,
}

impl Settled {
    fn source(&self, manifest: &Manifest) -> String {
        match &manifest.installing {
            Some(under_way) if !self.finished => under_way.source.clone(),
            _ => manifest.source.clone(),
        }
    }
}

impl Work<'_> {
    fn look(&self, folder: &Path, name: &str) -> io::Result<Found> {
        look(self.disk, &folder.join(name))
    }

    fn can_finish(&self, under_way: &Installing) -> io::Result<bool> {
        for name in &under_way.writes {
            let new = self.after.get(name);
            if !self.look(&self.folder, name)?.is(new) && !self.look(&self.fresh, name)?.is(new) {
                return Ok(false);
            }
        }
        Ok(true)
    }

    fn finish(&self, under_way: &Installing) -> io::Result<Settled> {
        let (mut files, mut strange) = (self.after.clone(), Vec::new());
        for name in &under_way.writes {
            match self.look(&self.folder, name)? {
                found if found.is(self.after.get(name)) => {}
                found if found == Found::Nothing || found.is(self.before.get(name)) => {
                    self.disk.rename(&self.fresh.join(name), &self.folder.join(name))?;
                }
                _ => {
                    files.remove(name);
                    strange.push(name.clone());
                }
            }
        }
        for name in &under_way.removals {
            match self.look(&self.folder, name)? {
                Found::Nothing => {}
                found if found.is(self.before.get(name)) => self.disk.remove_file(&self.folder.join(name))?,
                _ => strange.push(name.clone()),
            }
        }
        Ok(Settled {
            files,
            finished: true,
            strange,
        })
    }

    fn take_back(&self, under_way: &Installing) -> io::Result<Settled> {
        let (mut files, mut strange) = (self.before.clone(), Vec::new());
        for name in under_way.writes.iter().chain(&under_way.removals) {
            let (old, new) = (self.before.get(name), self.after.get(name));
            let found = self.look(&self.folder, name)?;
            let gives_way = found == Found::Nothing || found.is(new);
            if found.is(old) {
                continue;
            }
            if old.is_some() && gives_way && self.look(&self.aside, name)?.is(old) {
                self.disk.rename(&self.aside.join(name), &self.folder.join(name))?;
            } else if old.is_none() && found.is(new) {
                self.disk.remove_file(&self.folder.join(name))?;
            } else if old.is_some() || found != Found::Nothing {
                files.remove(name);
                strange.push(name.clone());
            }
        }
        Ok(Settled {
            files,
            finished: false,
            strange,
        })
    }
}
