//! Rolling bearings: clearance once fitted, end play.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{MICROMETRES, MILLIMETRES, places};
use super::tables::{clearances, ring_tolerances};
use crate::answers::{Answer, line};
use crate::domain::quantity::Dimension;

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "bearing-clearance",
        about: "radial clearance of a rolling bearing once its ring is pressed on, and warm",
        inputs: &[
            Input::needed("bore", "bore of the bearing", Wanted::Figure(Dimension::Length)),
            Input::known(
                "kind",
                "`deep groove ball` (if not given), `cylindrical roller` or `needle roller`",
                Wanted::Words,
            ),
            Input::known("group", "`C2`, `CN` (if not given), `C3`, `C4`, `C5`", Wanted::Words),
            Input::known(
                "clearance",
                "clearance measured, instead of a group",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "shaft",
                "shaft: a fit such as `50 k5`, or its size",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "interference",
                "interference on the shaft, instead of its size",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "outside",
                "outside diameter of the bearing, for heat",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "raceway",
                "raceway of the outer ring, instead of the outside diameter",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "warmer",
                "kelvins by which the inner ring is warmer than the outer",
                Wanted::Number,
            ),
        ],
        work: clearance,
    },
    Topic {
        name: "end-play",
        about: "end play from measured lengths, the shim for a wanted one, or axial from radial clearance",
        inputs: &[
            Input::known(
                "space",
                "length between the shoulders",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known(
                "stack",
                "length of what goes between them",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known("wanted", "end play wanted", Wanted::Figure(Dimension::Length)),
            Input::known(
                "radial",
                "radial clearance of a taper roller bearing",
                Wanted::Figure(Dimension::Length),
            ),
            Input::known("e", "factor e of that bearing, from its list", Wanted::Number),
        ],
        work: end_play,
    },
];

/// Of the interference, so much takes clearance away (common practice of bearing makers: 70 to 90 %; from memory).
const SHARE: (f64, f64) = (0.7, 0.9);

/// Of needle roller bearings (their catalogues: 85 %).
const NEEDLE_SHARE: (f64, f64) = (0.85, 0.85);

/// Expansion of bearing steel a kelvin (common practice of bearing makers; from memory).
const EXPANSION: f64 = 12.5e-6;

fn clearance(given: &Given) -> Result<Answer, String> {
    given.positive(&["bore", "outside"])?;
    let bore = given.span("bore")?;
    let millimetres = bore.usual * 1e3;
    let inside = |above: f64, up_to: f64| millimetres > above + 1e-6 && millimetres <= up_to + 1e-6;
    let mut lines = Vec::new();
    let new = match given.known("clearance") {
        Some(measured) => measured,
        None => {
            let kind = given.words("kind").unwrap_or("deep groove ball").to_ascii_lowercase();
            let group = given.words("group").unwrap_or("CN").to_ascii_uppercase();
            let group = if group == "C0" || group == "NORMAL" {
                "CN".to_string()
            } else {
                group
            };
            let row = clearances()
                .iter()
                .find(|row| row.kind == kind && row.group == group && inside(row.above, row.up_to));
            let row = row.ok_or_else(|| {
                format!("the tables hold no clearance of a {kind} bearing {group} at {millimetres:.0} mm; give `clearance=…`, or `kind=deep groove ball`, `group=C3`")
            })?;
            lines.push(line("source", &row.source));
            Span::between(row.least * 1e-6, row.most * 1e-6)
        }
    };
    lines.insert(0, line("clearance", format!("{} new", places(new, MICROMETRES, 0))));
    let interference = match (given.known("interference"), given.known("shaft")) {
        (Some(interference), _) => interference,
        (None, Some(shaft)) => {
            let row = ring_tolerances()
                .iter()
                .find(|row| row.what == "bore" && inside(row.above, row.up_to));
            let row = row.ok_or("the tables hold no tolerance of that bore; give `interference=…`")?;
            let ring = Span::between(bore.usual + row.lower * 1e-6, bore.usual + row.upper * 1e-6);
            lines.push(line(
                "bore",
                format!("{} to {} µm ({})", row.lower, row.upper, row.source),
            ));
            Span::of([shaft, ring], |[shaft, ring]| shaft - ring)
        }
        (None, None) => Span::one(0.0),
    };
    if (interference.high - bore.usual / 50.0) > 0.0 {
        return Err("that shaft doesn't go with this bore: they differ by more than a fiftieth".to_string());
    }
    lines.push(line("interference", places(interference, MICROMETRES, 1)));
    let needle = given
        .words("kind")
        .is_some_and(|kind| kind.to_ascii_lowercase().starts_with("needle"));
    let share = if needle { NEEDLE_SHARE } else { SHARE };
    let takes = Span {
        low: interference.low.max(0.0) * share.0,
        usual: interference.usual.max(0.0) * f64::midpoint(share.0, share.1),
        high: interference.high.max(0.0) * share.1,
    };
    lines.push(line("loses", places(takes, MICROMETRES, 1)));
    let mut fitted = Span {
        low: new.low - takes.high,
        usual: new.usual - takes.usual,
        high: new.high - takes.low,
    };
    lines.push(line(
        "fitted",
        format!(
            "{}, new − {} of the interference",
            places(fitted, MICROMETRES, 0),
            if needle { "0.85" } else { "0.7 to 0.9" }
        ),
    ));
    if let Some(warmer) = given.known("warmer") {
        let raceway = match (given.known("raceway"), given.known("outside")) {
            (Some(raceway), _) => raceway,
            // Raceway of the outer ring at (4 D + d)/5.
            (None, Some(outside)) => Span::of([outside], |[outside]| (4.0 * outside + bore.usual) / 5.0),
            (None, None) => {
                return Err("`outside` is missing: how far heat closes a bearing goes by its size".to_string());
            }
        };
        let closes = Span::of([warmer, raceway], |[warmer, raceway]| EXPANSION * warmer * raceway);
        lines.push(line("heat closes", places(closes, MICROMETRES, 1)));
        fitted = Span {
            low: fitted.low - closes.high,
            usual: fitted.usual - closes.usual,
            high: fitted.high - closes.low,
        };
        lines.push(line("running", places(fitted, MICROMETRES, 0)));
    }
    if fitted.low < 0.0 {
        lines.push(line(
            "",
            "NO clearance at the least: take a larger group or a looser fit",
        ));
    }
    lines.push(line(
        "usual",
        "in service the outer ring is 5 to 10 K cooler than the inner (needle bearing catalogues); 15 to 20 K at high speed",
    ));
    lines.push(line(
        "estimate",
        "a hollow shaft or a light housing gives way more; measure with feelers once it is fitted",
    ));
    Ok(Answer { lines, refused: false })
}

fn end_play(given: &Given) -> Result<Answer, String> {
    let mut lines = Vec::new();
    if let (Some(space), Some(stack)) = (given.known("space"), given.known("stack")) {
        let play = Span::of([space, stack], |[space, stack]| space - stack);
        let shown = given.shown("space", MILLIMETRES);
        lines.push(line("end play", format!("{}, space − stack", places(play, shown, 3))));
        if play.low < 0.0 {
            lines.push(line("", "NONE at the least: the stack is longer than its space"));
        }
        if let Some(wanted) = given.known("wanted") {
            // A shim that serves every end play of the range keeps it within the wanted one.
            let least = play.high - wanted.high;
            let most = play.low - wanted.low;
            if least > most + 1e-12 {
                lines.push(line(
                    "shim",
                    "no one shim serves that range of end play: measure this machine's own",
                ));
                return Ok(Answer { lines, refused: true });
            }
            let shim = Span::between(least, most);
            lines.push(line("shim", format!("{}, end play − wanted", places(shim, shown, 3))));
            if most <= 0.0 {
                lines.push(line("", "none fits: take as much off the stack"));
            }
        }
    }
    if let (Some(radial), Some(e)) = (given.known("radial"), given.known("e")) {
        given.positive(&["e"])?;
        let axial = Span::of([radial, e], |[radial, e]| radial * 1.5 / e);
        lines.push(line(
            "axial",
            format!(
                "{}, radial × 1.5 / e (e = 1.5 tan α, ISO 281)",
                places(axial, given.shown("radial", MILLIMETRES), 3)
            ),
        ));
    }
    if !lines.is_empty() {
        lines.push(line(
            "usual",
            "0.001 to 0.005 in (0.03 to 0.12 mm) of adjusted taper roller wheel bearings (several manuals); the maker's figure stands above it",
        ));
    }
    if lines.is_empty() {
        return Err("give `space=…` and `stack=…`, or `radial=…` and `e=…`".to_string());
    }
    Ok(Answer { lines, refused: false })
}
