//! What the rules on the ledger and on safety read, and the phrases they share.

use super::hazards::{self, Unguarded};
use super::ledger::{Fault, How, Ledger};
use super::walk::Flow;
use super::walk::guard::Literal;
use crate::finding::listed;
use crate::finding::{Finding, Rule};
use crate::model::{Item, Set, assigned};

/// Everything worked out about a set before its rules run.
pub struct Walked<'a> {
    pub set: &'a Set,
    pub flow: Flow<'a>,
    pub ledger: Ledger,
    pub unguarded: Vec<Unguarded>,
}

impl<'a> Walked<'a> {
    pub fn new(flow: Flow<'a>) -> Walked<'a> {
        Walked {
            set: flow.set,
            ledger: Ledger::new(&flow),
            unguarded: hazards::unguarded(&flow),
            flow,
        }
    }

    /// The choices that bring something about, to end a sentence with: ``, with `seals=renew` and `joint=sealant` ``.
    pub fn when(&self, choices: &[Literal]) -> String {
        let words: Vec<String> = choices
            .iter()
            .map(|l| format!("`{}`", self.flow.variables.words(*l)))
            .collect();
        match words.as_slice() {
            [] => String::new(),
            [one] => format!(", with {one}"),
            [first @ .., last] => format!(", with {} and {last}", first.join(", ")),
        }
    }

    /// The finding of a fault: the message, the choices, and every place.
    pub fn tell(&self, rule: &'static Rule, fault: &Fault, message: &str) -> Finding {
        let mut finding = Finding::new(rule, fault.at, format!("{message}{}", self.when(&fault.choices)));
        if let Some(since) = fault.since {
            finding = finding.also(since.at, how(since.how));
        }
        match fault.end {
            Some(end) => finding.also(end, "the set ends here"),
            None => finding,
        }
    }

    /// The finding of a hazard without a message, with what to do about it.
    pub fn unguarded(&self, rule: &'static Rule, unguarded: &Unguarded, message: &str) -> Finding {
        let finding = Finding::new(
            rule,
            unguarded.at,
            format!("{message}{}", self.when(&unguarded.choices)),
        );
        let say = listed(&unguarded.say, "or");
        match unguarded.silent {
            Some(silent) => finding
                .also(silent, "this message doesn't speak of it")
                .help(format!("say it there, with a word such as {say}, or put a message of its own before the step")),
            None => finding.help(format!(
                "put a `[!CAUTION]` or `[!WARNING]` before the step or under its heading that names it, with a word such as {say}"
            )),
        }
    }

    /// The id of an item.
    pub fn item(&self, item: Item) -> &'a str {
        match item {
            Item::Part(part) => &self.set.catalogue.parts.get(part).id.text,
            Item::Temporary(item) => &self.set.catalogue.temporary.get(item).id.text,
        }
    }

    /// A state's id and the word of one of its values: `power=live`.
    pub fn state(&self, state: crate::model::Handle<crate::model::registers::State>, value: usize) -> String {
        let def = self.set.catalogue.states.get(state);
        let word = def.value.values.get(value).map_or("", |v| v.text.as_str());
        assigned(&def.id.text, word)
    }
}

fn how(how: How) -> &'static str {
    match how {
        How::AtStart => "how it is at the start",
        How::Fitted => "fitted here",
        How::Removed => "taken off here",
        How::Loosened => "loosened here",
        How::Snugged => "started by hand here",
        How::Set => "set here",
        How::Started => "started here",
        How::Used => "used here",
    }
}
