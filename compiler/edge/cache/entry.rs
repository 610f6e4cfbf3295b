//! One entry as bytes:
//!
//! ```text
//! benchleaf made 1
//! <digest of all that follows this line>
//! {"key": …, "leaves": …, "remarks": […], "lengths": […]}
//! <the files, one after the other>
//! ```

use super::Key;
use crate::edge::output::manifest::digest;
use serde::{Deserialize, Serialize};

const MAGIC: &[u8] = b"benchleaf made 1\n";

/// A document as it is written, laid out and read back; or what is known of something else that was finished, as one file without leaves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finished {
    /// The bytes of its files.
    pub files: Vec<Vec<u8>>,
    /// How many leaves it has.
    pub leaves: usize,
    /// What the typesetter had to say.
    pub remarks: Vec<String>,
}

#[derive(Serialize, Deserialize)]
struct Head {
    key: String,
    leaves: usize,
    remarks: Vec<String>,
    lengths: Vec<usize>,
}

/// An entry's bytes.
pub fn written(key: &Key, finished: &Finished) -> Vec<u8> {
    let head = Head {
        key: key.name().to_string(),
        leaves: finished.leaves,
        remarks: finished.remarks.clone(),
        lengths: finished.files.iter().map(Vec::len).collect(),
    };
    // Strings and numbers always serialise, on one line.
    let mut body = serde_json::to_vec(&head).unwrap_or_default();
    body.push(b'\n');
    body.extend(finished.files.iter().flatten());
    let mut bytes = MAGIC.to_vec();
    bytes.extend(digest(&body).as_bytes());
    bytes.push(b'\n');
    bytes.append(&mut body);
    bytes
}

/// What an entry holds; `None` if its bytes aren't those that were written for this key.
pub fn read(key: &Key, bytes: &[u8]) -> Option<Finished> {
    let rest = bytes.strip_prefix(MAGIC)?;
    let (sum, body) = line(rest)?;
    if sum != digest(body).as_bytes() {
        return None;
    }
    let (head, mut rest) = line(body)?;
    let head: Head = serde_json::from_slice(head).ok()?;
    if head.key != key.name() {
        return None;
    }
    let mut files = Vec::with_capacity(head.lengths.len());
    for length in head.lengths {
        let (file, after) = rest.split_at_checked(length)?;
        files.push(file.to_vec());
        rest = after;
    }
    rest.is_empty().then_some(Finished {
        files,
        leaves: head.leaves,
        remarks: head.remarks,
    })
}

/// The first line without its end, and what follows.
fn line(bytes: &[u8]) -> Option<(&[u8], &[u8])> {
    let end = bytes.iter().position(|byte| *byte == b'\n')?;
    Some((bytes.get(..end)?, bytes.get(end + 1..)?))
}
