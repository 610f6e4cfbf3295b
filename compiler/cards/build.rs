//! One procedure and a set of choices in; one card out.

use super::card::{
    Card, Choice, CloseOut, HazardRow, Hold, Identity, LeftOut, Phase, Pocket, Run, Signal, Step, SubStep,
};
use super::cover;
use super::prose::Prose;
use super::specs::Specs;
use super::standing::Words;
use crate::check::Facts;
use crate::check::ledger::{self, Carried};
use crate::domain::timer::Duration;
use crate::model::{self, Act, ActKind, Choices, Condition, Set};
use crate::source::FileSet;
use std::collections::BTreeSet;

/// What every card says, whatever the set: nothing a program prints can stand above these.
pub const STANDING_NOTICE: &str = "Local codes and rules, the maker's own data and licensed practice come first. \
     This card does not make the work safe: if it and the machine disagree, stop and find out why.";

/// The cards of one set for some choices. What runs through the whole set is worked out once for all of them.
pub struct Deck<'a> {
    files: &'a FileSet,
    set: &'a Set,
    facts: &'a Facts,
    choices: &'a Choices,
    carried: Vec<Carried>,
}

impl<'a> Deck<'a> {
    pub fn new(files: &'a FileSet, set: &'a Set, facts: &'a Facts, choices: &'a Choices) -> Self {
        let carried = ledger::carried(set, choices);
        Deck {
            files,
            set,
            facts,
            choices,
            carried,
        }
    }

    pub fn set(&self) -> &'a Set {
        self.set
    }

    pub fn facts(&self) -> &'a Facts {
        self.facts
    }

    pub fn choices(&self) -> &'a Choices {
        self.choices
    }

    /// The card of the procedure at `position` of the set's order.
    pub fn card(&self, position: usize) -> Card {
        build(self, position)
    }

    /// What is ticked when every card is done.
    pub fn close_out(&self) -> CloseOut {
        super::standing::close_out(self.set, self.facts, self.choices)
    }

    /// The torques and limits of the procedures at `positions`, alone.
    pub fn pocket(&self, positions: &[usize]) -> Pocket {
        let cards = positions.iter().map(|p| self.card(*p)).collect();
        super::pocket::pocket(self.set, self.choices, cards)
    }
}

/// The card of the procedure at `position` of the set's order, alone.
pub fn card(files: &FileSet, set: &Set, facts: &Facts, position: usize, choices: &Choices) -> Card {
    Deck::new(files, set, facts, choices).card(position)
}

fn build(deck: &Deck, position: usize) -> Card {
    let Deck {
        files,
        set,
        facts,
        choices,
        carried,
    } = deck;
    let procedure = &set.procedures[position];
    let prose = Prose::new(files, set, procedure);
    let carried = carried.get(position);
    let words = Words { set, position };
    let mut builder = Builder {
        set,
        position,
        choices,
        prose,
        specs: Specs::new(set, facts),
        seen: Seen::default(),
        carried,
    };
    let cover_messages = builder.messages(&procedure.messages, &At::Card);
    let intro = builder.prose.blocks(&procedure.intro);
    let phases: Vec<Phase> = procedure.phases.iter().filter_map(|p| builder.phase(p)).collect();
    let Builder { specs, seen, .. } = builder;
    let mut about = cover::paragraphs(&set.about);
    about.extend(cover::paragraphs(&procedure.about));
    about.extend(intro);
    let steps = phases.iter().flat_map(|p| &p.runs).map(|r| r.steps.len()).sum();
    let notices = [STANDING_NOTICE, &set.notice]
        .into_iter()
        .filter(|n| !n.is_empty())
        .map(str::to_string)
        .collect();
    let kit = specs.kit;
    let cover = super::card::Cover {
        about,
        applies_to: set.applies_to.clone(),
        after: procedure.after.iter().map(|p| cover::card_ref(set, *p)).collect(),
        worst: seen.hazards.iter().map(|h| h.signal).max(),
        hazards: sorted(seen.hazards),
        messages: cover_messages,
        notices,
        parts: kit.parts,
        temporary: kit.temporary,
        consumables: kit.consumables,
        tools: kit.tools,
        hands_on: seen.hands_on.map_or_else(String::new, |t| t.to_string()),
        timers: specs.timers,
        changed_since: String::new(),
        changes: Vec::new(),
        left_out: seen.left_out,
        steps,
    };
    Card {
        identity: identity(set, position, choices),
        cover,
        carried_in: carried.map_or_else(Default::default, |c| words.standing(&c.carried_in)),
        phases,
        carried_out: carried.map_or_else(Default::default, |c| words.standing(&c.carried_out)),
        torques: specs.torques,
        measurements: specs.measurements,
        patterns: specs.patterns,
        holds: seen.holds,
    }
}

/// Who the close-out is: as the cards, one past the last of them.
pub fn close_out_identity(set: &Set, choices: &Choices) -> Identity {
    let mut all: Vec<Choice> = Vec::new();
    for position in 0..set.procedures.len() {
        all.extend(chosen(set, position, choices));
    }
    all.sort_by(|a, b| a.option.cmp(&b.option));
    all.dedup();
    let first = set.procedures.first();
    let word = |of: fn(&model::Procedure) -> &String| first.map_or_else(String::new, |p| of(p).clone());
    Identity {
        set: set.id.clone(),
        set_title: set.title.clone(),
        machine: set.machine.clone(),
        procedure: "close-out".to_string(),
        title: "Close-out".to_string(),
        position: set.procedures.len() + 1,
        of: set.procedures.len(),
        rev: word(|p| &p.rev),
        date: word(|p| &p.date),
        source: String::new(),
        draft: set.procedures.iter().any(|p| !p.tried),
        choices: all,
        language: set.language.clone(),
        paper: paper(set),
        fingerprint: String::new(),
    }
}

fn paper(set: &Set) -> String {
    set.paper.clone().unwrap_or_else(|| "a4".to_string())
}

fn identity(set: &Set, position: usize, choices: &Choices) -> Identity {
    let procedure = &set.procedures[position];
    Identity {
        set: set.id.clone(),
        set_title: set.title.clone(),
        machine: set.machine.clone(),
        procedure: procedure.id.clone(),
        title: procedure.title.clone(),
        position: position + 1,
        of: set.procedures.len(),
        rev: procedure.rev.clone(),
        date: procedure.date.clone(),
        source: procedure.source.clone(),
        draft: !procedure.tried,
        choices: chosen(set, position, choices),
        language: set.language.clone(),
        paper: paper(set),
        fingerprint: String::new(),
    }
}

/// The options that the procedure at `position` depends on, as chosen.
pub fn chosen(set: &Set, position: usize, choices: &Choices) -> Vec<Choice> {
    let mut asked: BTreeSet<_> = BTreeSet::new();
    let mut ask = |conditions: &[Condition]| asked.extend(conditions.iter().map(|c| c.option));
    let procedure = &set.procedures[position];
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
            default: !choices.explicit(option),
        }
    };
    asked.into_iter().map(choice).collect()
}

/// What the walk gathers for the cover and the close-out.
#[derive(Default)]
struct Seen {
    hazards: Vec<HazardRow>,
    left_out: Vec<LeftOut>,
    holds: Vec<Hold>,
    hands_on: Option<Duration>,
}

/// Where a message stands.
enum At {
    Card,
    Phase(usize),
    Step(String),
}

struct Builder<'a> {
    set: &'a Set,
    position: usize,
    choices: &'a Choices,
    prose: Prose<'a>,
    specs: Specs<'a>,
    seen: Seen,
    carried: Option<&'a Carried>,
}

impl Builder<'_> {
    fn phase(&mut self, phase: &model::Phase) -> Option<Phase> {
        if !self.choices.meet(&phase.only) {
            self.leave_out(format!("Phase {}", phase.number), &phase.only);
            return None;
        }
        let messages = self.messages(&phase.messages, &At::Phase(phase.number));
        let intro = self.prose.blocks(&phase.intro);
        let title = self.prose.inlines(&phase.title);
        let mut runs = Vec::new();
        for run in &phase.runs {
            let steps: Vec<Step> = run.steps.iter().filter_map(|s| self.step(s)).collect();
            if !steps.is_empty() {
                runs.push(Run {
                    any_order: run.any_order,
                    steps,
                });
            }
        }
        Some(Phase {
            number: phase.number,
            title,
            messages,
            intro,
            runs,
        })
    }

    fn step(&mut self, step: &model::Step) -> Option<Step> {
        if !self.choices.meet(&step.only) {
            self.leave_out(step.number.clone(), &step.only);
            return None;
        }
        let messages = self.messages(&step.messages, &At::Step(step.number.clone()));
        let text = self.prose.blocks(&step.text);
        let specs = self.specs.of(&step.acts, &step.number);
        let mut substeps = Vec::new();
        for (n, sub) in step.substeps.iter().enumerate() {
            let letter = letter(n);
            if !self.choices.meet(&sub.only) {
                self.leave_out(format!("{} {letter}", step.number), &sub.only);
                continue;
            }
            let text = self.prose.blocks(&sub.text);
            let specs = self.specs.of(&sub.acts, &step.number);
            substeps.push(SubStep { letter, text, specs });
        }
        let acts: Vec<&Act> = step.acts_for(self.choices).collect();
        let holds: Vec<Hold> = acts.iter().filter_map(|act| self.hold(act, &step.number)).collect();
        self.seen.holds.extend(holds.iter().cloned());
        let words = Words {
            set: self.set,
            position: self.position,
        };
        let (safe_stop, open) = words.stop(self.carried, &step.number);
        Some(Step {
            number: step.number.clone(),
            messages,
            text,
            specs,
            substeps,
            time: self.time(&acts),
            holds,
            changed: false,
            safe_stop,
            open,
        })
    }

    fn hold(&self, act: &Act, step: &str) -> Option<Hold> {
        let ActKind::Hold(handle) = act.kind else { return None };
        let def = self.set.catalogue.holds.get(handle);
        Some(Hold {
            id: def.id.text.clone(),
            what: def.value.what.clone(),
            second_person: def.value.second_person,
            step: step.to_string(),
        })
    }

    /// The step's own time, ready to print; the card's sum grows by it.
    fn time(&mut self, acts: &[&Act]) -> String {
        let times = acts.iter().filter_map(|act| match &act.kind {
            ActKind::Time(time) => Some(time),
            _ => None,
        });
        let sum = times.cloned().reduce(|a, b| a.plus(&b));
        let Some(sum) = sum else { return String::new() };
        let before = self.seen.hands_on.take();
        self.seen.hands_on = Some(before.map_or_else(|| sum.clone(), |t| t.plus(&sum)));
        sum.to_string()
    }

    fn leave_out(&mut self, number: String, only: &[Condition]) {
        let options = &self.set.catalogue.options;
        let condition = |c: &Condition| {
            let def = options.get(c.option);
            let values: Vec<&str> = c
                .values
                .iter()
                .filter_map(|v| Some(def.value.values.get(*v)?.0.text.as_str()))
                .collect();
            format!("{} = {}", def.id.text, values.join(" or "))
        };
        let unmet: Vec<String> = only
            .iter()
            .filter(|c| !self.choices.meet(std::slice::from_ref(c)))
            .map(condition)
            .collect();
        self.seen.left_out.push(LeftOut {
            number,
            only: unmet.join(", "),
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
        let hazard = super::prose::plain(&message.hazard);
        let at = match at {
            At::Card => None,
            At::Phase(n) => Some(format!("Phase {n}")),
            At::Step(number) => Some(number.clone()),
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
            }),
        }
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
