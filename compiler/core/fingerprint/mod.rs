//! The fingerprint: a short check code of what a card means, printed on it and in its QR code. The same meaning has the same code,
//! however it is written and laid out; another value, word, order or message has another.
//!
//! ```text
//! procedure, choices ─▶ meaning ─▶ SHA-256 ─▶ its first 35 bits as 7 characters, and 1 that checks them: `WD47-9V4K`
//! ```

mod code;

pub use code::{Code, Misread};

use crate::cards;
use crate::check::Facts;
use crate::meaning::{Act, Entry, Field, Meaning, Message, SetMeaning, Words};
use crate::model::{Choices, Set};
use crate::source::FileSet;
use sha2::{Digest as _, Sha256};

/// Changes when what is hashed or how changes: codes of another version say nothing about this one's.
const VERSION: &str = "benchleaf meaning 1";

/// A whole digest, for comparing without any doubt.
pub type Digest = [u8; 32];

/// The code of each card of a set for these choices, in the set's order.
pub fn of_cards(files: &FileSet, set: &Set, facts: &Facts, choices: &Choices) -> Vec<Code> {
    let whole = SetMeaning::new(files, set, facts);
    let code = |position| Code::of(&digest(&whole, &whole.card(position, choices)));
    (0..set.procedures.len()).map(code).collect()
}

/// Most combinations of choices that one card is looked at for.
const MOST_COMBINATIONS: usize = 256;

/// A card that can be printed, with its code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printable {
    /// Place of the procedure in the set's order.
    pub position: usize,
    /// Option and value, for every option that the card depends on.
    pub choices: Vec<(String, String)>,
    pub code: Code,
}

/// Every card of a set, for every combination of the choices it depends on (up to 256 a card, the defaults first).
pub fn of_set(files: &FileSet, set: &Set, facts: &Facts) -> Vec<Printable> {
    let whole = SetMeaning::new(files, set, facts);
    let mut found = Vec::new();
    for position in 0..set.procedures.len() {
        found.extend(of_procedure(&whole, set, position));
    }
    found
}

/// The cards of one procedure, as [`of_set`] has them.
pub fn of_procedure(whole: &SetMeaning, set: &Set, position: usize) -> Vec<Printable> {
    let card = |choices: Choices| {
        let chosen = cards::chosen(set, position, &choices);
        Printable {
            position,
            choices: chosen.into_iter().map(|c| (c.option, c.value)).collect(),
            code: Code::of(&digest(whole, &whole.card(position, &choices))),
        }
    };
    combinations(set, position).into_iter().map(card).collect()
}

/// Every combination of the options that a card depends on.
fn combinations(set: &Set, position: usize) -> Vec<Choices> {
    let defaults = Choices::defaults(&set.catalogue);
    let mut all = vec![defaults.clone()];
    for choice in cards::chosen(set, position, &defaults) {
        let options = set
            .catalogue
            .options
            .iter()
            .filter(|(_, def)| def.id.text == choice.option);
        let mut values: Vec<&str> = options
            .flat_map(|(_, d)| d.value.values.iter().map(|(v, _)| v.text.as_str()))
            .collect();
        values.sort_by_key(|value| *value != choice.value);
        values.dedup();
        let with = |base: &Choices, value: &&str| {
            let mut choices = base.clone();
            choices
                .choose(&set.catalogue, &choice.option, value)
                .ok()
                .map(|_| choices)
        };
        let spread = all
            .iter()
            .flat_map(|base| values.iter().filter_map(move |value| with(base, value)));
        all = spread.take(MOST_COMBINATIONS).collect();
    }
    all
}

/// Everything that a meaning holds, hashed.
pub fn digest(whole: &SetMeaning, meaning: &Meaning) -> Digest {
    let mut sink = Sink(Sha256::new());
    sink.text(VERSION);
    for fields in [&meaning.head.of_set, &meaning.head.own] {
        sink.fields(fields);
    }
    sink.words(&meaning.intro);
    sink.messages(&meaning.messages);
    sink.list(&meaning.phases, |sink, phase| {
        sink.number(phase.number);
        sink.text(&phase.title);
        sink.text(&phase.only);
        sink.words(&phase.intro);
        sink.messages(&phase.messages);
    });
    sink.list(&meaning.steps, |sink, step| {
        sink.text(step.number);
        sink.number(step.phase);
        sink.number(usize::from(step.any_order));
        sink.text(&step.only);
        sink.words(&step.words);
        sink.messages(&step.messages);
        sink.acts(&step.acts, meaning);
        sink.list(&step.substeps, |sink, sub| {
            sink.text(&sub.only);
            sink.words(&sub.words);
            sink.acts(&sub.acts, meaning);
        });
    });
    let entries: Vec<&Entry> = meaning.entries.iter().filter_map(|e| whole.entries.get(e)).collect();
    sink.list(&entries, |sink, entry| {
        sink.text(entry.register.field());
        sink.fields(&entry.fields);
    });
    sink.list(&meaning.choices, |sink, choice| sink.text(choice));
    sink.list(&meaning.left_out, |sink, number| sink.text(number));
    sink.0.finalize().into()
}

/// Takes texts with their lengths before them, so that no two lists run together into the same bytes.
struct Sink(Sha256);

impl Sink {
    fn number(&mut self, number: usize) {
        self.0.update((number as u64).to_le_bytes());
    }

    fn text(&mut self, text: &str) {
        self.number(text.len());
        self.0.update(text.as_bytes());
    }

    fn list<T>(&mut self, items: &[T], mut put: impl FnMut(&mut Self, &T)) {
        self.number(items.len());
        items.iter().for_each(|item| put(self, item));
    }

    fn words(&mut self, words: &Words) {
        self.text(&words.text);
        self.list(&words.pictures, |sink, picture| sink.text(picture));
    }

    fn fields(&mut self, fields: &[Field]) {
        self.list(fields, |sink, field| {
            sink.text(field.name);
            sink.text(&field.value.canon);
        });
    }

    fn messages(&mut self, messages: &[Message]) {
        self.list(messages, |sink, message| {
            sink.number(message.level as usize);
            sink.text(&message.only);
            sink.text(&message.hazard);
            sink.words(&message.consequence);
            sink.words(&message.avoid);
        });
    }

    /// Entries are named by their place in the list of those used, since ids are the author's own affair.
    fn acts(&mut self, acts: &[Act], meaning: &Meaning) {
        self.list(acts, |sink, act| {
            sink.text(act.verb);
            let place = act
                .entity
                .and_then(|entity| meaning.entries.iter().position(|e| *e == entity));
            sink.number(place.map_or(0, |p| p + 1));
            sink.text(&act.detail.canon);
        });
    }
}
