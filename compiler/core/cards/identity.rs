//! Who a card or another leaf is, and what all of them say.

use super::card::{Choice, Chosen, Identity};
use crate::model::registers::Choice as Decided;
use crate::model::{Choices, Condition, Handle, Procedure, ProcedureId, Set, assigned};
use crate::words::say;
use std::collections::BTreeSet;

/// Who the close-out is: as the cards, one past the last of them.
pub fn close_out(set: &Set, choices: &Choices) -> Identity {
    let mut all: Vec<Chosen> = Vec::new();
    // What decides that a card isn't there is named as well.
    for procedure in set.procedures.ids() {
        all.extend(heads(&chosen(set, procedure, choices)));
    }
    all.sort_by(|a, b| a.option.cmp(&b.option));
    all.dedup();
    let first = set.procedures.there(choices).next().map(|id| &set.procedures[id]);
    let word = |of: fn(&Procedure) -> &String| first.map_or_else(String::new, |p| of(p).clone());
    Identity {
        set: set.id.clone(),
        set_title: set.title.clone(),
        machine: set.machine.clone(),
        procedure: "close-out".to_string(),
        title: say::close_out(),
        position: set.procedures.len() + 1,
        of: set.procedures.len(),
        rev: word(|p| &p.rev),
        date: word(|p| &p.date),
        source: String::new(),
        draft: set.procedures.there(choices).any(|id| !set.procedures[id].tried),
        choices: all,
        language: (&set.language).into(),
        paper: paper(set),
        uncommitted: false,
    }
}

fn paper(set: &Set) -> String {
    set.paper.clone().unwrap_or_else(|| "a4".to_string())
}

/// Who the card of a procedure is.
pub fn of_card(set: &Set, id: ProcedureId, choices: &Choices) -> Identity {
    let procedure = &set.procedures[id];
    Identity {
        set: set.id.clone(),
        set_title: set.title.clone(),
        machine: set.machine.clone(),
        procedure: procedure.id.clone(),
        title: (&procedure.title).into(),
        position: id.number(),
        of: set.procedures.len(),
        rev: procedure.rev.clone(),
        date: procedure.date.clone(),
        source: procedure.source.clone(),
        draft: !procedure.tried,
        choices: heads(&chosen(set, id, choices)),
        language: (&set.language).into(),
        paper: paper(set),
        uncommitted: false,
    }
}

impl Chosen {
    /// As it is written in a mark and on the command line: `seals=renew`.
    pub fn assigned(&self) -> String {
        assigned(&self.option, &self.value)
    }
}

/// Choices as the head of a leaf names them.
pub fn heads(choices: &[Choice]) -> Vec<Chosen> {
    choices.iter().map(Chosen::from).collect()
}

/// The options that a procedure depends on by its own conditions.
pub fn asked(set: &Set, procedure: ProcedureId) -> BTreeSet<Handle<Decided>> {
    let mut asked: BTreeSet<_> = BTreeSet::new();
    let mut ask = |conditions: &[Condition]| asked.extend(conditions.iter().map(|c| c.option));
    let procedure = &set.procedures[procedure];
    ask(&procedure.only);
    procedure.messages.iter().for_each(|m| ask(&m.only));
    for phase in &procedure.phases {
        ask(&phase.only);
        phase.messages.iter().for_each(|m| ask(&m.only));
    }
    for (_, step) in procedure.steps() {
        ask(&step.only);
        step.messages.iter().for_each(|m| ask(&m.only));
        step.substeps.iter().for_each(|s| ask(&s.only));
    }
    asked
}

/// The same as chosen.
pub fn chosen(set: &Set, procedure: ProcedureId, choices: &Choices) -> Vec<Choice> {
    let defaults = Choices::defaults(&set.catalogue);
    let choice = |option| {
        let def = set.catalogue.options.get(option);
        let value = def.value.values.get(choices.value(option));
        Choice {
            option: def.id.text.clone(),
            what: def.value.what.clone(),
            value: value.map_or_else(String::new, |(v, _)| v.text.clone()),
            why: value
                .and_then(|(_, why)| why.as_ref())
                .map_or_else(String::new, |w| w.text.clone()),
            default: choices.value(option) == defaults.value(option),
            span: Some(def.id.span),
        }
    };
    asked(set, procedure).into_iter().map(choice).collect()
}
