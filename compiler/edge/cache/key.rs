//! What something is made from, as one digest.

use super::program;
use sha2::{Digest, Sha256};

/// The digest of all that something is made from, this program included.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key(String);

/// A key in the making.
pub struct Making(Sha256);

impl Key {
    /// Begins one; `what` tells kinds of things apart that are made from the same.
    pub fn of(what: &str) -> Making {
        let mut making = Making(Sha256::new());
        making.add(program::digest().unwrap_or_default().as_bytes());
        making.add(what.as_bytes());
        making
    }

    /// As the name of an entry.
    pub fn name(&self) -> &str {
        &self.0
    }
}

impl Making {
    /// Adds a piece, with its length before it: no two lists of pieces run together into the same bytes.
    pub fn add(&mut self, piece: &[u8]) -> &mut Making {
        self.0.update((piece.len() as u64).to_le_bytes());
        self.0.update(piece);
        self
    }

    pub fn key(self) -> Key {
        Key(self.0.finalize().iter().map(|byte| format!("{byte:02x}")).collect())
    }
}
