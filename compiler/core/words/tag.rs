//! The language that a set names for its leaves.

use super::{Language, plain};
use serde::Serialize;
use std::ops::Deref;

/// A BCP 47 tag: the language, and perhaps a region, by which words are parted at the end of a line.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
#[serde(transparent)]
pub struct Tag(String);

impl Tag {
    /// The language that its leaves are put into words in; `None` if there are no words in it.
    pub fn language(&self) -> Option<Language> {
        Language::find(&self.0)
    }
}

plain!(Tag);

impl From<&str> for Tag {
    fn from(tag: &str) -> Tag {
        Tag(tag.to_string())
    }
}

impl From<&String> for Tag {
    fn from(tag: &String) -> Tag {
        Tag(tag.clone())
    }
}

impl Deref for Tag {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}
