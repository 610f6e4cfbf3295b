//! A set as the model has it.

use super::names::act;
use super::place;
use crate::model::{Act, Condition, Phase, Procedure, ProcedureId, Set, Step};
use crate::source::FileSet;
use serde_json::{Value, json};

pub fn model(files: &FileSet, set: &Set) -> Value {
    let entries = set.catalogue.entries().map(|(entity, _, id, span)| {
        json!({
            "register": entity.register.field(),
            "id": id,
            "at": place(files, span),
            "used": set.used.contains(&entity),
        })
    });
    let procedures = set.procedures.named().map(|(id, one)| procedure(files, set, id, one));
    json!({
        "title": set.title,
        "machine": set.machine,
        "language": set.language,
        "walkable": set.walkable,
        "entries": entries.collect::<Value>(),
        "procedures": procedures.collect::<Value>(),
    })
}

fn procedure(files: &FileSet, set: &Set, id: ProcedureId, procedure: &Procedure) -> Value {
    let after = procedure.after.iter().map(|before| set.procedures[*before].id.as_str());
    let steps = procedure.steps().map(|(phase, one)| step(files, set, phase, one));
    json!({
        "card": id.number(),
        "id": procedure.id,
        "title": procedure.title,
        "rev": procedure.rev,
        "after": after.collect::<Value>(),
        "messages": procedure.messages.len(),
        "steps": steps.collect::<Value>(),
    })
}

fn step(files: &FileSet, set: &Set, phase: &Phase, step: &Step) -> Value {
    let marks = |acts: &[Act]| -> Value { acts.iter().map(|one| json!(act(set, one))).collect() };
    let substeps = step.substeps.iter().map(|sub| {
        json!({
            "at": place(files, sub.span),
            "only": conditions(set, &sub.only),
            "marks": marks(&sub.acts),
        })
    });
    json!({
        "step": step.number.to_string(),
        "at": place(files, step.span),
        "only": conditions(set, phase.only.iter().chain(&step.only)),
        "messages": step.messages.len(),
        "marks": marks(&step.acts),
        "substeps": substeps.collect::<Value>(),
    })
}

/// Conditions in words, of those that all must hold.
pub fn conditions<'a>(set: &Set, only: impl IntoIterator<Item = &'a Condition>) -> Vec<String> {
    only.into_iter()
        .map(|one| one.words(&set.catalogue).english())
        .collect()
}
