//! What the rules on the ledger and on safety read, and the phrases they share.

use super::calc::CalcFacts;
use super::hazards::{self, Unguarded};
use super::ledger::{Fault, How, Ledger};
use super::machine;
use super::walk::Flow;
use super::walk::guard::Literal;
use crate::finding::listed;
use crate::finding::{Finding, Rule};
use crate::model::registers::{Part, Timer};
use crate::model::{Act, ActKind, Entity, Handle, Item, Set, assigned};
use crate::source::Span;

/// Everything worked out about a set before its rules run.
pub struct Walked<'a> {
    pub set: &'a Set,
    pub flow: Flow<'a>,
    pub ledger: Ledger,
    pub unguarded: Vec<Unguarded>,
    /// Where something is worked out above one of its readings, in the order of the text.
    pub late: Vec<Span>,
    reordered: &'static Rule,
}

impl<'a> Walked<'a> {
    /// `reordered` is the rule of what only another order brings about.
    pub fn new(flow: Flow<'a>, calcs: &CalcFacts, reordered: &'static Rule) -> Walked<'a> {
        Walked {
            reordered,
            set: flow.set,
            ledger: machine::explore(&flow, calcs),
            unguarded: hazards::unguarded(&flow),
            late: calcs.late.iter().map(|late| late.at).collect(),
            flow,
        }
    }

    /// The choices that bring something about, to end a sentence with: ``, with `seals=renew` and `joint=sealant` ``.
    pub fn when(&self, choices: &[Literal]) -> String {
        let words: Vec<String> = choices
            .iter()
            .map(|l| format!("`{}`", self.ledger.variables.words(*l)))
            .collect();
        match words.as_slice() {
            [] => String::new(),
            [one] => format!(", with {one}"),
            [first @ .., last] => format!(", with {} and {last}", first.join(", ")),
        }
    }

    /// The finding of a fault: the message, the choices, and every place.
    pub fn tell(&self, rule: &'static Rule, fault: &Fault, message: &str) -> Finding {
        let when = self.when(&fault.choices);
        let mut finding = match fault.reordered {
            false => Finding::new(rule, fault.at, format!("{message}{when}")),
            true => Finding::new(
                self.reordered,
                fault.at,
                format!("in an order that this set allows, {message}{when}"),
            ),
        };
        for since in fault.since.iter().chain(&fault.more) {
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
                .help(format!("say it there, with a word such as {say}, or write a message of its own above the step")),
            None => finding.help(format!(
                "write one above the step or under its heading, `> [!WARNING] …` or `> [!CAUTION] …`, with a word such as {say} in it"
            )),
        }
    }

    /// The other mark of a wait whose start and end stand in one step, where one of them stands here.
    pub fn ends_where_it_starts(&self, timer: Handle<Timer>, here: Span) -> Option<Span> {
        let steps = self.set.procedures.iter().flat_map(|procedure| procedure.steps());
        let mut all = steps.flat_map(|(_, step)| {
            let substeps = step.substeps.iter().map(|sub| sub.acts.as_slice());
            std::iter::once(step.acts.as_slice()).chain(substeps)
        });
        let acts = all.find(|acts| acts.iter().any(|act| act.span == here))?;
        let is_start = |act: &&Act| act.kind == ActKind::Start(timer);
        let is_end = |act: &&Act| act.kind == ActKind::End(timer);
        let (start, end) = (acts.iter().find(is_start)?, acts.iter().find(is_end)?);
        Some(if start.span == here { end.span } else { start.span })
    }

    /// The id of an entry.
    pub fn id(&self, entity: Entity) -> &'a str {
        self.set.catalogue.id(entity).map_or("", |id| id.text.as_str())
    }

    /// The id of a part.
    pub fn part(&self, part: Handle<Part>) -> &'a str {
        self.id(part.entity())
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
        How::Unsaid => "declared without a `start`",
        How::Fitted => "fitted here",
        How::Removed => "taken off here",
        How::Loosened => "loosened here",
        How::Snugged => "started by hand here",
        How::Set => "set here",
        How::Started => "started here",
        How::Used => "used here",
        How::Tightened => "tightened here",
        How::Measured => "measured here",
        How::Done => "done here",
        How::Marked => "marked here",
        How::Waited => "waited for here",
        How::Ends => "as far as here",
        How::Needs => "needed here",
    }
}
