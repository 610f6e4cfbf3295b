//! Where in the sources a leaf comes from, as closely as its data says.

use crate::model::{ProcedureId, Set};
use crate::source::Span;
use crate::words::Speak;

impl Speak for Span {
    fn speak(&mut self, _: crate::words::Language) {}
}

/// The place that a piece of a leaf names; else that of its procedure, or of the set's file for a leaf about the whole set.
pub fn place(set: &Set, procedure: Option<ProcedureId>, named: Option<Span>) -> Span {
    let own = procedure.and_then(|at| set.procedures.of(at));
    named.unwrap_or_else(|| own.map_or(Span::new(set.file, 0, 0), |procedure| procedure.span))
}
