//! What stands under the sentence of a step, as plain data: what is tightened, measured, fitted, used, set and timed, and what is held for.

use super::further::Further;
use super::members::Members;
use super::setting::SetTo;
use super::step_at::StepAt;
use super::value::Value;
use crate::fingerprint::leaf;
use crate::source::Span;
use crate::words::Phrase;

leaf! {
    /// What a mark prints under its step. A line that could only repeat the sentence is left out.
    #[allow(clippy::large_enum_variant, reason = "few are held at once, and each is read where it stands")]
    #[serde(tag = "kind", rename_all = "kebab-case")]
    pub enum Spec {
        /// Tighten to the figure: stages with boxes.
        Torque(Torque),
        /// Started by hand; `name`, `count`.
        Snug {
            says name: String,
            says count: usize,
            #[serde(skip)]
            exempt(Span) span: Option<Span>,
        },
        /// Broken loose; `name`, `count`, and in which `order`, where a pattern says it.
        Loosen {
            says name: String,
            says count: usize,
            says order: Further,
            #[serde(skip)]
            exempt(Span) span: Option<Span>,
        },
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
            #[serde(skip)]
            exempt(Span) span: Option<Span>,
        },
        /// Tool, consumable or part used, with its amount (ready to print; may be empty).
        Use {
            says what: UseKind,
            says name: String,
            says amount: Value,
            says detail: Phrase,
            says ghs: Vec<String>,
            #[serde(skip)]
            exempt(Span) span: Option<Span>,
        },
        /// The machine must be so.
        Need {
            says state: String,
            says value: Phrase,
            #[serde(skip)]
            exempt(Span) span: Option<Span>,
        },
        /// The machine is so from here.
        Set {
            says state: String,
            says value: String,
            #[serde(skip)]
            exempt(Span) span: Option<Span>,
        },
        /// Declared action, with what it needs and forbids in words.
        Do {
            says name: String,
            says needs: Vec<Phrase>,
            says never_with: Vec<String>,
            /// What its author noted of it; may be empty.
            says note: String,
            #[serde(skip)]
            exempt(Span) span: Option<Span>,
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
        /// When it is tightened once more: `tighten once more after 24 h`; empty if not said.
        says again: Further,
        says note: String,
        says steps: Vec<StepAt>,
        /// Changed since the revision that the change bars are from.
        exempt(ChangeMark) changed: bool,
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
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
        /// The members of a group that have these boxes each; empty where it is done once, or in passes, which name them.
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
        #[serde(skip)]
        exempt(Span) span: Option<Span>,
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
        /// Where it is started or ended.
        #[serde(skip)]
        exempt(Span) written: Option<Span>,
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
