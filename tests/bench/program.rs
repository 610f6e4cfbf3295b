//! The program, run and measured: every file it writes goes to a scratch folder.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// A folder for builds, gone at the end.
pub struct Folder(PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

impl Folder {
    pub fn new(name: &str) -> Folder {
        let folder = std::env::temp_dir().join(format!("benchleaf-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        // A repository of its own: nothing above it is looked at.
        fs::create_dir_all(folder.join(".git")).expect("a scratch folder");
        Folder(folder)
    }

    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Runs the program in it, with a cache of its own, and says how long it took.
    pub fn timed(&self, arguments: &[&str]) -> Duration {
        self.timed_as(arguments, &[0])
    }

    /// The same, which may end with one of these codes.
    pub fn timed_as(&self, arguments: &[&str], codes: &[i32]) -> Duration {
        let begun = Instant::now();
        let ended = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(arguments)
            .current_dir(&self.0)
            .env("BENCHLEAF_CACHE", self.0.join("kept"))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .expect("the program can be run");
        let fits = ended.code().is_some_and(|code| codes.contains(&code));
        assert!(fits, "{arguments:?} ended with {ended}");
        begun.elapsed()
    }

    /// Builds the sets of a folder in it on so many threads, into a fresh folder. Gives the most memory resident at once, in bytes; 0 where
    /// the system doesn't tell.
    pub fn build(&self, sets: &str, jobs: usize) -> u64 {
        let out = self.0.join("out");
        let _ = fs::remove_dir_all(&out);
        let mut child = Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(["build", sets, "--out", "out", "--jobs", &jobs.to_string(), "--no-cache"])
            .current_dir(&self.0)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .spawn()
            .expect("the program can be run");
        let status = Path::new("/proc").join(child.id().to_string()).join("status");
        let mut most = 0;
        let ended = loop {
            let text = fs::read_to_string(&status).unwrap_or_default();
            let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
            let kib = line.and_then(|line| line.trim().trim_end_matches(" kB").parse().ok());
            most = most.max(kib.unwrap_or(0) * 1024);
            match child.try_wait().expect("it can be waited for") {
                Some(status) => break status,
                None => sleep(Duration::from_millis(2)),
            }
        };
        assert!(ended.success(), "the build ended with {ended}");
        most
    }
}

/// Copies of the demo sets in a folder; gives the number of their procedures.
pub fn copies(folder: &Folder, name: &str, count: usize) -> usize {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures");
    let mut procedures = 0;
    for copy in 0..count {
        procedures += bring(&demo, &folder.0.join(name), copy);
    }
    procedures
}

/// Copies a folder; the sets at its top get a number.
fn bring(from: &Path, to: &Path, copy: usize) -> usize {
    fs::create_dir_all(to).expect("a scratch folder");
    let mut procedures = 0;
    for entry in fs::read_dir(from).expect("the demo sets").flatten() {
        let (path, name) = (entry.path(), entry.file_name());
        if path.is_dir() {
            let place = to.join(format!("{}-{copy}", name.to_string_lossy()));
            procedures += bring(&path, &place, copy);
        } else {
            fs::copy(&path, to.join(&name)).expect("a copy");
            procedures += usize::from(path.extension().is_some_and(|e| e == "md"));
        }
    }
    procedures
}

/// The texts of a folder in it by their path.
pub fn texts(folder: &Folder, name: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut open = vec![name.to_string()];
    while let Some(place) = open.pop() {
        for entry in fs::read_dir(folder.0.join(&place)).expect("a folder").flatten() {
            let path = format!("{place}/{}", entry.file_name().to_string_lossy());
            match entry.path().is_dir() {
                true => open.push(path),
                false => drop(found.insert(path, fs::read_to_string(entry.path()).expect("a text"))),
            }
        }
    }
    found
}
