//! The files of one state of history, as they are gathered.

use crate::source::FileSet;
use gix::ObjectId;
use std::collections::{BTreeMap, BTreeSet};

/// The files of one state.
pub struct Snapshot {
    pub files: FileSet,
    /// The objects that the files are, by their paths: the same object is the same content.
    pub ids: BTreeMap<String, ObjectId>,
    /// What was skipped, and why.
    pub remarks: Vec<String>,
}

impl Found {
    /// Takes a file of some content.
    pub fn take(&mut self, path: String, id: ObjectId, content: Vec<u8>) {
        self.ids.insert(path.clone(), id);
        self.contents.insert(path, content);
    }

    /// All of it.
    pub fn snapshot(self) -> Snapshot {
        Snapshot {
            files: FileSet::from_bytes(self.contents),
            ids: self.ids,
            remarks: self.remarks,
        }
    }
}

/// What a walk over a tree brings in.
#[derive(Default)]
pub struct Found {
    contents: BTreeMap<String, Vec<u8>>,
    ids: BTreeMap<String, ObjectId>,
    pub remarks: Vec<String>,
    /// Folders that were read, and how often one was that had been before.
    pub folders: BTreeSet<ObjectId>,
    pub again: usize,
}

/// Contents by their names; forgotten when they become too much.
#[derive(Default)]
pub struct Blobs {
    contents: BTreeMap<ObjectId, Vec<u8>>,
    bytes: usize,
}

/// Bytes of contents that are kept.
const MOST_BYTES: usize = 128 << 20;

impl Blobs {
    pub fn get(&self, id: ObjectId) -> Option<Vec<u8>> {
        self.contents.get(&id).cloned()
    }

    pub fn keep(&mut self, id: ObjectId, content: &[u8]) {
        if self.bytes + content.len() > MOST_BYTES {
            *self = Blobs::default();
        }
        if content.len() <= MOST_BYTES {
            self.bytes += content.len();
            self.contents.insert(id, content.to_vec());
        }
    }
}
