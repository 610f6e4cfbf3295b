//! Folders to files in memory, and back.

use super::Trouble;
use crate::parse::{SET_FILE, WORKSHOP_FILE};
use crate::source::{FileSet, lies_in};
use ignore::WalkBuilder;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Endings of pictures: those a card can hold, and others, so that one of them isn't said to be missing.
const PICTURES: [&str; 15] = [
    "svg", "png", "jpg", "jpeg", "gif", "webp", "bmp", "tif", "tiff", "heic", "avif", "svgz", "eps", "ico", "pdf",
];

/// What a path on the command line stands for.
pub struct Input {
    pub files: FileSet,
    /// Paths of the file set that the user asked for: those at or below this one.
    scope: String,
}

impl Input {
    /// No file at all: what a folder that isn't there holds.
    pub fn nothing() -> Input {
        Input {
            files: FileSet::default(),
            scope: String::new(),
        }
    }

    /// True if a file, by its path in the set, is among those asked for.
    pub fn wants(&self, path: &str) -> bool {
        lies_in(path, &self.scope)
    }
}

/// Reads what a path stands for: every set below a folder, one set, or one procedure with the set around it. The shop files of the
/// folders above come along.
///
/// # Errors
/// If the path isn't there or a file can't be read.
pub fn read(path: &Path) -> Result<Input, Trouble> {
    let here = std::env::current_dir()
        .ok()
        .and_then(|d| fs::canonicalize(d).ok())
        .unwrap_or_default();
    let found = find(path)?;
    // What a set can use shows in its path: paths begin at the current folder only if it lies above everything that is read.
    let outermost = found.shops.last().unwrap_or(&found.root);
    let below = |path: &Path| path.parent().is_some_and(|folder| folder.starts_with(&here));
    // A set goes by its folder's name; one that is a whole repository has none in its history.
    let is_set = found.root.join(SET_FILE).is_file() && !found.root.join(".git").exists();
    let from_here = below(outermost) || (found.shops.is_empty() && !is_set && found.root.starts_with(&here));
    take_all(&found, if from_here { &here } else { Path::new("") })
}

/// The same, with paths from a folder that is not the current one.
///
/// # Errors
/// As [`read`].
pub fn read_from(path: &Path, here: &Path) -> Result<Input, Trouble> {
    take_all(&find(path)?, here)
}

/// The same, with paths that don't say where on the disk it is: from the folder on, or from the outermost one above it that has a shop
/// file.
///
/// # Errors
/// As [`read`].
pub fn read_apart(path: &Path) -> Result<Input, Trouble> {
    let found = find(path)?;
    let shop = found.shops.last().and_then(|shop| shop.parent());
    take_all(&found, shop.unwrap_or(&found.asked))
}

/// Where the files are that a path stands for.
struct Found {
    asked: PathBuf,
    /// The set, or the folder of sets.
    root: PathBuf,
    /// Shop files above it, the nearest first.
    shops: Vec<PathBuf>,
}

fn find(path: &Path) -> Result<Found, Trouble> {
    let asked = fs::canonicalize(path).map_err(|e| Trouble::new(format!("can't read {}: {e}", path.display())))?;
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
    Ok(Found { asked, root, shops })
}

/// Reads what was found, with paths from `here` on.
fn take_all(found: &Found, here: &Path) -> Result<Input, Trouble> {
    let Found { asked, root, shops } = found;
    let mut contents = BTreeMap::new();
    for shop in shops {
        take(shop, here, &mut contents)?;
    }
    // Hidden files and those that git ignores are not procedures; a file named on the command line is read whatever git says.
    for entry in WalkBuilder::new(root).require_git(false).build() {
        let entry = entry.map_err(|e| Trouble::new(format!("can't read {}: {e}", root.display())))?;
        if entry.file_type().is_some_and(|t| !t.is_dir()) && entry.path().is_file() && is_ours(entry.path()) {
            take(entry.path(), here, &mut contents)?;
        }
    }
    if asked.is_file() {
        take(asked, here, &mut contents)?;
    }
    Ok(Input {
        files: FileSet::from_bytes(contents),
        scope: key(asked, here),
    })
}

/// True for the files that sets are made of.
pub fn is_ours(path: &Path) -> bool {
    let name = path.file_name().and_then(|n| n.to_str()).unwrap_or("");
    if name == SET_FILE || name == WORKSHOP_FILE {
        return true;
    }
    let ending = path
        .extension()
        .and_then(|e| e.to_str())
        .unwrap_or("")
        .to_ascii_lowercase();
    ending == "md" || PICTURES.contains(&ending.as_str())
}

fn take(path: &Path, here: &Path, contents: &mut BTreeMap<String, Vec<u8>>) -> Result<(), Trouble> {
    let bytes = fs::read(path).map_err(|e| Trouble::new(format!("can't read {}: {e}", path.display())))?;
    contents.insert(key(path, here), bytes);
    Ok(())
}

/// A path as findings show it: from the current folder where it lies below it, `/` between its parts.
fn key(path: &Path, here: &Path) -> String {
    let shown = path.strip_prefix(here).unwrap_or(path);
    let parts: Vec<_> = shown.components().map(|c| c.as_os_str().to_string_lossy()).collect();
    let joined = parts.join("/");
    joined
        .strip_prefix("//")
        .map(|rest| format!("/{rest}"))
        .unwrap_or(joined)
}

/// Every file below a folder, by its path from there; for templates.
///
/// # Errors
/// If the folder or a file in it can't be read.
pub fn tree(folder: &Path) -> Result<BTreeMap<String, Vec<u8>>, Trouble> {
    let root = fs::canonicalize(folder).map_err(|e| Trouble::new(format!("can't read {}: {e}", folder.display())))?;
    let mut contents = BTreeMap::new();
    for entry in WalkBuilder::new(&root).standard_filters(false).build() {
        let entry = entry.map_err(|e| Trouble::new(format!("can't read {}: {e}", folder.display())))?;
        if entry.path().is_file() {
            take(entry.path(), &root, &mut contents)?;
        }
    }
    Ok(contents)
}

/// Writes a file whole or not at all: readers never see half of one.
///
/// # Errors
/// If the folder can't be made or the file can't be written.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let trouble = |e: std::io::Error| Trouble::new(format!("can't write {}: {e}", path.display()));
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).map_err(trouble)?;
    }
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(".part");
    let part = PathBuf::from(path).with_file_name(name);
    fs::write(&part, bytes).map_err(trouble)?;
    fs::rename(&part, path).map_err(trouble)
}
