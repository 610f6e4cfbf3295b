//! The setting of a wrench in words: one place for every card, table, pocket leaf and record.

use crate::check::tightening::{Chosen, StageTool};
use crate::domain::tightening::{Drag, Stage};
use crate::fingerprint::{Meaning, Sink};
use crate::model::At;
use crate::model::Set;
use crate::model::registers::Torque;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::{Serialize, Serializer};
use std::ops::Deref;

/// A scale that is off the figure by less than this share is not worth a word on a card.
const WORTH_SAYING: f64 = 0.01;

/// Said where the drag of a self-locking nut is read at the bench.
const ADD_DRAG: &str = "add the drag: run the nut down and read what that takes";

/// Said where the shop has torque tools and none reaches.
const OFF_SCALE: &str = "off the wrench's scale";

/// What a wrench is set to, and what there is to say about it. Both may be empty.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Setting {
    /// On the wrench's own scale and in its own unit: `22 lbf·ft`; empty for an angle, or where no tool is known.
    pub figure: String,
    pub note: String,
}

/// A setting on a leaf: its text alone for a template, which prints it where it says more than the figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SetTo {
    text: String,
    more: bool,
}

impl SetTo {
    /// The setting for a figure; `noted` if there is something to say of it, which then names it too.
    pub fn new(text: String, figure: &str, noted: bool) -> SetTo {
        let plain = |text: &str| text.replace(".0 ", " ");
        let more = !text.is_empty() && (noted || plain(&text) != plain(figure));
        SetTo { text, more }
    }

    /// What is printed of it.
    pub fn printed(&self) -> &str {
        if self.more { &self.text } else { "" }
    }
}

impl Meaning for SetTo {
    fn feed(&self, sink: &mut Sink) {
        let Self { text, more } = self;
        sink.words(if *more { text } else { "" });
    }
}

impl Serialize for SetTo {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl Deref for SetTo {
    type Target = str;

    fn deref(&self) -> &str {
        &self.text
    }
}

impl From<&str> for SetTo {
    fn from(text: &str) -> SetTo {
        SetTo::new(text.to_string(), "", false)
    }
}

/// The setting of a stage.
pub fn of_stage(set: &Set, spec: &Torque, stage: &Stage, tool: &StageTool) -> Setting {
    // Drag comes on top of a torque; an angle is one whatever the nut drags.
    let drag = spec
        .drag
        .as_ref()
        .map(|drag| &drag.value)
        .filter(|_| stage.torque().is_some());
    if let Some(chosen) = &tool.tool {
        let mut notes = Vec::new();
        if !chosen.lever.is_none() {
            notes.push("corrected for the adapter".to_string());
        }
        if let Some(deviation) = &set.catalogue.tools[chosen.tool].deviation {
            notes.push(format!("corrected for a wrench that reads {}", deviation.value.words()));
        }
        notes.extend(drag.map(|drag| match drag {
            Drag::Known(drag) => format!("with {drag} of drag"),
            Drag::Measured => ADD_DRAG.to_string(),
        }));
        notes.extend(off_the_mark(chosen, WORTH_SAYING));
        return Setting {
            figure: figure(chosen),
            note: notes.join(", "),
        };
    }
    let why = match (tool.uncorrected, &spec.adapter) {
        (true, Some(adapter)) => by_hand(adapter),
        (false, _) if !tool.candidates.is_empty() => OFF_SCALE.to_string(),
        _ => String::new(),
    };
    let drag = drag.map(|drag| match drag {
        Drag::Known(drag) => format!("add {drag} of drag"),
        Drag::Measured => ADD_DRAG.to_string(),
    });
    let notes: Vec<String> = drag
        .into_iter()
        .chain(Some(why))
        .filter(|note| !note.is_empty())
        .collect();
    Setting {
        figure: String::new(),
        note: notes.join(", "),
    }
}

/// The setting of a pass before the last. The tool is named where it isn't the stage's own. What the mark is off by is told from a
/// twentieth on: the next pass goes over it.
pub fn of_pass(set: &Set, spec: &Torque, tool: &StageTool, pass: usize) -> Setting {
    let own = tool.tool.as_ref();
    let measured = matches!(spec.drag.as_ref().map(|drag| &drag.value), Some(Drag::Measured));
    let Some(chosen) = tool.passes.get(pass).and_then(Option::as_ref) else {
        return at_fastener(tool);
    };
    let mut notes = Vec::new();
    if own.is_some_and(|own| own.tool != chosen.tool) {
        notes.push(set.catalogue.tools[chosen.tool].name.clone());
    }
    notes.extend(measured.then(|| "add the drag".to_string()));
    notes.extend(off_the_mark(chosen, 0.05));
    Setting {
        figure: figure(chosen),
        note: notes.join(", "),
    }
}

/// Every stage of a spec with its setting, for a record: `20 N·m, set to 15 lbf·ft`, stages parted by semicolons.
pub fn in_words(set: &Set, spec: &Torque, tools: &[StageTool]) -> String {
    let one = |(n, stage): (usize, &At<Stage>)| {
        let set_to = tools
            .get(n)
            .map(|tool| of_stage(set, spec, &stage.value, tool))
            .unwrap_or_default();
        let figure = stage.value.to_string();
        match (set_to.figure.as_str(), set_to.note.as_str()) {
            ("", "") => figure,
            ("", note) => format!("{figure} ({note})"),
            (set, "") if is_same(set, &figure) => figure,
            (set, "") => format!("{figure}, set to {set}"),
            (set, note) => format!("{figure}, set to {set} ({note})"),
        }
    };
    let stages: Vec<String> = spec.stages.iter().enumerate().map(one).collect();
    stages.join("; ")
}

/// True if a setting says no more than the figure: `20.0 N·m` for `20 N·m`.
fn is_same(setting: &str, figure: &str) -> bool {
    setting.replace(".0 ", " ") == figure
}

/// A figure that no wrench is set to is told to be none of the wrench's.
fn at_fastener(tool: &StageTool) -> Setting {
    let note = match (tool.uncorrected, &tool.tool) {
        (true, _) => "at the fastener",
        (false, Some(_)) => "below the wrench's scale",
        (false, None) if !tool.candidates.is_empty() => OFF_SCALE,
        (false, None) => "",
    };
    Setting {
        figure: String::new(),
        note: note.to_string(),
    }
}

fn figure(chosen: &Chosen) -> String {
    chosen
        .fit
        .setting
        .as_ref()
        .map_or_else(String::new, |s| s.setting.to_string())
}

fn off_the_mark(chosen: &Chosen, from: f64) -> Option<String> {
    let error = chosen.fit.setting.as_ref()?.error;
    let way = if error < 0.0 { "under" } else { "over" };
    (error.abs() >= from).then(|| format!("nearest mark, {:.0} % {way}", error.abs() * 100.0))
}

/// Where no wrench here says how long it is: the sum to do at the bench, with the part of the adapter that counts.
fn by_hand(adapter: &crate::model::registers::Adapter) -> String {
    let Some(length) = adapter.length.as_ref().map(|l| &l.value) else {
        return String::new();
    };
    let along = match &adapter.angle {
        None => length.to_string(),
        Some(angle) => {
            let cosine = angle.value.quantity().value.cos();
            let cosine = Decimal::from_f64_retain(cosine).map_or(0.0, |c| c.round_dp(3).to_f64().unwrap_or(0.0));
            format!("{cosine} × {length}")
        }
    };
    format!("not corrected for the adapter: set torque × L / (L + {along}), L from the drive to the middle of the grip")
}
