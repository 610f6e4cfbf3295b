//! A tightening spec as a row of the torque table: stages, both units, lubrication, and the setting of the wrench.

use super::card::{Stage, Torque};
use super::second;
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
        fastener: worded(&torque.fastener),
        count: torque.count() as usize,
        stages,
        tolerance: torque
            .tolerance
            .as_ref()
            .map_or_else(String::new, |t| t.value.to_string()),
        lubrication: lubrication(&torque.lubrication),
        into: into(torque),
        adapter: torque.adapter.as_ref().map_or_else(String::new, adapter),
        pattern: pattern.map_or_else(String::new, |p| catalogue.patterns.get(p).id.text.clone()),
        tool: names.join(", "),
        single_use: torque.reuse == Reuse::No,
        left_hand: torque
            .fastener
            .as_ref()
            .is_some_and(|f| f.value.thread().is_left_handed()),
        note: text(&torque.note),
        steps: vec![step.to_string()],
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
    let (setting, setting_note) = tool.map_or_else(Default::default, setting);
    Stage {
        figure: stage.to_string(),
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

fn lubrication(lubrication: &registers::Lubrication) -> String {
    let (threads, face) = (worded(&lubrication.threads), worded(&lubrication.face));
    match (threads.as_str(), face.as_str()) {
        (threads, face) if threads == face => threads.to_string(),
        (threads, "") => format!("threads {threads}"),
        ("", face) => format!("face {face}"),
        (threads, face) => format!("threads {threads}, face {face}"),
    }
}

fn into(torque: &registers::Torque) -> String {
    let engaged = torque
        .engagement
        .as_ref()
        .map(|length| format!("{} engaged", length.value));
    let material = torque.into.as_ref().map(|m| m.word.text.clone());
    material.into_iter().chain(engaged).collect::<Vec<_>>().join(", ")
}

fn adapter(adapter: &registers::Adapter) -> String {
    let length = adapter
        .length
        .as_ref()
        .map_or_else(String::new, |l| l.value.to_string());
    match &adapter.angle {
        Some(angle) => format!("{length} at {}", angle.value),
        None => length,
    }
}
