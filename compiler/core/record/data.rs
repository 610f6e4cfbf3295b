//! The job record's leaf as plain data: every box of a card with its verdict, and what is to be told. `record` fills it in.

use crate::words::{Phrase, plain, speaks};
use serde::Serialize;

/// Work put off, with why and until when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Deferral {
    /// Id of what was put off, or words.
    pub what: String,
    pub reason: String,
    /// ISO date.
    pub due: String,
    /// The procedure it was put off in.
    pub from: String,
    /// Of a deferral carried over from an earlier job: who did it and when, or empty.
    pub done: String,
}

/// A judged record. Every text is ready to print.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Report {
    /// Folder name of the set.
    pub set: String,
    pub set_title: String,
    pub machine: String,
    pub procedure: String,
    pub title: String,
    /// Revision that the record was begun with; empty if none.
    pub rev: String,
    /// Serial number of the machine.
    pub serial: String,
    pub by: String,
    pub started: String,
    pub finished: String,
    /// Fingerprint of the card that the record was begun with; empty if none.
    pub fingerprint: String,
    /// The card has changed since.
    pub changed: bool,
    /// Options and their values.
    pub choices: Vec<(String, String)>,
    pub readings: Vec<Reading>,
    pub torques: Vec<Tightened>,
    pub timers: Vec<Timed>,
    pub holds: Vec<Signed>,
    /// Serial numbers of parts, where any was written down.
    pub parts: Vec<Serial>,
    /// Everything to be told, in the order of the record.
    pub findings: Vec<LogFinding>,
    /// Put off in this job.
    pub deferred: Vec<Deferral>,
    /// Put off in earlier jobs on the same machine.
    pub carried: Vec<Deferral>,
    pub remarks: String,
    /// Nothing is missing, out of limits or open that isn't put off with a reason and a date.
    pub pass: bool,
}

/// How a box is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    Pass,
    /// Out of limits, late, too short or not all done.
    Fail,
    Missing,
    /// Written so coarsely that it may be in the limit or out of it.
    Coarse,
    /// Nothing written, and nothing needs to be.
    Empty,
    Deferred,
}

/// One reading, or one figure worked out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reading {
    pub id: String,
    pub name: String,
    pub step: String,
    /// Empty where the measurement has a single box.
    pub place: String,
    /// `0.30–0.80 mm`
    pub limit: Phrase,
    /// What a fit or a tolerance comes to: `72.000–72.030 mm`; empty where the limit says it.
    pub range: Phrase,
    /// As written, or as worked out; empty if missing.
    pub value: Phrase,
    /// In the unit of the limit where it was written in another; else empty.
    pub converted: Phrase,
    /// The calculation with its figures: `largest of (65.012, 65.010 mm) − 64.941 mm = 0.071 mm`; empty for a reading.
    pub working: Phrase,
    pub verdict: Verdict,
}

/// Fasteners tightened in one step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tightened {
    pub id: String,
    pub name: String,
    pub step: String,
    pub of: u32,
    /// As written.
    pub tightened: String,
    /// `19 N·m, set to 14 lbf·ft`; stages parted by semicolons.
    pub figure: Phrase,
    pub tool: String,
    pub verdict: Verdict,
}

/// One run of a timer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Timed {
    pub id: String,
    pub what: String,
    /// `within 3 min`, `at least 12 h`.
    pub rule: Phrase,
    pub start: String,
    pub end: String,
    /// `3 min 20 s`; empty if not known.
    pub took: String,
    pub verdict: Verdict,
}

/// A hold point.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Signed {
    pub id: String,
    pub what: String,
    pub step: String,
    pub by: String,
    /// Empty where no second person is asked for.
    pub second: String,
    pub at: String,
    pub verdict: Verdict,
}

/// Serial numbers of a part that went on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Serial {
    pub id: String,
    pub name: String,
    pub numbers: Vec<String>,
}

/// What kind of thing is to be told of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FindingKind {
    /// The card is another than the one the record was begun with.
    CardChanged,
    /// A figure that the record was begun with stands otherwise in it, and the card is still the same.
    Altered,
    /// Can't be read.
    Unreadable,
    Missing,
    OutOfLimits,
    /// A window closed too late.
    Overrun,
    /// A wait ended too early.
    TooShort,
    NotTightened,
    NotSigned,
    /// A reading is written too coarsely to be judged by its limit.
    TooCoarse,
    /// A figure worked out by hand differs from what its readings give.
    Differs,
    /// A calculation has no result, whatever was written.
    NotWorkedOut,
    /// Done or measured with a tool whose calibration was over.
    CalibrationOver,
    /// A wait for what cures, which has no boxes.
    NotTimed,
    /// Filled in, and no box of the card.
    Stray,
    /// Put off without a reason or a date.
    DeferredBadly,
    /// Put off, with a reason and a date.
    Deferred,
    /// Put off in an earlier job and still not done.
    StillOpen,
}

impl FindingKind {
    /// True if a job with it isn't done.
    pub fn fails(self) -> bool {
        !matches!(
            self,
            FindingKind::CardChanged | FindingKind::NotTimed | FindingKind::Deferred | FindingKind::Stray
        )
    }
}

/// One thing to be told of a record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LogFinding {
    pub kind: FindingKind,
    /// Line of the record, from 1; 0 where nothing is written.
    pub line: usize,
    /// A sentence without its full stop.
    pub message: Phrase,
}

plain!(Deferral, Verdict, Signed, Serial, FindingKind);
speaks!(Report {
    set,
    set_title,
    machine,
    procedure,
    title,
    rev,
    serial,
    by,
    started,
    finished,
    fingerprint,
    changed,
    choices,
    readings,
    torques,
    timers,
    holds,
    parts,
    findings,
    deferred,
    carried,
    remarks,
    pass,
});
speaks!(Reading {
    id,
    name,
    step,
    place,
    limit,
    range,
    value,
    converted,
    working,
    verdict,
});
speaks!(Tightened {
    id,
    name,
    step,
    of,
    tightened,
    figure,
    tool,
    verdict,
});
speaks!(Timed {
    id,
    what,
    rule,
    start,
    end,
    took,
    verdict,
});
speaks!(LogFinding { kind, line, message });
