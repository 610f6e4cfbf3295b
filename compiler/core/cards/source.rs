//! Where in the sources an item of a leaf comes from, by what its data says of it.

use crate::model::{ProcedureId, Set};
use crate::source::Span;
use crate::words::plain;

plain!(Span);

/// The place of a step, a phase or an entry; of the procedure, or of the set's file, if the data says none of them. `procedure` is
/// `None` for a leaf about the whole set.
pub fn place(
    set: &Set,
    procedure: Option<ProcedureId>,
    step: Option<&str>,
    phase: Option<usize>,
    id: Option<&str>,
) -> Span {
    let own = procedure.and_then(|at| set.procedures.get(at));
    let step = step.and_then(|number| {
        let mut steps = own.into_iter().flat_map(|procedure| procedure.steps());
        steps.find(|(_, s)| s.number.to_string() == number).map(|(_, s)| s.span)
    });
    let phase = || {
        let number = phase?;
        own?.phases.iter().find(|p| p.number == number).map(|p| p.span)
    };
    let entry = || {
        let id = id?;
        set.catalogue
            .entries()
            .find(|(_, _, other, _)| *other == id)
            .map(|(.., span)| span)
    };
    step.or_else(entry)
        .or_else(phase)
        .unwrap_or_else(|| own.map_or(Span::new(set.file, 0, 0), |procedure| procedure.span))
}
