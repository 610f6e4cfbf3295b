//! In which order the fasteners of a pattern are undone, and where the drawing stands that numbers them.

use super::card::Further;
use crate::model::registers::Torque;
use crate::model::{Act, ActKind, Handle, Procedure, ProcedureId, Set, Step};
use crate::words::{Phrase, say};

/// The order for a step of a card that loosens them; nothing for two at most, or where nobody says how they lie.
pub fn order(set: &Set, card: ProcedureId, handle: Handle<Torque>) -> Further {
    let pattern = set.links.patterns.get(&handle);
    let places = pattern.and_then(|pattern| set.catalogue.patterns[*pattern].places.as_ref());
    let Some(places) = places.filter(|places| places.pattern.count() > 2) else {
        return Further::default();
    };
    // By the numbers of the drawing, which are those of tightening.
    let turns = places.order.turns();
    let numbers = places.loosening.numbers().iter();
    let numbers = numbers.filter_map(|position| turns.get(position.checked_sub(1)?));
    let numbers: Vec<String> = numbers.map(ToString::to_string).collect();
    let numbers = numbers.join(", ");
    Further(match drawn(set, card, handle) {
        Some(place) => say::undo_in_order_of(numbers, place),
        None => say::undo_in_order(numbers),
    })
}

/// The first step that tightens a fastener: its drawing stands there.
fn drawn(set: &Set, card: ProcedureId, handle: Handle<Torque>) -> Option<Phrase> {
    let tightens = |act: &Act| matches!(act.kind, ActKind::Torque(torque) if torque == handle);
    let does = |step: &Step| {
        let nested = step.substeps.iter().flat_map(|sub| &sub.acts);
        step.acts.iter().chain(nested).any(tightens)
    };
    let first = |procedure: &Procedure| {
        let mut steps = procedure.steps().map(|(_, step)| step);
        steps.find(|step| does(step)).map(|step| step.number)
    };
    let mut all = set.procedures.named();
    let (other, step) = all.find_map(|(id, procedure)| Some((id, first(procedure)?)))?;
    Some(match other == card {
        true => say::step(step.to_string()),
        false => say::step_on_card(other.number(), step.to_string()),
    })
}
