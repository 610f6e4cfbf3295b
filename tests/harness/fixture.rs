//! Fixtures on disk: folders of real files, and texts that hold several files.
//!
//! A text fixture starts with prose that says why it is there. Each file in it begins after a line `=== path`; words in brackets after
//! the path change its bytes: `crlf` (line ends), `bom` (byte order mark), `bytes` (`\xNN` is a byte), `cr` (old line ends), `long` (more than 64 MiB), `open-end` (no last line end).

use super::Files;
use std::fs;
use std::path::{Path, PathBuf};

/// Stands in for a fixture's `set.yaml` where it has none.
const DEFAULT_SET: &str = "machine: Invented pump\ntitle: Rebuild of an invented pump\n";

/// What starts a file in a text fixture.
const HEADER: &str = "=== ";

/// The root of the repository: the suites of all crates lie below it.
pub fn root() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let root = own.ancestors().find(|folder| folder.join("procedures").is_dir());
    root.unwrap_or(own).to_path_buf()
}

/// A folder of fixtures, by its name under `tests/`.
pub fn folder(name: &str) -> PathBuf {
    root().join("tests").join(name)
}

/// What lies in a folder, by name; empty if there is no such folder.
pub fn entries(folder: &Path) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect();
    found.sort();
    found
}

/// Every file below a folder, by path.
pub fn walk(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for path in entries(folder) {
        if path.is_dir() {
            found.extend(walk(&path))
        } else {
            found.push(path)
        }
    }
    found
}

/// The last part of a path.
pub fn name(path: &Path) -> String {
    path.file_name()
        .map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

/// The last part of a path without its ending.
pub fn stem(path: &Path) -> String {
    path.file_stem()
        .map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

/// A path below the root of the repository, with `/` between folders.
pub fn relative(path: &Path) -> String {
    path.strip_prefix(root())
        .unwrap_or(path)
        .to_string_lossy()
        .replace('\\', "/")
}

/// The text of a file of the tree.
pub fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", relative(path)))
}

/// Text fixtures of a folder: those that end in `.txt`.
pub fn texts(folder: &Path) -> Vec<PathBuf> {
    entries(folder)
        .into_iter()
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect()
}

/// Reads the files of a text fixture and adds a `set.yaml` if it has none.
pub fn read(path: &Path) -> Files {
    let text = text(path);
    let mut files = Files::new();
    let mut current: Option<(String, String)> = None;
    for line in text.split_inclusive('\n') {
        if let Some(header) = line.strip_prefix(HEADER) {
            files.extend(current.take().map(|(header, body)| file(&header, &body)));
            current = Some((header.trim().to_string(), String::new()));
        } else if let Some((_, body)) = &mut current {
            body.push_str(line);
        }
    }
    files.extend(current.map(|(header, body)| file(&header, &body)));
    assert!(!files.is_empty(), "{}: no line starts with `{HEADER}`", relative(path));
    if !files.keys().any(|path| path.rsplit('/').next() == Some("set.yaml")) {
        files.insert("set.yaml".to_string(), DEFAULT_SET.as_bytes().to_vec());
    }
    files
}

fn file(header: &str, body: &str) -> (String, Vec<u8>) {
    let (path, words) = header
        .split_once(" (")
        .map_or((header, ""), |(path, words)| (path, words.trim_end_matches(')')));
    let mut body = body.to_string();
    let mut bytes_escaped = false;
    let mut picture = None;
    for word in words.split(',').map(str::trim).filter(|word| !word.is_empty()) {
        match word {
            "crlf" => body = body.replace('\n', "\r\n"),
            "bom" => body.insert(0, '\u{feff}'),
            "open-end" => body.truncate(body.trim_end_matches('\n').len()),
            "cr" => body = body.replace('\n', "\r"),
            // Longer than a file may be.
            "long" => body.push_str(&" ".repeat(benchleaf_core::source::MAX_FILE)),
            "bytes" => bytes_escaped = true,
            // One of `tests/pictures`.
            word if word.starts_with("as ") => {
                let path = folder("pictures").join(word.trim_start_matches("as "));
                picture = Some(fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", relative(&path))));
            }
            other => panic!("`{other}` is no word for a fixture's file"),
        }
    }
    let bytes = match picture {
        Some(bytes) => bytes,
        None if bytes_escaped => unescape(&body),
        None => body.into_bytes(),
    };
    (path.to_string(), bytes)
}

/// Turns `\xNN` into a byte.
fn unescape(body: &str) -> Vec<u8> {
    let mut pieces = body.split("\\x");
    let mut bytes = pieces.next().unwrap_or("").as_bytes().to_vec();
    for piece in pieces {
        let (code, rest) = piece.split_at(2);
        bytes.push(u8::from_str_radix(code, 16).unwrap_or_else(|_| panic!("`\\x{code}` is no byte")));
        bytes.extend_from_slice(rest.as_bytes());
    }
    bytes
}

/// Reads a folder of real files, with paths relative to `base`.
pub fn read_folder(base: &Path, folder: &Path) -> Files {
    let one = |path: PathBuf| {
        let bytes = fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", relative(&path)));
        let path = path
            .strip_prefix(base)
            .unwrap_or(&path)
            .to_string_lossy()
            .replace('\\', "/");
        (path, bytes)
    };
    walk(folder).into_iter().map(one).collect()
}
