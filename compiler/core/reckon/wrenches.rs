//! Torque wrenches: which to take and where on its scale, what an adapter changes, how far a tool is off.

use super::Topic;
use super::asked::words;
use super::given::{Given, Input, Span, Wanted};
use super::show::{NEWTON_METRES, PER_CENT, span};
use super::tables::wrench_sizes;
use crate::answers::{Answer, line};
use crate::domain::limit::Interval;
use crate::domain::quantity::{Dimension, Kind};
use crate::domain::tool::{Adapter, deviation};
use uom::si::f64::{Angle, Length, Torque};

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "wrench-scale",
        about: "the best part of a torque wrench's scale",
        inputs: &[Input::needed(
            "range",
            "its range, such as `15..75 lbf·ft`",
            Wanted::Figure(Dimension::Torque),
        )],
        work: wrench_scale,
    },
    Topic {
        name: "wrench-size",
        about: "the size of torque wrench that is recommended for a torque",
        inputs: &[Input::needed(
            "torque",
            "torque wanted at the wrench",
            Wanted::Figure(Dimension::Torque),
        )],
        work: wrench_size,
    },
    Topic {
        name: "adapter",
        about: "what to set with an offset adapter on, or what a setting came to at the bolt",
        inputs: &[
            Input::known("torque", "torque wanted at the bolt", Wanted::Figure(Dimension::Torque)),
            Input::known(
                "setting",
                "what the wrench was set to or showed",
                Wanted::Figure(Dimension::Torque),
            ),
            Input::needed(
                "wrench",
                "length of the wrench, drive to the middle of the grip",
                Wanted::Figure(Dimension::Length),
            ),
            Input::needed(
                "offset",
                "offset of the adapter, drive to bolt",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "angle",
                "between adapter and straight ahead of the wrench (0° if not given, 180° points back)",
                Wanted::Figure(Dimension::Angle),
            ),
        ],
        work: adapter,
    },
    Topic {
        name: "tool-deviation",
        about: "how far a torque tool is off against a reference, and how far its standard lets it be",
        inputs: &[
            Input::known("shown", "what the tool showed", Wanted::Figure(Dimension::Torque)),
            Input::known(
                "reference",
                "what the reference showed at the same time",
                Wanted::Figure(Dimension::Torque),
            ),
            Input::known(
                "kind",
                "kind of tool, such as `torque screwdriver`; `?` lists them",
                Wanted::Words,
            ),
            Input::known(
                "maximum",
                "where its scale ends (the torque shown if not given)",
                Wanted::Figure(Dimension::Torque),
            ),
        ],
        work: tool_deviation,
    },
];

fn wrench_scale(given: &Given) -> Result<Answer, String> {
    let range = given.span("range")?;
    if range.is_one() || range.low < 0.0 {
        return Err("`range` needs both ends, such as `15..75 lbf·ft`".to_string());
    }
    let quarter = (range.high - range.low) / 4.0;
    let best = Span::between(range.low + quarter, range.high - quarter);
    let shown = given.shown("range", NEWTON_METRES);
    Ok(Answer {
        lines: vec![
            line(
                "best",
                format!("{}, the middle half of its scale", span(best, shown, 3)),
            ),
            line(
                "source",
                "US Army TB 43-0218, table 3-1; other manuals say 20 to 90 % and 30 to 80 % of full scale",
            ),
        ],
        refused: false,
    })
}

/// A part in a billion: the ends of the table belong to it, whatever unit they are asked in.
const SLACK: f64 = 1e-9;

fn wrench_size(given: &Given) -> Result<Answer, String> {
    given.positive(&["torque"])?;
    let torque = given.span("torque")?;
    let mut lines = Vec::new();
    for row in wrench_sizes() {
        let text = format!("{}..{} {}", row.low, row.high, row.unit);
        let range = Interval::parse(&text, &[Dimension::Torque]).map_err(words)?;
        let (low, high) = (range.low().si(), range.high().si());
        if torque.low >= low * (1.0 - SLACK) && torque.high <= high * (1.0 + SLACK) {
            lines.push(line("wrench", format!("{}, taken for {range}", row.wrench)));
            lines.push(line("source", &row.source));
        }
    }
    if lines.is_empty() {
        return Err("the table has no one wrench for that torque: it ends at 1000 lbf·ft (1356 N·m), and a range must lie in one row".to_string());
    }
    lines.push(line(
        "",
        "whatever reaches it near the middle of its scale will do: `reckon wrench-scale` tells of one",
    ));
    Ok(Answer { lines, refused: false })
}

fn adapter(given: &Given) -> Result<Answer, String> {
    given.positive(&["torque", "setting", "wrench", "offset"])?;
    let (wrench, offset) = (given.span("wrench")?, given.span("offset")?);
    let angle = given.known("angle").unwrap_or(Span::one(0.0));
    // Within half a turn the cosine only falls, so the ends of a range are the ends of the answer.
    if angle.low < 0.0 || angle.high > std::f64::consts::PI + SLACK {
        return Err("`angle` must lie between 0° (straight ahead) and 180° (pointing back)".to_string());
    }
    let at = |[torque, wrench, offset, angle]: [f64; 4]| {
        let adapter = Adapter {
            offset: Length::from_si(offset),
            angle: Angle::from_si(angle),
        };
        (adapter, Torque::from_si(torque), Length::from_si(wrench))
    };
    let mut lines = Vec::new();
    let mut answer = |name: &str, given_as: &str, words: &str, of: &dyn Fn([f64; 4]) -> Option<Torque>| {
        let Some(torque) = given.known(given_as) else {
            return Ok(());
        };
        let found = Span::of([torque, wrench, offset, angle], |v| of(v).map_or(f64::NAN, Kind::si));
        if !(found.low.is_finite() && found.high.is_finite() && found.usual.is_finite()) || found.usual <= 0.0 {
            return Err("the adapter points back past the grip: no setting gives that torque".to_string());
        }
        let shown = given.shown(given_as, NEWTON_METRES);
        lines.push(line(name, format!("{}, {words}", span(found, shown, 4))));
        Ok(())
    };
    answer("set", "torque", "T L / (L + E cos a)", &|v| {
        let (adapter, torque, wrench) = at(v);
        adapter.setting(torque, wrench)
    })?;
    answer("at the bolt", "setting", "setting × (L + E cos a) / L", &|v| {
        let (adapter, torque, wrench) = at(v);
        adapter.at_fastener(torque, wrench)
    })?;
    if lines.is_empty() {
        return Err("give `torque=…` (wanted at the bolt) or `setting=…` (of the wrench)".to_string());
    }
    lines.push(line(
        "",
        "L to the middle of the grip: a hand elsewhere changes it; a straight extension of the drive changes nothing",
    ));
    lines.push(line(
        "source",
        "FAA AC 43.13-1B, 7-40 h and figure 7-2; US Army TM 9-254",
    ));
    Ok(Answer { lines, refused: false })
}

fn tool_deviation(given: &Given) -> Result<Answer, String> {
    if given.words("kind") == Some("?") {
        let rows = deviation::permissible_deviations();
        let lines = rows.map(|(kind, found)| line(&deviation_text(found.deviation.si()), kind));
        return Ok(Answer {
            lines: lines.collect(),
            refused: false,
        });
    }
    given.positive(&["shown", "reference", "maximum"])?;
    let (shown, reference) = (given.span("shown")?, given.span("reference")?);
    let off = Span::of([shown, reference], |[shown, reference]| {
        deviation::measured_deviation(Torque::from_si(shown), Torque::from_si(reference)).si()
    });
    let mut lines = vec![line(
        "deviation",
        format!(
            "{}, (shown − reference) / reference (ISO 6789-1)",
            span(off, PER_CENT, 3)
        ),
    )];
    let mut refused = false;
    if let Some(kind) = given.words("kind") {
        let maximum = given.known("maximum").unwrap_or(shown);
        let found = deviation::permissible_deviation(kind, Torque::from_si(maximum.high))
            .map_err(|error| format!("in `kind={kind}`: {}; `kind=?` lists them", error.message()))?;
        let found =
            found.ok_or_else(|| format!("the tables hold no permissible deviation of a {kind} of that size"))?;
        let most = found.deviation.si();
        lines.push(line(
            "permissible",
            format!("{} ({})", deviation_text(most), found.edition),
        ));
        lines.push(line("source", found.source));
        refused = off.low < -most - SLACK || off.high > most + SLACK;
        let verdict = if refused {
            "OUTSIDE it: have it adjusted"
        } else {
            "within it"
        };
        lines.push(line("verdict", verdict));
    }
    for fact in deviation::facts() {
        lines.push(line(
            "",
            format!("{}: {} ({})", fact.subject, fact_words(fact), fact.source),
        ));
    }
    Ok(Answer { lines, refused })
}

/// `0.5 to 4 s`, `12 months or 5000 cycles`, `20, 60, 100 % of maximum torque`.
fn fact_words(fact: &deviation::ToolFact) -> String {
    let values: Vec<&str> = fact.value.split('|').collect();
    let units: Vec<&str> = fact.unit.split(" or ").collect();
    match (values.as_slice(), units.as_slice()) {
        (values, ["rule"]) => values.join(", "),
        ([one, other], [unit, another]) => format!("{one} {unit} or {other} {another}"),
        ([low, high], [unit]) => format!("{low} to {high} {unit}"),
        _ => format!("{} {}", values.join(", "), fact.unit),
    }
}

fn deviation_text(share: f64) -> String {
    format!("± {:.0} %", share * 100.0)
}
