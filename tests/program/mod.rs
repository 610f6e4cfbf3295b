//! The program itself, run in a scratch folder of its own.

pub mod browser;
pub mod editor;
#[cfg(unix)]
pub mod faulty;
pub mod fuzzed;
pub mod pack;
pub mod repository;
pub mod served;

use crate::harness::fixture;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A folder for temporary files, empty at first and gone at the end.
pub struct Scratch(PathBuf);

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
        let _ = fs::remove_dir_all(self.cache());
    }
}

impl Scratch {
    /// A new one; `name` tells it apart from those of other trials.
    pub fn new(name: &str) -> Scratch {
        // Outside of this repository, which a search upwards would find.
        let name = format!("benchleaf-{}-{}", std::process::id(), name.replace('/', "-"));
        let folder = std::env::temp_dir().join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
        // Stops the search for shop files above it: a repository is a world of its own.
        fs::create_dir_all(folder.join(".git")).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
        Scratch(folder)
    }

    /// A new one that is nothing to git yet.
    pub fn outside(name: &str) -> Scratch {
        let scratch = Scratch::new(name);
        let _ = fs::remove_dir_all(scratch.0.join(".git"));
        scratch
    }

    /// Where the program keeps what it has finished, when it is run in here: beside it, so that no trial meets it among its own files.
    pub fn cache(&self) -> PathBuf {
        beside(&self.0)
    }

    /// The folder itself.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Writes a file in it.
    pub fn write(&self, path: &str, bytes: &[u8]) {
        let place = self.0.join(path);
        if let Some(folder) = place.parent() {
            fs::create_dir_all(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
        }
        fs::write(&place, bytes).unwrap_or_else(|e| panic!("{}: {e}", place.display()));
    }

    /// Takes a file away.
    pub fn remove(&self, path: &str) {
        let place = self.0.join(path);
        fs::remove_file(&place).unwrap_or_else(|e| panic!("{}: {e}", place.display()));
    }

    /// Copies a folder of the tree into it.
    pub fn bring(&self, from: &Path, to: &str) {
        for (path, bytes) in fixture::read_folder(from, from) {
            let place = self.0.join(to).join(path);
            if let Some(folder) = place.parent() {
                fs::create_dir_all(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
            }
            fs::write(&place, bytes).unwrap_or_else(|e| panic!("{}: {e}", place.display()));
        }
    }

    /// Every file below a folder of it, by path from there.
    pub fn files(&self, below: &str) -> Vec<(String, Vec<u8>)> {
        let root = self.0.join(below);
        if !root.is_dir() {
            return Vec::new();
        }
        let name = |path: &Path| {
            path.strip_prefix(&root)
                .unwrap_or(path)
                .to_string_lossy()
                .replace('\\', "/")
        };
        fixture::walk(&root)
            .iter()
            .map(|path| (name(path), fs::read(path).unwrap_or_default()))
            .filter(|(path, _)| !path.starts_with(".benchleaf/"))
            .collect()
    }

    /// Runs the program in it: what it wrote to standard output and error, and its exit code.
    pub fn run(&self, arguments: &[String]) -> (String, String, Option<i32>) {
        self.run_in("", arguments)
    }

    /// The same in a folder of it.
    pub fn run_in(&self, folder: &str, arguments: &[String]) -> (String, String, Option<i32>) {
        let output = program(&self.0.join(folder))
            .args(arguments)
            .env("COLUMNS", "100")
            .env_remove("CLICOLOR_FORCE")
            .stdin(Stdio::null())
            .output()
            .unwrap_or_else(|e| panic!("the program can't be run: {e}"));
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).replace("\r\n", "\n");
        (text(&output.stdout), text(&output.stderr), output.status.code())
    }
}

/// The name by which the program is told where to keep what it has finished.
pub const CACHE: &str = "BENCHLEAF_CACHE";

/// The program, to be run in a scratch folder or one in it. It keeps what it finishes beside the scratch folder: what other trials and the
/// machine's user have made is of no use to it.
pub fn program(folder: &Path) -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_benchleaf"));
    program.current_dir(folder).env(CACHE, beside(folder));
    program
}

/// The cache folder of the scratch folder that a folder is, or lies in.
pub fn beside(folder: &Path) -> PathBuf {
    let own = format!("benchleaf-{}-", std::process::id());
    let is_scratch = |place: &&Path| {
        place
            .file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with(&own))
    };
    let scratch = folder.ancestors().find(is_scratch).unwrap_or(folder);
    let name = scratch.file_name().unwrap_or_default().to_string_lossy();
    scratch.with_file_name(format!("{name}-kept"))
}

/// A command's words, parted at spaces outside quotes.
pub fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (n, piece) in command.split('"').enumerate() {
        if n % 2 == 1 {
            words.push(piece.to_string());
        } else {
            words.extend(piece.split_whitespace().map(str::to_string));
        }
    }
    words
}
