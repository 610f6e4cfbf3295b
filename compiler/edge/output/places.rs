//! Where things lie in an output folder:
//!
//! ```text
//! output/<set>/…                        the cards
//! output/.benchleaf/<set>.json          what we know of them
//! output/.benchleaf/lock                who writes here now
//! output/.benchleaf/staging-…/new/<set> complete files on their way to their place
//! output/.benchleaf/staging-…/old/<set> those that give way, until it is done
//! ```

use super::manifest::is_plain;
use std::path::{Path, PathBuf};
use unicode_normalization::UnicodeNormalization;

/// The folder of what we know.
const STATE: &str = ".benchleaf";

/// What staging folders are called, before a random number.
pub const STAGING: &str = "staging";

/// The paths of one output folder.
#[derive(Debug, Clone)]
pub struct Places {
    root: PathBuf,
    trusted: PathBuf,
    staging: String,
}

impl Places {
    /// `root` is as the user named it; `staging` is the name of the staging folder.
    pub fn new(root: &Path, staging: &str) -> Places {
        // A folder named from the current one may be a link that came with a repository; one named from the root of the disk is the
        // user's own affair, all but its last part.
        let trusted = match root.parent() {
            Some(above) if root.is_absolute() => above.to_path_buf(),
            _ => PathBuf::new(),
        };
        Places {
            root: root.to_path_buf(),
            trusted,
            staging: staging.to_string(),
        }
    }

    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Links above this are followed.
    pub fn trusted(&self) -> &Path {
        &self.trusted
    }

    pub fn set(&self, set: &str) -> PathBuf {
        self.root.join(set)
    }

    pub fn state(&self) -> PathBuf {
        self.root.join(STATE)
    }

    pub fn lock(&self) -> PathBuf {
        self.state().join("lock")
    }

    pub fn manifest(&self, set: &str) -> PathBuf {
        self.state().join(format!("{set}.json"))
    }

    pub fn staging_name(&self) -> &str {
        &self.staging
    }

    pub fn staging(&self) -> PathBuf {
        self.state().join(&self.staging)
    }

    pub fn fresh(&self, set: &str) -> PathBuf {
        self.staging().join("new").join(set)
    }

    pub fn aside(&self, set: &str) -> PathBuf {
        self.staging().join("old").join(set)
    }
}

/// The set that a file of the state folder is about, if it is about one.
pub fn set_of(name: &str) -> Option<&str> {
    name.strip_suffix(".json").filter(|set| is_plain(set))
}

/// True for two names that some disks take for one: those that don't tell capitals from small letters, or write accents another way.
pub fn same_but_for_case(one: &str, other: &str) -> bool {
    one != other && folded(one) == folded(other)
}

/// A name as the least particular disk sees it.
pub fn folded(name: &str) -> String {
    name.nfc().collect::<String>().to_lowercase().nfc().collect()
}
