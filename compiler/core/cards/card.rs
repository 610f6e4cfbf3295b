//! The card as plain data: what a template gets. Every text here is ready to print (figures with their units, names in full), no
//! field holds markup of any kind, and everything is serialisable. `templates/README.md` lists the same fields for template authors.

pub use super::further::Further;
pub use super::members::Members;
pub use super::pointed::{Pointed, Pointer};
use super::setting::SetTo;
pub use super::text::{Block, Inline, Message, Picture, Signal};
use super::value::Value;
use crate::fingerprint::{Kind, leaf};
use crate::source::Span;
use crate::words::{Phrase, Tag};

pub use super::between::{Standing, StandingRow};
pub use super::counted::{Count, Counted, How, PhaseEnd};
pub use super::drawn::{Drawing, Landmark, Landmarks, Pattern, Position};
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
    }
}

leaf! {
    /// A hazard on the cover.
    pub struct HazardRow {
        says signal: Signal,
        says hazard: Phrase,
        /// Numbers of the steps, `2.3`; empty when it covers the card or a phase (`Phase 2`).
        says at: Vec<Phrase>,
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

leaf! {
    /// What a mark prints under its step. A line that could only repeat the sentence is left out.
    #[allow(clippy::large_enum_variant, reason = "few are held at once, and each is read where it stands")]
    #[serde(tag = "kind", rename_all = "kebab-case")]
    pub enum Spec {
        /// Tighten to the figure: stages with boxes.
        Torque(Torque),
        /// Started by hand; `name`, `count`.
        Snug { says name: String, says count: usize },
        /// Broken loose; `name`, `count`, and in which `order`, where a pattern says it.
        Loosen { says name: String, says count: usize, says order: Further },
        /// Limits and write-in boxes.
        Measure(Measurement),
        /// Part or temporary item on or off. `temporary` items carry their flag colour in `detail`.
        Item {
            says act: ItemAct,
            says name: String,
            says count: usize,
            says temporary: bool,
            says single_use: bool,
            says detail: String,
        },
        /// Tool, consumable or part used, with its amount (ready to print; may be empty).
        Use {
            says what: UseKind,
            says name: String,
            says amount: Value,
            says detail: Phrase,
            says ghs: Vec<String>,
        },
        /// The machine must be so.
        Need { says state: String, says value: Phrase },
        /// The machine is so from here.
        Set { says state: String, says value: String },
        /// Declared action, with what it needs and forbids in words.
        Do {
            says name: String,
            says needs: Vec<Phrase>,
            says never_with: Vec<String>,
            /// What its author noted of it; may be empty.
            says note: String,
        },
        /// Write the time, and for a window when it must be closed.
        TimerStart(Timer),
        /// Write the time.
        TimerEnd(Timer),
    }
}

leaf! {
    #[derive(Copy, Eq)]
    #[serde(rename_all = "lowercase")]
    pub enum ItemAct {
        Fit,
        Remove,
    }
}

leaf! {
    #[derive(Copy, Eq)]
    #[serde(rename_all = "lowercase")]
    pub enum UseKind {
        Tool,
        Consumable,
        Part,
        Temporary,
    }
}

leaf! {
    /// A tightening spec, as printed in the step and in the table.
    pub struct Torque {
        exempt(Span) id: String,
        says name: String,
        /// `M8x1.25 8.8`; empty if not said.
        says fastener: Value,
        /// How many; 1 if not said.
        says count: usize,
        says stages: Vec<Stage>,
        /// `± 10 %`; empty if not said.
        says tolerance: Value,
        /// `threads oiled, face dry`; empty if not said.
        says lubrication: Value,
        /// Tapped material and engagement; empty if not said.
        says into: Value,
        /// `50 mm at 0°`; empty if none.
        says adapter: Value,
        /// Id of the pattern in `Card::patterns`; empty if none.
        exempt(Span) pattern: String,
        /// Its name; empty if none.
        says pattern_name: String,
        /// Name of the wrench asked for; empty if none.
        says tool: String,
        /// New fasteners each time.
        says single_use: bool,
        exempt(Repeated) left_hand: bool,
        /// How the thread is before it is tightened: `thread dry, blind hole`; empty if not said.
        says thread: Further,
        says note: String,
        says steps: Vec<StepAt>,
        /// Changed since the revision that the change bars are from.
        exempt(ChangeMark) changed: bool,
    }
}

leaf! {
    /// One stage of tightening.
    pub struct Stage {
        /// The author's figure, canonical unit: `20 N·m`, `+90°`.
        says figure: Value,
        /// The house's second unit: `15 lbf·ft`; empty if the same or an angle.
        says second: Phrase,
        /// Tick boxes for this stage, or for each of its passes: one for each fastener, as many as can be told apart; at least 1.
        says boxes: usize,
        /// The members of a group that have these boxes each; empty where it is done once.
        says members: Members,
        /// The passes of the pattern, each with all the boxes; empty where one is the stage itself.
        says passes: Vec<Pass>,
        /// What the wrench is set to, on its own scale and in its own unit: `22 lbf·ft`; empty for an angle, or where no tool is known.
        says setting: SetTo,
        /// What there is to say about the setting: how far the scale is off the figure, what an adapter changes; may be empty.
        says setting_note: Phrase,
    }
}

leaf! {
    /// One pass of a pattern over a stage.
    pub struct Pass {
        /// The share of the figure: `30 %`.
        says share: String,
        /// The torque at the fastener, in the author's unit: `6.0 N·m`.
        says figure: Phrase,
        /// What the wrench is set to for it, on its own scale, in its own unit and with its adapter: `4.5 lbf·ft`; empty where no tool is
        /// known.
        says setting: SetTo,
        /// The tool, where it isn't the stage's own, and how far the scale is off; may be empty.
        says note: Phrase,
        /// As of its stage.
        says boxes: usize,
        /// As of its stage.
        says members: Members,
    }
}

leaf! {
    /// A measurement, as printed in the step and on the sheet.
    pub struct Measurement {
        exempt(Span) id: String,
        says name: String,
        /// The author's limit, canonical units: `41.2 to 41.9 mm`.
        says limit: Value,
        /// In the house's second unit, rounded inward; empty if none.
        says second: Phrase,
        /// For a fit or a tolerance, the limits in figures: `30.000 to 30.021 mm`; empty if `limit` says it already.
        says range: Phrase,
        /// Unit to be written, `mm`.
        says unit: String,
        says gauge: String,
        /// One reading box a place; empty means one unnamed box.
        says rows: Vec<String>,
        /// With `rows`, a grid; empty means a list.
        says columns: Vec<String>,
        /// The members of a group that have all these boxes each; empty where it is done once.
        says members: Members,
        /// Kept in the job record.
        says record: bool,
        /// Worked out rather than read: how, in words, `largest of (cylinder bore) − piston skirt`; empty for a reading.
        says calc: Phrase,
        /// The calculation for each place, to be filled in: `cyl 1: largest of (cylinder bore: cyl 1 along, cyl 1 across) − piston skirt:
        /// piston 1 = ____ mm`; empty for a reading.
        says working: Vec<Phrase>,
        /// What to do where a reading is out: `if out: take the next shim`; empty if not said.
        says out: Further,
        says note: String,
        says steps: Vec<StepAt>,
        /// Changed since the revision that the change bars are from.
        exempt(ChangeMark) changed: bool,
    }
}

leaf! {
    /// A window or a wait.
    pub struct Timer {
        exempt(Span) id: String,
        says what: String,
        /// `within` or `at-least`.
        says rule: String,
        /// `10 min`
        says span: Value,
        /// So long that a time of day alone doesn't say when: a date is written in too.
        says dated: bool,
        /// The members of a group that have a time of their own each; empty where there is one.
        says members: Members,
    }
}

leaf! {
    /// A hold point.
    pub struct Hold {
        exempt(Span) id: String,
        says what: String,
        /// Somebody other than the one who did it signs.
        says second_person: bool,
        /// The step it stands after.
        says step: String,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
    }
}
