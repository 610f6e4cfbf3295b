//! Repositories with a history, written through the same library that the program reads them with. Times and names are fixed, so the
//! ids are too.

use super::Scratch;
use super::pack::{Object, packed};
use crate::harness::fixture::walk;
use gix::ObjectId;
use gix::actor::SignatureRef;
use gix::bstr::BString;
use gix::objs::tree::{Entry, EntryKind};
use gix::objs::{Commit, Tree};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The time of the first commit; each later one is a day after the one before it.
const START: i64 = 1_767_225_600;
const DAY: i64 = 86_400;

/// A repository being made.
pub struct Repository {
    pub scratch: Scratch,
    inner: gix::Repository,
    /// Commits so far.
    count: i64,
}

/// What a path of a commit holds.
#[derive(Clone)]
pub enum Content {
    File(Vec<u8>),
    Link(String),
    /// A commit of another repository.
    Submodule,
}

/// Contents by path; the paths are bytes, as in git.
pub type Contents = BTreeMap<Vec<u8>, Content>;

/// Text files as contents.
pub fn texts(files: &[(&str, &str)]) -> Contents {
    let one = |(path, text): &(&str, &str)| (path.as_bytes().to_vec(), Content::File(text.as_bytes().to_vec()));
    files.iter().map(one).collect()
}

impl Repository {
    /// An empty one; without a work tree if it is bare.
    pub fn new(name: &str, bare: bool) -> Repository {
        let scratch = Scratch::outside(&format!("history-{name}"));
        let made = if bare {
            gix::init_bare(scratch.path())
        } else {
            gix::init(scratch.path())
        };
        Repository {
            inner: made.unwrap_or_else(|e| panic!("{}: {e}", scratch.path().display())),
            scratch,
            count: 0,
        }
    }

    /// Commits these contents as the whole tree, on a branch that is made to point at it.
    pub fn commit(&mut self, branch: &str, subject: &str, contents: &Contents, parents: &[ObjectId]) -> ObjectId {
        let tree = self.tree(contents);
        let time = format!("{} +0000", START + self.count * DAY);
        self.count += 1;
        let who = SignatureRef {
            name: "A. Fitter".into(),
            email: "fitter@example.org".into(),
            time: &time,
        };
        let commit = Commit {
            tree,
            parents: parents.iter().copied().collect(),
            author: who.into(),
            committer: who.into(),
            encoding: None,
            message: subject.into(),
            extra_headers: Vec::new(),
        };
        let id = self.inner.write_object(&commit).expect("a commit is written").detach();
        self.point(&format!("refs/heads/{branch}"), id);
        id
    }

    /// The content of an object, with the head that git hashes it with.
    pub fn object(&self, name: &str) -> Vec<u8> {
        let id = ObjectId::from_hex(name.as_bytes()).expect("an id");
        let object = self.inner.find_object(id).expect("an object of ours");
        let mut content = format!("{} {}\0", object.kind, object.data.len()).into_bytes();
        content.extend_from_slice(&object.data);
        content
    }

    /// Every object that lies by itself, with its name: of the path, two characters are the folder's.
    pub fn loose(&self) -> Vec<(String, PathBuf)> {
        let named = |path: PathBuf| {
            let parts: Vec<_> = path.iter().rev().take(2).map(|part| part.to_string_lossy()).collect();
            let name = format!("{}{}", parts[1], parts[0]);
            ObjectId::from_hex(name.as_bytes()).is_ok().then_some((name, path))
        };
        let all = walk(&self.inner.git_dir().join("objects")).into_iter();
        all.filter_map(named).collect()
    }

    /// Packs objects and references, as git does from time to time: none lies by itself any more.
    pub fn pack(&self) {
        let loose = self.loose();
        let object = |(name, _): &(String, PathBuf)| {
            let id = ObjectId::from_hex(name.as_bytes()).expect("an id");
            let object = self.inner.find_object(id).expect("an object of ours");
            let (kind, data) = (object.kind, object.data.clone());
            Object { id, kind, data }
        };
        let (pack, index, name) = packed(loose.iter().map(object).collect());
        for (ending, bytes) in [("pack", pack), ("idx", index)] {
            let place = self.inner.git_dir().join(format!("objects/pack/pack-{name}.{ending}"));
            self.put(&place, &bytes);
        }
        let mut references = "# pack-refs with: peeled fully-peeled sorted \n".to_string();
        let root = self.inner.git_dir().to_path_buf();
        let found: Vec<PathBuf> = walk(&root.join("refs"));
        for path in &found {
            let id = std::fs::read_to_string(path).expect("a reference of ours");
            let name = path
                .strip_prefix(&root)
                .expect("it lies there")
                .to_string_lossy()
                .replace('\\', "/");
            references.push_str(&format!("{} {name}\n", id.trim()));
        }
        self.put(&root.join("packed-refs"), references.as_bytes());
        let gone = loose.iter().map(|(_, path)| path).chain(&found);
        gone.for_each(|path| std::fs::remove_file(path).unwrap_or_else(|e| panic!("{}: {e}", path.display())));
    }

    /// Makes a reference point at a commit.
    pub fn point(&self, name: &str, id: ObjectId) {
        let path = self.inner.git_dir().join(name);
        self.put(&path, format!("{id}\n").as_bytes());
    }

    /// Puts the files of some contents on disk, and nothing else.
    pub fn check_out(&self, contents: &Contents) {
        for (path, content) in contents {
            if let (Ok(path), Content::File(bytes)) = (std::str::from_utf8(path), content) {
                self.scratch.write(path, bytes);
            }
        }
    }

    /// Cuts history off behind a commit, as a shallow clone does: older commits are gone.
    pub fn cut(&self, at: ObjectId, gone: &[ObjectId]) {
        self.put(&self.inner.git_dir().join("shallow"), format!("{at}\n").as_bytes());
        for id in gone {
            let hex = id.to_string();
            let object = self.inner.git_dir().join("objects").join(&hex[..2]).join(&hex[2..]);
            std::fs::remove_file(&object).unwrap_or_else(|e| panic!("{}: {e}", object.display()));
        }
    }

    fn put(&self, path: &Path, bytes: &[u8]) {
        std::fs::create_dir_all(path.parent().unwrap_or(path)).expect("a folder of the repository");
        std::fs::write(path, bytes).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    }

    fn tree(&self, contents: &Contents) -> ObjectId {
        let mut tree = Tree::empty();
        let mut folders: BTreeMap<Vec<u8>, Contents> = BTreeMap::new();
        let mut put = |name: &[u8], kind: EntryKind, oid: ObjectId| {
            let filename = BString::from(name.to_vec());
            tree.entries.push(Entry {
                mode: kind.into(),
                filename,
                oid,
            });
        };
        let blob = |bytes: &[u8]| self.inner.write_blob(bytes).expect("a file is written").detach();
        for (path, content) in contents {
            if let Some(at) = path.iter().position(|b| *b == b'/') {
                let inside = folders.entry(path[..at].to_vec()).or_default();
                inside.insert(path[at + 1..].to_vec(), content.clone());
                continue;
            }
            match content {
                Content::File(bytes) => put(path, EntryKind::Blob, blob(bytes)),
                Content::Link(target) => put(path, EntryKind::Link, blob(target.as_bytes())),
                Content::Submodule => put(path, EntryKind::Commit, ObjectId::from_bytes_or_panic(&[7; 20])),
            }
        }
        for (name, inside) in &folders {
            put(name, EntryKind::Tree, self.tree(inside));
        }
        tree.entries.sort();
        self.inner.write_object(&tree).expect("a folder is written").detach()
    }
}
