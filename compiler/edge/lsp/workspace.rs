//! The files of a workspace as they are being written: those on the disk, and over them those that an editor has open.

use super::address;
use super::place::{Counts, offset};
use crate::desk::things::{Mention, mentions};
use crate::edge::commands::checking::unprintable;
use crate::edge::disk::Disk;
use crate::edge::files::{self, Input};
use crate::edge::paths::{canonical, slashed};
use crate::groups::in_order;
use crate::source::{FileId, FileSet, LineIndex, Span};
use crate::{Compilation, compile};
use lsp_types::{TextDocumentContentChangeEvent, Uri};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A document that the editor has open.
#[derive(Debug)]
struct Open {
    text: String,
    version: i32,
}

/// What the files come to.
#[derive(Debug)]
pub struct State {
    pub files: FileSet,
    pub compilation: Compilation,
    pub mentions: Vec<Mention>,
}

/// The files of a workspace.
pub struct Workspace<'d> {
    disk: &'d dyn Disk,
    /// Folders that the editor has open; where it has none, the documents themselves.
    roots: Vec<PathBuf>,
    folders: bool,
    on_disk: BTreeMap<PathBuf, Vec<u8>>,
    open: BTreeMap<PathBuf, Open>,
    state: Option<State>,
    /// Trouble with files that the editor hasn't been told of yet.
    pub troubles: Vec<String>,
}

impl<'d> Workspace<'d> {
    pub fn new(disk: &'d dyn Disk, roots: Vec<PathBuf>) -> Workspace<'d> {
        let roots: Vec<PathBuf> = roots.iter().filter_map(|root| canonical(root).ok()).collect();
        let mut workspace = Workspace {
            disk,
            folders: !roots.is_empty(),
            roots,
            on_disk: BTreeMap::new(),
            open: BTreeMap::new(),
            state: None,
            troubles: Vec::new(),
        };
        workspace.reload();
        workspace
    }

    /// Reads the disk again.
    pub fn reload(&mut self) {
        let mut found = BTreeMap::new();
        for root in &self.roots {
            match files::reading(self.disk, root) {
                Ok(reading) => found.extend(reading.into_contents()),
                Err(trouble) => self.troubles.push(trouble.0),
            }
        }
        self.on_disk = found;
        self.state = None;
    }

    /// Folders that the editor opened and closed.
    pub fn folders(&mut self, added: Vec<PathBuf>, removed: &[PathBuf]) {
        let removed: Vec<PathBuf> = removed.iter().map(|root| real(root)).collect();
        self.roots.retain(|root| !removed.contains(root));
        self.roots.extend(added.iter().filter_map(|root| canonical(root).ok()));
        self.folders = !self.roots.is_empty();
        self.reload();
    }

    /// The editor shows a document.
    pub fn opened(&mut self, uri: &Uri, text: String, version: i32) {
        let Some(path) = address::path(uri) else { return };
        let path = real(&path);
        if !self.folders && !self.roots.contains(&path) && path.is_file() {
            // Without a folder, the set around the document is the workspace.
            self.roots.push(path.clone());
            self.reload();
        }
        if self.is_ours(&path) {
            self.open.insert(path, Open { text, version });
            self.state = None;
        }
    }

    /// The editor has changed a document.
    pub fn changed(&mut self, uri: &Uri, version: i32, changes: Vec<TextDocumentContentChangeEvent>, counts: Counts) {
        let Some(open) = address::path(uri).and_then(|path| self.open.get_mut(&real(&path))) else {
            return;
        };
        for change in changes {
            let Some(range) = change.range else {
                open.text = change.text;
                continue;
            };
            let lines = LineIndex::new(&open.text);
            let start = offset(&open.text, &lines, range.start, counts);
            let end = offset(&open.text, &lines, range.end, counts).max(start);
            open.text.replace_range(start..end, &change.text);
        }
        open.version = version;
        self.state = None;
    }

    /// The editor shows a document no longer: what is on the disk counts.
    pub fn closed(&mut self, uri: &Uri) {
        let Some(path) = address::path(uri).map(|path| real(&path)) else {
            return;
        };
        self.open.remove(&path);
        if !self.folders {
            self.roots.retain(|root| *root != path);
        }
        self.reload();
    }

    /// True for files that are read, in the folders that are open.
    fn is_ours(&self, path: &Path) -> bool {
        let inside = self.on_disk.contains_key(path) || self.roots.iter().any(|root| path.starts_with(root));
        inside && files::is_ours(path)
    }

    /// The version of a document that is open.
    pub fn version(&self, path: &str) -> Option<i32> {
        self.open.get(Path::new(path)).map(|open| open.version)
    }

    /// True if the files have changed since they were compiled.
    pub fn is_dirty(&self) -> bool {
        self.state.is_none()
    }

    /// What the files come to as they are now.
    pub fn state(&mut self) -> &State {
        let (on_disk, open) = (&self.on_disk, &self.open);
        self.state.get_or_insert_with(|| {
            let kept = on_disk.iter().map(|(path, bytes)| (path, bytes.clone()));
            let written = open.iter().map(|(path, open)| (path, open.text.clone().into_bytes()));
            let contents = kept.chain(written).map(|(path, bytes)| (slashed(path), bytes));
            let input = Input::all(FileSet::from_bytes(contents.collect()));
            let mut compilation = compile(&input.files);
            compilation.findings.extend(unprintable(&input, &compilation));
            in_order(&mut compilation.findings);
            let mentions = mentions(&compilation);
            State {
                files: input.files,
                compilation,
                mentions,
            }
        })
    }
}

impl State {
    /// The file of an address.
    pub fn file(&self, uri: &Uri) -> Option<FileId> {
        self.files.find(&slashed(&real(&address::path(uri)?)))
    }

    /// The address of the file that a span lies in.
    pub fn address(&self, span: Span) -> Option<Uri> {
        address::of(Path::new(&self.files.get(span.file).path))
    }
}

/// A path without links in it, as far as it is there.
fn real(path: &Path) -> PathBuf {
    if let Ok(real) = canonical(path) {
        return real;
    }
    match (path.parent().map(canonical), path.file_name()) {
        (Some(Ok(folder)), Some(name)) => folder.join(name),
        _ => path.to_path_buf(),
    }
}
