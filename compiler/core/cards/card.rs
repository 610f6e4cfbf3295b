//! The card as plain data: what a template gets. Every text here is ready to print (figures with their units, names in full), no
//! field holds markup of any kind, and everything is serialisable. `templates/README.md` lists the same fields for template authors.

pub use super::further::Further;
pub use super::members::Members;
pub use super::pointed::{Pointed, Pointer};
pub use super::text::{Block, Inline, Message, Picture, Signal};
use super::value::Value;
use crate::fingerprint::{Kind, leaf};
use crate::source::Span;
use crate::words::{Phrase, Tag};

pub use super::between::{Standing, StandingRow};
pub use super::counted::{Count, Counted, How, PhaseEnd};
pub use super::drawn::{Drawing, Landmark, Landmarks, Pattern, Position};
pub use super::spec::{Hold, ItemAct, Measurement, Pass, Spec, Stage, Timer, Torque, UseKind};
pub use super::step_at::StepAt;

leaf! {
    /// One work card: a procedure for one set of option choices.
    pub struct Card {
        /// What every leaf says at its head and foot.
        says identity: Identity,
        /// What is read before step 1.
        says cover: Cover,
        /// How the machine stands when the card begins, as far as earlier cards changed it.
        says carried_in: Standing,
        /// The work, in order.
        says phases: Vec<Phase>,
        /// How the machine stands when the card ends.
        says carried_out: Standing,
        /// Every fastener tightened on this card, in order of first use: gathered for others, printed at the steps alone.
        exempt(Repeated) torques: Vec<Torque>,
        /// Every measurement taken on this card, in order of first use: gathered for others, printed at the steps alone.
        exempt(Repeated) measurements: Vec<Measurement>,
        /// Every bolt pattern used on this card.
        says patterns: Vec<Pattern>,
        /// Every hold point on this card: gathered for others, printed behind its step alone.
        exempt(Repeated) holds: Vec<Hold>,
    }
}

impl Kind for Card {
    const NAME: &'static str = "card";
}

leaf! {
    /// Who the card is.
    pub struct Identity {
        /// Folder name of the set.
        exempt(Span) set: String,
        /// The set's title.
        says set_title: String,
        /// The machine or assembly.
        says machine: String,
        /// Id of the procedure.
        exempt(Span) procedure: String,
        /// Title of the procedure; of another leaf what it is.
        says title: Phrase,
        /// Place in the set's order, from 1.
        exempt(Number) position: usize,
        /// Cards in the set.
        exempt(Number) of: usize,
        /// Revision as written; empty if none.
        exempt(Revision) rev: String,
        /// ISO date as written; empty if none.
        exempt(Date) date: String,
        /// Where the data comes from; empty if not said.
        says source: String,
        /// True until a walk-through is recorded.
        exempt(Draft) draft: bool,
        /// The choices this card was printed for (only options that the card depends on).
        says choices: Vec<Chosen>,
        /// BCP 47 language of the text.
        says language: Tag,
        /// `a4`, `letter`, `a5` or `half-letter`.
        exempt(Paper) paper: String,
        /// It says what no commit does: printed from edits that may be gone tomorrow.
        exempt(Revision) uncommitted: bool,
    }
}

leaf! {
    /// One option as chosen, as the head of a leaf names it.
    pub struct Chosen {
        says option: String,
        says value: String,
        /// True for the value that is taken where nobody chooses: files are named by the others.
        exempt(Argument) default: bool,
    }
}

leaf! {
    /// The same as the cover tells it.
    pub struct Choice {
        /// What the option decides, in words.
        says what: String,
        says value: String,
        /// Why one would choose this value; empty if not said.
        says why: String,
        /// True for the value that is taken where nobody chooses.
        exempt(Argument) default: bool,
        exempt(Span) option: String,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

impl From<&Choice> for Chosen {
    fn from(choice: &Choice) -> Chosen {
        Chosen {
            option: choice.option.clone(),
            value: choice.value.clone(),
            default: choice.default,
        }
    }
}

leaf! {
    /// The head of the card.
    pub struct Cover {
        says about: Vec<Block>,
        /// The choices in words.
        says choices: Vec<Choice>,
        /// Procedures that come first.
        says after: Vec<CardRef>,
        /// Most severe signal word on the card.
        says worst: Option<Signal>,
        /// Safety messages of the whole card: most severe first, one row per hazard, with the steps they guard.
        says hazards: Vec<HazardRow>,
        /// Messages that cover the whole card, printed in full before step 1.
        says messages: Vec<Message>,
        says parts: Vec<KitRow>,
        says temporary: Vec<KitRow>,
        says consumables: Vec<KitRow>,
        says tools: Vec<KitRow>,
        /// Sum of the hands-on times, `1 h 25 min`; empty if no step gives one.
        says hands_on: Phrase,
        /// Steps that give a time: the sum tells nothing of the others.
        says timed: usize,
        /// Waits and windows on this card.
        says timers: Vec<Timer>,
        /// The revision that the change bars are from, `v1.2 (3f2a91c)`; empty if none is asked for.
        exempt(ChangeMark) changed_since: String,
        /// What changed since then, most serious first.
        exempt(ChangeMark) changes: Vec<Change>,
        /// Steps not printed for this choice: number and the choice they belong to.
        says left_out: Vec<LeftOut>,
        says steps: usize,
    }
}

leaf! {
    /// A change since an earlier revision.
    pub struct Change {
        /// True if it matters for safety: printed first and loud.
        exempt(ChangeMark) loud: bool,
        /// What kind of change, `value`, `step moved`, `WEAKENED`; may be empty.
        exempt(ChangeMark) kind: Phrase,
        /// What changed, where it stands included.
        exempt(ChangeMark) text: Phrase,
    }
}

leaf! {
    /// Points at another card.
    pub struct CardRef {
        exempt(Span) procedure: String,
        says title: String,
        exempt(Number) position: usize,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

leaf! {
    /// A hazard on the cover.
    pub struct HazardRow {
        says signal: Signal,
        says hazard: Phrase,
        /// Numbers of the steps, `2.3`; empty when it covers the card or a phase (`Phase 2`).
        says at: Vec<Phrase>,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

leaf! {
    /// One line of what to lay out.
    pub struct KitRow {
        exempt(Span) id: String,
        says name: String,
        /// Count or amount, ready to print; empty if not said.
        says amount: Value,
        /// Part number, range, colour flag or what else tells it apart.
        says detail: Phrase,
        /// True for a part that is new each time.
        says single_use: bool,
        /// GHS pictogram codes (`GHS02`), consumables only.
        says ghs: Vec<String>,
        /// Numbers of the steps that need it.
        says steps: Vec<String>,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

leaf! {
    /// A step that this choice leaves out.
    pub struct LeftOut {
        says number: Phrase,
        /// `seals = renew`
        says only: Phrase,
        /// Where it is missed: behind the step of this number, `1.2`, or below the heading of the phase of this number, `3`; empty for
        /// the end of the card.
        exempt(Repeated) missed: String,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

leaf! {
    /// A heading and what stands under it.
    pub struct Phase {
        /// From 1, stable whatever is left out.
        says number: usize,
        /// Empty for work before the first heading.
        says title: Vec<Inline>,
        /// Messages that cover the phase.
        says messages: Vec<Message>,
        says intro: Vec<Block>,
        says runs: Vec<Run>,
        /// What stands behind its last step.
        says end: PhaseEnd,
        /// Where it is written, as on everything below; none on a card that no text stands behind.
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

leaf! {
    /// Consecutive steps of one kind.
    pub struct Run {
        /// Bullets rather than an order.
        says any_order: bool,
        says steps: Vec<Step>,
    }
}

leaf! {
    /// One step: never split, never parted from its messages.
    pub struct Step {
        /// `2.3`
        says number: String,
        /// Before the step, most severe first.
        says messages: Vec<Message>,
        says text: Vec<Block>,
        says specs: Vec<Spec>,
        says substeps: Vec<SubStep>,
        /// The members of a group that it is done for, a box for each; empty for a step that is done once.
        says members: Members,
        /// Hands-on time, `10 min`; empty if not said.
        says time: Value,
        /// Hold points that stand after the step and before the next.
        says holds: Vec<Hold>,
        /// Changed since the revision that the change bars are from.
        exempt(ChangeMark) changed: bool,
        /// True if nothing is open after this step: work may stop here for the day.
        says safe_stop: bool,
        /// What is open after this step, in words, where work must not stop: `window: close the joint`.
        says open: Vec<Phrase>,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}

leaf! {
    /// A nested item.
    pub struct SubStep {
        /// `a`, `b` …
        says letter: String,
        says text: Vec<Block>,
        says specs: Vec<Spec>,
        /// As of its step.
        says members: Members,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}
