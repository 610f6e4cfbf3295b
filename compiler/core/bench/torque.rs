//! What a torque, stages with angles, or a preload come to in one bolt, line by line. The estimate goes by friction in the threads and
//! under the head, kept apart (VDI 2230); the nut factor stands beside it, never without its range.

use crate::domain::fastener::{Fastener, TappedMaterial};
use crate::domain::lubrication::Lubrication;
use crate::domain::preload::friction::{Friction, TorqueParts, motosh, usual_bearing_diameter};
use crate::domain::preload::turn::{SequenceEstimate, sequence, total, uniform_elongation};
use crate::domain::preload::{
    Assessment, Joint, UnitSlip, assess, nut_factor, strip_load, table_shares, unit_in_doubt, unit_slips,
};
use crate::domain::quantity::{Figure, Measure, Rounding, Unit, Written, round_to_digits};
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

/// What of a question goes past any bolt that there is, in words that complete "… is past anything that a bolt takes"; the bounds are a hundred
/// times those of the largest bolts of the tables (common practice, no source). Beyond them the arithmetic holds no figure worth printing.
pub fn past_any_bolt(question: &TorqueQuestion, stages: &[Stage], preload: Option<Force>) -> Option<&'static str> {
    let torques = stages.iter().filter_map(Stage::torque);
    let torque = torques.map(|torque| torque.target().quantity().get::<newton_meter>());
    let angle = total(stages).map_or(0.0, |angle| angle.get::<degree>());
    let lengths = question.engagement.iter().chain(&question.grip).map(Written::quantity);
    let adapter = question
        .adapter
        .iter()
        .flat_map(|(adapter, wrench)| [adapter.offset, wrench.quantity()]);
    let length = lengths.chain(adapter).map(|length| length.get::<millimeter>());
    let most = |values: &mut dyn Iterator<Item = f64>| values.map(f64::abs).fold(0.0, f64::max);
    let checks = [
        ("such a torque", most(&mut torque.into_iter()), 1e7),
        ("such an angle", angle.abs(), 36_000.0),
        (
            "such a preload",
            preload.map_or(0.0, |force| force.get::<kilonewton>().abs()),
            1e7,
        ),
        ("such a length", most(&mut length.into_iter()), 1e6),
    ];
    // What is no number is past it too.
    let past = checks
        .into_iter()
        .find(|(_, value, bound)| !matches!(value.partial_cmp(bound), Some(std::cmp::Ordering::Less)));
    past.map(|(what, ..)| what)
}

const ESTIMATE: &str = "estimate      friction decides and nobody measured it: the maker's figure stands above these";

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
    let mut lines = about(question);
    if let Some(torque) = greatest {
        lines.extend(torque_working(question, torque));
    }
    let grip = question.grip.as_ref().map(Written::quantity);
    if let Some(found) = sequence(&joint(question), stages, grip) {
        lines.extend(turn_working(question, stages, &found));
    }
    lines.push(ESTIMATE.to_string());
    lines
}

/// What one torque does.
fn torque_working(question: &TorqueQuestion, torque: &TorqueValue) -> Vec<String> {
    let joint = joint(question);
    let found = assess(&joint, torque);
    let mut lines = vec![format!("torque        {torque}{}", doubled(torque))];
    lines.extend(friction_lines(&joint));
    lines.push(format!(
        "preload       F = T / (P/2π + µ d2/(2 cos 30°) + µ D/2) = {}, D = 1.25 d",
        kilonewtons(found.preload.usual)
    ));
    lines.push(format!(
        "              {} to {} with tolerance and scatter of friction",
        kilonewtons(found.preload.low),
        kilonewtons(found.preload.high)
    ));
    lines.push(parts_line(&parts(&joint, found.preload.usual)));
    lines.extend(factor_line(&joint, |k, d| {
        let load = nut_factor::preload(k, d, torque.target().quantity());
        kilonewtons(load)
    }));
    lines.extend(proof_lines(&found, torque));
    lines.extend(unit_lines(&joint, torque));
    lines.extend(strip_lines(&joint, found.strip_load, found.preload.usual_high));
    lines.extend(adapter_lines(question, torque.target().quantity(), torque.unit()));
    lines
}

/// The torque for a preload, line by line.
pub fn torque_for(question: &TorqueQuestion, preload: Force) -> Vec<String> {
    let joint = joint(question);
    let mut lines = about(question);
    lines.push(format!("preload       F = {}", kilonewtons(preload)));
    lines.extend(friction_lines(&joint));
    let usual = parts(&joint, preload).sum();
    let (threads, face) = (joint.lubrication.threads.friction(), joint.lubrication.face.friction());
    let at = |threads, face| newton_meters(of_friction(&joint, Friction { threads, face }, preload).sum());
    lines.push(format!(
        "torque        T = F (P/2π + µ d2/(2 cos 30°) + µ D/2) = {} N·m, D = 1.25 d",
        newton_meters(usual)
    ));
    lines.push(format!(
        "              {} to {} N·m with the scatter of friction",
        at(threads.low, face.low),
        at(threads.high, face.high)
    ));
    lines.push(parts_line(&parts(&joint, preload)));
    lines.extend(factor_line(&joint, |k, d| {
        format!("{} N·m", newton_meters(nut_factor::torque(k, d, preload)))
    }));
    if let Some(proof) = question.fastener.proof_load() {
        let share = preload / proof;
        lines.push(format!(
            "proof         {} of the proof load{}",
            per_cent(share),
            verdict(share)
        ));
    } else {
        lines.push(NO_CLASS.to_string());
    }
    lines.extend(strip_lines(&joint, strip_load(&joint), preload));
    if let Some(unit) = Unit::find("N·m") {
        lines.extend(adapter_lines(question, usual, unit));
    }
    lines.push(ESTIMATE.to_string());
    lines
}

const NO_CLASS: &str = "proof         no class is given: whether that is too much or too little can't be known";

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

/// Friction of threads and face, each with its range and source.
fn friction_lines(joint: &Joint) -> Vec<String> {
    let (threads, face) = (joint.lubrication.threads, joint.lubrication.face);
    let one = |what: &str, condition: crate::domain::lubrication::Condition| {
        let mu = condition.friction();
        format!(
            "{what}{condition}: µ = {}, {} to {} ({})",
            mu.usual,
            mu.low,
            mu.high,
            condition.source()
        )
    };
    match threads == face {
        true => vec![one("lubrication   ", threads)],
        false => vec![one("lubrication   threads ", threads), one("              face ", face)],
    }
}

fn of_friction(joint: &Joint, friction: Friction, preload: Force) -> TorqueParts {
    let thread = joint.fastener.thread();
    motosh(thread, usual_bearing_diameter(thread), friction, preload)
}

/// Where the torque of a preload goes at the usual friction.
fn parts(joint: &Joint, preload: Force) -> TorqueParts {
    let friction = Friction {
        threads: joint.lubrication.threads.friction().usual,
        face: joint.lubrication.face.friction().usual,
    };
    of_friction(joint, friction, preload)
}

fn parts_line(parts: &TorqueParts) -> String {
    format!(
        "              pitch {} + threads {} + face {} = {} N·m",
        newton_meters(parts.pitch),
        newton_meters(parts.threads),
        newton_meters(parts.face),
        newton_meters(parts.sum())
    )
}

/// What the nut factor gives at its usual value and at both ends; none where threads and face differ, for which there is no factor.
fn factor_line(joint: &Joint, of: impl Fn(f64, Length) -> String) -> Option<String> {
    let condition = joint.lubrication.threads;
    if condition != joint.lubrication.face {
        return None;
    }
    let (k, d) = (condition.nut_factor(), joint.fastener.thread().diameter());
    Some(format!(
        "by K          T = K F d with K = {}, {} to {}: {}, {} to {}",
        k.usual,
        k.low,
        k.high,
        of(k.usual, d),
        of(k.low, d),
        of(k.high, d)
    ))
}

fn proof_lines(found: &Assessment, torque: &TorqueValue) -> Vec<String> {
    let (Some(share), Some((low, high)), Some((least, most))) = (
        found.share_of_proof(),
        found.share_of_proof_range(),
        found.usual_shares_of_proof(),
    ) else {
        return vec![NO_CLASS.to_string()];
    };
    let usual = match torque.has_bounds() {
        true => format!("{} ({} to {})", per_cent(share), per_cent(least), per_cent(most)),
        false => per_cent(share),
    };
    vec![format!(
        "proof         {usual} of the proof load{}; {} to {} with the scatter of friction",
        if found.is_implausibly_low() {
            verdict(least)
        } else {
            verdict(most)
        },
        per_cent(low),
        per_cent(high)
    )]
}

/// What a share of the proof load means; nothing where it is a usual one.
fn verdict(share: Ratio) -> &'static str {
    match share.get::<percent>() {
        share if share > 100.0 => ": above it, the bolt stays longer",
        share if share < 12.5 => ": so little hardly clamps",
        _ => "",
    }
}

/// The same figure in other units, and what can't be known.
fn unit_lines(joint: &Joint, torque: &TorqueValue) -> Vec<String> {
    let would = |slip: &UnitSlip| format!("{} would be {}", slip.torque, per_cent(slip.share_of_proof));
    let slips: Vec<String> = unit_slips(joint, torque).iter().map(would).collect();
    if !slips.is_empty() {
        return vec![format!("unit          another is likelier: {}", slips.join(", "))];
    }
    let (low, high) = table_shares();
    match unit_in_doubt(joint, torque) {
        Some(slip) => vec![format!(
            "unit          {}; tables aim at {} to {}, so which is meant can't be known",
            would(&slip),
            per_cent(low),
            per_cent(high)
        )],
        None => Vec::new(),
    }
}

fn strip_lines(joint: &Joint, strip: Option<Force>, preload: Force) -> Vec<String> {
    let Some(load) = strip else {
        return Vec::new();
    };
    let verdict = if load < preload { ": the threads go first" } else { "" };
    let mut lines = vec![format!(
        "strip         threads hold {}, {} of the preload{verdict}",
        kilonewtons(load),
        per_cent(load / preload)
    )];
    lines.extend(joint.into.map(|material| {
        format!(
            "              {material}: tensile strength {:.0} MPa, shear {:.0} MPa, at least ({})",
            material.tensile_strength().get::<megapascal>(),
            material.shear_strength().get::<megapascal>(),
            material.source()
        )
    }));
    lines
}

fn adapter_lines(question: &TorqueQuestion, torque: Torque, unit: Unit) -> Option<String> {
    let (adapter, wrench) = question.adapter.as_ref()?;
    let setting = adapter.setting(torque, wrench.quantity());
    Some(match setting.and_then(|setting| rounded(setting, unit)) {
        Some(setting) => {
            format!("adapter       setting = T L / (L + E cos a) = {setting}, L = {wrench} to the middle of the grip")
        }
        None => "adapter       it points back past the grip: no setting gives that torque".to_string(),
    })
}

fn turn_working(question: &TorqueQuestion, stages: &[Stage], found: &SequenceEstimate) -> Vec<String> {
    let thread = question.fastener.thread();
    let grip = match &question.grip {
        Some(grip) => format!("{grip} clamped"),
        None => format!(
            "{:.0} mm clamped, five diameters assumed",
            found.grip.get::<millimeter>()
        ),
    };
    let (soft, stiff) = found.turned;
    let millimetres = |length: Length| format!("{:.2}", length.get::<millimeter>());
    let mut lines = vec![
        format!(
            "angle         {:.0}° x {:.4} mm pitch / 360° = {:.3} mm of advance, bolt and joint together",
            total(stages).unwrap_or(found.angle).get::<degree>(),
            thread.pitch().get::<millimeter>(),
            found.advance.get::<millimeter>()
        ),
        format!(
            "              {:.0} % to {:.0} % of it stretches the bolt up to yield: {} to {} more ({grip})",
            soft.share * 100.0,
            stiff.share * 100.0,
            kilonewtons(soft.added),
            kilonewtons(stiff.added)
        ),
        format!(
            "              the bolt is then {} to {} mm longer than slack, {} to {} mm of it for good",
            millimetres(soft.stretch),
            millimetres(stiff.stretch),
            millimetres(soft.lasting),
            millimetres(stiff.lasting)
        ),
    ];
    match (found.of_uniform, uniform_elongation(question.fastener)) {
        (Some((low, high)), Some(uniform)) if found.may_yield == Some(true) => lines.push(format!(
            "              {:.0} % to {:.0} % of the {:.1} % that its class stretches evenly before it necks",
            low * 100.0,
            high * 100.0,
            uniform * 100.0
        )),
        _ => {}
    }
    if found.is_destructive() {
        lines.push("              that plainly destroys the bolt".to_string());
    } else if found.may_yield == Some(true) {
        lines.push("              that may take the bolt past its yield point: use it once".to_string());
    } else if found.may_yield.is_none() {
        lines.push("              no class is given: whether it yields can't be known".to_string());
    }
    lines
}

/// To three figures: what a scale shows, and more than an estimate holds.
fn rounded(torque: Torque, unit: Unit) -> Option<Written<Torque>> {
    let exact = Written::computed(torque, unit, -12, Rounding::Nearest)?;
    let figure = Figure::computed(round_to_digits(exact.figure().value(), 3, Rounding::Nearest));
    Measure::new(figure, unit).typed()
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

fn newton_meters(torque: Torque) -> String {
    figures(torque.get::<newton_meter>())
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
