//! A tightening spec as a row of the torque table: stages, both units, lubrication, and the setting of the wrench.

use super::card::{Pass, Stage, Torque};
use super::written::{text, worded};
use super::{second, setting};
use crate::check::tightening::{self as facts, StageTool, TorqueFacts};
use crate::domain::pattern::Passes;
use crate::domain::quantity::Written;
use crate::domain::tightening;
use crate::model::registers::{self, Reuse};
use crate::model::{Handle, Set};
use uom::si::f64::{self as si, Ratio};

/// The row of a spec that a step tightens.
pub fn row(set: &Set, torques: &TorqueFacts, handle: Handle<registers::Torque>, step: &str) -> Torque {
    let catalogue = &set.catalogue;
    let def = catalogue.torques.get(handle);
    let torque = &def.value;
    let pattern = set.links.patterns.get(&handle).copied();
    let passes = facts::passes(set, handle);
    let worked_out = torques.torques.get(&handle).map_or(&[][..], |t| &t.stages);
    let tool = |n: usize| worked_out.get(n);
    let stages = torque
        .stages
        .iter()
        .enumerate()
        .map(|(n, s)| stage(set, torque, &s.value, passes, tool(n)))
        .collect();
    let names: Vec<&str> = facts::tools(set, torques, handle)
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

fn stage(
    set: &Set,
    spec: &registers::Torque,
    stage: &tightening::Stage,
    passes: Option<&Passes>,
    tool: Option<&StageTool>,
) -> Stage {
    let torque = stage.torque();
    let second = torque.and_then(|t| t.in_unit(second::unit(set, t.unit())?));
    let set_to = tool.map_or_else(Default::default, |tool| setting::of_stage(spec, tool));
    let shares = passes.zip(torque).map_or(&[][..], |(passes, _)| passes.shares());
    let parts = passes
        .zip(torque)
        .map_or_else(Vec::new, |(passes, torque)| passes.torques(torque.target()));
    let last = shares.len().saturating_sub(1);
    let pass = |(n, (share, part)): (usize, (&Written<Ratio>, &Written<si::Torque>))| {
        let set_to = match tool {
            None => setting::Setting::default(),
            Some(tool) if n == last && tool.tool.is_some() => setting::Setting {
                note: String::new(),
                ..set_to.clone()
            },
            Some(tool) => setting::of_pass(set, tool, n),
        };
        Pass {
            share: share.to_string(),
            figure: part.to_string(),
            setting: set_to.figure,
            note: set_to.note,
        }
    };
    Stage {
        figure: stage.to_string(),
        second: second.unwrap_or_default(),
        boxes: shares.len().max(1),
        passes: shares.iter().zip(&parts).enumerate().map(pass).collect(),
        setting: set_to.figure,
        setting_note: set_to.note,
    }
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
