//! The files of a compilation as read: what a parser gives and the model takes.

use super::Body;
use super::heads::{ProcedureHead, SetHead, WorkshopHead};
use crate::source::{FileId, Span, file_name};

/// Every file of one compilation, read.
#[derive(Debug, Default)]
pub struct Documents {
    pub workshops: Vec<Document<WorkshopHead>>,
    pub sets: Vec<Document<SetHead>>,
    pub procedures: Vec<ProcedureFile>,
}

impl Documents {
    /// Takes up those of another, behind its own.
    pub fn append(&mut self, mut other: Documents) {
        self.workshops.append(&mut other.workshops);
        self.sets.append(&mut other.sets);
        self.procedures.append(&mut other.procedures);
    }
}

/// A YAML file.
#[derive(Debug)]
pub struct Document<T> {
    pub file: FileId,
    /// False if its YAML couldn't be read, so that nobody knows what it declares.
    pub readable: bool,
    pub head: T,
    pub loss: Loss,
}

/// What couldn't be read of a head.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Loss {
    /// True if the walk over the steps would be wrong without it.
    pub bars_walk: bool,
    /// True if tools may be among it.
    pub tools: bool,
    /// True if a part of the file is no text, so that nobody knows what it names.
    pub unreadable: bool,
    /// Where it stands.
    pub spans: Vec<Span>,
}

/// A procedure's file.
#[derive(Debug, Clone)]
pub struct ProcedureFile {
    pub file: FileId,
    /// False if its front matter couldn't be read, so that nobody knows what it declares.
    pub readable: bool,
    pub loss: Loss,
    pub head: ProcedureHead,
    pub body: Body,
}

/// The id that a procedure has by its file: its name without the leading number and the ending. A file under a wrong name is known by the one that
/// it would have.
pub fn id_of_file(path: &str) -> &str {
    let name = file_name(path);
    let stem = name.strip_suffix(".md").unwrap_or_else(|| {
        let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
        stem.strip_suffix(".md").unwrap_or(stem)
    });
    let bare = stem
        .trim_start_matches(|c: char| c.is_ascii_digit())
        .trim_start_matches(['-', '_', '.', ' ']);
    if bare.is_empty() { stem } else { bare }
}
