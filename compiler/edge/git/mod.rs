//! Revisions of a folder, read straight from the object store: nothing is checked out, nothing is written, no other program is run.
//!
//! The user's own git configuration is left out of it, so that the same repository gives the same answer everywhere.

mod names;

use super::files::{Input, Reading, is_ours};
use super::paths::{canonical, slashed};
use super::snapshot::{Blobs, Found, Snapshot};
use super::{Trouble, escape};
use crate::budgets::FILE;
use crate::source::{SET_FILE, WORKSHOP_FILE};
use gix::ObjectId;
use gix::bstr::ByteSlice;
use gix::objs::Kind;
use gix::objs::tree::EntryKind;
use gix::open::Options;
use std::cell::RefCell;
use std::path::{Path, PathBuf};

/// Folders inside folders are followed so far.
pub const DEEPEST: usize = 64;

/// The most bytes that an object may take while it is read: a store can promise any number. The largest file that is read at all has room,
/// with what it is a difference from and the difference.
const OBJECT: usize = FILE.most * 8;

/// How often folders of a commit may be ones that were read before, at another place: a few kilobytes of folders that hold the same ones over and
/// over would be read for ever.
const AGAIN: usize = 100_000;

/// How a repository is opened: on trust in nothing but its objects, which are held against their names. Tables that git derives from commits
/// can't be.
fn options() -> Options {
    let limit = format!("gitoxide.objects.allocLimit={OBJECT}");
    Options::isolated().config_overrides([limit.as_str(), "core.commitGraph=false"])
}

/// A repository, and the folder of it that was asked about.
pub struct Repository {
    inner: gix::Repository,
    /// The folder asked about, as given.
    asked: PathBuf,
    /// Root of the work tree; `None` if there is none.
    root: Option<PathBuf>,
    /// The folder below the root, `/` between its parts; that of its set, if it lies in one.
    scope: String,
    /// Contents that were read and held against their names.
    blobs: RefCell<Blobs>,
}

/// A commit as people name it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Commit {
    pub id: ObjectId,
    /// `3f2a91c`
    pub short: String,
    /// ISO date of the commit.
    pub date: String,
    /// The same in seconds since 1970.
    pub seconds: i64,
    /// First line of its message.
    pub subject: String,
    pub parents: Vec<ObjectId>,
    /// It has parents that a shallow clone left behind.
    pub cut_off: bool,
}

impl Repository {
    /// The repository a folder lies in; `None` if it lies in none.
    ///
    /// # Errors
    /// If there is one that can't be opened, or no such folder.
    pub fn find(path: &Path) -> Result<Option<Repository>, Trouble> {
        let asked = on_disk(path)?;
        let exists = asked.ancestors().find(|f| f.is_dir()).unwrap_or(&asked);
        // A folder that is there no more may still be in history; what ends like a file is one.
        let folder = if asked.is_dir() || (!asked.exists() && asked.extension().is_none()) {
            asked.as_path()
        } else {
            exists
        };
        let Ok(inner) = gix::discover_opts(exists, Default::default(), options()) else {
            // A folder may be called .git and hold nothing.
            return Ok(None);
        };
        // What can't be read there would be taken for none, and where history is searched it stops the program.
        let cut = inner.shallow_commits().map_err(|e| trouble("shallow", e));
        cut?;
        let root = inner.workdir().and_then(|root| canonical(root).ok());
        let start = folder
            .ancestors()
            .find(|f| f.join(SET_FILE).is_file())
            .unwrap_or(folder);
        let below = root.as_ref().and_then(|root| start.strip_prefix(root).ok());
        let scope = below.map(slashed).unwrap_or_default();
        let mut inner = inner;
        inner.object_cache_size_if_unset(4 << 20);
        Ok(Some(Repository {
            inner,
            asked,
            root,
            scope,
            blobs: RefCell::default(),
        }))
    }

    /// True if there are files beside the history.
    pub fn has_work_tree(&self) -> bool {
        self.root.is_some()
    }

    /// The commit that HEAD stands at; `None` before the first.
    ///
    /// # Errors
    /// If HEAD can't be read.
    pub fn head(&self) -> Result<Option<ObjectId>, Trouble> {
        let head = self.inner.head().map_err(|e| trouble("HEAD", e))?;
        if head.is_unborn() {
            return Ok(None);
        }
        self.commit_of("HEAD").map(Some)
    }

    /// An object, once its content is what its name says. The name is a hash of the content, and git's own reader doesn't compare the two: a disk or
    /// somebody that changed a byte would change the answer.
    fn object(&self, what: &str, id: ObjectId) -> Result<gix::Object<'_>, Trouble> {
        let object = self.inner.find_object(id).map_err(|e| trouble(what, e))?;
        let hash = gix::objs::compute_hash(id.kind(), object.kind, &object.data);
        match hash {
            Ok(hash) if hash == id => Ok(object),
            _ => Err(Trouble::new(format!(
                "git: {}: object {} is damaged: its content isn't what its name says; `git fsck` tells more",
                escape::word(what),
                short(id)
            ))),
        }
    }

    /// The content of a blob, as above. History has the same ones over and over.
    pub fn blob(&self, what: &str, id: ObjectId) -> Result<Vec<u8>, Trouble> {
        let known = self.blobs.borrow().get(id);
        if let Some(content) = known {
            return Ok(content);
        }
        let mut object = self.object(what, id)?;
        if object.kind != Kind::Blob {
            return Err(Trouble::new(format!(
                "git: {}: {} is a {} and no file",
                escape::word(what),
                short(id),
                object.kind
            )));
        }
        let content = std::mem::take(&mut object.data);
        self.blobs.borrow_mut().keep(id, &content);
        Ok(content)
    }

    /// What lies at a path below a tree.
    fn at_path(&self, tree: ObjectId, path: &str) -> Result<Option<(EntryKind, ObjectId)>, Trouble> {
        let mut found = (EntryKind::Tree, tree);
        for part in path.split('/') {
            if found.0 != EntryKind::Tree {
                return Ok(None);
            }
            let tree = self.tree_object(path, found.1)?;
            let mut next = None;
            for entry in tree.iter() {
                let entry = entry.map_err(|e| trouble(path, e))?;
                if entry.filename() == part {
                    next = Some((entry.kind(), entry.object_id()));
                    break;
                }
            }
            let Some(entry) = next else { return Ok(None) };
            found = entry;
        }
        Ok(Some(found))
    }

    fn tree_object(&self, what: &str, id: ObjectId) -> Result<gix::Tree<'_>, Trouble> {
        let object = self.object(what, id)?;
        let kind = object.kind;
        object.try_into_tree().map_err(|_| {
            Trouble::new(format!(
                "git: {}: {} is a {kind} and no tree",
                escape::word(what),
                short(id)
            ))
        })
    }

    fn commit_object(&self, id: ObjectId) -> Result<gix::Commit<'_>, Trouble> {
        let object = self.object(&short(id), id)?;
        let kind = object.kind;
        object
            .try_into_commit()
            .map_err(|_| Trouble::new(format!("git: {} is a {kind} and no commit", short(id))))
    }

    /// True if history ends before its beginning.
    pub fn is_shallow(&self) -> bool {
        self.inner.is_shallow().unwrap_or(false)
    }

    /// What people call a commit.
    ///
    /// # Errors
    /// If it isn't there, as beyond the end of a shallow clone.
    pub fn commit(&self, id: ObjectId) -> Result<Commit, Trouble> {
        let name = || short(id);
        let commit = self.commit_object(id)?;
        let time = commit.time().map_err(|e| trouble(&name(), e))?;
        let subject = commit.message_raw_sloppy().lines().next().unwrap_or_default();
        let cut_off = self.boundary().contains(&id);
        let parents = commit.parent_ids().map(|p| p.detach());
        Ok(Commit {
            id,
            short: name(),
            seconds: time.seconds,
            date: time.format_or_unix(gix::date::time::format::SHORT),
            subject: subject.to_str_lossy().trim().to_string(),
            parents: if cut_off { Vec::new() } else { parents.collect() },
            cut_off,
        })
    }

    /// The commits whose parents a shallow clone left behind.
    fn boundary(&self) -> Vec<ObjectId> {
        let known = self.inner.shallow_commits().ok().flatten();
        known.map_or_else(Vec::new, |commits| commits.iter().copied().collect())
    }

    /// True if the last commit has a file of the work tree with these bytes, or with them but for the ends of lines: git on Windows checks out
    /// `\r\n` where it keeps `\n`.
    ///
    /// # Errors
    /// If the commit can't be read.
    pub fn has(&self, path: &Path, bytes: &[u8]) -> Result<bool, Trouble> {
        let Some((root, head)) = self.root.as_ref().zip(self.head()?) else {
            return Ok(false);
        };
        let place = canonical(path).ok();
        let Some(below) = place.as_ref().and_then(|place| place.strip_prefix(root).ok()) else {
            return Ok(false);
        };
        let below = slashed(below);
        match self.at_path(self.tree(head)?.id, &below)? {
            Some((EntryKind::Blob | EntryKind::BlobExecutable, id)) => {
                let kept = &self.object(&below, id)?.data;
                Ok(*kept == bytes || kept.replace("\r\n", "\n") == bytes.replace("\r\n", "\n"))
            }
            _ => Ok(false),
        }
    }

    /// The files of the folder at a commit, by path from the root of the repository.
    ///
    /// # Errors
    /// If the commit or a file of it isn't there.
    pub fn files(&self, id: ObjectId) -> Result<Snapshot, Trouble> {
        let mut found = Found::default();
        self.shops(id, &mut |path, blob| {
            let content = self.blob(&path, blob)?;
            found.take(path, blob, content);
            Ok(())
        })?;
        if let Some(tree) = self.folder(id)? {
            self.gather(tree, &self.scope, 0, &mut found)?;
        }
        Ok(found.snapshot())
    }

    /// Every file of a commit, wherever the folder lies.
    ///
    /// # Errors
    /// If the commit or a file of it isn't there.
    pub fn all_files(&self, id: ObjectId) -> Result<Snapshot, Trouble> {
        let mut found = Found::default();
        self.gather(self.tree(id)?.id, "", 0, &mut found)?;
        Ok(found.snapshot())
    }

    /// What the files of a commit depend on: the same for two commits means the same files.
    ///
    /// # Errors
    /// If the commit isn't there.
    pub fn key(&self, id: ObjectId) -> Result<Vec<ObjectId>, Trouble> {
        let mut key = Vec::new();
        self.shops(id, &mut |_, blob| {
            key.push(blob);
            Ok(())
        })?;
        key.extend(self.folder(id)?);
        Ok(key)
    }

    /// The same of the whole repository.
    ///
    /// # Errors
    /// If the commit isn't there.
    pub fn whole_key(&self, id: ObjectId) -> Result<ObjectId, Trouble> {
        Ok(self.tree(id)?.id)
    }

    /// The folder asked about, below the root of the repository.
    pub fn scope(&self) -> &str {
        &self.scope
    }

    /// True if the whole repository was asked about.
    pub fn is_whole(&self) -> bool {
        self.scope.is_empty()
    }

    /// Commits that other branches and tags stand at, and those that HEAD stood at before; what can't be read is passed over.
    pub fn tips(&self) -> Vec<ObjectId> {
        let mut found = Vec::new();
        if let Ok(references) = self.inner.references()
            && let Ok(all) = references.all()
        {
            for mut reference in all.flatten() {
                // Not by the library's own way from a tag to its commit, which stops the program over a tag that is none.
                if let Ok(id) = reference.follow_to_object() {
                    found.extend(self.peeled("HEAD", id.detach()));
                }
            }
        }
        if let Ok(head) = self.inner.head() {
            let mut log = head.log_iter();
            if let Ok(Some(lines)) = log.all() {
                found.extend(lines.flatten().map(|line| line.new_oid()));
            }
        }
        found.retain(|id| self.inner.find_commit(*id).is_ok());
        found.sort();
        found.dedup();
        found
    }

    /// The folder asked about, if it is on disk: what a reading of the work tree begins with.
    pub fn asked(&self) -> Option<&Path> {
        self.asked.exists().then_some(self.asked.as_path())
    }

    /// The files of the folder as they were read from disk, by path from the root of the repository; `None` for a folder that isn't
    /// there.
    ///
    /// # Errors
    /// If there is no work tree.
    pub fn work_tree(&self, reading: Option<&Reading>) -> Result<Input, Trouble> {
        match &self.root {
            Some(root) => Ok(reading.map_or_else(Input::nothing, |reading| reading.input_from(root))),
            None => Err(Trouble::new("a bare repository has no work tree; name two revisions")),
        }
    }

    /// Shop files of the folders above.
    fn shops(
        &self,
        id: ObjectId,
        take: &mut dyn FnMut(String, ObjectId) -> Result<(), Trouble>,
    ) -> Result<(), Trouble> {
        let above = self.scope.match_indices('/');
        let above = above.filter_map(|(at, _)| self.scope.get(..at));
        let folders = (!self.scope.is_empty()).then_some("").into_iter().chain(above);
        for folder in folders {
            let path = if folder.is_empty() {
                WORKSHOP_FILE.to_string()
            } else {
                format!("{folder}/{WORKSHOP_FILE}")
            };
            let entry = self.at_path(self.tree(id)?.id, &path)?;
            if let Some((EntryKind::Blob | EntryKind::BlobExecutable, blob)) = entry {
                take(path, blob)?;
            }
        }
        Ok(())
    }

    fn tree(&self, id: ObjectId) -> Result<gix::Tree<'_>, Trouble> {
        let tree = self.commit_object(id)?.tree_id().map_err(|e| trouble(&short(id), e))?;
        self.tree_object(&short(id), tree.detach())
    }

    /// The folder asked about at a commit; `None` if it wasn't there.
    fn folder(&self, id: ObjectId) -> Result<Option<ObjectId>, Trouble> {
        let tree = self.tree(id)?;
        if self.scope.is_empty() {
            return Ok(Some(tree.id));
        }
        let entry = self.at_path(tree.id, &self.scope)?;
        Ok(entry.filter(|(kind, _)| *kind == EntryKind::Tree).map(|(_, id)| id))
    }

    fn gather(&self, tree: ObjectId, folder: &str, depth: usize, found: &mut Found) -> Result<(), Trouble> {
        found.again += usize::from(!found.folders.insert(tree));
        if found.again > AGAIN {
            return Err(Trouble::new(format!(
                "git: {}: folders hold the same ones more than {AGAIN} times over",
                escape::word(folder)
            )));
        }
        let tree = self.tree_object(folder, tree)?;
        for entry in tree.iter() {
            let entry = entry.map_err(|e| trouble(folder, e))?;
            let Ok(name) = entry.filename().to_str() else {
                let shown = entry.filename().to_str_lossy();
                found
                    .remarks
                    .push(format!("{}: skipped, its name is not UTF-8", joined(folder, &shown)));
                continue;
            };
            let path = joined(folder, name);
            if name.is_empty() || name.contains('/') {
                // Git gives none such: it would lie somewhere else than where it is found.
                found.remarks.push(format!("{path}: skipped, its name is none"));
                continue;
            }
            if name.starts_with('.') {
                continue;
            }
            match entry.kind() {
                EntryKind::Tree if depth >= DEEPEST => found.remarks.push(format!("{path}: skipped, too deep")),
                EntryKind::Tree => self.gather(entry.object_id(), &path, depth + 1, found)?,
                EntryKind::Blob | EntryKind::BlobExecutable if is_ours(Path::new(name)) => {
                    let content = self.blob(&path, entry.object_id())?;
                    found.take(path, entry.object_id(), content);
                }
                EntryKind::Link if is_ours(Path::new(name)) => {
                    found
                        .remarks
                        .push(format!("{path}: skipped, a symbolic link is not followed into history"));
                }
                // What lies in another repository is that one's own affair.
                EntryKind::Commit => found.remarks.push(format!("{path}: skipped, another repository")),
                EntryKind::Blob | EntryKind::BlobExecutable | EntryKind::Link => {}
            }
        }
        Ok(())
    }
}

fn joined(folder: &str, name: &str) -> String {
    if folder.is_empty() {
        name.to_string()
    } else {
        format!("{folder}/{name}")
    }
}

/// The first characters of an id, as people type them.
pub fn short(id: ObjectId) -> String {
    id.to_hex_with_len(7).to_string()
}

/// A path without links; of one that isn't there, as far as it is.
fn on_disk(path: &Path) -> Result<PathBuf, Trouble> {
    let trouble = |e: std::io::Error| Trouble::file("read", path, &e);
    let mut missing = Vec::new();
    let mut there = std::path::absolute(path).map_err(trouble)?;
    loop {
        match canonical(&there) {
            Ok(found) => return Ok(missing.iter().rev().fold(found, |path, name| path.join(name))),
            Err(error) => {
                missing.extend(there.file_name().map(std::ffi::OsStr::to_os_string));
                if !there.pop() {
                    return Err(trouble(error));
                }
            }
        }
    }
}

fn trouble(what: &str, error: gix::Error) -> Trouble {
    Trouble::new(format!("git: {}: {}", escape::word(what), first_line(&error)))
}

fn first_line(error: &gix::Error) -> String {
    let text = error.to_string();
    text.lines().next().unwrap_or("it can't be read").to_string()
}
