//! A tightening spec as a row of the torque table: stages, both units, lubrication, and the setting of the wrench.

use super::card::{Further, Pass, Stage, StepAt, Torque};
use super::figures::{self, By};
use super::members::Members;
use super::value::Value;
use super::written::{text, worded};
use super::{second, setting};
use crate::check::tightening::{self as facts, StageTool, TorqueFacts};
use crate::domain::pattern::Passes;
use crate::domain::quantity::Written;
use crate::domain::tightening;
use crate::model::registers::{self, Reuse};
use crate::model::{Handle, Set, StepNumber};
use crate::words::{Phrase, joined, say};
use uom::si::f64::{self as si, Ratio};

/// The row of a spec that a step tightens.
pub fn row(set: &Set, torques: &TorqueFacts, handle: Handle<registers::Torque>, step: StepNumber) -> Torque {
    let catalogue = &set.catalogue;
    let def = catalogue.torques.get(handle);
    let torque = &def.value;
    let pattern = set.links.patterns.get(&handle).copied();
    Torque {
        id: def.id.text.clone(),
        name: torque.name.clone(),
        fastener: worded(&torque.fastener, ToString::to_string),
        count: torque.count() as usize,
        stages: stages(set, torques, handle),
        tolerance: torque
            .tolerance
            .as_ref()
            .map_or_else(Value::default, |t| Value::from(&t.value)),
        lubrication: lubrication(&torque.lubrication),
        into: into(torque),
        adapter: torque.adapter.as_ref().map_or_else(Value::default, adapter),
        pattern: pattern.map_or_else(String::new, |p| catalogue.patterns.get(p).id.text.clone()),
        pattern_name: pattern.map_or_else(String::new, |p| catalogue.patterns[p].name.clone()),
        tool: tools(set, torques, handle),
        single_use: torque.reuse == Reuse::No,
        left_hand: torque
            .fastener
            .as_ref()
            .is_some_and(|f| f.value.thread().is_left_handed()),
        thread: Further(
            torque
                .thread
                .as_ref()
                .map_or_else(Phrase::default, |t| say::thread_state(&t.text)),
        ),
        again: Further(
            torque
                .again
                .as_ref()
                .map_or_else(Phrase::default, |after| say::tighten_again(&after.text)),
        ),
        note: text(&torque.note),
        steps: vec![StepAt::here(step)],
        changed: false,
        span: Some(def.id.span),
    }
}

/// The stages of a spec, each with the setting of its wrench.
pub fn stages(set: &Set, torques: &TorqueFacts, handle: Handle<registers::Torque>) -> Vec<Stage> {
    let spec = &set.catalogue.torques[handle];
    let passes = facts::passes(set, handle);
    let worked_out = torques.torques.get(&handle).map_or(&[][..], |t| &t.stages);
    let each = spec.stages.iter().enumerate();
    each.map(|(n, s)| stage(set, spec, &s.value, passes, worked_out.get(n)))
        .collect()
}

/// The names of the tools that a spec is tightened with.
pub fn tools(set: &Set, torques: &TorqueFacts, handle: Handle<registers::Torque>) -> String {
    let tools = facts::tools(set, torques, handle).into_iter();
    let names: Vec<&str> = tools.map(|t| set.catalogue.tools[t].name.as_str()).collect();
    names.join(", ")
}

fn stage(
    set: &Set,
    spec: &registers::Torque,
    stage: &tightening::Stage,
    passes: Option<&Passes>,
    tool: Option<&StageTool>,
) -> Stage {
    let torque = stage.torque();
    let second = torque.and_then(|t| figures::torque_in_unit(t, second::unit(set, t.unit())?));
    let set_to = tool.map_or_else(Default::default, |tool| setting::of_stage(set, spec, stage, tool));
    let shares = passes.zip(torque).map_or(&[][..], |(passes, _)| passes.shares());
    let parts = passes
        .zip(torque)
        .map_or_else(Vec::new, |(passes, torque)| passes.torques(torque.target()));
    let last = shares.len().saturating_sub(1);
    let pass = |(n, (share, part)): (usize, (&Written<Ratio>, &Written<si::Torque>))| {
        let set_to = match tool {
            None => setting::Setting::default(),
            Some(tool) if n == last && tool.tool.is_some() => setting::Setting {
                note: Phrase::default(),
                ..set_to.clone()
            },
            Some(tool) => setting::of_pass(set, spec, tool, n),
        };
        Pass {
            share: share.to_string(),
            figure: By::Us.figure(part),
            setting: setting::SetTo::new(set_to.figure, &part.to_string(), false),
            note: set_to.note,
            boxes: boxes(spec),
            members: Members::default(),
        }
    };
    Stage {
        figure: Value::from(stage),
        second: second.unwrap_or_default(),
        boxes: boxes(spec),
        members: Members::default(),
        passes: shares.iter().zip(&parts).enumerate().map(pass).collect(),
        setting: setting::SetTo::new(set_to.figure, &stage.to_string(), !set_to.note.is_empty()),
        setting_note: set_to.note,
    }
}

/// Most fasteners that have a box each: more than there are in any ring that is tightened by numbers.
const MOST_BOXES: u32 = 72;

/// A box for each fastener; one for all of them where they are too many to be told apart.
fn boxes(spec: &registers::Torque) -> usize {
    match spec.count() {
        count @ 1..=MOST_BOXES => count as usize,
        _ => 1,
    }
}

fn lubrication(lubrication: &registers::Lubrication) -> Value {
    let words = |threads: &str, face: &str| match (threads, face) {
        (threads, face) if threads == face => Phrase::from(threads),
        (threads, "") => say::threads(threads),
        ("", face) => say::face(face),
        (threads, face) => joined([say::threads(threads), say::face(face)], ", "),
    };
    let threads = worded(&lubrication.threads, |condition| condition.name().to_string());
    let face = worded(&lubrication.face, |condition| condition.name().to_string());
    Value::named(words(&threads, &face), words(&threads.canon(), &face.canon()).english())
}

fn into(torque: &registers::Torque) -> Value {
    let engaged = torque
        .engagement
        .as_ref()
        .map(|length| Value::from(length.value.measure()));
    let material = worded(&torque.into, |m| m.name().to_string());
    let words = |material: String, engaged: Option<String>| {
        let engaged = engaged.map(say::engaged);
        let material = (!material.is_empty()).then(|| Phrase::from(material));
        joined(material.into_iter().chain(engaged), ", ")
    };
    Value::named(
        words(material.to_string(), engaged.as_ref().map(ToString::to_string)),
        words(material.canon(), engaged.as_ref().map(Value::canon)).english(),
    )
}

fn adapter(adapter: &registers::Adapter) -> Value {
    let length = adapter.length.as_ref().map(|l| Value::from(l.value.measure()));
    let angle = adapter.angle.as_ref().map(|a| Value::from(a.value.measure()));
    let words = |of: fn(&Value) -> String| {
        let length = length.as_ref().map_or_else(String::new, of);
        match &angle {
            Some(angle) => say::at_angle(length, of(angle)),
            None => Phrase::from(length),
        }
    };
    Value::named(words(ToString::to_string), words(Value::canon).english())
}
