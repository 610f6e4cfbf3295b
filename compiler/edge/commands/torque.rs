//! `torque`: what a torque comes to in a bolt, or what torque a preload asks for, with the working.

use crate::bench::{self, TorqueQuestion};
use crate::domain::fastener::{Fastener, TappedMaterial};
use crate::domain::lubrication::{Condition, Lubrication};
use crate::domain::quantity::{ValueError, Written};
use crate::domain::tightening::Stage;
use crate::domain::tool::Adapter;
use crate::edge::args::TorqueArgs;
use crate::edge::{Outcome, Trouble, terminal};
use uom::si::f64::{Angle, Force};

pub fn run(args: &TorqueArgs) -> Result<Outcome, Trouble> {
    let question = TorqueQuestion {
        fastener: read(&args.fastener, Fastener::parse)?,
        lubrication: Lubrication {
            threads: read(&args.lubrication, Condition::parse)?,
            face: read(args.face.as_ref().unwrap_or(&args.lubrication), Condition::parse)?,
        },
        engagement: optional(args.engagement.as_deref(), Written::parse)?,
        into: optional(args.into.as_deref(), TappedMaterial::parse)?,
        adapter: adapter(args)?,
        grip: optional(args.grip.as_deref(), Written::parse)?,
    };
    if !question.fastener.thread().is_fastening() {
        return Err(Trouble::new(format!(
            "{} seals or moves and doesn't clamp, so no preload can be estimated; `benchleaf thread` has its geometry",
            question.fastener
        )));
    }
    let stages: Vec<Stage> = args
        .stages
        .iter()
        .map(|s| read(s, Stage::parse))
        .collect::<Result<_, _>>()?;
    if !stages.is_empty() && stages.iter().all(Stage::is_by_hand) {
        return Err(Trouble::new(
            "what a hand tightens has no figure, so nothing can be estimated; give a torque, such as `25 N·m`, or a turn behind it, such as `hand` `+90°`",
        ));
    }
    let preload: Option<Written<Force>> = optional(args.preload.as_deref(), Written::parse)?;
    let force = preload.as_ref().map(Written::quantity);
    if let Some(what) = bench::past_any_bolt(&question, &stages, force) {
        return Err(Trouble::new(format!(
            "{what} is past anything that a bolt takes: look at the figure and its unit"
        )));
    }
    let lines = match (stages.as_slice(), force) {
        ([_, ..], None) => bench::stages(&question, &stages),
        ([], Some(preload)) => bench::torque_for(&question, preload),
        _ => {
            return Err(Trouble::new(
                "give a torque, such as `25 N·m`, or a preload with `--preload 20 kN`",
            ));
        }
    };
    lines.iter().for_each(|line| terminal::say(line));
    Ok(Outcome::Clean)
}

fn adapter(args: &TorqueArgs) -> Result<Option<(Adapter, Written<uom::si::f64::Length>)>, Trouble> {
    let Some(offset) = &args.adapter else { return Ok(None) };
    let offset: Written<uom::si::f64::Length> = read(offset, Written::parse)?;
    let angle: Option<Written<Angle>> = optional(args.angle.as_deref(), Written::parse)?;
    let Some(wrench) = &args.wrench_length else {
        return Err(Trouble::new(
            "an adapter needs the length of the wrench: add `--wrench-length 400mm`",
        ));
    };
    let straight = Adapter::straight(offset.quantity());
    let adapter = angle.map_or(straight, |a| Adapter {
        angle: a.quantity(),
        ..straight
    });
    Ok(Some((adapter, read(wrench, Written::parse)?)))
}

/// Reads a value from the command line; its fault is trouble with the usage.
pub fn read<T>(text: &str, read: impl Fn(&str) -> Result<T, ValueError>) -> Result<T, Trouble> {
    read(text).map_err(|error| Trouble::new(format!("in `{text}`: {}; {}", error.message(), error.help())))
}

/// The same of one that need not be there.
pub fn optional<T>(text: Option<&str>, how: impl Fn(&str) -> Result<T, ValueError>) -> Result<Option<T>, Trouble> {
    text.map(|text| read(text, how)).transpose()
}
