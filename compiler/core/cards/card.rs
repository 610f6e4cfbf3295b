//! The card as plain data: what a template gets. Every text here is ready to print (figures with their units, names in full), no
//! field holds markup of any kind, and everything is serialisable. `templates/README.md` lists the same fields for template authors.

pub use super::text::{Block, Inline, Message, Signal};
use serde::Serialize;

pub use super::between::{Standing, StandingRow};

/// One work card: a procedure for one set of option choices.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Card {
    /// What every leaf says at its head and foot.
    pub identity: Identity,
    /// What is read before step 1.
    pub cover: Cover,
    /// How the machine stands when the card begins, as far as earlier cards changed it.
    pub carried_in: Standing,
    /// The work, in order.
    pub phases: Vec<Phase>,
    /// How the machine stands when the card ends.
    pub carried_out: Standing,
    /// Every fastener tightened on this card, in order of first use.
    pub torques: Vec<Torque>,
    /// Every measurement taken on this card, in order of first use.
    pub measurements: Vec<Measurement>,
    /// Every bolt pattern used on this card.
    pub patterns: Vec<Pattern>,
    /// Every hold point on this card, for the close-out.
    pub holds: Vec<Hold>,
}

/// Who the card is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Identity {
    /// Folder name of the set.
    pub set: String,
    /// The set's title.
    pub set_title: String,
    /// The machine or assembly.
    pub machine: String,
    /// Id of the procedure.
    pub procedure: String,
    /// Title of the procedure.
    pub title: String,
    /// Place in the set's order, from 1.
    pub position: usize,
    /// Cards in the set.
    pub of: usize,
    /// Revision as written; empty if none.
    pub rev: String,
    /// ISO date as written; empty if none.
    pub date: String,
    /// Where the data comes from; empty if not said.
    pub source: String,
    /// True until a walk-through is recorded.
    pub draft: bool,
    /// The choices this card was printed for (only options that the card depends on).
    pub choices: Vec<Choice>,
    /// BCP 47 language of the text.
    pub language: String,
    /// `a4`, `letter`, `a5` or `half-letter`.
    pub paper: String,
    /// Check code of what the card means, `7K3M-9QXD`; empty until one is given.
    pub fingerprint: String,
}

/// One option as chosen.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    pub option: String,
    /// What the option decides, in words.
    pub what: String,
    pub value: String,
    /// Why one would choose this value; empty if not said.
    pub why: String,
    /// True if this is the default rather than somebody's choice.
    pub default: bool,
}

/// The head of the card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cover {
    pub about: Vec<Block>,
    /// What the set applies to; empty if not said.
    pub applies_to: String,
    /// Procedures that come first.
    pub after: Vec<CardRef>,
    /// Most severe signal word on the card.
    pub worst: Option<Signal>,
    /// Safety messages of the whole card: most severe first, one row per hazard, with the steps they guard.
    pub hazards: Vec<HazardRow>,
    /// Messages that cover the whole card, printed in full before step 1.
    pub messages: Vec<Message>,
    /// Standing cautions (local codes and licensed practice first, the set's own after).
    pub notices: Vec<String>,
    pub parts: Vec<KitRow>,
    pub temporary: Vec<KitRow>,
    pub consumables: Vec<KitRow>,
    pub tools: Vec<KitRow>,
    /// Sum of the hands-on times, `1 h 25 min`; empty if no step gives one.
    pub hands_on: String,
    /// Waits and windows on this card.
    pub timers: Vec<Timer>,
    /// The revision that the change bars are from, `v1.2 (3f2a91c)`; empty if none is asked for.
    pub changed_since: String,
    /// What changed since then, most serious first.
    pub changes: Vec<Change>,
    /// Steps not printed for this choice: number and the choice they belong to.
    pub left_out: Vec<LeftOut>,
    pub steps: usize,
}

/// A change since an earlier revision.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// True if it matters for safety: printed first and loud.
    pub loud: bool,
    /// What kind of change, `value`, `step moved`, `WEAKENED`; may be empty.
    pub kind: String,
    /// What changed, where it stands included.
    pub text: String,
}

/// Points at another card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CardRef {
    pub procedure: String,
    pub title: String,
    pub position: usize,
}

/// A hazard on the cover.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HazardRow {
    pub signal: Signal,
    pub hazard: String,
    /// Numbers of the steps, `2.3`; empty when it covers the card or a phase (`Phase 2`).
    pub at: Vec<String>,
}

/// One line of what to lay out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KitRow {
    pub name: String,
    /// Count or amount, ready to print; empty if not said.
    pub amount: String,
    /// Part number, range, colour flag or what else tells it apart.
    pub detail: String,
    /// True for a part that is new each time.
    pub single_use: bool,
    /// GHS pictogram codes (`GHS02`), consumables only.
    pub ghs: Vec<String>,
    /// Numbers of the steps that need it.
    pub steps: Vec<String>,
}

/// A step that this choice leaves out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeftOut {
    pub number: String,
    /// `seals = renew`
    pub only: String,
}

/// A heading and what stands under it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Phase {
    /// From 1, stable whatever is left out.
    pub number: usize,
    /// Empty for work before the first heading.
    pub title: Vec<Inline>,
    /// Messages that cover the phase.
    pub messages: Vec<Message>,
    pub intro: Vec<Block>,
    pub runs: Vec<Run>,
}

/// Consecutive steps of one kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Run {
    /// Bullets rather than an order.
    pub any_order: bool,
    pub steps: Vec<Step>,
}

/// One step: never split, never parted from its messages.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// `2.3`
    pub number: String,
    /// Before the step, most severe first.
    pub messages: Vec<Message>,
    pub text: Vec<Block>,
    pub specs: Vec<Spec>,
    pub substeps: Vec<SubStep>,
    /// Hands-on time, `10 min`; empty if not said.
    pub time: String,
    /// Hold points that stand after the step and before the next.
    pub holds: Vec<Hold>,
    /// Changed since the revision that the change bars are from.
    pub changed: bool,
    /// True if nothing is open after this step: work may stop here for the day.
    pub safe_stop: bool,
    /// What is open after this step, in words, where work must not stop: `window: close the joint`.
    pub open: Vec<String>,
}

/// A nested item.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SubStep {
    /// `a`, `b` …
    pub letter: String,
    pub text: Vec<Block>,
    pub specs: Vec<Spec>,
}

/// What a mark prints under its step.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Spec {
    /// Tighten to the figure: stages with boxes.
    Torque(Torque),
    /// Started by hand; `name`, `count`.
    Snug { name: String, count: usize },
    /// Broken loose; `name`, `count`.
    Loosen { name: String, count: usize },
    /// Limits and write-in boxes.
    Measure(Measurement),
    /// Part or temporary item on or off. `temporary` items carry their flag colour in `detail`.
    Item {
        act: ItemAct,
        name: String,
        count: usize,
        temporary: bool,
        single_use: bool,
        detail: String,
    },
    /// Tool, consumable or part used, with its amount (ready to print; may be empty).
    Use {
        what: UseKind,
        name: String,
        amount: String,
        detail: String,
        ghs: Vec<String>,
    },
    /// The machine must be so.
    Need { state: String, value: String },
    /// The machine is so from here.
    Set { state: String, value: String },
    /// Declared action, with what it needs and forbids in words.
    Do {
        name: String,
        needs: Vec<String>,
        never_with: Vec<String>,
    },
    /// Write the time, and for a window when it must be closed.
    TimerStart(Timer),
    /// Write the time.
    TimerEnd(Timer),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ItemAct {
    Fit,
    Remove,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum UseKind {
    Tool,
    Consumable,
    Part,
    Temporary,
}

/// A tightening spec, as printed in the step and in the table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Torque {
    pub id: String,
    pub name: String,
    /// `M8x1.25 8.8`; empty if not said.
    pub fastener: String,
    /// How many; 1 if not said.
    pub count: usize,
    pub stages: Vec<Stage>,
    /// `± 10 %`; empty if not said.
    pub tolerance: String,
    /// `threads oiled, face dry`; empty if not said.
    pub lubrication: String,
    /// Tapped material and engagement; empty if not said.
    pub into: String,
    /// `50 mm at 0°`; empty if none.
    pub adapter: String,
    /// Id of the pattern in `Card::patterns`; empty if none.
    pub pattern: String,
    /// Name of the wrench asked for; empty if none.
    pub tool: String,
    /// New fasteners each time.
    pub single_use: bool,
    /// Tightened by turning the other way.
    pub left_hand: bool,
    pub note: String,
    /// Numbers of the steps that tighten it.
    pub steps: Vec<String>,
    /// Changed since the revision that the change bars are from.
    pub changed: bool,
}

/// One stage of tightening.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stage {
    /// The author's figure, canonical unit: `20 N·m`, `+90°`.
    pub figure: String,
    /// The house's second unit: `15 lbf·ft`; empty if the same or an angle.
    pub second: String,
    /// Tick boxes for this stage, one a pass of the pattern; at least 1.
    pub boxes: usize,
    /// What each box stands for; empty when one box is the stage itself.
    pub passes: Vec<Pass>,
    /// What the wrench is set to, on its own scale and in its own unit: `22 lbf·ft`; empty for an angle, or where no tool is known.
    pub setting: String,
    /// What there is to say about the setting: how far the scale is off the figure, what an adapter changes; may be empty.
    pub setting_note: String,
}

/// One pass of a pattern over a stage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pass {
    /// The share of the figure: `30 %`.
    pub share: String,
    /// The torque at the fastener, in the author's unit: `6.0 N·m`.
    pub figure: String,
    /// What the wrench is set to for it, on its own scale, in its own unit and with its adapter: `4.5 lbf·ft`; empty where no tool is
    /// known.
    pub setting: String,
    /// The tool, where it isn't the stage's own, and how far the scale is off; may be empty.
    pub note: String,
}

/// A measurement, as printed in the step and on the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Measurement {
    pub id: String,
    pub name: String,
    /// The author's limit, canonical units: `33.0 to 33.7 mm`.
    pub limit: String,
    /// In the house's second unit, rounded inward; empty if none.
    pub second: String,
    /// For a fit or a tolerance, the limits in figures: `30.000 to 30.021 mm`; empty if `limit` says it already.
    pub range: String,
    /// Unit to be written, `mm`.
    pub unit: String,
    pub gauge: String,
    /// One reading box a place; empty means one unnamed box.
    pub rows: Vec<String>,
    /// With `rows`, a grid; empty means a list.
    pub columns: Vec<String>,
    /// Kept in the job record.
    pub record: bool,
    /// Worked out rather than read: how, in words, `largest of (cylinder bore) − piston skirt`; empty for a reading.
    pub calc: String,
    /// The calculation for each place, to be filled in: `cyl 1: largest of (cylinder bore: cyl 1 along, cyl 1 across) − piston skirt:
    /// piston 1 = ____ mm`; empty for a reading.
    pub working: Vec<String>,
    pub note: String,
    pub steps: Vec<String>,
    /// Changed since the revision that the change bars are from.
    pub changed: bool,
}

/// A window or a wait.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Timer {
    pub id: String,
    pub what: String,
    /// `within` or `at-least`.
    pub rule: String,
    /// `10 min`
    pub span: String,
    /// So long that a time of day alone doesn't say when: a date is written in too.
    pub dated: bool,
}

/// A hold point.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hold {
    pub id: String,
    pub what: String,
    /// Somebody other than the one who did it signs.
    pub second_person: bool,
    /// The step it stands after.
    pub step: String,
}

/// Bolt positions, drawn to scale.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pattern {
    pub id: String,
    pub name: String,
    /// In tightening order; millimetres from an arbitrary origin, y up.
    pub positions: Vec<Position>,
    /// `circle`, `grid` or `listed`.
    pub layout: String,
    /// Share of the final figure for each pass, `30 %`; empty means one pass.
    pub passes: Vec<String>,
    /// True if the program worked out the order, false if the author gave it.
    pub computed: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Position {
    /// Place in the order, from 1.
    pub order: usize,
    pub x_mm: f64,
    pub y_mm: f64,
}
