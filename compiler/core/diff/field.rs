//! What a change can be about within its subject: a field of an entry, a mark of a step, a part of a message.

use crate::words::{Phrase, joined, phrase, say};
use serde::{Serialize, Serializer};

/// What a mark does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verb {
    Torque,
    Snug,
    Loosen,
    Measure,
    Fit,
    Remove,
    RemoveNumberOf,
    Use,
    KeepTo,
    Need,
    Set,
    Do,
    Start,
    End,
    Hold,
    Time,
}

impl Verb {
    pub fn said(self) -> Phrase {
        match self {
            Verb::Torque => say::verb_torque(),
            Verb::Snug => say::verb_snug(),
            Verb::Loosen => say::verb_loosen(),
            Verb::Measure => say::verb_measure(),
            Verb::Fit => say::verb_fit(),
            Verb::Remove => say::verb_remove(),
            Verb::RemoveNumberOf => say::verb_remove_number_of(),
            Verb::Use => say::verb_use(),
            Verb::KeepTo => say::verb_keep_to(),
            Verb::Need => say::verb_need(),
            Verb::Set => say::verb_set(),
            Verb::Do => say::verb_do(),
            Verb::Start => say::verb_start(),
            Verb::End => say::verb_end(),
            Verb::Hold => say::verb_hold(),
            Verb::Time => say::verb_time(),
        }
    }

    /// Marks that keep somebody from harm rather than only do work.
    pub fn guards(self) -> bool {
        matches!(self, Verb::Need | Verb::Set | Verb::Do | Verb::Hold)
    }
}

/// Which field of a subject; a change without one is about the whole.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Field {
    #[default]
    Whole,
    // Of entries.
    Name,
    What,
    Why,
    Note,
    Number,
    Flag,
    Qty,
    Amount,
    Range,
    Reuse,
    Hazards,
    Fastener,
    Count,
    Torque,
    Stage(usize),
    Tolerance,
    Lubrication,
    Into,
    Adapter,
    Pattern,
    Passes,
    Tool,
    Setting,
    Limit,
    Rows,
    Columns,
    Record,
    Calc,
    Working,
    Gauge,
    Within,
    AtLeast,
    SecondPerson,
    Positions,
    Landmarks,
    // Of steps and phases.
    Mark(Verb, String),
    AfterIt,
    List,
    Picture,
    Heading,
    FirstHeading,
    // Of messages.
    Level,
    Covers,
    Hazard,
    Consequence,
    Avoid,
    // Of a card and its set.
    Machine,
    SetTitle,
    AppliesTo,
    Introduction,
    Notice,
    Title,
    Source,
    After,
    LeftOut,
    // Of what is carried from card to card.
    SetSo,
    On,
    NotTight,
    ClockRuns,
    Off,
}

impl Field {
    pub fn said(&self) -> Phrase {
        match self {
            Field::Whole => Phrase::default(),
            Field::Name => say::field_name(),
            Field::What => say::field_what(),
            Field::Why => say::field_why(),
            Field::Note => say::field_note(),
            Field::Number => say::field_number(),
            Field::Flag => say::field_flag(),
            Field::Qty => say::field_qty(),
            Field::Amount => say::field_amount(),
            Field::Range => say::field_range(),
            Field::Reuse => say::field_reuse(),
            Field::Hazards => say::field_hazards(),
            Field::Fastener => say::field_fastener(),
            Field::Count => say::field_count(),
            Field::Torque => say::field_torque(),
            Field::Stage(n) => say::field_stage(*n),
            Field::Tolerance => say::field_tolerance(),
            Field::Lubrication => say::field_lubrication(),
            Field::Into => say::field_into(),
            Field::Adapter => say::field_adapter(),
            Field::Pattern => say::field_pattern(),
            Field::Passes => say::field_passes(),
            Field::Tool => say::field_tool(),
            Field::Setting => say::field_setting(),
            Field::Limit => say::field_limit(),
            Field::Rows => say::field_rows(),
            Field::Columns => say::field_columns(),
            Field::Record => say::field_record(),
            Field::Calc => say::field_calc(),
            Field::Working => say::field_working(),
            Field::Gauge => say::field_gauge(),
            Field::Within => say::field_within(),
            Field::AtLeast => say::field_at_least(),
            Field::SecondPerson => say::field_second_person(),
            Field::Positions => say::field_positions(),
            Field::Landmarks => say::field_landmarks(),
            Field::Mark(verb, name) => match name.is_empty() {
                true => verb.said(),
                false => joined([verb.said(), Phrase::from(name)], " "),
            },
            Field::AfterIt => say::field_after_it(),
            Field::List => say::field_list(),
            Field::Picture => say::field_picture(),
            Field::Heading => say::field_heading(),
            Field::FirstHeading => say::field_first_heading(),
            Field::Level => say::field_level(),
            Field::Covers => say::field_covers(),
            Field::Hazard => say::field_hazard(),
            Field::Consequence => say::field_consequence(),
            Field::Avoid => say::field_avoid(),
            Field::Machine => say::field_machine(),
            Field::SetTitle => say::field_set_title(),
            Field::AppliesTo => say::field_applies_to(),
            Field::Notice => say::field_notice(),
            Field::Introduction => say::field_introduction(),
            Field::Title => say::field_title(),
            Field::Source => say::field_source(),
            Field::After => say::field_after(),
            Field::LeftOut => say::field_left_out(),
            Field::SetSo => say::field_set_so(),
            Field::On => say::field_on(),
            Field::NotTight => say::field_not_tight(),
            Field::ClockRuns => say::field_clock_runs(),
            Field::Off => say::field_off(),
        }
    }
}

/// For programs, in English.
impl Serialize for Field {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.said().serialize(serializer)
    }
}

/// A mark in words: `fit rear cover: 2`.
pub fn mark(verb: Verb, name: &str, detail: &Phrase) -> Phrase {
    match (name.is_empty(), detail.is_empty()) {
        (_, true) => phrase!(verb.said(), " ", name),
        (true, false) => phrase!(verb.said(), " ", detail),
        (false, false) => phrase!(verb.said(), " ", name, ": ", detail),
    }
}
