//! Answers to a question at the bench, with their working: what a torque comes to in a bolt, what a figure is in another unit.
//! Everything about preload is an estimate and says so.

use crate::domain::fastener::{Fastener, TappedMaterial};
use crate::domain::limit::Limit;
use crate::domain::lubrication::Lubrication;
use crate::domain::preload::friction::{Friction, motosh, usual_bearing_diameter};
use crate::domain::preload::turn::{SequenceEstimate, sequence, usual_grip};
use crate::domain::preload::{Assessment, Joint, assess, nut_factor, unit_slips};
use crate::domain::quantity::{Measure, Rounding, Unit, ValueError, ValueErrorKind, Written, round_to_digits};
use crate::domain::tightening::{Stage, TorqueValue};
use crate::domain::tool::Adapter;
use uom::si::angle::degree;
use uom::si::area::square_millimeter;
use uom::si::f64::{Force, Length, Ratio, Torque};
use uom::si::force::kilonewton;
use uom::si::length::millimeter;
use uom::si::pressure::megapascal;
use uom::si::ratio::percent;
use uom::si::torque::newton_meter;

/// A question about one bolt.
#[derive(Debug)]
pub struct TorqueQuestion {
    pub fastener: Fastener,
    pub lubrication: Lubrication,
    pub engagement: Option<Written<Length>>,
    pub into: Option<TappedMaterial>,
    /// Adapter and the length of the wrench it goes on.
    pub adapter: Option<(Adapter, Written<Length>)>,
    /// The clamped length, for stages by angle.
    pub grip: Option<Written<Length>>,
}

/// What a sequence of stages does, line by line: the greatest torque as for one torque, then what the angles add.
pub fn stages(question: &TorqueQuestion, stages: &[Stage]) -> Vec<String> {
    let torques = stages.iter().filter_map(Stage::torque);
    let greatest = torques.max_by(|a, b| {
        // Both are torques, so they compare.
        a.target()
            .measure()
            .compare(b.target().measure())
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut lines = greatest.map_or_else(|| about(question), |t| torque(question, t));
    if lines.last().is_some_and(|l| l == ESTIMATE) {
        lines.pop();
    }
    let grip = question.grip.as_ref().map(Written::quantity);
    if let Some(found) = sequence(&joint(question), stages, grip) {
        lines.extend(turn_working(question, &found));
    }
    lines.push(ESTIMATE.to_string());
    lines
}

fn turn_working(question: &TorqueQuestion, found: &SequenceEstimate) -> Vec<String> {
    let thread = question.fastener.thread();
    let grip = match &question.grip {
        Some(grip) => format!("{grip} clamped"),
        None => format!(
            "{:.0} mm clamped, five diameters assumed",
            usual_grip(thread).get::<millimeter>()
        ),
    };
    let (soft, stiff) = found.turn.stretch_share;
    let mut lines = vec![
        format!(
            "angle         {:.0}° x {:.4} mm pitch / 360° = {:.3} mm of advance, bolt and joint together",
            found.angle.get::<degree>(),
            thread.pitch().get::<millimeter>(),
            found.turn.advance.get::<millimeter>()
        ),
        format!(
            "              {:.0} % to {:.0} % of it stretches the bolt: {} to {} more ({grip})",
            soft * 100.0,
            stiff * 100.0,
            kilonewtons(found.turn.added.0),
            kilonewtons(found.turn.added.1)
        ),
    ];
    if found.may_yield == Some(true) {
        lines.push("              that may take the bolt past its yield point: use it once".to_string());
    }
    lines
}

/// What a torque does, line by line.
fn torque(question: &TorqueQuestion, torque: &TorqueValue) -> Vec<String> {
    let joint = joint(question);
    let found = assess(&joint, torque);
    let mut lines = about(question);
    lines.push(format!("torque        {torque}{}", doubled(torque)));
    lines.extend(nut_factor_working(&joint, torque, &found));
    lines.extend(friction_working(&joint, &found));
    if let (Some(share), Some((low, high))) = (found.share_of_proof(), found.share_of_proof_range()) {
        lines.push(format!(
            "proof         {} of the proof load, {} to {} with tolerance and scatter of friction",
            per_cent(share),
            per_cent(low),
            per_cent(high)
        ));
        if found.is_above_proof() {
            lines.push("              above the proof load: the bolt stays longer".to_string());
        } else if found.is_implausibly_low() {
            lines.push("              so little hardly clamps".to_string());
        }
    }
    for slip in unit_slips(&joint, torque) {
        lines.push(format!(
            "              {} would be {}",
            slip.torque,
            per_cent(slip.share_of_proof)
        ));
    }
    lines.extend(strip_working(&found));
    lines.extend(adapter_working(question, torque));
    lines.push(ESTIMATE.to_string());
    lines
}

/// The torque for a preload, line by line.
pub fn torque_for(question: &TorqueQuestion, preload: Force) -> Vec<String> {
    let factor = joint(question).lubrication.threads.nut_factor();
    let diameter = question.fastener.thread().diameter();
    let torque = |k: f64| nut_factor::torque(k, diameter, preload).get::<newton_meter>();
    let mut lines = about(question);
    lines.push(format!("preload       F = {}", kilonewtons(preload)));
    lines.push(format!(
        "torque        T = K F d = {} x {} x {:.3} mm = {} N·m",
        factor.usual,
        kilonewtons(preload),
        diameter.get::<millimeter>(),
        figures(torque(factor.usual))
    ));
    lines.push(format!(
        "              {} to {} N·m for K {} to {}",
        figures(torque(factor.low)),
        figures(torque(factor.high)),
        factor.low,
        factor.high
    ));
    if let Some(proof) = question.fastener.proof_load() {
        lines.push(format!("proof         {} of the proof load", per_cent(preload / proof)));
    }
    lines.push(ESTIMATE.to_string());
    lines
}

const ESTIMATE: &str = "estimate      friction decides and nobody measured it: the maker's figure stands above these";

fn joint(question: &TorqueQuestion) -> Joint {
    Joint {
        fastener: question.fastener,
        lubrication: question.lubrication,
        engagement: question.engagement.as_ref().map(Written::quantity),
        into: question.into,
    }
}

fn about(question: &TorqueQuestion) -> Vec<String> {
    let thread = question.fastener.thread();
    let mut lines = vec![format!(
        "thread        {}: d = {:.3} mm, pitch {:.4} mm, stress area {:.1} mm²",
        question.fastener,
        thread.diameter().get::<millimeter>(),
        thread.pitch().get::<millimeter>(),
        thread.stress_area().get::<square_millimeter>()
    )];
    if let (Some(strength), Some(load)) = (question.fastener.strength(), question.fastener.proof_load()) {
        lines.push(format!(
            "class         proof stress {:.0} MPa, proof load {} ({})",
            strength.proof.get::<megapascal>(),
            kilonewtons(load),
            strength.source
        ));
    }
    lines
}

fn nut_factor_working(joint: &Joint, torque: &TorqueValue, found: &Assessment) -> Vec<String> {
    let lubrication = joint.lubrication;
    if lubrication.threads != lubrication.face {
        return vec![format!(
            "lubrication   {lubrication}: threads and face differ, so friction is taken apart"
        )];
    }
    let factor = lubrication.threads.nut_factor();
    vec![
        format!(
            "lubrication   {lubrication}: K = {}, {} to {} ({})",
            factor.usual,
            factor.low,
            factor.high,
            lubrication.threads.source()
        ),
        format!(
            "preload       F = T / (K d) = {} N·m / ({} x {:.3} mm) = {}",
            figures(torque.target().quantity().get::<newton_meter>()),
            factor.usual,
            joint.fastener.thread().diameter().get::<millimeter>(),
            kilonewtons(found.preload.usual)
        ),
        range_line(found),
    ]
}

fn range_line(found: &Assessment) -> String {
    format!(
        "              {} to {}",
        kilonewtons(found.preload.low),
        kilonewtons(found.preload.high)
    )
}

/// Where the torque goes, by the friction form: pitch, threads, face.
fn friction_working(joint: &Joint, found: &Assessment) -> Vec<String> {
    let thread = joint.fastener.thread();
    let friction = Friction {
        threads: joint.lubrication.threads.friction().usual,
        face: joint.lubrication.face.friction().usual,
    };
    let parts = motosh(thread, usual_bearing_diameter(thread), friction, found.preload.usual);
    let newton_meters = |torque: Torque| figures(torque.get::<newton_meter>());
    let mut lines = Vec::new();
    if joint.lubrication.threads != joint.lubrication.face {
        lines.push(format!("preload       {}", kilonewtons(found.preload.usual)));
        lines.push(range_line(found));
    }
    lines.push(format!(
        "friction      at that preload, mu {} in the threads and {} under the head: pitch {} + threads {} + face {} = {} N·m",
        friction.threads,
        friction.face,
        newton_meters(parts.pitch),
        newton_meters(parts.threads),
        newton_meters(parts.face),
        newton_meters(parts.sum())
    ));
    lines
}

fn strip_working(found: &Assessment) -> Vec<String> {
    let (Some(load), Some(margin)) = (found.strip_load, found.strip_margin()) else {
        return Vec::new();
    };
    let verdict = if found.strips() { ": the threads go first" } else { "" };
    vec![format!(
        "strip         threads hold {}, {} of the preload{verdict}",
        kilonewtons(load),
        per_cent(margin)
    )]
}

fn adapter_working(question: &TorqueQuestion, torque: &TorqueValue) -> Vec<String> {
    let Some((adapter, wrench)) = &question.adapter else {
        return Vec::new();
    };
    match adapter.correct(torque, wrench.quantity()) {
        Some(corrected) => vec![format!(
            "adapter       setting = T L / (L + E cos a) = {}, L = {wrench} to the middle of the grip",
            rounded(corrected.target())
        )],
        None => vec!["adapter       it points back past the grip: no setting gives that torque".to_string()],
    }
}

/// To three figures: what a scale shows, and more than an estimate holds.
fn rounded(torque: &Written<Torque>) -> String {
    Measure::new(
        crate::domain::quantity::Figure::computed(round_to_digits(torque.figure().value(), 3, Rounding::Nearest)),
        torque.unit(),
    )
    .to_string()
}

/// The torque in the other system, in brackets.
fn doubled(torque: &TorqueValue) -> String {
    let other = if torque.unit().symbol() == "N·m" {
        "lbf·ft"
    } else {
        "N·m"
    };
    Unit::find(other)
        .and_then(|u| torque.in_unit(u))
        .map_or_else(String::new, |t| format!(" ({t})"))
}

fn kilonewtons(force: Force) -> String {
    format!("{} kN", figures(force.get::<kilonewton>()))
}

fn per_cent(share: Ratio) -> String {
    format!("{:.0} %", share.get::<percent>())
}

/// Three significant figures.
fn figures(value: f64) -> String {
    let places = if value == 0.0 {
        2.0
    } else {
        (2.0 - value.abs().log10().floor()).clamp(0.0, 9.0)
    };
    format!("{value:.*}", places as usize)
}

/// A figure or a limit in another unit, or in every unit of its dimension, with the exact value beside the rounded one.
///
/// # Errors
/// If the text or the unit can't be read, or they measure different things.
pub fn convert(text: &str, to: Option<&str>) -> Result<Vec<String>, ValueError> {
    let measure = match Measure::parse(text) {
        Ok(measure) => measure,
        Err(error) => {
            // What is wrong with a limit is told as such, unless it is none at all.
            let limit = Limit::parse(text).map_err(|fault| match fault.kind {
                ValueErrorKind::NoLimit => error,
                _ => fault,
            })?;
            return convert_limit(&limit, to);
        }
    };
    let mut lines = Vec::new();
    for unit in targets(measure.unit(), to)? {
        let (Some(rounded), Some(exact)) = (
            measure.in_unit(unit, Rounding::Nearest),
            measure.unit().convert(measure.value(), unit),
        ) else {
            continue;
        };
        let exact = exact.normalize();
        let note = if exact == rounded.value() {
            "exact".to_string()
        } else {
            format!("exact {exact}")
        };
        lines.push(format!("{measure} = {rounded}   ({note})"));
    }
    Ok(lines)
}

fn convert_limit(limit: &Limit, to: Option<&str>) -> Result<Vec<String>, ValueError> {
    let line = |unit| Some(format!("{limit} = {}   (rounded inward)", limit.in_unit(unit)?));
    Ok(targets(limit.unit(), to)?.into_iter().filter_map(line).collect())
}

/// The unit asked for, or every other one of the dimension.
fn targets(from: Unit, to: Option<&str>) -> Result<Vec<Unit>, ValueError> {
    let Some(name) = to else {
        return Ok(Unit::of(from.dimension()).filter(|u| *u != from).collect());
    };
    // Read as a quantity, so that a wrong unit gets the same words as in a procedure.
    let one = format!("1 {name}");
    let measure = Measure::parse_any_of(&one, &[from.dimension()]).map_err(|mut error| {
        error.at = error.at.start.saturating_sub(2)..error.at.end.saturating_sub(2);
        error
    })?;
    Ok(vec![measure.unit()])
}
