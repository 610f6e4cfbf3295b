//! Readings put right: run-out, temperature, certificates, guard bands.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{MICROMETRES, MILLIMETRES, NEWTON_METRES, Shown, places, span};
use crate::answers::{Answer, line, number};
use crate::domain::limit::Limit;
use crate::domain::quantity::{Dimension, Measure};
use crate::domain::thermal::Material;
use rust_decimal::prelude::ToPrimitive;

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "clearance",
        about: "least and greatest clearance of a hole and a shaft by their limits",
        inputs: &[
            Input::needed("hole", "limits of the hole", Wanted::Figure(Dimension::Length)),
            Input::needed("shaft", "limits of the shaft", Wanted::Figure(Dimension::Length)),
        ],
        work: clearance,
    },
    Topic {
        name: "growth",
        about: "how much a size grows from one temperature to another, and what materials expand by",
        inputs: &[
            Input::known("size", "the size", Wanted::Figure(Dimension::Length)),
            Input::known("material", "material of the part", Wanted::Words),
            Input::known(
                "coefficient",
                "expansion in millionths a kelvin, instead of a material",
                Wanted::Number,
            ),
            Input::known(
                "from",
                "temperature before (20 °C if not given)",
                Wanted::Figure(Dimension::Temperature),
            ),
            Input::known("to", "temperature after", Wanted::Figure(Dimension::Temperature)),
        ],
        work: growth,
    },
    Topic {
        name: "run-out",
        about: "eccentricity from a full indicator reading",
        inputs: &[
            Input::known(
                "tir",
                "full indicator movement over a turn, or a difference across",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "greatest",
                "greatest reading, instead of it",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known("least", "least reading", Wanted::Figure(Dimension::Length)),
        ],
        work: run_out,
    },
    Topic {
        name: "at-20",
        about: "a reading corrected to 20 °C, part and gauge apart",
        inputs: &[
            Input::needed("reading", "what the gauge shows", Wanted::Figure(Dimension::Length)),
            Input::needed("material", "material of the part", Wanted::Words),
            Input::needed(
                "temperature",
                "temperature of the part",
                Wanted::Figure(Dimension::Temperature),
            ),
            Input::known(
                "gauge",
                "material of the gauge (carbon steel if not given)",
                Wanted::Words,
            ),
            Input::known(
                "gauge-temperature",
                "temperature of the gauge (that of the part if not given)",
                Wanted::Figure(Dimension::Temperature),
            ),
        ],
        work: at_20,
    },
    Topic {
        name: "certificate",
        about: "what to set or what was meant, from a wrench's or gauge's certificate",
        inputs: &[
            Input::needed(
                "error",
                "deviation on the certificate: `-3 %` reads low, `+3 %` reads high",
                Wanted::Number,
            ),
            Input::known("torque", "torque wanted at the bolt", Wanted::Figure(Dimension::Torque)),
            Input::known("reading", "torque that was read", Wanted::Figure(Dimension::Torque)),
        ],
        work: certificate,
    },
    Topic {
        name: "guard-band",
        about: "what may be accepted when a measurement has an uncertainty (ISO 14253-1)",
        inputs: &[
            Input::needed(
                "limit",
                "the limit, such as `24.98..25.00 mm` or `max 0.05 mm`",
                Wanted::Words,
            ),
            Input::known("reading", "a reading, for its verdict", Wanted::Words),
            Input::needed(
                "uncertainty",
                "expanded uncertainty U (k = 2) of the measurement",
                Wanted::Words,
            ),
        ],
        work: guard_band,
    },
];

fn run_out(given: &Given) -> Result<Answer, String> {
    let shown = given.shown("tir", given.shown("greatest", MILLIMETRES));
    let tir = match (given.known("tir"), given.known("greatest"), given.known("least")) {
        (Some(tir), None, None) => tir,
        (None, Some(greatest), Some(least)) => Span::of([greatest, least], |[greatest, least]| greatest - least),
        _ => return Err("give `tir=…`, or `greatest=…` and `least=…`".to_string()),
    };
    if tir.low < 0.0 {
        return Err("`tir` is a movement, so it can't be below nought".to_string());
    }
    let half = Span {
        low: tir.low / 2.0,
        usual: tir.usual / 2.0,
        high: tir.high / 2.0,
    };
    Ok(Answer {
        lines: vec![
            line("tir", format!("{}, greatest − least", places(tir, shown, 4))),
            line(
                "eccentricity",
                format!("{}, half of the full indicator movement", places(half, shown, 5)),
            ),
            line(
                "",
                "of a round surface: out-of-round and a tilted face read as run-out too",
            ),
        ],
        refused: false,
    })
}

fn clearance(given: &Given) -> Result<Answer, String> {
    let found = Span::of([given.span("hole")?, given.span("shaft")?], |[hole, shaft]| {
        hole - shaft
    });
    let shown = given.shown("hole", MILLIMETRES);
    let fine = if shown.0 == "in" { 5 } else { 4 };
    let mut lines = vec![line(
        "clearance",
        format!("{}, hole − shaft", places(found, shown, fine)),
    )];
    if found.low < 0.0 {
        let what = if found.high <= 0.0 {
            "interference always"
        } else {
            "interference at the least"
        };
        lines.push(line("", what));
    }
    Ok(Answer { lines, refused: false })
}

fn growth(given: &Given) -> Result<Answer, String> {
    let mut lines = Vec::new();
    let alpha = match (given.known("coefficient"), given.words("material")) {
        (Some(millionths), None) => Span::of([millionths], |[millionths]| millionths * 1e-6),
        (None, Some(name)) => {
            let (material, alpha) = expansion(name)?;
            let shown = span(alpha, Shown("× 10⁻⁶/K", 1e-6), 4);
            lines.push(line(
                "expansion",
                format!("{shown}, {}: {}", material.name(), material.source()),
            ));
            alpha
        }
        _ => return Err("give either `material=…` or `coefficient=…`".to_string()),
    };
    if let (Some(size), Some(to)) = (given.known("size"), given.known("to")) {
        let from = given.known("from").unwrap_or(Span::one(TWENTY));
        let grows = Span::of([size, alpha, from, to], |[size, alpha, from, to]| {
            size * alpha * (to - from)
        });
        let shown = given.shown("size", MILLIMETRES);
        lines.push(line(
            "grows",
            format!("{} ({}), d α ΔT", span(grows, shown, 4), span(grows, MICROMETRES, 4)),
        ));
    }
    if lines.is_empty() {
        return Err("give `size=…` and `to=…` for the growth".to_string());
    }
    Ok(Answer { lines, refused: false })
}

/// Coefficient of a material, 1/K.
fn expansion(name: &str) -> Result<(Material, Span), String> {
    let material = Material::parse(name).map_err(|error| format!("{}; {}", error.message(), error.help()))?;
    let (low, high) = material.expansion_range();
    let of = |coefficient: uom::si::f64::TemperatureCoefficient| {
        coefficient.get::<uom::si::temperature_coefficient::per_kelvin>()
    };
    Ok((
        material,
        Span {
            low: of(low),
            usual: of(material.expansion()),
            high: of(high),
        },
    ))
}

const TWENTY: f64 = 293.15;

fn at_20(given: &Given) -> Result<Answer, String> {
    let reading = given.span("reading")?;
    let temperature = given.span("temperature")?;
    let gauge_temperature = given.known("gauge-temperature").unwrap_or(temperature);
    let (part, part_alpha) = expansion(given.words("material").unwrap_or_default())?;
    let (gauge, gauge_alpha) = expansion(given.words("gauge").unwrap_or("carbon steel"))?;
    let apart = given.known("gauge-temperature").is_some();
    let worked = |f: &dyn Fn([f64; 5]) -> f64| {
        if apart {
            Span::of([reading, part_alpha, gauge_alpha, temperature, gauge_temperature], f)
        } else {
            Span::of([reading, part_alpha, gauge_alpha, temperature], |[l, ap, ag, t]| {
                f([l, ap, ag, t, t])
            })
        }
    };
    // The gauge has grown too, so it reads short: true at t = reading (1 + αg ΔTg), at 20 °C that over (1 + αp ΔTp).
    let size = |[l, ap, ag, tp, tg]: [f64; 5]| l * (1.0 + ag * (tg - TWENTY)) / (1.0 + ap * (tp - TWENTY));
    let at = worked(&size);
    // A tenth of a micrometre, or of what an inch micrometer reads.
    let fine = if given.shown("reading", MILLIMETRES).0 == "in" {
        5
    } else {
        4
    };
    let correction = worked(&|values @ [l, ..]| size(values) - l);
    Ok(Answer {
        lines: vec![
            line(
                "at 20 °C",
                format!(
                    "{}, reading (1 + αg ΔTg) / (1 + αp ΔTp)",
                    places(at, given.shown("reading", MILLIMETRES), fine)
                ),
            ),
            line("correction", places(correction, MICROMETRES, 1)),
            line("part", format!("{}: {}", part.name(), part.source())),
            line("gauge", format!("{}: {}", gauge.name(), gauge.source())),
            line("source", "ISO 1: sizes are at 20 °C"),
        ],
        refused: false,
    })
}

fn certificate(given: &Given) -> Result<Answer, String> {
    let error = given.span("error")?;
    if error.low <= -0.5 || error.high >= 0.5 {
        return Err(
            "a deviation of half and more is no certificate's: write `-3 %` where it reads 3 % low".to_string(),
        );
    }
    let reads = if error.usual < 0.0 { "low" } else { "high" };
    let share = number(error.usual.abs() * 100.0, 3);
    let mut lines = vec![line(
        "deviation",
        format!("reads {share} % {reads}: (shown − true) / true, ISO 6789"),
    )];
    let mut answered = false;
    if let Some(torque) = given.known("torque") {
        let set = Span::of([torque, error], |[torque, error]| torque * (1.0 + error));
        lines.push(line(
            "set",
            format!(
                "{} for that torque, wanted × (1 + deviation)",
                span(set, given.shown("torque", NEWTON_METRES), 4)
            ),
        ));
        answered = true;
    }
    if let Some(reading) = given.known("reading") {
        let meant = Span::of([reading, error], |[reading, error]| reading / (1.0 + error));
        lines.push(line(
            "was",
            format!(
                "{} at the bolt, reading / (1 + deviation)",
                span(meant, given.shown("reading", NEWTON_METRES), 4)
            ),
        ));
        answered = true;
    }
    if !answered {
        return Err("give `torque=…` (wanted) or `reading=…` (shown)".to_string());
    }
    Ok(Answer { lines, refused: false })
}

/// 1.65 standard uncertainties on one side are 95 % (ISO 14253-1:2017); U is two of them.
const DEFAULT_SHARE: f64 = 0.825;

fn guard_band(given: &Given) -> Result<Answer, String> {
    let words = |error: crate::domain::quantity::ValueError| format!("{}; {}", error.message(), error.help());
    let limit = Limit::parse(given.words("limit").unwrap_or_default()).map_err(words)?;
    let text = given.words("uncertainty").unwrap_or_default();
    let measure = Measure::parse_any_of(text.trim_start_matches(['±', ' ']), &[limit.dimension()]).map_err(words)?;
    let unit = limit.unit();
    let of = |measure: &Measure| unit_value(measure, unit);
    let uncertainty = measure
        .unit()
        .convert_difference(measure.value(), unit)
        .and_then(|value| value.to_f64())
        .filter(|value| *value >= 0.0)
        .ok_or("`uncertainty` must be nought or above")?;
    let low = limit.bounds().low.as_ref().and_then(of);
    let high = limit.bounds().high.as_ref().and_then(of);
    // Enough places to see the guard band beside the limit.
    let written = [&limit.bounds().low, &limit.bounds().high]
        .into_iter()
        .flatten()
        .map(|b| -b.figure().place())
        .max()
        .unwrap_or(0);
    let fine = if uncertainty > 0.0 {
        1 - uncertainty.log10().floor() as i32
    } else {
        0
    };
    let decimals = usize::try_from(written.max(fine).max(0)).unwrap_or(0).min(9);
    let zone = |band: f64, inward: bool| {
        let sign = if inward { 1.0 } else { -1.0 };
        let figure = |value: f64| format!("{value:.decimals$}");
        match (low.map(|l| l + sign * band), high.map(|h| h - sign * band)) {
            (Some(low), Some(high)) if low > high => None,
            (Some(low), Some(high)) => {
                let range = format!("{} to {} {unit}", figure(low), figure(high));
                Some(if inward { range } else { format!("outside {range}") })
            }
            (Some(low), None) if inward => Some(format!("min {} {unit}", figure(low))),
            (None, Some(high)) if inward => Some(format!("max {} {unit}", figure(high))),
            (Some(low), None) => Some(format!("below {} {unit}", figure(low))),
            (None, Some(high)) => Some(format!("above {} {unit}", figure(high))),
            (None, None) => None,
        }
    };
    let mut lines = vec![line("limit", limit.to_string())];
    let full = zone(uncertainty, true);
    let nothing = "nothing: the uncertainty is as wide as the limit, take a better gauge";
    lines.push(line(
        "accept",
        format!(
            "{} (limits less U: ISO 14253-1:2013)",
            full.as_deref().unwrap_or(nothing)
        ),
    ));
    let usual = zone(uncertainty * DEFAULT_SHARE, true);
    lines.push(line(
        "or",
        format!(
            "{} (95 % one-sided, 1.65 u = 0.825 U: default of ISO 14253-1:2017)",
            usual.as_deref().unwrap_or(nothing)
        ),
    ));
    if let Some(beyond) = zone(uncertainty, false) {
        lines.push(line(
            "reject",
            format!("{beyond} (limits plus U); between, neither is proved"),
        ));
    }
    if let (Some(low), Some(high)) = (low, high)
        && uncertainty > 0.0
    {
        lines.push(line(
            "ratio",
            format!("{:.2}, half the limit's width over U", (high - low) / 2.0 / uncertainty),
        ));
    }
    let mut refused = full.is_none() && usual.is_none();
    if let Some(text) = given.words("reading") {
        let reading = Measure::parse_any_of(text, &[limit.dimension()]).map_err(words)?;
        let value = of(&reading).ok_or("`reading` is out of range")?;
        let inside = |band: f64| low.is_none_or(|l| value >= l + band) && high.is_none_or(|h| value <= h - band);
        let (verdict, out) = match (inside(uncertainty), inside(0.0), inside(-uncertainty)) {
            (true, ..) => ("pass: proved", false),
            (false, true, _) => ("inside the limits but not proved (a conditional pass)", false),
            (false, false, true) => ("outside the limits but not proved (a conditional fail)", true),
            _ => ("fail: proved", true),
        };
        let bare = if inside(0.0) { "pass" } else { "fail" };
        lines.push(line("verdict", verdict));
        lines.push(line("bare", format!("{bare} with no guard band at all")));
        refused |= out;
    }
    Ok(Answer { lines, refused })
}

fn unit_value(measure: &Measure, unit: crate::domain::quantity::Unit) -> Option<f64> {
    measure.unit().convert(measure.value(), unit)?.to_f64()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::Kind;

    #[test]
    fn twenty_degrees_is_twenty_degrees() {
        let twenty = Measure::parse("20 °C")
            .unwrap()
            .quantity::<uom::si::f64::ThermodynamicTemperature>()
            .unwrap();
        assert!((twenty.si() - TWENTY).abs() < 1e-9);
    }
}
