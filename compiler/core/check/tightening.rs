//! Facts about every tightening spec and measurement of a set: what the torque comes to in the bolt, which tool gives it and at what
//! setting, whether the gauge is fine enough. Worked out once; rules and cards read them. All of it is estimated but the settings.

use crate::domain::lubrication::{Condition, Lubrication};
use crate::domain::pattern::Passes;
use crate::domain::preload::turn::{SequenceEstimate, sequence};
use crate::domain::preload::{Assessment, Joint, UnitSlip, assess, unit_in_doubt, unit_slips};
use crate::domain::tightening::{Stage, TorqueValue};
use crate::domain::tool::{Adapter, DEFAULT_GAUGE_RATIO, Gauge, GaugeFit, Lever, ToolFit, TorqueTool, choose};
use crate::model::registers::{Measurement, Tool, Torque};
use crate::model::{Def, Handle, Set};
use rust_decimal::Decimal;
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
    /// The same figure in a unit that is as likely.
    pub doubt: Option<UnitSlip>,
    /// The same torque with dry faces, where others are stated.
    pub dry: Option<Assessment>,
    /// What the angle stages add; `None` without such stages.
    pub turn: Option<SequenceEstimate>,
}

/// A tool, what it makes of a torque, and what an adapter on it changes.
#[derive(Debug, Clone)]
pub struct Chosen {
    pub tool: Handle<Tool>,
    pub fit: ToolFit,
    pub lever: Lever,
}

/// The tool for one stage.
#[derive(Debug, Default)]
pub struct StageTool {
    /// The tool and how it is set; `None` for an angle, where the shop has no torque tool, or where none reaches.
    pub tool: Option<Chosen>,
    /// The same for each pass of the pattern that shares out this stage: by the stage's own tool if its scale reaches down.
    pub passes: Vec<Option<Chosen>>,
    /// Torque tools that were looked at.
    pub candidates: Vec<Handle<Tool>>,
    /// An adapter that can't be corrected for, because the wrench's length isn't known.
    pub uncorrected: bool,
}

/// Works out the facts of every spec of a set.
pub fn facts(set: &Set) -> TorqueFacts {
    let mut facts = TorqueFacts::default();
    for (handle, def) in set.catalogue.torques.iter() {
        // Passes share out one figure; a spec with stages of its own has them already.
        let passes = passes(set, handle);
        let stages = def
            .value
            .stages
            .iter()
            .map(|s| stage_tool(set, handle, def, &s.value, passes))
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
            accuracy: tool.accuracy.as_ref().map(|a| a.value.clone()),
        };
        let ratio = set.gauge_ratio.unwrap_or(DEFAULT_GAUGE_RATIO);
        facts
            .gauges
            .extend(gauge.fit(limit.value.bounds(), ratio).map(|fit| (handle, fit)));
    }
    facts
}

/// The tools that give a spec's torques, each once: those worked out, or the one that is asked for.
pub fn tools(set: &Set, facts: &TorqueFacts, handle: Handle<Torque>) -> Vec<Handle<Tool>> {
    let worked_out = facts.torques.get(&handle).into_iter().flat_map(|t| &t.stages);
    let chosen = worked_out.flat_map(|s| s.tool.iter().chain(s.passes.iter().flatten()));
    let mut tools: Vec<Handle<Tool>> = chosen.map(|chosen| chosen.tool).collect();
    if tools.is_empty() {
        tools.extend(set.links.wrenches.get(&handle));
    }
    tools.sort();
    tools.dedup();
    tools
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
    // A torque before an angle is meant to be low: only one that is too much says anything of its unit.
    let judged = turn.is_none() || assessment.is_above_proof();
    let slips = if judged {
        unit_slips(&joint, &torque)
    } else {
        Vec::new()
    };
    let doubt = if judged { unit_in_doubt(&joint, &torque) } else { None };
    Some(Estimate {
        stage,
        slips,
        doubt,
        joint,
        torque,
        assessment,
        dry,
        turn,
    })
}

/// The passes that share out the one figure of a spec.
pub fn passes(set: &Set, handle: Handle<Torque>) -> Option<&Passes> {
    let pattern = set.links.patterns.get(&handle)?;
    let passes = set.catalogue.patterns[*pattern].passes.as_ref()?;
    match set.catalogue.torques[handle].stages.as_slice() {
        // What has no figure has no share of one.
        [stage] if !stage.value.is_by_hand() => Some(passes),
        _ => None,
    }
}

fn stage_tool(
    set: &Set,
    handle: Handle<Torque>,
    def: &Def<Torque>,
    stage: &Stage,
    passes: Option<&Passes>,
) -> StageTool {
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
    // With an adapter each wrench gives another torque, by its length.
    let adapter = adapter(&def.value);
    let mut uncorrected = false;
    let mut usable: Vec<(Handle<Tool>, (TorqueTool, Lever))> = Vec::new();
    for (handle, tool) in candidates {
        let Some(adapter) = adapter.filter(|adapter| !adapter.changes_nothing()) else {
            usable.push((handle, (tool, Lever::NONE)));
            continue;
        };
        let length = set.catalogue.tools[handle].length.as_ref().map(|l| l.value.quantity());
        match length {
            // Pointing back past the grip, no setting gives any torque.
            Some(length) => usable.extend(adapter.lever(length).map(|lever| (handle, (tool, lever)))),
            None => uncorrected = true,
        }
    }
    let drag = def.value.drag.as_ref().and_then(|drag| drag.value.known());
    let chosen = |usable: &[(Handle<Tool>, (TorqueTool, Lever))], share| {
        let tools: Vec<(TorqueTool, Lever)> = usable.iter().map(|(_, tool)| tool.clone()).collect();
        let choice = choose(&tools, &torque, drag, share)?;
        let (tool, (_, lever)) = usable.get(choice.index)?;
        Some(Chosen {
            tool: *tool,
            fit: choice.fit,
            lever: *lever,
        })
    };
    let tool = chosen(&usable, Decimal::ONE);
    let pass = |share: Decimal| {
        let own = tool.as_ref()?.tool;
        let own: Vec<_> = usable.iter().filter(|(handle, _)| *handle == own).cloned().collect();
        chosen(&own, share).or_else(|| chosen(&usable, share))
    };
    StageTool {
        passes: passes.map(Passes::parts).into_iter().flatten().map(pass).collect(),
        uncorrected: uncorrected && tool.is_none(),
        tool,
        candidates: handles,
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
        accuracy: tool.accuracy.as_ref().map(|a| a.value.clone()),
        deviation: tool.deviation.as_ref().map(|d| d.value.clone()),
    })
}
