//! Belts by deflection and by frequency; backlash of gears against shims.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{MICROMETRES, MILLIMETRES, NEWTONS, Shown, places, span};
use crate::answers::{Answer, line};
use crate::domain::quantity::Dimension;

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "belt",
        about: "tension of a belt by deflection or by frequency, or what either must be",
        inputs: &[
            Input::needed(
                "span",
                "free span between the pulleys",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "force",
                "force across the middle of the span",
                Wanted::Figure(Dimension::Force),
            ),
            Input::known(
                "deflection",
                "deflection under it (1/64 of the span if not given)",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "mass",
                "mass a length of the belt",
                Wanted::Figure(Dimension::LinearDensity),
            ),
            Input::known(
                "frequency",
                "frequency of the plucked span",
                Wanted::Figure(Dimension::Frequency),
            ),
            Input::known(
                "tension",
                "tension wanted in one strand",
                Wanted::Figure(Dimension::Force),
            ),
        ],
        work: belt,
    },
    Topic {
        name: "backlash",
        about: "how much backlash changes with a shim, or the shim for a change of backlash",
        inputs: &[
            Input::known("shim", "how far the gear is moved", Wanted::Figure(Dimension::Length)),
            Input::known("change", "change of backlash wanted", Wanted::Figure(Dimension::Length)),
            Input::known(
                "pressure-angle",
                "pressure angle (20° if not given)",
                Wanted::Figure(Dimension::Angle),
            ),
            Input::known(
                "cone",
                "pitch cone angle of a bevel gear moved along its axis; a spur gear moved apart has none",
                Wanted::Figure(Dimension::Angle),
            ),
        ],
        work: backlash,
    },
];

const HERTZ: Shown = Shown("Hz", 1.0);

fn belt(given: &Given) -> Result<Answer, String> {
    given.positive(&["span", "force", "deflection", "mass", "frequency", "tension"])?;
    let free = given.span("span")?;
    let deflection = given.known("deflection").unwrap_or(Span {
        low: free.low / 64.0,
        usual: free.usual / 64.0,
        high: free.high / 64.0,
    });
    let mut lines = Vec::new();
    if given.known("deflection").is_none() {
        lines.push(line(
            "deflection",
            format!(
                "{}, 1/64 of the span (16 mm a metre; common practice of belt makers)",
                places(deflection, MILLIMETRES, 2)
            ),
        ));
    }
    let mut answered = false;
    if let Some(force) = given.known("force") {
        let tension = Span::of(&[force, free, deflection], |v| v[0] * v[1] / (4.0 * v[2]));
        lines.push(line(
            "tension",
            format!("{} in one strand, F L / (4 y)", span(tension, NEWTONS, 3)),
        ));
        answered = true;
    }
    if let (Some(mass), Some(frequency)) = (given.known("mass"), given.known("frequency")) {
        let tension = Span::of(&[mass, free, frequency], |v| 4.0 * v[0] * v[1].powi(2) * v[2].powi(2));
        lines.push(line(
            "tension",
            format!("{} in one strand, 4 m L² f²", span(tension, NEWTONS, 3)),
        ));
        answered = true;
    }
    if let Some(tension) = given.known("tension") {
        let force = Span::of(&[tension, free, deflection], |v| 4.0 * v[0] * v[2] / v[1]);
        lines.push(line(
            "force",
            format!(
                "{} across the middle for that deflection, 4 T y / L",
                span(force, NEWTONS, 3)
            ),
        ));
        if let Some(mass) = given.known("mass") {
            let frequency = Span::of(&[tension, mass, free], |v| (v[0] / v[1]).sqrt() / (2.0 * v[2]));
            lines.push(line(
                "frequency",
                format!("{} plucked, √(T/m) / (2 L)", span(frequency, HERTZ, 3)),
            ));
        }
        answered = true;
    }
    if !answered {
        return Err("give `force=…` (and `deflection=…`), or `mass=…` and `frequency=…`, or `tension=…`".to_string());
    }
    lines.push(line(
        "estimate",
        "the belt's own stiffness is left out: on a short span it adds to what is read",
    ));
    Ok(Answer { lines, refused: false })
}

fn backlash(given: &Given) -> Result<Answer, String> {
    let angle = given
        .known("pressure-angle")
        .unwrap_or(Span::one(20.0_f64.to_radians()));
    let right = std::f64::consts::FRAC_PI_2;
    let cone = given.known("cone");
    if angle.low <= 0.0 || angle.high >= right || cone.is_some_and(|c| c.low <= 0.0 || c.high > right) {
        return Err("an angle must lie above 0° and below 90°".to_string());
    }
    let cone = cone.unwrap_or(Span::one(right));
    let rate = Span::of(&[angle, cone], |v| 2.0 * v[0].tan() * v[1].sin());
    let form = if given.known("cone").is_some() {
        "2 tan α sin δ"
    } else {
        "2 tan α"
    };
    let mut lines = vec![line(
        "rate",
        format!("{:.3} of backlash a length moved, {form}", rate.usual),
    )];
    match (given.known("shim"), given.known("change")) {
        (Some(shim), None) => {
            let change = Span::of(&[shim, rate], |v| v[0] * v[1]);
            lines.push(line(
                "backlash",
                format!("changes by {} round the pitch circle", places(change, MICROMETRES, 0)),
            ));
        }
        (None, Some(change)) => {
            let shim = Span::of(&[change, rate], |v| v[0] / v[1]);
            lines.push(line("shim", format!("changes by {}", places(shim, MILLIMETRES, 3))));
        }
        _ => return Err("give either `shim=…` or `change=…`".to_string()),
    }
    lines.push(line(
        "estimate",
        "straight teeth at their pitch circle; spiral teeth differ, and the pattern decides",
    ));
    Ok(Answer { lines, refused: false })
}
