//! Clamping by friction: preload at a share of yield or proof, its torque, the preload of a torque, and what friction is published.

use super::Topic;
use super::asked::fastener;
use super::given::{Given, Input, Span, Wanted};
use super::show::{KILONEWTONS, NEWTON_METRES, Shown, span};
use super::tables::{friction_classes, nut_factor_ranges};
use crate::answers::{Answer, line};
use crate::domain::fastener::Thread;
use crate::domain::lubrication::{Condition, published_nut_factor};
use crate::domain::preload::friction::{
    Friction, motosh, motosh_preload, preload_at_yield_share, screw_preload, screw_torque, usual_bearing_diameter,
};
use crate::domain::quantity::{Dimension, Kind};
use uom::si::f64::{Force, Length, Torque};

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "clamp",
        about: "preload at a share of yield or proof, and the torque for it by friction or by nut factor",
        inputs: &[
            Input::needed("fastener", "thread and class", Wanted::Words),
            Input::known(
                "preload",
                "preload, instead of a share",
                Wanted::Figure(Dimension::Force),
            ),
            Input::known(
                "of-yield",
                "share of yield with torsion, such as `90 %` (VDI 2230)",
                Wanted::Number,
            ),
            Input::known(
                "torque",
                "torque, for the preload it gives at a friction",
                Wanted::Figure(Dimension::Torque),
            ),
            Input::known("of-proof", "share of the proof load, such as `75 %`", Wanted::Number),
            Input::known(
                "friction",
                "friction of threads and face, such as `0.12`",
                Wanted::Number,
            ),
            Input::known("k", "nut factor, instead of friction", Wanted::Number),
            Input::known(
                "bearing",
                "mean diameter under the head (1.25 d if not given)",
                Wanted::Figure(Dimension::Length),
            ),
        ],
        work: clamp,
    },
    Topic {
        name: "friction",
        about: "friction in threads and under the head by finish (VDI 2230 classes), and the nut factor published for it",
        inputs: &[Input::needed(
            "finish",
            "finish, such as `zinc flake`; `?` lists them",
            Wanted::Words,
        )],
        work: friction,
    },
];

const POUNDS: Shown = Shown("lbf", 4.448_221_615_260_5);
const POUND_FEET: Shown = Shown("lbf·ft", 1.355_817_948_331_400_4);

fn clamp(given: &Given) -> Result<Answer, String> {
    let fastener = fastener(given, "fastener")?.ok_or("`fastener` is missing")?;
    given.positive(&["preload", "torque", "of-yield", "of-proof", "k", "bearing"])?;
    let thread = fastener.thread();
    if !thread.is_fastening() {
        return Err(format!("{thread} doesn't clamp as a bolt does"));
    }
    let friction = given.known("friction");
    if friction.is_some_and(|mu| mu.low <= 0.0 || mu.high > 1.0) {
        return Err("`friction` must lie above 0 and not above 1".to_string());
    }
    let no_class = || format!("`{fastener}` has no class: add one, such as `{fastener} 8.8`, or give `preload=…`");
    let mut lines = vec![line("fastener", fastener.to_string())];
    let bearing = given
        .known("bearing")
        .unwrap_or(Span::one(usual_bearing_diameter(thread).si()));
    if let Some(torque) = given.known("torque") {
        if ["preload", "of-yield", "of-proof"]
            .iter()
            .any(|name| given.known(name).is_some())
        {
            return Err("give either `torque=…` or a preload, not both".to_string());
        }
        let mu = friction
            .ok_or("`friction` is missing: add `friction=0.12`, or ask `benchleaf torque` with a lubrication")?;
        lines.extend(preload_of(thread, torque, mu, bearing));
        return Ok(Answer { lines, refused: false });
    }
    let (preload, how) = match (given.known("preload"), given.known("of-yield"), given.known("of-proof")) {
        (Some(preload), None, None) => (preload, String::new()),
        (None, Some(share), None) => {
            let strength = fastener.strength().ok_or_else(no_class)?;
            let mu = friction
                .ok_or("`friction` is missing: torsion takes a part of the yield strength; add `friction=0.12`")?;
            let at = |[share, mu]: [f64; 2]| preload_at_yield_share(thread, strength.yield_strength, share, mu).si();
            (
                Span::of([share, mu], at),
                ", tension and torsion together at that share of yield (VDI 2230)".to_string(),
            )
        }
        (None, None, Some(share)) => {
            let proof = fastener.proof_load().ok_or_else(no_class)?.si();
            (
                Span::of([share], |[share]| share * proof),
                ", that share of the proof load".to_string(),
            )
        }
        _ => return Err("give one of `preload=…`, `torque=…`, `of-yield=…` and `of-proof=…`".to_string()),
    };
    lines.push(line(
        "preload",
        format!("{} ({}){how}", span(preload, KILONEWTONS, 3), span(preload, POUNDS, 4)),
    ));
    let (torque, form) = match (friction, given.known("k")) {
        (_, Some(k)) => {
            let diameter = thread.diameter().si();
            (Span::of([preload, k], |[preload, k]| k * preload * diameter), "K F d")
        }
        (Some(mu), None) => {
            let at = |[preload, mu, bearing]: [f64; 3]| {
                motosh(thread, Length::from_si(bearing), both(mu), Force::from_si(preload))
                    .sum()
                    .si()
            };
            (Span::of([preload, mu, bearing], at), "F (P/2π + 0.577 µ d2 + µ D/2)")
        }
        (None, None) => return Err("give `friction=…` or `k=…` for the torque".to_string()),
    };
    lines.push(line(
        "torque",
        format!(
            "{} ({}), {form}",
            span(torque, NEWTON_METRES, 3),
            span(torque, POUND_FEET, 3)
        ),
    ));
    if let (Some(mu), None) = (friction, given.known("k")) {
        let exact = Span::of([preload, mu, bearing], |[preload, mu, bearing]| {
            screw_torque(thread, Length::from_si(bearing), both(mu), Force::from_si(preload)).si()
        });
        lines.push(line(
            "exact",
            format!(
                "{} ({}), by the whole screw form (Shigley 9th ed., equations 8-26)",
                span(exact, NEWTON_METRES, 3),
                span(exact, POUND_FEET, 3)
            ),
        ));
    }
    lines.push(estimate());
    Ok(Answer { lines, refused: false })
}

fn estimate() -> String {
    line(
        "estimate",
        "friction decides and nobody measured it: the maker's figure stands above these",
    )
}

/// One friction in the threads and under the face.
fn both(mu: f64) -> Friction {
    Friction { threads: mu, face: mu }
}

/// What a torque gives at a friction, by the shortened and by the whole form.
fn preload_of(thread: Thread, torque: Span, mu: Span, bearing: Span) -> Vec<String> {
    let by = |form: fn(Thread, Length, Friction, Torque) -> Force| {
        Span::of([torque, mu, bearing], |[torque, mu, bearing]| {
            form(thread, Length::from_si(bearing), both(mu), Torque::from_si(torque)).si()
        })
    };
    let line_of = |name: &str, found: Span, form: &str| {
        line(
            name,
            format!("{} ({}), {form}", span(found, KILONEWTONS, 3), span(found, POUNDS, 4)),
        )
    };
    vec![
        line_of("preload", by(motosh_preload), "T / (P/2π + 0.577 µ d2 + µ D/2)"),
        line_of(
            "exact",
            by(screw_preload),
            "by the whole screw form (Shigley 9th ed., equations 8-26)",
        ),
        estimate(),
    ]
}

fn friction(given: &Given) -> Result<Answer, String> {
    let asked = given.words("finish").unwrap_or_default().to_ascii_lowercase();
    let wanted: Vec<&str> = asked.split_whitespace().collect();
    let fits = |name: &str| {
        let name = name.to_ascii_lowercase();
        asked == "?" || wanted.iter().all(|word| name.contains(word))
    };
    let mut lines = Vec::new();
    for row in friction_classes().iter().filter(|row| fits(&row.finish)) {
        let range = match row.high {
            Some(high) => format!("{:.2} to {high:.2}", row.low),
            None => format!("{:.2} and above", row.low),
        };
        lines.push(line(
            "friction",
            format!("{range}, class {}, {} ({})", row.class, row.finish, row.source),
        ));
    }
    for row in nut_factor_ranges().iter().filter(|row| fits(&row.finish)) {
        let range = if row.low < row.high {
            format!("{:.2} to {:.2}", row.low, row.high)
        } else {
            format!("{:.2}", row.low)
        };
        lines.push(line("nut factor", format!("{range}, {} ({})", row.finish, row.source)));
    }
    if let Ok(row) = published_nut_factor(&asked) {
        lines.push(line(
            "handbook K",
            format!("{:.2}, {} ({})", row.k, row.finish, row.source),
        ));
    }
    if let Ok(condition) = Condition::parse(given.words("finish").unwrap_or_default()) {
        let (mu, k) = (condition.friction(), condition.nut_factor());
        lines.push(line(
            "reckoned with",
            format!(
                "µ {} to {}, K {} to {} ({}: {})",
                mu.low,
                mu.high,
                k.low,
                k.high,
                condition,
                condition.source()
            ),
        ));
    }
    if lines.is_empty() {
        return Err(format!("the tables hold no finish `{asked}`; `finish=?` lists them"));
    }
    lines.push(line(
        "",
        "friction is a range, never a figure: only a trial on the joint narrows it",
    ));
    Ok(Answer { lines, refused: false })
}
