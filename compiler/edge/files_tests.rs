//! Reading while somebody writes: no set that never was.

use super::disk::{Disk, Fault, Faulty, Lock, NewFile, Real, Stat};
use super::files::reading;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

/// The real disk, on which one file is changed when so many have been read.
struct Edited {
    file: PathBuf,
    after: u64,
    reads: AtomicU64,
}

impl Disk for Edited {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        let bytes = Real.read(path);
        if self.reads.fetch_add(1, Ordering::SeqCst) + 1 == self.after {
            // As an editor saves: a new file in the place of the old one.
            let part = self.file.with_extension("tmp");
            fs::write(&part, fs::read(&self.file)?)?;
            fs::rename(&part, &self.file)?;
        }
        bytes
    }

    fn stat(&self, path: &Path) -> io::Result<Stat> {
        Real.stat(path)
    }

    fn target(&self, path: &Path) -> io::Result<Stat> {
        Real.target(path)
    }

    fn list(&self, path: &Path) -> io::Result<Vec<String>> {
        Real.list(path)
    }

    fn create_dir(&self, path: &Path) -> io::Result<()> {
        Real.create_dir(path)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        Real.create(path)
    }

    fn sync_dir(&self, path: &Path) -> io::Result<()> {
        Real.sync_dir(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        Real.rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        Real.link(from, to)
    }

    fn liken(&self, file: &Path, to: &Path) -> io::Result<()> {
        Real.liken(file, to)
    }

    fn touch(&self, path: &Path) -> io::Result<()> {
        Real.touch(path)
    }
    fn remove_file(&self, path: &Path) -> io::Result<()> {
        Real.remove_file(path)
    }

    fn remove_dir(&self, path: &Path) -> io::Result<()> {
        Real.remove_dir(path)
    }

    fn lock(&self, path: &Path) -> io::Result<Option<Lock>> {
        Real.lock(path)
    }
}

#[test]
fn a_file_that_changes_while_others_are_read_is_told() {
    let folder = std::env::temp_dir().join(format!("benchleaf-reading-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join(".git")).unwrap();
    for name in ["set.yaml", "10-open.md", "20-close.md"] {
        fs::write(folder.join(name), "title: x\n").unwrap();
    }
    // Each file, at each moment of the reading.
    for name in ["set.yaml", "10-open.md", "20-close.md"] {
        for after in 1..=3 {
            let file = folder.join(name);
            let before = fs::read(&file).unwrap();
            let reads = AtomicU64::new(0);
            let disk = Edited { file, after, reads };
            if let Err(trouble) = reading(&disk, &folder) {
                assert!(
                    trouble.0.contains("was changed while the files were read"),
                    "{}",
                    trouble.0
                );
                continue;
            }
            // Only a file that wasn't read yet may have changed without a word.
            assert!(after < 3, "{name} after {after} files");
            assert_eq!(fs::read(folder.join(name)).unwrap(), before);
        }
    }
    // A read that stops in the middle is no file.
    let calls = Faulty::new(Real, Fault::Delay, 0);
    assert!(reading(&calls, &folder).is_ok());
    let mut told = 0;
    for at in 1..=calls.count() {
        told += u32::from(reading(&Faulty::new(Real, Fault::Shorten, at), &folder).is_err());
    }
    assert_eq!(told, 3, "of the calls that read");
    fs::remove_dir_all(&folder).unwrap();
}
