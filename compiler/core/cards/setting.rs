//! The setting of a wrench in words: one place for every card, table, pocket leaf and record.

use super::figures::{self, By};
use crate::check::tightening::{Chosen, StageTool};
use crate::domain::tightening::{Drag, Stage};
use crate::fingerprint::{Meaning, Sink};
use crate::model::At;
use crate::model::Set;
use crate::model::registers::Torque;
use crate::source::Sourced;
use crate::words::{Language, Phrase, Speak, joined, phrase, say};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::{Serialize, Serializer};
use std::ops::Deref;

/// A scale that is off the figure by less than this share is not worth a word on a card.
const WORTH_SAYING: f64 = 0.01;

/// What a wrench is set to, and what there is to say about it. Both may be empty.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Setting {
    /// On the wrench's own scale and in its own unit: `22 lbf·ft`; empty for an angle, or where no tool is known.
    pub figure: Phrase,
    pub note: Phrase,
}

/// A setting on a leaf: its text alone for a template, which prints it where it says more than the figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SetTo {
    said: Phrase,
    text: String,
    more: bool,
}

impl SetTo {
    /// The setting for a figure; `noted` if there is something to say of it, which then names it too.
    pub fn new(said: Phrase, figure: &str, noted: bool) -> SetTo {
        let text = said.english();
        let more = !text.is_empty() && (noted || !is_same(&text, figure));
        SetTo { said, text, more }
    }

    /// What is printed of it.
    pub fn printed(&self) -> Phrase {
        if self.more {
            self.said.clone()
        } else {
            Phrase::default()
        }
    }
}

impl Meaning for SetTo {
    fn feed(&self, sink: &mut Sink) {
        let Self { said, text: _, more } = self;
        more.feed(sink);
        if *more {
            said.feed(sink);
        }
    }
}

impl Sourced for SetTo {}

impl Speak for SetTo {
    fn speak(&mut self, language: Language) {
        let Self { said, text, more: _ } = self;
        said.speak(language);
        *text = said.english();
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
        SetTo::new(text.into(), "", false)
    }
}

/// The setting of a stage.
pub fn of_stage(set: &Set, spec: &Torque, stage: &Stage, tool: &StageTool) -> Setting {
    // Nothing is set: the card says so, lest it be taken for a figure that somebody forgot.
    if stage.is_by_hand() {
        return Setting {
            figure: Phrase::default(),
            note: say::without_a_tool(),
        };
    }
    // Drag comes on top of a torque; an angle is one whatever the nut drags.
    let drag = spec
        .drag
        .as_ref()
        .map(|drag| &drag.value)
        .filter(|_| stage.torque().is_some());
    if let Some(chosen) = &tool.tool {
        let mut notes = Vec::new();
        if !chosen.lever.is_none() {
            notes.push(say::corrected_for_adapter());
        }
        if let Some(deviation) = &set.catalogue.tools[chosen.tool].deviation {
            let share = deviation.value.amount();
            notes.push(match deviation.value.is_low() {
                true => say::corrected_for_low(share),
                false => say::corrected_for_high(share),
            });
        }
        notes.extend(drag.map(|drag| match drag {
            Drag::Known(drag) => say::with_drag(drag.to_string()),
            Drag::Measured => say::add_measured_drag(),
        }));
        notes.extend(off_the_mark(chosen, WORTH_SAYING));
        return Setting {
            figure: figure(chosen),
            note: joined(notes, ", "),
        };
    }
    let why = match (tool.uncorrected, &spec.adapter) {
        (true, Some(adapter)) => by_hand(adapter),
        (false, _) if !tool.candidates.is_empty() => say::off_scale(),
        _ => Phrase::default(),
    };
    let drag = drag.map(|drag| match drag {
        Drag::Known(drag) => say::add_drag(drag.to_string()),
        Drag::Measured => say::add_measured_drag(),
    });
    let notes = drag.into_iter().chain(Some(why)).filter(|note| !note.is_empty());
    Setting {
        figure: Phrase::default(),
        note: joined(notes, ", "),
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
        notes.push(Phrase::from(&set.catalogue.tools[chosen.tool].name));
    }
    notes.extend(measured.then(say::add_the_drag));
    notes.extend(off_the_mark(chosen, 0.05));
    Setting {
        figure: figure(chosen),
        note: joined(notes, ", "),
    }
}

/// Every stage of a spec with its setting, for a record: `20 N·m, set to 15 lbf·ft`, stages parted by semicolons.
pub fn in_words(set: &Set, spec: &Torque, tools: &[StageTool]) -> Phrase {
    let one = |(n, stage): (usize, &At<Stage>)| {
        let set_to = tools
            .get(n)
            .map(|tool| of_stage(set, spec, &stage.value, tool))
            .unwrap_or_default();
        let figure = figures::stage(&stage.value);
        let Setting {
            figure: setting, note, ..
        } = set_to;
        let same = setting.is_empty() || note.is_empty() && is_same(&setting.english(), &figure.english());
        let told = if same { figure } else { say::set_to(figure, setting) };
        if note.is_empty() {
            told
        } else {
            phrase!(told, " (", note, ")")
        }
    };
    joined(spec.stages.iter().enumerate().map(one), "; ")
}

/// True if a setting says no more than the figure: `20.0 N·m` for `20 N·m`.
fn is_same(setting: &str, figure: &str) -> bool {
    let plain = |text: &str| text.replace(".0 ", " ");
    plain(setting) == plain(figure)
}

/// A figure that no wrench is set to is told to be none of the wrench's.
fn at_fastener(tool: &StageTool) -> Setting {
    let note = match (tool.uncorrected, &tool.tool) {
        (true, _) => say::at_fastener(),
        (false, Some(_)) => say::below_scale(),
        (false, None) if !tool.candidates.is_empty() => say::off_scale(),
        (false, None) => Phrase::default(),
    };
    Setting {
        figure: Phrase::default(),
        note,
    }
}

fn figure(chosen: &Chosen) -> Phrase {
    chosen
        .fit
        .setting
        .as_ref()
        .map_or_else(Phrase::default, |s| By::Us.figure(&s.setting))
}

fn off_the_mark(chosen: &Chosen, from: f64) -> Option<Phrase> {
    let error = chosen.fit.setting.as_ref()?.error;
    let share = format!("{:.0} %", error.abs() * 100.0);
    let told = || match error < 0.0 {
        true => say::nearest_mark_under(share),
        false => say::nearest_mark_over(share),
    };
    (error.abs() >= from).then(told)
}

/// Where no wrench here says how long it is: the sum to do at the bench, with the part of the adapter that counts.
fn by_hand(adapter: &crate::model::registers::Adapter) -> Phrase {
    let Some(length) = adapter.length.as_ref().map(|l| &l.value) else {
        return Phrase::default();
    };
    let along = match &adapter.angle {
        None => Phrase::from(length.to_string()),
        Some(angle) => {
            let cosine = angle.value.quantity().value.cos();
            let cosine = Decimal::from_f64_retain(cosine).map_or(0.0, |c| c.round_dp(3).to_f64().unwrap_or(0.0));
            phrase!(Phrase::figure(cosine.to_string()), " × ", length.to_string())
        }
    };
    say::not_corrected(along)
}
