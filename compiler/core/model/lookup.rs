//! Every name that was looked up, with what it was looked for as and what it was found to be: who asks where a thing is named reads it
//! here, and nobody has to know which marks and fields hold names.

use super::catalogue::{Entity, Home};
use super::{ProcedureId, StepNumber};
use crate::source::Span;
use crate::syntax::registers::Register;

/// A name that was looked up.
#[derive(Debug, Clone, PartialEq)]
pub struct Lookup {
    pub span: Span,
    /// The level that it was seen from.
    pub home: Home,
    pub sought: Sought,
}

/// What a name was looked for as; `None` where it wasn't found.
#[derive(Debug, Clone, PartialEq)]
pub enum Sought {
    /// An entry of one of some registers.
    Entry {
        registers: Vec<Register>,
        found: Option<Entity>,
    },
    /// One of the values of an entry, by its index.
    Value { of: Entity, found: Option<usize> },
    /// A procedure of the set.
    Procedure(Option<ProcedureId>),
    /// A labelled step of a procedure.
    Label {
        procedure: ProcedureId,
        found: Option<StepNumber>,
    },
}
