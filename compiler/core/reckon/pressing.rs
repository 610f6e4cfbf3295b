//! A press fit by its figures: pressure, stress, force, torque.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{KILONEWTONS, MEGAPASCALS, NEWTON_METRES, PSI, span};
use crate::answers::{Answer, line};
use crate::domain::fit::press::{Elastic, Press};
use crate::domain::quantity::{Dimension, Kind};
use uom::si::f64::{Length, Pressure};

pub const TOPICS: &[Topic] = &[Topic {
    name: "press-fit",
    about: "pressure, hub stress, press force and torque of an interference given in figures",
    inputs: &[
        Input::needed("joint", "diameter of the joint", Wanted::Figure(Dimension::Length)),
        Input::needed(
            "outside",
            "outside diameter of the hub",
            Wanted::Figure(Dimension::Length),
        ),
        Input::known(
            "interference",
            "interference on the diameter",
            Wanted::Figure(Dimension::Length),
        ),
        Input::known(
            "pressure",
            "contact pressure, instead of it",
            Wanted::Figure(Dimension::Pressure),
        ),
        Input::known(
            "bore",
            "bore of the shaft, if it is hollow",
            Wanted::Figure(Dimension::Length),
        ),
        Input::known(
            "length",
            "length of the joint, for the force",
            Wanted::Figure(Dimension::Length),
        ),
        Input::known("friction", "coefficient of friction, for the force", Wanted::Number),
        Input::known("hub", "material of the hub (carbon steel if not given)", Wanted::Words),
        Input::known(
            "shaft",
            "material of the shaft (carbon steel if not given)",
            Wanted::Words,
        ),
        Input::known(
            "modulus",
            "Young's modulus of both, instead of that of their materials",
            Wanted::Figure(Dimension::Pressure),
        ),
    ],
    work: press_fit,
}];

fn press_fit(given: &Given) -> Result<Answer, String> {
    given.positive(&["joint", "outside", "length", "friction", "modulus"])?;
    let (joint, outside) = (given.span("joint")?, given.span("outside")?);
    let bore = given.known("bore").unwrap_or(Span::one(0.0));
    if outside.low <= joint.high || bore.high >= joint.low || bore.low < 0.0 {
        return Err("the hub must be larger than the joint, and the bore of the shaft smaller".to_string());
    }
    let elastic = |name: &str| {
        Elastic::parse(given.words(name).unwrap_or("carbon steel"))
            .map_err(|error| format!("in `{name}`: {}; {}", error.message(), error.help()))
    };
    let (hub, shaft) = (elastic("hub")?, elastic("shaft")?);
    let length = given.known("length").unwrap_or(Span::one(0.0));
    let press = |[joint, outside, bore, length]: [f64; 4]| Press {
        joint: Length::from_si(joint),
        outside: Length::from_si(outside),
        bore: Length::from_si(bore),
        length: Length::from_si(length),
        hub,
        shaft,
    };
    let mut lines = Vec::new();
    let pressure = match (given.known("interference"), given.known("pressure")) {
        (Some(interference), None) => {
            let own = hub.modulus().si();
            let modulus = given.known("modulus");
            // Both parts of one modulus: the pressure goes with it, Poisson's ratios being those of the materials.
            let found = Span::of([joint, outside, bore, length, interference], |[sizes @ .., over]| {
                press(sizes).pressure(Length::from_si(over)).si()
            });
            if modulus.is_some() && hub.name() != shaft.name() {
                return Err("`modulus` is of both parts: leave out `hub` and `shaft`, or the modulus".to_string());
            }
            let found = modulus.map_or(found, |modulus| {
                Span::of([found, modulus], |[found, modulus]| found * modulus / own)
            });
            lines.push(line(
                "pressure",
                format!("{} ({})", span(found, MEGAPASCALS, 4), span(found, PSI, 4)),
            ));
            found
        }
        (None, Some(pressure)) => pressure,
        _ => return Err("give either `interference=…` or `pressure=…`".to_string()),
    };
    let stress = Span::of([joint, outside, bore, length, pressure], |[sizes @ .., p]| {
        press(sizes).hub_stress(Pressure::from_si(p)).si()
    });
    let stress_line = format!(
        "{} ({}), round its bore",
        span(stress, MEGAPASCALS, 4),
        span(stress, PSI, 4)
    );
    lines.push(line("hub stress", stress_line));
    if given.known("length").is_some() {
        let friction = given.known("friction").unwrap_or(Span::between(0.08, 0.16));
        let values = [joint, outside, bore, length, pressure, friction];
        let force = Span::of(values, |[sizes @ .., p, mu]| {
            press(sizes).force(Pressure::from_si(p), mu).si()
        });
        let torque = Span::of(values, |[sizes @ .., p, mu]| {
            press(sizes).torque(Pressure::from_si(p), mu).si()
        });
        lines.push(line(
            "press force",
            format!("{}, µ p π d L", span(force, KILONEWTONS, 4)),
        ));
        lines.push(line(
            "holds",
            format!("{} before it slips", span(torque, NEWTON_METRES, 4)),
        ));
    }
    lines.push(line(
        "estimate",
        "elastic thick cylinders; roughness takes some of the interference away, and friction is a range",
    ));
    Ok(Answer { lines, refused: false })
}
