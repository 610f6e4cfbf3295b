//! Hazards that a step brings, and the messages that are in force when it is reached.
//!
//! A hazard follows from what is declared: the pictograms of a consumable, the kind of a tool, and the `hazard:` of a part, torque, tool,
//! state or action. Nothing is guessed from prose.
//!
//! A message covers a hazard if it is of a level that fits (CAUTION or above; NOTICE will do for the environment), is in force before the
//! step, and speaks of the hazard: a warning of sharp edges says nothing about petrol vapour, wherever it stands. A message before a step is in
//! force for that step and the later ones of its phase, which are read with it; one under a heading for the phase; one before the first
//! heading for the card. What words speak of a hazard is a table, `hazard-words.csv`.

use super::hazardous_tools::of_tool;
use super::ledger::diagram::{Diagrams, NEVER, Ref};
use super::walk::guard::{Guard, Literal};
use super::walk::{Flow, OnItem, OnState, Stop, What};
use crate::domain::hazard::GhsPictogram;
use crate::domain::table;
use crate::model::registers::{Action, Consumable, Hazard, Part, Register, State, Tool, Torque};
use crate::model::{Block, Inline, Level};
use crate::model::{Entity, Handle, Item, Message, Set, Thing, handle};
use crate::source::Span;
use serde::Deserialize;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::OnceLock;

const WORDS: &str = include_str!("../../tables/hazard-words.csv");

#[derive(Deserialize)]
struct WordsRow {
    hazard: String,
    /// Words and phrases that speak of it; a `*` stands for any ending.
    words: String,
    /// A few of them, to be offered.
    say: String,
}

fn words() -> &'static [WordsRow] {
    static ROWS: OnceLock<Vec<WordsRow>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("hazard-words.csv", WORDS))
}

/// Words that are offered at most.
const MOST_WORDS: usize = 4;

/// What brings a hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    Consumable(Handle<Consumable>),
    Tool(Handle<Tool>),
    Part(Handle<Part>),
    Torque(Handle<Torque>),
    State(Handle<State>),
    Action(Handle<Action>),
}

/// A hazard: of a product, by pictogram, or of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Peril {
    Product(GhsPictogram),
    Work(Hazard, &'static str),
}

impl Peril {
    /// In plain words.
    fn text(self) -> &'static str {
        match self {
            Peril::Product(pictogram) => pictogram.stands_for(),
            Peril::Work(_, what) => what,
        }
    }

    /// The least level that warns of it.
    fn least(self) -> Level {
        match self {
            Peril::Product(pictogram) if pictogram.code() == "GHS09" => Level::Notice,
            Peril::Product(_) | Peril::Work(..) => Level::Caution,
        }
    }

    /// Its row of the table of words.
    fn row(self) -> impl Iterator<Item = &'static WordsRow> {
        let key = match self {
            Peril::Product(pictogram) => pictogram.code(),
            Peril::Work(hazard, _) => hazard.word(),
        };
        words().iter().filter(move |row| row.hazard == key)
    }

    /// True if a text, as [`spaced`] gives it, speaks of it.
    fn is_named(self, text: &str) -> bool {
        self.row()
            .flat_map(|row| row.words.split('|'))
            .any(|words| names(words, text))
    }
}

/// True if a text, as [`spaced`] gives it, holds a word or phrase of the table.
fn names(words: &str, text: &str) -> bool {
    match words.strip_suffix('*') {
        Some(stem) => text.contains(&format!(" {stem}")),
        None => text.contains(&format!(" {words} ")),
    }
}

/// A text's words in small letters, with one space before, between and behind them.
fn spaced(text: &str) -> String {
    let lower = text.to_lowercase();
    let words = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    words.fold(" ".to_string(), |out, word| out + word + " ")
}

/// A hazard that some step brings with no message before it.
#[derive(Debug, Clone, PartialEq)]
pub struct Unguarded {
    pub cause: Cause,
    /// What of, in plain words; never empty.
    pub hazards: Vec<&'static str>,
    /// The mark that brings it.
    pub at: Span,
    /// The first condition under which nothing covers it.
    pub choices: Vec<Literal>,
    /// The nearest message in force that would cover it if it spoke of it.
    pub silent: Option<Span>,
    /// Words that would speak of it; never empty.
    pub say: Vec<&'static str>,
}

/// Every hazard with no message before it, in order of the steps.
pub fn unguarded(flow: &Flow) -> Vec<Unguarded> {
    let set = flow.set;
    let mut found = Vec::new();
    for (index, stop) in flow.stops.iter().enumerate() {
        let perils = perils(set, stop);
        if perils.is_empty() {
            continue;
        }
        let messages = in_force(set, flow, index);
        let mut diagrams = Diagrams::new(&flow.variables);
        let mut by_cause: BTreeMap<Cause, Unguarded> = BTreeMap::new();
        for (cause, peril, guard, at) in perils {
            let mut open = diagrams.guard(&guard);
            for message in messages.iter().filter(|m| m.covers(peril)) {
                let covered = diagrams.guard(&message.guard);
                let elsewhere = diagrams.not(covered);
                open = diagrams.and(open, elsewhere);
            }
            let choices = choices(&mut diagrams, open);
            let Some(choices) = choices else { continue };
            let entry = by_cause.entry(cause).or_insert_with(|| Unguarded {
                cause,
                hazards: Vec::new(),
                at,
                choices,
                silent: None,
                say: Vec::new(),
            });
            let silent = messages.iter().rev().find(|m| m.message.level >= peril.least());
            if entry.silent.is_none() {
                entry.silent = silent.map(|silent| silent.message.span);
            }
            for say in peril.row().filter_map(|row| row.say.split('|').next()) {
                if !entry.say.contains(&say) && entry.say.len() < MOST_WORDS {
                    entry.say.push(say);
                }
            }
            if !entry.hazards.contains(&peril.text()) {
                entry.hazards.push(peril.text());
            }
        }
        let mut of_step: Vec<Unguarded> = by_cause.into_values().collect();
        of_step.sort_by_key(|u| u.at);
        found.extend(of_step);
    }
    found
}

fn choices(diagrams: &mut Diagrams, open: Ref) -> Option<Vec<Literal>> {
    if open == NEVER || diagrams.exhausted() {
        return None;
    }
    diagrams.fewest_choices(open)
}

/// A message with the condition under which it is printed.
struct InForce<'a> {
    message: &'a Message,
    guard: Guard,
    /// Its words, as [`spaced`] gives them.
    words: String,
}

impl InForce<'_> {
    fn covers(&self, peril: Peril) -> bool {
        self.message.level >= peril.least() && peril.is_named(&self.words)
    }
}

/// The messages in force when a step is reached.
fn in_force<'a>(set: &'a Set, flow: &Flow<'a>, index: usize) -> Vec<InForce<'a>> {
    let Some(stop) = flow.stops.get(index) else {
        return Vec::new();
    };
    let variables = &flow.variables;
    let of_card = set.procedures.of(stop.procedure).into_iter().flat_map(|p| &p.messages);
    let of_card = of_card.map(|message| InForce {
        message,
        guard: Guard::default().and(variables, &message.only),
        words: text(message),
    });
    let of_phase = stop.phase.messages.iter().map(|message| InForce {
        message,
        guard: flow.phase_guard(stop).and(variables, &message.only),
        words: text(message),
    });
    let same_phase = |s: &&Stop| s.procedure == stop.procedure && s.phase.number == stop.phase.number;
    let before = flow
        .stops
        .iter()
        .take(index + 1)
        .rev()
        .take_while(same_phase)
        .collect::<Vec<_>>();
    let before = before.into_iter().rev();
    let of_steps = before.flat_map(|s| {
        s.step.messages.iter().map(|message| InForce {
            message,
            guard: s.guard.and(variables, &message.only),
            words: text(message),
        })
    });
    of_card.chain(of_phase).chain(of_steps).collect()
}

/// What a step brings, by its marks in order.
fn perils(set: &Set, stop: &Stop) -> Vec<(Cause, Peril, Guard, Span)> {
    let catalogue = &set.catalogue;
    let work = |hazards: &[Hazard]| -> Vec<Peril> { hazards.iter().map(|h| Peril::Work(*h, h.word())).collect() };
    let mut found = Vec::new();
    for event in &stop.events {
        let (cause, perils) = match event.what {
            What::Use(Thing::Consumable(c), _) => {
                let pictograms = catalogue.consumables[c].hazards.iter();
                (
                    Cause::Consumable(c),
                    pictograms.map(|p| Peril::Product(p.value)).collect(),
                )
            }
            What::Use(Thing::Tool(t), _) => {
                let hazards = of_tool(&catalogue.tools[t]);
                (
                    Cause::Tool(t),
                    hazards.iter().map(|(h, what)| Peril::Work(*h, what)).collect(),
                )
            }
            What::Use(Thing::Part(p), _) | What::Item(Item::Part(p), OnItem::Fit(_) | OnItem::Remove(_)) => {
                (Cause::Part(p), work(&catalogue.parts[p].hazards))
            }
            What::Fastener(t, _) => (Cause::Torque(t), work(&catalogue.torques[t].hazards)),
            What::State(s, OnState::Set(_, None)) => (Cause::State(s), work(&catalogue.states[s].hazards)),
            What::Do(a) => (Cause::Action(a), work(&catalogue.actions[a].hazards)),
            // What an action sets is the action's hazard to name.
            What::State(_, OnState::Set(_, Some(_)) | OnState::Need(..))
            | What::Item(Item::Part(_), OnItem::Barred(_))
            | What::Item(Item::Temporary(_), _)
            | What::Use(Thing::Temporary(_), _)
            | What::Timer(..)
            | What::Measure(_)
            | What::Hold(_)
            | What::Work(_)
            | What::Look(_)
            | What::Spread(..)
            | What::Wait(_) => continue,
        };
        found.extend(perils.into_iter().map(|p| (cause, p, event.guard.clone(), event.at)));
    }
    found
}

/// The hazards that an entry brings into a step, each with words that speak of it.
pub fn brought_by(set: &Set, entity: Entity) -> Vec<(&'static str, &'static str)> {
    let catalogue = &set.catalogue;
    let work = |hazards: &[Hazard]| -> Vec<Peril> { hazards.iter().map(|h| Peril::Work(*h, h.word())).collect() };
    let perils = match entity.register {
        Register::Parts => handle(entity).map(|part| work(&catalogue.parts[part].hazards)),
        Register::Torques => handle(entity).map(|torque| work(&catalogue.torques[torque].hazards)),
        Register::States => handle(entity).map(|state| work(&catalogue.states[state].hazards)),
        Register::Actions => handle(entity).map(|action| work(&catalogue.actions[action].hazards)),
        Register::Consumables => handle(entity).map(|consumable| {
            let pictograms = catalogue.consumables[consumable].hazards.iter();
            pictograms.map(|p| Peril::Product(p.value)).collect()
        }),
        Register::Tools => handle(entity).map(|tool| {
            let hazards = of_tool(&catalogue.tools[tool]);
            hazards.iter().map(|(h, what)| Peril::Work(*h, what)).collect()
        }),
        Register::Temporary
        | Register::Limits
        | Register::Timers
        | Register::Holds
        | Register::Options
        | Register::Patterns
        | Register::Joints
        | Register::Cases
        | Register::Groups
        | Register::Pictures => None,
    };
    let say = |peril: Peril| {
        let words = peril.row().find_map(|row| row.say.split('|').next());
        (peril.text(), words.unwrap_or(peril.text()))
    };
    perils.into_iter().flatten().map(say).collect()
}

/// The words of a message, as [`spaced`] gives them.
fn text(message: &Message) -> String {
    let mut out = plain(&message.hazard).into_owned();
    for block in message.consequence.iter().chain(&message.avoid) {
        out.push(' ');
        out.push_str(&plain_block(block));
    }
    spaced(&out)
}

/// The words of a run of prose; marks print as names and are left out.
pub fn plain(inlines: &[Inline]) -> Cow<'_, str> {
    // Most runs are of words alone.
    if let [Inline::Text(text)] = inlines {
        return Cow::Borrowed(text);
    }
    let mut out = String::new();
    for inline in inlines {
        match inline {
            Inline::Text(text) | Inline::Code(text) => out.push_str(text),
            Inline::Strong(inner) | Inline::Emphasis(inner) | Inline::Link { text: inner, .. } => {
                out.push_str(&plain(inner));
            }
            Inline::Mark(_) | Inline::Break => out.push(' '),
        }
    }
    Cow::Owned(out)
}

/// The words of a block.
pub fn plain_block(block: &Block) -> Cow<'_, str> {
    match block {
        Block::Paragraph { text, .. } | Block::Figure { caption: text, .. } => plain(text),
        Block::List { items, .. } => {
            let texts: Vec<Cow<str>> = items.iter().flatten().map(plain_block).collect();
            Cow::Owned(texts.join(" "))
        }
        Block::Code { text, .. } => Cow::Borrowed(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::registers::HAZARDS;

    #[test]
    fn every_hazard_has_words() {
        for (word, _) in HAZARDS {
            assert!(words().iter().any(|row| row.hazard == word), "{word}");
        }
        for pictogram in GhsPictogram::all() {
            assert!(words().iter().any(|row| row.hazard == pictogram.code()), "{pictogram}");
        }
        for row in words() {
            for say in row.say.split('|') {
                let text = spaced(say);
                let peril = words()
                    .iter()
                    .any(|other| other.hazard == row.hazard && other.words.split('|').any(|word| names(word, &text)));
                assert!(peril, "{say}");
            }
        }
    }

    #[test]
    fn words_name_what_they_mean_and_nothing_else() {
        let named = |hazard: Hazard, text: &str| Peril::Work(hazard, "").is_named(&spaced(text));
        assert!(named(Hazard::Electricity, "Battery short-circuit"));
        assert!(named(Hazard::Electricity, "Live parts behind the cover"));
        assert!(!named(Hazard::Electricity, "Sharp edges: they cut the liver"));
        assert!(named(Hazard::Lifting, "A pump of 40 kg"));
        assert!(!named(Hazard::Eyes, "Oil on the face of the flange"));
        assert!(!named(Hazard::Rotation, "Look before you begin; the shaft is soft"));
        let petrol = GhsPictogram::parse("GHS02").map(Peril::Product).unwrap();
        assert!(petrol.is_named(&spaced("Petrol vapour")));
        assert!(!petrol.is_named(&spaced("Sharp edges")));
        let gas = GhsPictogram::parse("GHS04").map(Peril::Product).unwrap();
        assert!(!gas.is_named(&spaced("The gasket sticks")));
    }
}
