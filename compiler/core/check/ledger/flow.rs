//! A set as one line of steps: procedures in the set's order, steps and acts as written.
//!
//! Steps that may be done in any order are walked as written; that their order does not matter is a rule of its own. Marks that point
//! at a step or procedure (`[step …]`, `[see …]`) are not followed.

use super::guard::{Guard, Variables};
use crate::model::{Act, Phase, Set, Step};

/// A set's steps in walking order.
#[derive(Debug)]
pub struct Flow<'a> {
    pub variables: Variables,
    pub stops: Vec<Stop<'a>>,
}

/// One step on the way.
#[derive(Debug)]
pub struct Stop<'a> {
    /// Position of the procedure in the set.
    pub procedure: usize,
    pub phase: &'a Phase,
    pub step: &'a Step,
    pub guard: Guard,
    /// The condition of its card.
    pub of_card: Guard,
    /// The boundary that is crossed to get here, if this is the first step of its phase.
    pub begins: Option<Begins>,
    /// Position of the list the step stands in, in its phase.
    pub run: usize,
    pub any_order: bool,
    /// What is done, sub-steps included, as written.
    pub deeds: Vec<Deed<'a>>,
}

/// A boundary between steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Begins {
    Phase,
    Procedure,
}

/// An act with its condition.
#[derive(Debug)]
pub struct Deed<'a> {
    pub guard: Guard,
    pub act: &'a Act,
}

impl<'a> Flow<'a> {
    pub fn new(set: &'a Set) -> Flow<'a> {
        let variables = Variables::new(&set.catalogue);
        let mut stops = Vec::new();
        for (procedure, card) in set.procedures.iter().enumerate() {
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
                            deeds: deeds(step, &guard, &variables),
                            of_card: Guard::default().and(&variables, &card.only),
                            guard,
                        });
                    }
                }
            }
        }
        Flow { variables, stops }
    }

    /// The condition under which the phase of a stop is there at all.
    pub fn phase_guard(&self, stop: &Stop) -> Guard {
        stop.of_card.and(&self.variables, &stop.phase.only)
    }
}

fn deeds<'a>(step: &'a Step, guard: &Guard, variables: &Variables) -> Vec<Deed<'a>> {
    let mut deeds: Vec<Deed> = step
        .acts
        .iter()
        .map(|act| Deed {
            guard: guard.clone(),
            act,
        })
        .collect();
    for sub in &step.substeps {
        let guard = guard.and(variables, &sub.only);
        deeds.extend(sub.acts.iter().map(|act| Deed {
            guard: guard.clone(),
            act,
        }));
    }
    deeds
}
