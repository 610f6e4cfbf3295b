//! A tightening spec as a row of the torque table: stages, both units, lubrication, and the setting of the wrench.

use super::card::{Stage, StepAt, Torque};
use super::second;
use super::value::Value;
use super::written::{text, worded};
use crate::check::tightening::{StageTool, TorqueFacts};
use crate::domain::pattern::Passes;
use crate::domain::tightening;
use crate::model::registers::{self, Reuse, Tool};
use crate::model::{Handle, Set};

/// A scale that is off the figure by less than this share is not worth a word on a card.
const WORTH_SAYING: f64 = 0.01;

/// The tools that give a spec's torques, each once: those worked out, or the one that is asked for.
pub fn tools(set: &Set, facts: &TorqueFacts, handle: Handle<registers::Torque>) -> Vec<Handle<Tool>> {
    let worked_out = facts.torques.get(&handle).into_iter().flat_map(|t| &t.stages);
    let mut tools: Vec<Handle<Tool>> = worked_out.filter_map(|s| Some(s.tool.as_ref()?.0)).collect();
    if tools.is_empty() {
        tools.extend(set.links.wrenches.get(&handle));
    }
    tools.sort();
    tools.dedup();
    tools
}

/// The row of a spec that a step tightens.
pub fn row(set: &Set, facts: &TorqueFacts, handle: Handle<registers::Torque>, step: &str) -> Torque {
    let catalogue = &set.catalogue;
    let def = catalogue.torques.get(handle);
    let torque = &def.value;
    let pattern = set.links.patterns.get(&handle).copied();
    // Passes share out one figure; a spec with stages of its own has them already.
    let passes = pattern
        .filter(|_| torque.stages.len() == 1)
        .and_then(|p| catalogue.patterns[p].passes.as_ref());
    let worked_out = facts.torques.get(&handle).map_or(&[][..], |t| &t.stages);
    let tool = |n: usize| worked_out.get(n);
    let stages = torque
        .stages
        .iter()
        .enumerate()
        .map(|(n, s)| stage(set, &s.value, passes, tool(n)))
        .collect();
    let names: Vec<&str> = tools(set, facts, handle)
        .into_iter()
        .map(|t| catalogue.tools[t].name.as_str())
        .collect();
    Torque {
        id: def.id.text.clone(),
        name: torque.name.clone(),
        fastener: worded(&torque.fastener, ToString::to_string),
        count: torque.count() as usize,
        stages,
        tolerance: torque
            .tolerance
            .as_ref()
            .map_or_else(Value::default, |t| Value::from(&t.value)),
        lubrication: lubrication(&torque.lubrication),
        into: into(torque),
        adapter: torque.adapter.as_ref().map_or_else(Value::default, adapter),
        pattern: pattern.map_or_else(String::new, |p| catalogue.patterns.get(p).id.text.clone()),
        pattern_name: pattern.map_or_else(String::new, |p| catalogue.patterns[p].name.clone()),
        tool: names.join(", "),
        single_use: torque.reuse == Reuse::No,
        note: text(&torque.note),
        steps: vec![StepAt::here(step)],
        changed: false,
    }
}

fn stage(set: &Set, stage: &tightening::Stage, passes: Option<&Passes>, tool: Option<&StageTool>) -> Stage {
    let torque = stage.torque();
    let second = torque.and_then(|t| t.in_unit(second::unit(set, t.unit())?));
    let shares = passes.map_or(&[][..], Passes::shares);
    let parts = passes
        .zip(torque)
        .map_or_else(Vec::new, |(passes, torque)| passes.torques(torque.target()));
    let pass = |(share, part)| format!("{share}: {part}");
    let (mut setting, setting_note) = tool.map_or_else(Default::default, setting);
    // Said where that is more than the figure itself.
    if setting_note.is_empty() && setting.replace(".0 ", " ") == stage.to_string() {
        setting.clear();
    }
    Stage {
        figure: Value::from(stage),
        second: second.unwrap_or_default(),
        boxes: shares.len().max(1),
        passes: shares.iter().zip(&parts).map(pass).collect(),
        setting,
        setting_note,
    }
}

/// What the wrench is set to, and what there is to say about it.
fn setting(tool: &StageTool) -> (String, String) {
    let Some(setting) = tool.tool.as_ref().and_then(|(_, fit)| fit.setting.as_ref()) else {
        return Default::default();
    };
    let mut notes = Vec::new();
    if tool.at_wrench.is_some() {
        notes.push("corrected for the adapter".to_string());
    }
    if setting.error.abs() >= WORTH_SAYING {
        let way = if setting.error < 0.0 { "under" } else { "over" };
        notes.push(format!("nearest mark, {:.0} % {way}", setting.error.abs() * 100.0));
    }
    (setting.setting.to_string(), notes.join(", "))
}

fn lubrication(lubrication: &registers::Lubrication) -> Value {
    let words = |threads: &str, face: &str| match (threads, face) {
        (threads, face) if threads == face => threads.to_string(),
        (threads, "") => format!("threads {threads}"),
        ("", face) => format!("face {face}"),
        (threads, face) => format!("threads {threads}, face {face}"),
    };
    let threads = worded(&lubrication.threads, |condition| condition.name().to_string());
    let face = worded(&lubrication.face, |condition| condition.name().to_string());
    Value::named(words(&threads, &face), words(&threads.canon(), &face.canon()))
}

fn into(torque: &registers::Torque) -> Value {
    let engaged = torque
        .engagement
        .as_ref()
        .map(|length| Value::from(length.value.measure()));
    let material = worded(&torque.into, |m| m.name().to_string());
    let words = |material: String, engaged: Option<String>| {
        let engaged = engaged.map(|length| format!("{length} engaged"));
        let material = (!material.is_empty()).then_some(material);
        material.into_iter().chain(engaged).collect::<Vec<_>>().join(", ")
    };
    Value::named(
        words(material.to_string(), engaged.as_ref().map(ToString::to_string)),
        words(material.canon(), engaged.as_ref().map(Value::canon)),
    )
}

fn adapter(adapter: &registers::Adapter) -> Value {
    let length = adapter.length.as_ref().map(|l| Value::from(l.value.measure()));
    let angle = adapter.angle.as_ref().map(|a| Value::from(a.value.measure()));
    let words = |of: fn(&Value) -> String| {
        let length = length.as_ref().map_or_else(String::new, of);
        match &angle {
            Some(angle) => format!("{length} at {}", of(angle)),
            None => length,
        }
    };
    Value::named(words(ToString::to_string), words(Value::canon))
}
