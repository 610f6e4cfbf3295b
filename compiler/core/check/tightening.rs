//! Facts about every tightening spec and measurement of a set: what the torque comes to in the bolt, which tool gives it and at what
//! setting, whether the gauge is fine enough. Worked out once; rules and cards read them. All of it is estimated but the settings.

use crate::domain::lubrication::{Condition, Lubrication};
use crate::domain::preload::turn::{SequenceEstimate, sequence};
use crate::domain::preload::{Assessment, Joint, UnitSlip, assess, unit_slips};
use crate::domain::quantity::Measure;
use crate::domain::tightening::{Stage, TorqueValue};
use crate::domain::tool::{Adapter, DEFAULT_GAUGE_RATIO, Gauge, GaugeFit, ToolFit, TorqueTool, choose};
use crate::model::registers::{Measurement, Tool, Torque};
use crate::model::{Def, Handle, Set};
use std::collections::BTreeMap;

/// Facts of one set, by entry.
#[derive(Debug, Default)]
pub struct TorqueFacts {
    pub torques: BTreeMap<Handle<Torque>, Tightening>,
    pub gauges: BTreeMap<Handle<Measurement>, GaugeFit>,
}

/// What is known of one tightening spec.
#[derive(Debug, Default)]
pub struct Tightening {
    /// `None` without a fastener.
    pub estimate: Option<Estimate>,
    /// One for each stage.
    pub stages: Vec<StageTool>,
}

/// What the greatest torque of a spec comes to.
#[derive(Debug)]
pub struct Estimate {
    pub joint: Joint,
    /// Index of the stage with the greatest torque.
    pub stage: usize,
    pub torque: TorqueValue,
    pub assessment: Assessment,
    /// The same figure in likelier units.
    pub slips: Vec<UnitSlip>,
    /// The same torque with dry faces, where others are stated.
    pub dry: Option<Assessment>,
    /// What the angle stages add; `None` without such stages.
    pub turn: Option<SequenceEstimate>,
}

/// The tool for one stage.
#[derive(Debug, Default)]
pub struct StageTool {
    /// The torque at the wrench, where an adapter makes it another than at the fastener.
    pub at_wrench: Option<TorqueValue>,
    /// The tool and what it makes of the torque; `None` for an angle, where the shop has no torque tool, or where none reaches.
    pub tool: Option<(Handle<Tool>, ToolFit)>,
    /// Torque tools that were looked at.
    pub candidates: Vec<Handle<Tool>>,
    /// An adapter that can't be corrected for, because the wrench's length isn't known.
    pub uncorrected: bool,
}

/// Works out the facts of every spec of a set.
pub fn facts(set: &Set) -> TorqueFacts {
    let mut facts = TorqueFacts::default();
    for (handle, def) in set.catalogue.torques.iter() {
        let stages = def
            .value
            .stages
            .iter()
            .map(|s| stage_tool(set, handle, def, &s.value))
            .collect();
        facts.torques.insert(
            handle,
            Tightening {
                estimate: estimate(&def.value),
                stages,
            },
        );
    }
    for (handle, def) in set.catalogue.limits.iter() {
        let (Some(gauge), Some(limit)) = (set.links.gauges.get(&handle), &def.value.limit) else {
            continue;
        };
        let tool = &set.catalogue.tools[*gauge];
        let gauge = Gauge {
            range: tool.range.as_ref().map(|r| r.value.clone()),
            resolution: tool.resolution.as_ref().or(tool.step.as_ref()).map(|r| r.value.clone()),
        };
        let ratio = set.gauge_ratio.unwrap_or(DEFAULT_GAUGE_RATIO);
        facts
            .gauges
            .extend(gauge.fit(limit.value.bounds(), ratio).map(|fit| (handle, fit)));
    }
    facts
}

/// The stage's torque with the spec's own tolerance, unless it has one itself.
fn with_tolerance(spec: &Torque, torque: &TorqueValue) -> TorqueValue {
    let tolerance = spec.tolerance.as_ref().filter(|_| !torque.has_bounds());
    tolerance
        .and_then(|t| torque.or_tolerance(&t.value))
        .unwrap_or_else(|| torque.clone())
}

fn estimate(spec: &Torque) -> Option<Estimate> {
    // A pipe thread seals and a trapezoidal one moves: neither clamps as a bolt does.
    let fastener = spec
        .fastener
        .as_ref()
        .map(|f| f.value)
        .filter(|f| f.thread().is_fastening())?;
    let torques = spec
        .stages
        .iter()
        .enumerate()
        .filter_map(|(n, s)| Some((n, s.value.torque()?)));
    let (stage, torque) = torques.max_by(|a, b| {
        // Stages of one spec are all torques, so they compare.
        a.1.target()
            .measure()
            .compare(b.1.target().measure())
            .unwrap_or(std::cmp::Ordering::Equal)
    })?;
    let torque = with_tolerance(spec, torque);
    let condition =
        |stated: &Option<crate::model::Worded<Condition>>| stated.as_ref().map_or_else(Condition::unknown, |w| w.value);
    let lubrication = Lubrication {
        threads: condition(&spec.lubrication.threads),
        face: condition(&spec.lubrication.face),
    };
    let joint = Joint {
        fastener,
        lubrication,
        engagement: spec.engagement.as_ref().map(|e| e.value.quantity()),
        into: spec.into.as_ref().map(|m| m.value),
    };
    let assessment = assess(&joint, &torque);
    let dry = Condition::parse("dry")
        .ok()
        .filter(|_| spec.lubrication.threads.is_some())
        .map(|dry| {
            assess(
                &Joint {
                    lubrication: Lubrication::both(dry),
                    ..joint
                },
                &torque,
            )
        });
    let stages: Vec<Stage> = spec.stages.iter().map(|s| s.value.clone()).collect();
    let turn = sequence(&joint, &stages, spec.grip.as_ref().map(|g| g.value.quantity()));
    Some(Estimate {
        stage,
        slips: unit_slips(&joint, &torque),
        joint,
        torque,
        assessment,
        dry,
        turn,
    })
}

fn stage_tool(set: &Set, handle: Handle<Torque>, def: &Def<Torque>, stage: &Stage) -> StageTool {
    let Some(torque) = stage.torque() else {
        return StageTool::default();
    };
    let torque = with_tolerance(&def.value, torque);
    let named = set.links.wrenches.get(&handle).copied();
    let visible = set
        .catalogue
        .tools
        .iter()
        .filter(|(_, d)| set.catalogue.sees(def.home, d.home))
        .map(|(h, _)| h);
    let candidates: Vec<(Handle<Tool>, TorqueTool)> = named
        .map_or_else(|| visible.collect(), |tool| vec![tool])
        .into_iter()
        .filter_map(|tool| Some((tool, torque_tool(&set.catalogue.tools[tool])?)))
        .collect();
    let handles: Vec<Handle<Tool>> = candidates.iter().map(|(h, _)| *h).collect();
    let Some(adapter) = adapter(&def.value) else {
        let tools: Vec<TorqueTool> = candidates.into_iter().map(|(_, t)| t).collect();
        let tool = choose(&tools, &torque, None).and_then(|c| Some((*handles.get(c.index)?, c.fit)));
        return StageTool {
            tool,
            candidates: handles,
            ..StageTool::default()
        };
    };
    // With an adapter each wrench gives another torque, by its length, so each is asked for its own.
    let mut uncorrected = false;
    let mut found: Vec<(Handle<Tool>, TorqueTool, TorqueValue)> = Vec::new();
    for (handle, tool) in candidates {
        let length = set.catalogue.tools[handle].length.as_ref().map(|l| l.value.quantity());
        match length.map(|length| adapter.correct(&torque, length)) {
            Some(Some(corrected)) => found.push((handle, tool, corrected)),
            Some(None) => {}
            // At a right angle the length does not matter: any will do for the sum.
            None if adapter.ratio(adapter.offset) == Some(1.0) => found.push((handle, tool, torque.clone())),
            None => uncorrected = true,
        }
    }
    for (handle, tool, corrected) in found {
        if let Some(choice) = choose(&[tool], &corrected, None) {
            return StageTool {
                at_wrench: (corrected != torque).then_some(corrected),
                tool: Some((handle, choice.fit)),
                candidates: handles,
                uncorrected: false,
            };
        }
    }
    StageTool {
        candidates: handles,
        uncorrected,
        ..StageTool::default()
    }
}

fn adapter(spec: &Torque) -> Option<Adapter> {
    let adapter = spec.adapter.as_ref()?;
    let straight = Adapter::straight(adapter.length.as_ref()?.value.quantity());
    Some(adapter.angle.as_ref().map_or(straight, |angle| Adapter {
        angle: angle.value.quantity(),
        ..straight
    }))
}

/// A tool of the register as a torque tool; `None` if its range is not one of torques.
fn torque_tool(tool: &Tool) -> Option<TorqueTool> {
    let range = tool.range.as_ref()?.value.clone();
    if range.dimension() != crate::domain::quantity::Dimension::Torque {
        return None;
    }
    Some(TorqueTool {
        range,
        step: tool.step.as_ref().map(|s| s.value.clone()),
        drive: tool.drive.as_ref().map(|d| Measure::from(d.value.clone())),
        accuracy: tool.accuracy.as_ref().map(|a| a.value.clone()),
    })
}
