//! A fit: its sizes, what a hole and a shaft make together, and, where they interfere, what presses or warms them together.

use super::Answer;
use super::figures::{force, line, number, pressure};
use crate::domain::fit::inch::InchFit;
use crate::domain::fit::press::{Elastic, Press};
use crate::domain::fit::{Fit, FitPair};
use crate::domain::quantity::{Kind, ValueError, Written};
use crate::domain::thermal::Material;
use crate::domain::thermal::cooling::{COOLANTS, Contraction};
use rust_decimal::prelude::ToPrimitive;
use uom::si::f64::{Length, ThermodynamicTemperature};
use uom::si::length::{inch, meter, micrometer, millimeter};
use uom::si::temperature_coefficient::per_kelvin;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::torque::newton_meter;

/// Above this a bearing's rings may change for good (common practice of bearing makers).
const BEARING_CAP: f64 = 120.0;

/// Friction of a joint that is pressed, from oiled to dry (DIN 7190, from memory; Shigley gives 0.05 to 0.33 as recorded by others).
const FRICTION: (f64, f64) = (0.08, 0.16);

/// A question about a fit.
#[derive(Debug, Default)]
pub struct FitQuestion {
    /// `50 H7`, `50 H7/p6`, `1.25 in FN2`.
    pub fit: String,
    /// Length of the joint.
    pub length: Option<Written<Length>>,
    /// Outside diameter of the hub.
    pub outside: Option<Written<Length>>,
    /// Bore of the shaft.
    pub bore: Option<Written<Length>>,
    /// Material of the hub; steel if not given.
    pub hub: Option<String>,
    /// Material of the shaft; steel if not given.
    pub shaft: Option<String>,
    /// Coefficient of friction, for the force; a usual range if not given.
    pub friction: Option<f64>,
    /// Clearance wanted while the parts go together; a thousandth of the size if not given.
    pub play: Option<Written<Length>>,
    /// Temperature that the parts start from; 20 °C if not given.
    pub start: Option<Written<ThermodynamicTemperature>>,
    /// Whether the hub is a rolling bearing.
    pub bearing: bool,
}

/// A nominal size, and the least and greatest clearance of a hole and a shaft; below nought is interference.
struct Joint {
    size: Length,
    clearance: (Length, Length),
}

impl Joint {
    /// Least and greatest interference; below nought is clearance.
    fn interference(&self) -> (Length, Length) {
        (-self.clearance.1, -self.clearance.0)
    }
}

/// Sizes, clearance or interference, and what the interference takes.
///
/// # Errors
/// If the text isn't a fit of the tables or a material isn't.
pub fn fit(question: &FitQuestion) -> Result<Answer, ValueError> {
    let mut answer = Answer::default();
    let mut inches = false;
    let joint = if let Some(found) = InchFit::parse(&question.fit) {
        let found = found?;
        inches = true;
        answer.lines = inch_sizes(&found);
        inch_joint(&found)
    } else if question.fit.contains('/') {
        let pair = FitPair::parse(&question.fit)?;
        answer.lines.push(line("fit", format!("{pair}, ISO 286-1")));
        answer.lines.push(line("hole", size_line(pair.hole())));
        answer.lines.push(line("shaft", size_line(pair.shaft())));
        answer.lines.push(line("source", pair.hole().source()));
        metric_joint(&pair)
    } else {
        let alone = Fit::parse(&question.fit)?;
        let what = if alone.is_hole() { "hole" } else { "shaft" };
        answer.lines.push(line("fit", format!("{alone}, ISO 286-1")));
        answer.lines.push(line(what, size_line(&alone)));
        answer.lines.push(line("source", alone.source()));
        return Ok(answer);
    };
    let (least, greatest) = joint.interference();
    answer.lines.push(line("together", together(least, greatest, inches)));
    if greatest > Length::new::<meter>(0.0) {
        temperatures(question, &joint, &mut answer)?;
        press(question, &joint, &mut answer)?;
    }
    Ok(answer)
}

/// A deviation as it stands in a table: `+21`, `−7`, `0`.
fn signed(value: rust_decimal::Decimal) -> String {
    if value.is_sign_negative() || value.is_zero() {
        value.to_string().replace('-', "−")
    } else {
        format!("+{value}")
    }
}

fn size_line(fit: &Fit) -> String {
    let (low, high) = fit.bounds();
    let deviations = fit.deviations();
    format!(
        "{} to {high} ({} to {} µm)",
        low.figure(),
        signed(deviations.lower),
        signed(deviations.upper)
    )
}

fn metric_joint(pair: &FitPair) -> Joint {
    Joint {
        size: pair.hole().size().quantity(),
        clearance: (pair.least_clearance().quantity(), pair.greatest_clearance().quantity()),
    }
}

fn inch_joint(fit: &InchFit) -> Joint {
    let thou = |value: rust_decimal::Decimal| Length::new::<inch>(value.to_f64().unwrap_or(f64::NAN) / 1000.0);
    Joint {
        size: Length::new::<inch>(fit.size.to_f64().unwrap_or(f64::NAN)),
        clearance: (thou(fit.least_clearance()), thou(fit.greatest_clearance())),
    }
}

fn inch_sizes(fit: &InchFit) -> Vec<String> {
    let ends = |(low, high): (rust_decimal::Decimal, rust_decimal::Decimal)| {
        let size = |thousandths: rust_decimal::Decimal| {
            let size = fit.size + thousandths / rust_decimal::Decimal::ONE_THOUSAND;
            format!("{:.5}", size.to_f64().unwrap_or(f64::NAN))
        };
        format!(
            "{} to {} in ({} to {} thou)",
            size(low),
            size(high),
            signed(low),
            signed(high)
        )
    };
    vec![
        line("fit", format!("{} in {}, ANSI B4.1", fit.size.normalize(), fit.class)),
        line("hole", ends(fit.hole)),
        line("shaft", ends(fit.shaft)),
        line("source", fit.source),
    ]
}

/// `clearance 9 to 50 µm`, `interference 1 to 42 µm`, or both; inch fits in thousandths first.
fn together(least: Length, greatest: Length, inches: bool) -> String {
    let trimmed = |text: String| text.trim_end_matches('0').trim_end_matches('.').to_string();
    let micro = |length: Length| trimmed(format!("{:.1}", length.get::<micrometer>().abs()));
    let thou = |length: Length| trimmed(format!("{:.2}", (length.get::<inch>() * 1000.0).abs()));
    let range = |a: Length, b: Length| match inches {
        true => format!("{} to {} thou ({} to {} µm)", thou(a), thou(b), micro(a), micro(b)),
        false => format!("{} to {} µm ({} to {} thou)", micro(a), micro(b), thou(a), thou(b)),
    };
    let one = |a: Length| match inches {
        true => format!("{} thou ({} µm)", thou(a), micro(a)),
        false => format!("{} µm ({} thou)", micro(a), thou(a)),
    };
    let nought = Length::new::<meter>(5e-9);
    if least >= -nought {
        format!("interference {}", range(least, greatest))
    } else if greatest <= nought {
        format!("clearance {}", range(greatest, least))
    } else {
        format!(
            "transition: clearance up to {}, interference up to {}",
            one(least),
            one(greatest)
        )
    }
}

fn material(name: Option<&String>) -> &str {
    name.map_or("carbon steel", String::as_str)
}

fn temperatures(question: &FitQuestion, joint: &Joint, answer: &mut Answer) -> Result<(), ValueError> {
    let (_, greatest) = joint.interference();
    let play = question.play.as_ref().map_or(joint.size / 1000.0, Written::quantity);
    let start = question
        .start
        .as_ref()
        .map_or(20.0, |s| s.quantity().get::<degree_celsius>());
    let share = ((greatest + play) / joint.size).get::<uom::si::ratio::ratio>();
    let said = if question.play.is_some() {
        ""
    } else {
        ", a thousandth of the size"
    };
    answer.lines.push(line(
        "play",
        format!(
            "{} µm to put it together with{said}",
            number(play.get::<micrometer>(), 3)
        ),
    ));
    let hub = Material::parse(material(question.hub.as_ref()))?;
    let (low, high) = hub.expansion_range();
    let hot = |coefficient: uom::si::f64::TemperatureCoefficient| start + share / coefficient.get::<per_kelvin>();
    let (usual, most, least) = (hot(hub.expansion()), hot(low), hot(high));
    answer.lines.push(line(
        "heat the hub",
        format!(
            "to {:.0} °C from {start:.0} °C ({} to {:.0} °C by the range of its expansion; {}; estimate)",
            usual.ceil(),
            least.ceil(),
            most.ceil(),
            hub.name()
        ),
    ));
    if question.bearing {
        answer.lines.push(line(
            "bearing",
            "usual 80 to 90 K warmer than the shaft, 80 to 100 °C; never above 120 °C (makers' limits: 120, 125 °C and 130 °C)",
        ));
    }
    if question.bearing && most > BEARING_CAP {
        let reach = (BEARING_CAP - start) * low.get::<per_kelvin>() * joint.size.get::<millimeter>() * 1000.0;
        answer.lines.push(line(
            "",
            format!(
                "REFUSED: above the {BEARING_CAP:.0} °C that a bearing stands; at that it grows {} µm: cool the shaft as well",
                number(reach, 3)
            ),
        ));
        answer.refused = true;
    }
    let shaft = Material::parse(material(question.shaft.as_ref()))?;
    answer.lines.extend(cooling(joint, share, shaft));
    Ok(())
}

fn cooling(joint: &Joint, share: f64, shaft: Material) -> Vec<String> {
    let Some(contraction) = Contraction::of(shaft) else {
        return vec![line("cool shaft", format!("not tabled for {}", shaft.name()))];
    };
    let mut lines = Vec::new();
    let needed = contraction.colder_for(share);
    lines.push(match needed {
        Some(colder) => line(
            "cool shaft",
            format!(
                "to {:.0} °C from 20 °C ({}; estimate)",
                (20.0 - colder).floor(),
                shaft.name()
            ),
        ),
        None => line(
            "cool shaft",
            format!("can't be done by cold alone ({}; estimate)", shaft.name()),
        ),
    });
    for (coolant, temperature) in COOLANTS {
        let shrinks = contraction.share(20.0 - temperature);
        let enough = if shrinks >= share { "enough" } else { "not enough" };
        let micrometres = shrinks * joint.size.get::<micrometer>();
        lines.push(line(
            "",
            format!(
                "{coolant} at {temperature:.0} °C shrinks it {} µm: {enough}",
                number(micrometres, 3)
            ),
        ));
    }
    lines.push(line(
        "",
        "cold burns, and liquid nitrogen and dry ice take the place of air: gloves, face shield, an open door",
    ));
    lines
}

fn press(question: &FitQuestion, joint: &Joint, answer: &mut Answer) -> Result<(), ValueError> {
    let (Some(length), Some(outside)) = (&question.length, &question.outside) else {
        let what = "give `--length` of the joint and `--outside` diameter of the hub for pressure and force";
        answer.lines.push(line("press", what));
        return Ok(());
    };
    let bore = question
        .bore
        .as_ref()
        .map_or_else(|| Length::from_si(0.0), Written::quantity);
    if outside.quantity() <= joint.size || bore >= joint.size {
        answer.refused = true;
        answer.lines.push(line(
            "press",
            "the hub must be larger than the joint, and the bore of the shaft smaller",
        ));
        return Ok(());
    }
    let press = Press {
        joint: joint.size,
        outside: outside.quantity(),
        bore,
        length: length.quantity(),
        hub: Elastic::parse(material(question.hub.as_ref()))?,
        shaft: Elastic::parse(material(question.shaft.as_ref()))?,
    };
    let (least, greatest) = joint.interference();
    let (low, high) = (press.pressure(least), press.pressure(greatest));
    let friction = question.friction.map_or(FRICTION, |mu| (mu, mu));
    let mu = match friction {
        (a, b) if (a - b).abs() < f64::EPSILON => format!("µ {a}"),
        (a, b) => format!("µ {a} to {b}"),
    };
    let stress = (press.hub_stress(low), press.hub_stress(high));
    answer.lines.extend([
        line("pressure", format!("{} to {}", pressure(low), pressure(high))),
        line(
            "hub stress",
            format!("{} to {}, round its bore", pressure(stress.0), pressure(stress.1)),
        ),
        line(
            "press force",
            format!(
                "{} to {} ({mu})",
                force(press.force(low, friction.0)),
                force(press.force(high, friction.1))
            ),
        ),
        line(
            "holds",
            format!(
                "{} to {} N·m before it slips ({mu})",
                number(press.torque(low, friction.0).get::<newton_meter>(), 3),
                number(press.torque(high, friction.1).get::<newton_meter>(), 3)
            ),
        ),
        line(
            "estimate",
            "elastic thick cylinders; roughness takes some of the interference away, and friction is a range",
        ),
    ]);
    Ok(())
}
