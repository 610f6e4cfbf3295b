//! The syntax tree of a procedure's body, and what the registers hold: what was written, where, before anybody asks what the ids mean.

pub mod documents;
pub mod heads;
pub mod registers;
mod drawn;
mod side;
pub mod ties;
mod verb;

pub use verb::Verb;

use crate::domain::amount::Amount;
use crate::domain::timer::Duration;
use crate::source::Span;
use serde::{Serialize, Serializer};
use ties::{If, Need, PerMember};

/// A word with its place: an id, a value, a reference.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Name {
    pub text: String,
    pub span: Span,
}

/// A value with the place where it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct At<T> {
    pub value: T,
    pub span: Span,
}

/// A value with the words it was written in, which a card prints.
#[derive(Debug, Clone, PartialEq)]
pub struct Worded<T> {
    pub value: T,
    pub word: Name,
}

/// The Markdown of one procedure.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Body {
    /// Prose before the first heading.
    pub intro: Vec<Block>,
    /// Messages before the first heading: they cover the card.
    pub messages: Vec<Message>,
    pub phases: Vec<Phase>,
    /// Words that are read as something else than they were meant for; they have had their finding.
    pub lost: Vec<Span>,
}

/// A heading and what stands under it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Phase {
    /// Empty for steps before the first heading.
    pub title: Vec<Inline>,
    pub span: Span,
    pub only: Vec<Only>,
    pub ifs: Vec<If>,
    pub each: Option<PerMember>,
    /// Messages between the heading and its first step: they cover the phase.
    pub messages: Vec<Message>,
    pub intro: Vec<Block>,
    pub runs: Vec<Run>,
}

impl Phase {
    /// The steps, in written order.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.runs.iter().flat_map(|r| &r.steps)
    }
}

/// Consecutive steps of one list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Run {
    /// True for a bullet list.
    pub any_order: bool,
    pub steps: Vec<Step>,
}

/// A top-level list item.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    pub span: Span,
    pub only: Vec<Only>,
    pub ifs: Vec<If>,
    pub each: Option<PerMember>,
    /// Messages that guard this step, in written order.
    pub messages: Vec<Message>,
    pub text: Vec<Block>,
    /// True if the sub-steps are bullets.
    pub any_order: bool,
    pub substeps: Vec<SubStep>,
}

impl Step {
    /// Every mark of the step and its sub-steps, in written order.
    pub fn marks(&self) -> Vec<&Mark> {
        let mut out = marks(&self.text);
        for sub in &self.substeps {
            out.extend(marks(&sub.text));
        }
        out
    }
}

/// A nested item.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SubStep {
    pub span: Span,
    pub only: Vec<Only>,
    pub text: Vec<Block>,
}

/// Level of a message. Ordered, least severe first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    Note,
    Notice,
    Caution,
    Warning,
    Danger,
}

/// The tags a block quote may start with.
pub const LEVELS: [(&str, Level); 5] = [
    ("DANGER", Level::Danger),
    ("WARNING", Level::Warning),
    ("CAUTION", Level::Caution),
    ("NOTICE", Level::Notice),
    ("NOTE", Level::Note),
];

/// A tagged block quote.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Message {
    pub span: Span,
    pub level: Level,
    pub only: Vec<Only>,
    /// The rest of the tag's line.
    pub hazard: Vec<Inline>,
    pub consequence: Vec<Block>,
    /// What follows `Avoid:`.
    pub avoid: Vec<Block>,
}

/// A block of prose. `M` is what a mark is: as written here, bound to what it points at in the model.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Block<M = Mark> {
    Paragraph {
        span: Span,
        text: Vec<Inline<M>>,
    },
    Figure {
        span: Span,
        path: Name,
        caption: Vec<Inline<M>>,
    },
    List {
        ordered: bool,
        items: Vec<Vec<Block<M>>>,
    },
    Code {
        span: Span,
        text: String,
    },
}

/// A run of prose.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Inline<M = Mark> {
    Text(String),
    Strong(Vec<Inline<M>>),
    Emphasis(Vec<Inline<M>>),
    Code(String),
    Link {
        text: Vec<Inline<M>>,
        url: String,
    },
    /// Kept apart: most runs are of words, and a mark takes thrice their room.
    Mark(Box<M>),
    /// A line break the author asked for.
    Break,
}

/// Puts something else in the place of every mark, in written order; a mark for which there is nothing goes.
pub fn bind_blocks<M, N>(blocks: Vec<Block<M>>, bind: &mut impl FnMut(M) -> Option<N>) -> Vec<Block<N>> {
    let one = |block| match block {
        Block::Paragraph { span, text } => Block::Paragraph {
            span,
            text: bind_inlines(text, bind),
        },
        Block::Figure { span, path, caption } => Block::Figure {
            span,
            path,
            caption: bind_inlines(caption, bind),
        },
        Block::List { ordered, items } => Block::List {
            ordered,
            items: items.into_iter().map(|blocks| bind_blocks(blocks, bind)).collect(),
        },
        Block::Code { span, text } => Block::Code { span, text },
    };
    blocks.into_iter().map(one).collect()
}

/// The same in a run of prose.
pub fn bind_inlines<M, N>(inlines: Vec<Inline<M>>, bind: &mut impl FnMut(M) -> Option<N>) -> Vec<Inline<N>> {
    let one = |inline| {
        Some(match inline {
            Inline::Text(text) => Inline::Text(text),
            Inline::Strong(text) => Inline::Strong(bind_inlines(text, bind)),
            Inline::Emphasis(text) => Inline::Emphasis(bind_inlines(text, bind)),
            Inline::Code(text) => Inline::Code(text),
            Inline::Link { text, url } => Inline::Link {
                text: bind_inlines(text, bind),
                url,
            },
            Inline::Mark(mark) => Inline::Mark(Box::new(bind(*mark)?)),
            Inline::Break => Inline::Break,
        })
    };
    inlines.into_iter().filter_map(one).collect()
}

/// A bracketed mark.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mark {
    /// Both brackets included.
    pub span: Span,
    pub kind: MarkKind,
}

/// What a mark says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkKind {
    Torque(Name),
    Snug(Name),
    Loosen(Name),
    /// A reading; true for one that is only written down (`as-found`).
    Measure(Name, bool),
    Fit(Name, Option<u32>),
    Remove(Name, Option<u32>),
    /// A thing, how much of it, and the joint or torque it goes on.
    Use(
        Name,
        #[serde(serialize_with = "perhaps_in_words")] Option<Amount>,
        Option<Name>,
    ),
    Need(Need),
    Set(Name, Name),
    Do(Name),
    Start(Name),
    End(Name),
    Hold(Name),
    Label(Name),
    /// Points at a labelled step; in another procedure if one is named.
    Step(Option<Name>, Name),
    See(Name),
    Time(#[serde(serialize_with = "in_words")] Duration),
    Only(Only),
    /// Until a consumable has cured.
    Wait(Name),
    /// How a part sits is marked.
    Mark(Name),
    Each(PerMember),
    If(If),
    /// Back to a labelled step of this procedure.
    Repeat(Name),
    /// The job ends here.
    Stop,
}

/// `[only OPTION=VALUE|VALUE]`: applies if the option has one of the values.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Only {
    pub option: Name,
    pub values: Vec<Name>,
}

/// Every mark in these blocks, in written order.
pub fn marks(blocks: &[Block]) -> Vec<&Mark> {
    let mut out = Vec::new();
    for block in blocks {
        collect(block, &mut out);
    }
    out
}

fn collect<'a>(block: &'a Block, out: &mut Vec<&'a Mark>) {
    match block {
        Block::Paragraph { text, .. } | Block::Figure { caption: text, .. } => inline_marks(text, out),
        Block::List { items, .. } => items.iter().flatten().for_each(|b| collect(b, out)),
        Block::Code { .. } => {}
    }
}

/// Every mark in a run of prose, in written order.
pub fn inline_marks<'a>(inlines: &'a [Inline], out: &mut Vec<&'a Mark>) {
    for inline in inlines {
        match inline {
            Inline::Mark(mark) => out.push(mark),
            Inline::Strong(text) | Inline::Emphasis(text) | Inline::Link { text, .. } => inline_marks(text, out),
            Inline::Text(_) | Inline::Code(_) | Inline::Break => {}
        }
    }
}

/// True for what an id may hold.
pub fn is_id_char(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '-' | '_' | '.')
}

/// True if a text can be an id.
pub fn is_id(text: &str) -> bool {
    text.starts_with(char::is_alphanumeric) && text.chars().all(is_id_char)
}

fn in_words<S: Serializer>(value: &Duration, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

fn perhaps_in_words<S: Serializer>(value: &Option<Amount>, serializer: S) -> Result<S::Ok, S::Error> {
    value.as_ref().map(ToString::to_string).serialize(serializer)
}
