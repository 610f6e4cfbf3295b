//! What the heads of files say: front matter, `set.yaml` and `workshop.yaml`.

use super::registers::Registers;
use super::ties::Shared;
use super::{At, Name, Only};
use crate::domain::quantity::{Dimension, Unit};

/// What a procedure's front matter says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProcedureHead {
    pub title: Option<Name>,
    pub id: Option<Name>,
    pub after: Vec<Name>,
    /// Choices for which there is this card.
    pub only: Vec<Only>,
    pub about: Option<Name>,
    pub issue: Issue,
    pub registers: Registers,
}

/// Which version of the words this is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Issue {
    pub rev: Option<Name>,
    pub date: Option<Name>,
    pub source: Option<Name>,
    /// Date of the walk-through.
    pub tried: Option<Name>,
}

/// What `set.yaml` says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SetHead {
    pub machine: Option<Name>,
    pub title: Option<Name>,
    pub about: Option<Name>,
    pub applies_to: Option<Name>,
    pub notice: Option<Name>,
    pub issue: Issue,
    pub style: Style,
    /// Codes or names of findings that are not told, with the reason.
    pub allow: Vec<(Name, Name)>,
    /// Codes or names of findings that are errors.
    pub deny: Vec<Name>,
    /// Choices that don't go together.
    pub never: Vec<Vec<(Name, Name)>>,
    /// Procedures that lie elsewhere.
    pub shared: Vec<Shared>,
    pub registers: Registers,
}

/// House style.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Style {
    pub paper: Option<Name>,
    pub language: Option<Name>,
    /// How many times finer than its limit a gauge must read.
    pub gauge_ratio: Option<At<u32>>,
    /// The second unit of each dimension.
    pub units: Vec<(Dimension, Unit)>,
}

/// What `workshop.yaml` says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WorkshopHead {
    pub shop: Option<Name>,
    pub registers: Registers,
}
