//! One procedure and a set of choices in; one card out.

use super::card::{Card, HazardRow, Hold, Inline, LeftOut, Phase, Run, Signal, Step, SubStep};
use super::counted;
use super::cover;
use super::figures::By;
use super::identity;
use super::members;
use super::prose::Prose;
use super::said;
use super::specs::Specs;
use super::standing::Words;
use super::value::Value;
use crate::check::Facts;
use crate::check::ledger::Carried;
use crate::check::walk::{Done, Happened, Played, What};
use crate::domain::timer::Duration;
use crate::model::ties::PerMember;
use crate::model::{self, Act, Choices, Condition, Each, ProcedureId, Set, StepNumber};
use crate::source::{FileSet, Span};
use crate::words::{Phrase, joined, say};

/// What cards are made of.
#[derive(Clone, Copy)]
pub struct Input<'a> {
    pub files: &'a FileSet,
    pub set: &'a Set,
    pub facts: &'a Facts,
    pub choices: &'a Choices,
    /// The set as these choices have it, and what each procedure takes over and hands on.
    pub played: &'a Played<'a>,
    pub carried: &'a Each<Carried>,
}

/// The card of a procedure.
pub fn build(input: Input, id: ProcedureId) -> Card {
    let Input {
        files,
        set,
        facts,
        choices,
        played,
        carried,
    } = input;
    let procedure = &set.procedures[id];
    let prose = Prose::new(files, set, procedure);
    let carried = carried.of(id);
    let words = Words { set, card: Some(id) };
    let mut builder = Builder {
        set,
        id,
        choices,
        prose,
        specs: Specs::new(set, id, facts, carried.map(|carried| &carried.carried_in)),
        seen: Seen::default(),
        done: played.card(id),
        carried,
    };
    let mut cover_messages = builder.messages(&procedure.messages, &At::Card);
    let intro = builder.prose.blocks(&procedure.intro);
    let mut phases: Vec<Phase> = procedure.phases.iter().filter_map(|p| builder.phase(p)).collect();
    if let Some(first) = phases.first_mut().filter(|first| first.title.is_empty()) {
        notes_to_step(&mut cover_messages, &mut first.runs);
    }
    let Builder { specs, seen, .. } = builder;
    let mut about = cover::paragraphs(procedure.about.as_ref());
    about.extend(intro);
    let steps = phases.iter().flat_map(|p| &p.runs).map(|r| r.steps.len()).sum();
    let kit = specs.kit;
    let before = set.procedures.before(id, choices);
    let cover = super::card::Cover {
        about,
        choices: identity::chosen(set, id, choices),
        after: before.into_iter().map(|p| cover::card_ref(set, p)).collect(),
        worst: seen.hazards.iter().map(|h| h.signal).max(),
        hazards: sorted(seen.hazards),
        messages: cover_messages,
        parts: kit.parts.into_rows(),
        temporary: kit.temporary.into_rows(),
        consumables: kit.consumables.into_rows(),
        tools: kit.tools.into_rows(),
        hands_on: seen.hands_on.map_or_else(Phrase::default, |t| By::Us.figure(&t)),
        timed: seen.timed,
        timers: specs.timers,
        changed_since: String::new(),
        changes: Vec::new(),
        left_out: seen.left_out,
        steps,
    };
    Card {
        identity: identity::of_card(set, id, choices),
        cover,
        carried_in: carried.map_or_else(Default::default, |c| words.found(&c.carried_in, played.card(id))),
        phases,
        carried_out: carried.map_or_else(Default::default, |c| words.left(&c.carried_out, played.card(id))),
        torques: specs.torques,
        measurements: specs.measurements,
        patterns: specs.patterns,
        holds: seen.holds,
    }
}

/// What the walk gathers for the cover and the close-out.
#[derive(Default)]
struct Seen {
    hazards: Vec<HazardRow>,
    left_out: Vec<LeftOut>,
    /// The step or phase that was built last.
    last: String,
    holds: Vec<Hold>,
    hands_on: Option<Duration>,
    timed: usize,
}

/// Where a message stands.
enum At {
    Card,
    Phase(usize),
    Step(StepNumber),
}

struct Builder<'a> {
    set: &'a Set,
    id: ProcedureId,
    choices: &'a Choices,
    prose: Prose<'a>,
    specs: Specs<'a>,
    seen: Seen,
    /// The steps that the choices keep.
    done: &'a [Done<'a>],
    carried: Option<&'a Carried>,
}

impl Builder<'_> {
    fn phase(&mut self, phase: &model::Phase) -> Option<Phase> {
        if !self.choices.meet(&phase.only) {
            // Missed at the next phase that there is.
            self.seen.last.clear();
            self.leave_out(say::whole_phase(phase.number), &phase.only, phase.span);
            return None;
        }
        self.seen.last = phase.number.to_string();
        for left in self.seen.left_out.iter_mut().filter(|left| left.missed.is_empty()) {
            left.missed.clone_from(&self.seen.last);
        }
        self.prose.enter(phase.number);
        let mut messages = self.messages(&phase.messages, &At::Phase(phase.number));
        let intro = self.prose.blocks(&phase.intro);
        let mut title = self.prose.inlines(&phase.title);
        let said = said::before(self.set, &phase.ifs, phase.each);
        if !said.is_empty() {
            title.push(Inline::Said {
                text: Phrase::from(" (").then(said).then(")"),
            });
        }
        let mut runs = Vec::new();
        for run in &phase.runs {
            let steps: Vec<Step> = run.steps.iter().filter_map(|s| self.step(s, phase.each)).collect();
            if !steps.is_empty() {
                runs.push(Run {
                    any_order: run.any_order,
                    steps,
                });
            }
        }
        notes_to_step(&mut messages, &mut runs);
        let all: Vec<StepNumber> = phase.runs.iter().flat_map(|run| &run.steps).map(|s| s.number).collect();
        let done: Vec<&Done> = self
            .done
            .iter()
            .filter(|done| all.contains(&done.step.number))
            .collect();
        Some(Phase {
            number: phase.number,
            title,
            messages,
            intro,
            runs,
            end: counted::of_phase(self.set, phase.each, &done),
            span: Some(phase.span),
        })
    }

    fn step(&mut self, step: &model::Step, of_phase: Option<PerMember>) -> Option<Step> {
        if !self.choices.meet(&step.only) {
            self.leave_out(step.number.to_string().into(), &step.only, step.span);
            return None;
        }
        let number = step.number.to_string();
        self.seen.last.clone_from(&number);
        let messages = self.messages(&step.messages, &At::Step(step.number));
        let mut text = self.prose.blocks(&step.text);
        let own: Vec<&Act> = step.acts.iter().collect();
        let (before, after) = (
            said::before(self.set, &step.ifs, step.each),
            said::after(self.set, &own),
        );
        said::frame(&mut text, before, after);
        let each = step.each.or(of_phase);
        let specs = self.specs.of(&step.acts, step.number, each);
        let mut substeps = Vec::new();
        for (n, sub) in step.substeps.iter().enumerate() {
            let letter = letter(n);
            if !self.choices.meet(&sub.only) {
                self.leave_out(format!("{} {letter}", step.number).into(), &sub.only, sub.span);
                continue;
            }
            let mut text = self.prose.blocks(&sub.text);
            let own: Vec<&Act> = sub.acts.iter().collect();
            said::frame(&mut text, Phrase::default(), said::after(self.set, &own));
            let specs = self.specs.of(&sub.acts, step.number, each);
            substeps.push(SubStep {
                letter,
                text,
                specs,
                members: members::of_step(self.set, each),
                span: Some(sub.span),
            });
        }
        let done = self.done.iter().find(|done| done.step.number == step.number);
        let events: Vec<&Happened> = done.iter().flat_map(|done| &done.events).collect();
        let holds: Vec<Hold> = events.iter().filter_map(|event| self.hold(event, &number)).collect();
        self.seen.holds.extend(holds.iter().cloned());
        let words = Words {
            set: self.set,
            card: Some(self.id),
        };
        let (safe_stop, open) = words.stop(self.carried, step.number);
        Some(Step {
            number,
            messages,
            text,
            specs,
            substeps,
            members: members::of_step(self.set, each),
            time: self.time(&events),
            holds,
            changed: false,
            safe_stop,
            open,
            span: Some(step.span),
        })
    }

    fn hold(&self, event: &Happened, step: &str) -> Option<Hold> {
        let What::Hold(handle) = event.what else { return None };
        let def = self.set.catalogue.holds.get(handle);
        Some(Hold {
            id: def.id.text.clone(),
            what: def.value.what.clone(),
            second_person: def.value.second_person,
            step: step.to_string(),
            span: Some(event.at.span),
        })
    }

    /// The step's own time, ready to print; the card's sum grows by it.
    fn time(&mut self, events: &[&Happened]) -> Value {
        let times = events.iter().filter_map(|event| {
            let What::Work(time) = event.what else { return None };
            Some(time)
        });
        let sum = times.cloned().reduce(|a, b| a.plus(&b));
        let Some(sum) = sum else { return Value::default() };
        self.seen.timed += 1;
        let before = self.seen.hands_on.take();
        self.seen.hands_on = Some(before.map_or_else(|| sum.clone(), |t| t.plus(&sum)));
        Value::from(&sum)
    }

    fn leave_out(&mut self, number: Phrase, only: &[Condition], span: Span) {
        let unmet = only.iter().filter(|c| !self.choices.meets(c));
        let unmet = unmet.map(|c| c.words(&self.set.catalogue));
        self.seen.left_out.push(LeftOut {
            number,
            only: joined(unmet, ", "),
            missed: self.seen.last.clone(),
            span: Some(span),
        });
    }

    /// The messages that these choices keep, most severe first.
    fn messages(&mut self, messages: &[model::Message], at: &At) -> Vec<super::card::Message> {
        let mut kept = Vec::new();
        for message in messages.iter().filter(|m| self.choices.meet(&m.only)) {
            let message = self.prose.message(message);
            if message.signal > Signal::Note {
                self.note_hazard(&message, at);
            }
            kept.push(message);
        }
        kept.sort_by_key(|m| std::cmp::Reverse(m.signal));
        kept
    }

    fn note_hazard(&mut self, message: &super::card::Message, at: &At) {
        let hazard = super::text::plain(&message.hazard);
        let at = match at {
            At::Card => None,
            At::Phase(n) => Some(say::whole_phase(*n)),
            At::Step(number) => Some(number.to_string().into()),
        };
        let rows = &mut self.seen.hazards;
        match rows
            .iter_mut()
            .find(|r| r.signal == message.signal && r.hazard == hazard)
        {
            Some(row) => row.at.extend(at),
            None => rows.push(HazardRow {
                signal: message.signal,
                hazard,
                at: at.into_iter().collect(),
                span: message.span,
            }),
        }
    }
}

/// Gives the notes right above a first step to that step: they print as its own would, so they are its own, by whichever way they are written.
/// What is graver tells on the leaf how far it goes, and stays; so does a note above what is graver, or above a list in any order.
fn notes_to_step(above: &mut Vec<super::card::Message>, runs: &mut [Run]) {
    let note = |message: &super::card::Message| message.signal == Signal::Note;
    let first = runs.first_mut().filter(|run| !run.any_order);
    let Some(step) = first.and_then(|run| run.steps.first_mut()) else {
        return;
    };
    if step.messages.iter().all(note) {
        let notes = above.extract_if(.., |message| note(message));
        step.messages.splice(..0, notes);
    }
}

fn sorted(mut hazards: Vec<HazardRow>) -> Vec<HazardRow> {
    hazards.sort_by_key(|h| std::cmp::Reverse(h.signal));
    hazards
}

/// `a` to `z`, then `aa`.
fn letter(n: usize) -> String {
    let last = char::from(b'a' + (n % 26) as u8);
    if n < 26 {
        last.to_string()
    } else {
        letter(n / 26 - 1) + &last.to_string()
    }
}
