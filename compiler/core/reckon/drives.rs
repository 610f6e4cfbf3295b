//! Turning: power, torque and speed; surface speed.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{NEWTON_METRES, Shown, span};
use crate::answers::{Answer, line};
use crate::domain::quantity::Dimension;

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "power",
        about: "power, torque or rotational speed from the other two",
        inputs: &[
            Input::known("torque", "torque", Wanted::Figure(Dimension::Torque)),
            Input::known("speed", "rotational speed", Wanted::Figure(Dimension::RotationalSpeed)),
            Input::known("power", "power", Wanted::Figure(Dimension::Power)),
        ],
        work: power,
    },
    Topic {
        name: "surface-speed",
        about: "surface speed from diameter and rotational speed, or the reverse",
        inputs: &[
            Input::needed("diameter", "diameter", Wanted::Figure(Dimension::Length)),
            Input::known("speed", "rotational speed", Wanted::Figure(Dimension::RotationalSpeed)),
            Input::known("surface", "surface speed", Wanted::Figure(Dimension::Speed)),
        ],
        work: surface_speed,
    },
];

const KILOWATTS: Shown = Shown("kW", 1e3);
const HORSEPOWER: Shown = Shown("hp", 745.699_871_582_270_2);
const RPM: Shown = Shown("rpm", std::f64::consts::PI / 30.0);

fn power(given: &Given) -> Result<Answer, String> {
    given.positive(&["torque", "speed", "power"])?;
    let of = |name| given.known(name);
    let text = match (of("torque"), of("speed"), of("power")) {
        (Some(torque), Some(speed), None) => {
            let power = Span::of([torque, speed], |[torque, speed]| torque * speed);
            format!("{} ({}), M ω", span(power, KILOWATTS, 4), span(power, HORSEPOWER, 4))
        }
        (None, Some(speed), Some(power)) => {
            let torque = Span::of([power, speed], |[power, speed]| power / speed);
            return Ok(one("torque", format!("{}, P / ω", span(torque, NEWTON_METRES, 4))));
        }
        (Some(torque), None, Some(power)) => {
            let speed = Span::of([power, torque], |[power, torque]| power / torque);
            return Ok(one("speed", format!("{}, P / M", span(speed, RPM, 4))));
        }
        _ => return Err("give two of `torque=…`, `speed=…` and `power=…`".to_string()),
    };
    Ok(one("power", text))
}

fn surface_speed(given: &Given) -> Result<Answer, String> {
    given.positive(&["diameter", "speed", "surface"])?;
    let diameter = given.span("diameter")?;
    match (given.known("speed"), given.known("surface")) {
        (Some(speed), None) => {
            let surface = Span::of([diameter, speed], |[diameter, speed]| diameter / 2.0 * speed);
            let metres = span(surface, Shown("m/s", 1.0), 4);
            Ok(one(
                "surface",
                format!("{metres} ({}), π d n", span(surface, Shown("m/min", 1.0 / 60.0), 4)),
            ))
        }
        (None, Some(surface)) => {
            let speed = Span::of([surface, diameter], |[surface, diameter]| 2.0 * surface / diameter);
            Ok(one("speed", format!("{}, v / (π d)", span(speed, RPM, 4))))
        }
        _ => Err("give either `speed=…` or `surface=…`".to_string()),
    }
}

fn one(name: &str, text: String) -> Answer {
    Answer {
        lines: vec![line(name, text)],
        refused: false,
    }
}
