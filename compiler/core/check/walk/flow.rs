//! A set as one line of steps: procedures in the set's order, steps and acts as written.
//!
//! Steps that may be done in any order are walked as written; that their order does not matter is a rule of its own. Marks that point
//! at a step or procedure (`[step …]`, `[see …]`) are not followed.

use super::event::{Event, happens};
use super::guard::{Guard, Variables};
use crate::model::ties::Question;
use crate::model::{Act, Choices, Condition, Phase, ProcedureId, Set, Step};

/// A set's steps in walking order.
#[derive(Debug)]
pub struct Flow<'a> {
    pub set: &'a Set,
    pub variables: Variables,
    pub stops: Vec<Stop<'a>>,
}

/// One step on the way.
#[derive(Debug)]
pub struct Stop<'a> {
    pub procedure: ProcedureId,
    pub phase: &'a Phase,
    pub step: &'a Step,
    pub guard: Guard,
    /// Conditions of its card.
    pub of_card: &'a [Condition],
    /// True if it is done only where a reading is out, or a case is so.
    pub aside: bool,
    /// The boundary that is crossed to get here, if this is the first step of its phase.
    pub begins: Option<Begins>,
    /// Position of the list the step stands in, in its phase.
    pub run: usize,
    pub any_order: bool,
    /// What happens, sub-steps included, as written.
    pub events: Vec<Event<'a>>,
}

impl<'a> Stop<'a> {
    /// The conditions of its phase and step that some choices don't meet; none: the step is done.
    pub fn unmet<'c>(&self, choices: &'c Choices) -> impl Iterator<Item = &'a Condition> + use<'a, 'c> {
        let all = self.of_card.iter().chain(&self.phase.only).chain(&self.step.only);
        all.filter(|condition| !choices.meets(condition))
    }

    /// The same of one of its events, with the condition of its sub-step.
    pub fn unmet_of<'c>(
        &self,
        event: &Event<'a>,
        choices: &'c Choices,
    ) -> impl Iterator<Item = &'a Condition> + use<'a, 'c> {
        let own = event.only.iter().filter(|condition| !choices.meets(condition));
        self.unmet(choices).chain(own)
    }
}

/// A boundary between steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Begins {
    Phase,
    Procedure,
}

impl<'a> Flow<'a> {
    pub fn new(set: &'a Set) -> Flow<'a> {
        let variables = Variables::new(&set.catalogue);
        let mut stops = Vec::new();
        for (procedure, card) in set.procedures.named() {
            let mut first_of_card = true;
            for phase in &card.phases {
                let of_phase = Guard::default()
                    .and(&variables, &card.only)
                    .and(&variables, &phase.only);
                let mut first_of_phase = true;
                for (run, steps) in phase.runs.iter().enumerate() {
                    for step in &steps.steps {
                        let guard = of_phase.and(&variables, &step.only);
                        let begins = match (first_of_card, first_of_phase) {
                            (true, _) => Some(Begins::Procedure),
                            (false, true) => Some(Begins::Phase),
                            (false, false) => None,
                        };
                        (first_of_card, first_of_phase) = (false, false);
                        stops.push(Stop {
                            procedure,
                            phase,
                            step,
                            begins,
                            run,
                            any_order: steps.any_order,
                            events: events(set, step, &guard, &variables),
                            of_card: &card.only,
                            aside: phase.ifs.iter().chain(&step.ifs).any(Question::is_aside),
                            guard,
                        });
                    }
                }
            }
        }
        Flow { set, variables, stops }
    }

    /// The condition under which the phase of a stop is there at all.
    pub fn phase_guard(&self, stop: &Stop) -> Guard {
        Guard::default()
            .and(&self.variables, stop.of_card)
            .and(&self.variables, &stop.phase.only)
    }
}

fn events<'a>(set: &Set, step: &'a Step, guard: &Guard, variables: &Variables) -> Vec<Event<'a>> {
    let mut events = Vec::new();
    let mut add = |act: &'a Act, guard: &Guard, only: &'a [Condition]| {
        happens(set, act, |what| {
            events.push(Event {
                guard: guard.clone(),
                only,
                at: act.span,
                member: act.member,
                what,
            });
        });
    };
    step.acts.iter().for_each(|act| add(act, guard, &[]));
    for sub in &step.substeps {
        let guard = guard.and(variables, &sub.only);
        sub.acts.iter().for_each(|act| add(act, &guard, &sub.only));
    }
    events
}
