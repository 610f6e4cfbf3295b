//! Folders to files in memory: read once, in one pass, and nothing from outside of the repository.

use super::Trouble;
use super::disk::{Disk, Kind, Stat};
use super::paths::{canonical, slashed};
use super::{escape, terminal};
use crate::budgets::FILE;
use crate::domain::counted::counted;
use crate::parse::files::PICTURES;
use crate::source::{FileSet, TEXT_ENDINGS, ending, lies_in};
use crate::source::{SET_FILE, WORKSHOP_FILE};
use ignore::WalkBuilder;
use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::io::Read;
use std::path::{Path, PathBuf};

/// What a path on the command line stands for, with paths as findings show them.
pub struct Input {
    pub files: FileSet,
    /// Paths of the file set that the user asked for: those at or below this one.
    scope: String,
    /// The folder that the paths begin at; empty if they begin at the root of the disk.
    here: PathBuf,
}

impl Input {
    /// No file at all: what a folder that isn't there holds.
    pub fn nothing() -> Input {
        Input {
            files: FileSet::default(),
            scope: String::new(),
            here: PathBuf::new(),
        }
    }

    /// Files that are all asked for, by the paths that they have.
    pub fn all(files: FileSet) -> Input {
        Input {
            files,
            ..Input::nothing()
        }
    }

    /// True if a file, by its path in the set, is among those asked for.
    pub fn wants(&self, path: &str) -> bool {
        lies_in(path, &self.scope)
    }

    /// Where a file or folder of the set is on the disk.
    pub fn on_disk(&self, path: &str) -> PathBuf {
        self.here.join(path)
    }

    /// What was asked for, on the disk.
    pub fn asked(&self) -> PathBuf {
        self.on_disk(&self.scope)
    }
}

/// The files that a path stands for, as they were at one time.
pub struct Reading {
    found: Found,
    contents: BTreeMap<PathBuf, Vec<u8>>,
}

/// Reads what a path stands for: every set below a folder, one set, or one procedure with the set around it. The shop files of the
/// folders above come along.
///
/// # Errors
/// If the path isn't there, a file can't be read or was written to meanwhile, or leads out of the repository.
pub fn reading(disk: &dyn Disk, path: &Path) -> Result<Reading, Trouble> {
    let found = find(path)?;
    let contents = take_all(disk, &found)?;
    Ok(Reading { found, contents })
}

/// The same with one file as standard input has it: a file that is there or could be, or one in the current folder.
///
/// # Errors
/// As [`reading`], and if standard input can't be read or is none of the files that sets are made of.
pub fn reading_over(disk: &dyn Disk, file: Option<&Path>, input: &mut dyn Read) -> Result<Reading, Trouble> {
    let file = file.unwrap_or(Path::new("standard-input.md"));
    let mut bytes = Vec::new();
    Read::take(&mut *input, FILE.most as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| Trouble::new(format!("can't read standard input: {e}")))?;
    let is_text = |name: &OsStr| TEXT_ENDINGS.contains(&ending(&name.to_string_lossy()).as_str());
    let name = file.file_name().filter(|name| is_text(name));
    let Some(name) = name else {
        return Err(Trouble::new(format!(
            "{} is no file of a set: name one that ends in `.md` or `.yaml`",
            escape::path(file)
        )));
    };
    let folder = match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut reading = reading(disk, if file.is_file() { file } else { folder })?;
    let place = match file.is_file() {
        true => reading.found.asked.clone(),
        false => reading.found.asked.join(name),
    };
    reading.contents.insert(place.clone(), bytes);
    reading.found.asked = place;
    Ok(reading)
}

/// The same for a command that looks at it once.
///
/// # Errors
/// As [`reading`].
pub fn read(disk: &dyn Disk, path: &Path) -> Result<Input, Trouble> {
    Ok(reading(disk, path)?.into_input())
}

impl Reading {
    /// The files by their paths on the disk, as they were read.
    pub fn contents(&self) -> &BTreeMap<PathBuf, Vec<u8>> {
        &self.contents
    }

    /// The files by their paths on the disk.
    pub fn into_contents(self) -> BTreeMap<PathBuf, Vec<u8>> {
        self.contents
    }

    /// The files with the paths that findings show.
    pub fn into_input(self) -> Input {
        let here = self.shown_from();
        input(&self.found, self.contents, &here)
    }

    /// The same, to be made again.
    pub fn input(&self) -> Input {
        input(&self.found, self.contents.clone(), &self.shown_from())
    }

    /// With paths from a folder.
    pub fn input_from(&self, here: &Path) -> Input {
        input(&self.found, self.contents.clone(), here)
    }

    /// With paths that don't say where on the disk it is: from the folder on, or from the outermost one above it that has a shop file.
    pub fn input_apart(self) -> Input {
        let shop = self.found.shops.last().and_then(|shop| shop.parent());
        let here = shop.unwrap_or(&self.found.asked).to_path_buf();
        input(&self.found, self.contents, &here)
    }

    /// What a set can use shows in its path: paths begin at the current folder only if it lies above everything that is read.
    fn shown_from(&self) -> PathBuf {
        let found = &self.found;
        let here = std::env::current_dir()
            .ok()
            .and_then(|d| canonical(&d).ok())
            .unwrap_or_default();
        let outermost = found.shops.last().unwrap_or(&found.root);
        let below = |path: &Path| path.parent().is_some_and(|folder| folder.starts_with(&here));
        // A set goes by its folder's name; one that is a whole repository has none in its history.
        let is_set = found.root.join(SET_FILE).is_file() && !found.root.join(".git").exists();
        let from_here = below(outermost) || (found.shops.is_empty() && !is_set && found.root.starts_with(&here));
        if from_here { here } else { PathBuf::new() }
    }
}

fn input(found: &Found, contents: BTreeMap<PathBuf, Vec<u8>>, here: &Path) -> Input {
    let contents = contents.into_iter().map(|(path, bytes)| (key(&path, here), bytes));
    Input {
        files: FileSet::from_bytes(contents.collect()),
        scope: key(&found.asked, here),
        here: here.to_path_buf(),
    }
}

/// Where the files are that a path stands for.
struct Found {
    asked: PathBuf,
    /// The set, or the folder of sets.
    root: PathBuf,
    /// Shop files above it, the nearest first.
    shops: Vec<PathBuf>,
    /// What is read lies in here: the repository or, without git, the folder of the outermost shop file.
    world: PathBuf,
}

fn find(path: &Path) -> Result<Found, Trouble> {
    let asked = canonical(path).map_err(|e| Trouble::file("read", path, &e))?;
    let folder = if asked.is_dir() {
        asked.clone()
    } else {
        asked.parent().map(Path::to_path_buf).unwrap_or_default()
    };
    let set = folder.ancestors().find(|f| f.join(SET_FILE).is_file());
    let root = set.unwrap_or(&folder).to_path_buf();
    let mut shops = Vec::new();
    for above in root.ancestors().skip(1) {
        let shop = above.join(WORKSHOP_FILE);
        if shop.is_file() {
            shops.push(shop);
        }
        // A repository is a world of its own: what lies above it is somebody else's.
        if above.join(".git").exists() {
            break;
        }
    }
    let repository = root.ancestors().find(|above| above.join(".git").exists());
    let shop = shops.last().and_then(|shop| shop.parent());
    let world = repository.or(shop).unwrap_or(&root).to_path_buf();
    Ok(Found {
        asked,
        root,
        shops,
        world,
    })
}

/// Reads what was found. A file that changes before the last one is read makes a set that never was.
fn take_all(disk: &dyn Disk, found: &Found) -> Result<BTreeMap<PathBuf, Vec<u8>>, Trouble> {
    let mut contents = BTreeMap::new();
    let mut seen = BTreeMap::new();
    let mut names: Vec<PathBuf> = Vec::new();
    let mut take = |path: &Path| take(disk, path, &found.world, &mut contents, &mut seen);
    for shop in &found.shops {
        take(shop)?;
    }
    // Hidden files and those that git ignores are not procedures; a file named on the command line is read whatever git says.
    for entry in WalkBuilder::new(&found.root).require_git(false).build() {
        let entry = entry.map_err(|e| {
            let (root, words) = (escape::path(&found.root), e.to_string());
            Trouble::new(format!("can't read {root}: {}", escape::word(&words)))
        })?;
        if entry.file_type().is_none_or(|t| t.is_dir()) || !entry.path().is_file() {
            continue;
        }
        if is_ours(entry.path()) {
            take(entry.path())?;
        } else if !entry.path().to_string_lossy().contains(char::is_control) {
            names.push(entry.into_path());
        }
    }
    if found.asked.is_file() {
        take(&found.asked)?;
    }
    contents.extend(names.into_iter().map(|name| (name, Vec::new())));
    unchanged(disk, &seen)?;
    terminal::detail(&format!(
        "read {} below {}",
        counted(seen.len(), "file", "files"),
        escape::path(&found.root)
    ));
    for shop in &found.shops {
        terminal::detail(&format!("read {}", escape::path(shop)));
    }
    Ok(contents)
}

/// Trouble if one of these files is not what it was.
fn unchanged(disk: &dyn Disk, seen: &BTreeMap<PathBuf, Stat>) -> Result<(), Trouble> {
    for (path, before) in seen {
        if !disk.target(path).is_ok_and(|now| now == *before) {
            return Err(changed(path));
        }
    }
    Ok(())
}

fn changed(path: &Path) -> Trouble {
    let path = escape::path(path);
    Trouble::new(format!(
        "{path} was changed while the files were read: run the command again when it is saved"
    ))
}

/// True for the files that are read: texts and pictures. Of any other the name alone is taken.
pub fn is_ours(path: &Path) -> bool {
    let ending = ending(path.file_name().and_then(|n| n.to_str()).unwrap_or(""));
    TEXT_ENDINGS.contains(&ending.as_str()) || PICTURES.contains(&ending.as_str())
}

fn take(
    disk: &dyn Disk,
    path: &Path,
    world: &Path,
    contents: &mut BTreeMap<PathBuf, Vec<u8>>,
    seen: &mut BTreeMap<PathBuf, Stat>,
) -> Result<(), Trouble> {
    let trouble = |e: std::io::Error| Trouble::file("read", path, &e);
    let shown = escape::path(path);
    if path.to_string_lossy().contains(char::is_control) {
        return Err(Trouble::new(format!(
            "the name `{shown}` holds a character that can't be shown: rename it"
        )));
    }
    if disk.stat(path).map_err(trouble)?.kind == Kind::Link {
        let target = canonical(path).map_err(trouble)?;
        if !target.starts_with(world) {
            let (target, world) = (escape::path(&target), escape::path(world));
            return Err(Trouble::new(format!(
                "{shown} leads to {target}, outside of {world}: put the file itself there"
            )));
        }
    }
    let before = disk.target(path).map_err(trouble)?;
    let bytes = disk.read(path).map_err(trouble)?;
    if bytes.len() as u64 != before.len {
        return Err(changed(path));
    }
    contents.insert(path.to_path_buf(), bytes);
    seen.insert(path.to_path_buf(), before);
    Ok(())
}

/// A path as findings show it: from the current folder where it lies below it, `/` between its parts.
fn key(path: &Path, here: &Path) -> String {
    slashed(path.strip_prefix(here).unwrap_or(path))
}

/// The text of a file that the user named.
///
/// # Errors
/// If it can't be read or isn't text.
pub fn text(disk: &dyn Disk, path: &Path) -> Result<String, Trouble> {
    let bytes = disk.read(path).map_err(|e| Trouble::file("read", path, &e))?;
    String::from_utf8(bytes).map_err(|_| Trouble::new(format!("can't read {}: it is not UTF-8", escape::path(path))))
}

/// Every file below a folder, by its path from there; for templates.
///
/// # Errors
/// If the folder or a file in it can't be read, or leads out of the folder and the repository around it.
pub fn tree(disk: &dyn Disk, folder: &Path) -> Result<BTreeMap<String, Vec<u8>>, Trouble> {
    let root = canonical(folder).map_err(|e| Trouble::file("read", folder, &e))?;
    let world = root
        .ancestors()
        .find(|above| above.join(".git").exists())
        .unwrap_or(&root);
    let (mut contents, mut seen) = (BTreeMap::new(), BTreeMap::new());
    for entry in WalkBuilder::new(&root).standard_filters(false).build() {
        let entry = entry.map_err(|e| Trouble::new(format!("can't read {}: {e}", escape::path(folder))))?;
        if entry.path().is_file() {
            take(disk, entry.path(), world, &mut contents, &mut seen)?;
        }
    }
    unchanged(disk, &seen)?;
    Ok(contents
        .into_iter()
        .map(|(path, bytes)| (key(&path, &root), bytes))
        .collect())
}
