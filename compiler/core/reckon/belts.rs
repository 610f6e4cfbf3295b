//! Belts by deflection and by frequency; backlash of gears against shims.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{MICROMETRES, MILLIMETRES, NEWTONS, Shown, places, span};
use super::tables::belt_forces;
use crate::answers::{Answer, line};
use crate::domain::quantity::Dimension;

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "belt-force",
        about: "force that deflects a classical V-belt by 1/64 of its span, new and used",
        inputs: &[
            Input::needed("section", "`A`, `B`, `C` or `D`", Wanted::Words),
            Input::needed(
                "pulley",
                "diameter of the smallest pulley",
                Wanted::Figure(Dimension::Length),
            ),
            Input::needed(
                "speed",
                "speed of the faster shaft",
                Wanted::Figure(Dimension::RotationalSpeed),
            ),
        ],
        work: belt_force,
    },
    Topic {
        name: "belt",
        about: "tension of a belt by deflection or by frequency, or what either must be",
        inputs: &[
            Input::known(
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
            Input::known(
                "centres",
                "distance of the shafts, instead of the span",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "large",
                "diameter of the larger pulley",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "small",
                "diameter of the smaller pulley",
                Wanted::Figure(Dimension::Length),
            ),
        ],
        work: belt,
    },
    Topic {
        name: "backlash",
        about: "how much backlash changes with a shim, or the shim for a change of backlash",
        inputs: &[
            Input::known(
                "factor",
                "the maker's backlash for a length moved, instead of angles",
                Wanted::Number,
            ),
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
    let mut lines = Vec::new();
    let mut answered = false;
    let free = match (
        given.known("span"),
        given.known("centres"),
        given.known("large"),
        given.known("small"),
    ) {
        (Some(span), ..) => span,
        (None, Some(centres), Some(large), Some(small)) => {
            if centres.low <= (large.high - small.low).abs() / 2.0 {
                return Err("the shafts are closer than the pulleys allow".to_string());
            }
            let free = Span::of([centres, large, small], |[centres, large, small]| {
                (centres.powi(2) - ((large - small) / 2.0).powi(2)).sqrt()
            });
            let shown = given.shown("centres", MILLIMETRES);
            lines.push(line(
                "span",
                format!("{}, √(C² − ((D − d)/2)²)", places(free, shown, 2)),
            ));
            answered = true;
            free
        }
        _ => return Err("give `span=…`, or `centres=…`, `large=…` and `small=…`".to_string()),
    };
    let shown = given.shown("span", given.shown("centres", MILLIMETRES));
    let fine = if shown.0 == "in" { 4 } else { 2 };
    let deflection = given.known("deflection").unwrap_or(Span {
        low: free.low / 64.0,
        usual: free.usual / 64.0,
        high: free.high / 64.0,
    });
    if given.known("deflection").is_none() {
        lines.push(line(
            "deflection",
            format!(
                "{}, 1/64 of the span (16 mm a metre; common practice of belt makers)",
                places(deflection, shown, fine)
            ),
        ));
    }
    if let Some(force) = given.known("force") {
        let tension = Span::of([force, free, deflection], |[force, free, deflection]| {
            force * free / (4.0 * deflection)
        });
        lines.push(line(
            "tension",
            format!("{} in one strand, F L / (4 y)", span(tension, NEWTONS, 3)),
        ));
        answered = true;
    }
    if let (Some(mass), Some(frequency)) = (given.known("mass"), given.known("frequency")) {
        let tension = Span::of([mass, free, frequency], |[mass, free, frequency]| {
            4.0 * mass * free.powi(2) * frequency.powi(2)
        });
        lines.push(line(
            "tension",
            format!("{} in one strand, 4 m L² f²", span(tension, NEWTONS, 3)),
        ));
        answered = true;
    }
    if let Some(tension) = given.known("tension") {
        let force = Span::of([tension, free, deflection], |[tension, free, deflection]| {
            4.0 * tension * deflection / free
        });
        lines.push(line(
            "force",
            format!(
                "{} across the middle for that deflection, 4 T y / L",
                span(force, NEWTONS, 3)
            ),
        ));
        if let Some(mass) = given.known("mass") {
            let frequency = Span::of([tension, mass, free], |[tension, mass, free]| {
                (tension / mass).sqrt() / (2.0 * free)
            });
            lines.push(line(
                "frequency",
                format!("{} plucked, √(T/m) / (2 L)", span(frequency, HERTZ, 3)),
            ));
        }
        answered = true;
    }
    // The deflection that a force is held against is an answer of its own.
    answered |= given.known("deflection").is_none() && given.known("force").is_none();
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
    let rate = Span::of([angle, cone], |[angle, cone]| 2.0 * angle.tan() * cone.sin());
    let form = if given.known("cone").is_some() {
        "2 tan α sin δ"
    } else {
        "2 tan α"
    };
    let (rate, form) = match given.known("factor") {
        Some(factor) if factor.low > 0.0 => (factor, "the maker's factor"),
        Some(_) => return Err("`factor` must be above nought".to_string()),
        None => (rate, form),
    };
    let mut lines = vec![line(
        "rate",
        format!("{:.3} of backlash a length moved, {form}", rate.usual),
    )];
    match (given.known("shim"), given.known("change")) {
        (Some(shim), None) => {
            let change = Span::of([shim, rate], |[shim, rate]| shim * rate);
            lines.push(line(
                "backlash",
                format!("changes by {} round the pitch circle", places(change, MICROMETRES, 0)),
            ));
        }
        (None, Some(change)) => {
            let shim = Span::of([change, rate], |[change, rate]| change / rate);
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

fn belt_force(given: &Given) -> Result<Answer, String> {
    given.positive(&["pulley", "speed"])?;
    let section = given.words("section").unwrap_or_default().trim().to_ascii_uppercase();
    let pulley = given.span("pulley")?.usual / 0.0254;
    let speed = given.span("speed")?.usual * 30.0 / std::f64::consts::PI;
    let row = belt_forces().iter().find(|row| {
        let pulleys = row.pulley_low - 0.05..=row.pulley_high + 0.05;
        let speeds = row.speed_low - 0.5..=row.speed_high + 0.5;
        row.section == section && pulleys.contains(&pulley) && speeds.contains(&speed)
    });
    let row = row
        .ok_or_else(|| format!("the tables hold no force for section {section} on {pulley:.1} in at {speed:.0} rpm"))?;
    let newtons = |pounds: f64| pounds * 4.448_221_615_260_5;
    Ok(Answer {
        lines: vec![
            line("new", format!("{} lbf ({:.1} N)", row.new, newtons(row.new))),
            line("used", format!("{} lbf ({:.1} N)", row.used, newtons(row.used))),
            line("", "across the middle of the span, for a deflection of 1/64 of it"),
            line("source", &row.source),
        ],
        refused: false,
    })
}
