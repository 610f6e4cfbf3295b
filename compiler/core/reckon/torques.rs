//! Preload and torque: scatter by method, published torques, clamping by friction or nut factor.

use super::Topic;
use super::asked::{fastener, same_thread, words};
use super::given::{Given, Input, Span, Wanted};
use super::show::Shown;
use super::show::{KILONEWTONS, NEWTON_METRES, span};
use super::tables::{class_torques, friction_classes, general_torques, nut_factor_ranges};
use crate::answers::{Answer, line, number};
use crate::domain::lubrication::Condition;
use crate::domain::preload::friction::{Friction, motosh, preload_at_yield_share, usual_bearing_diameter};
use crate::domain::preload::standard::{MethodScatter, method_scatter, method_scatters, standard_torque};
use crate::domain::quantity::{Dimension, Kind};
use uom::si::f64::{Force, Length};

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
    Topic {
        name: "scatter",
        about: "how far preload scatters by a method of tightening",
        inputs: &[
            Input::known(
                "method",
                "method, such as `angle controlled`; `?` lists them",
                Wanted::Words,
            ),
            Input::known("preload", "preload aimed at", Wanted::Figure(Dimension::Force)),
            Input::known("factor", "tightening factor αA, instead of a method", Wanted::Number),
            Input::known(
                "greatest",
                "greatest preload, with a factor",
                Wanted::Figure(Dimension::Force),
            ),
        ],
        work: scatter,
    },
    Topic {
        name: "standard-torque",
        about: "published torques of a thread by class and finish",
        inputs: &[
            Input::needed(
                "fastener",
                "thread and class, such as `M10 8.8`, or a thread of the aviation table",
                Wanted::Words,
            ),
            Input::known(
                "finish",
                "condition, such as `oiled` or `zinc` (every one if not given)",
                Wanted::Words,
            ),
        ],
        work: standard,
    },
];

const POUNDS: Shown = Shown("lbf", 4.448_221_615_260_5);
const POUND_FEET: Shown = Shown("lbf·ft", 1.355_817_948_331_400_4);

/// `± 5 to 12 %`
fn scatter_range(row: &MethodScatter) -> String {
    if row.low < row.high {
        format!("± {} to {} %", row.low, row.high)
    } else {
        format!("± {} %", row.low)
    }
}

fn scatter(given: &Given) -> Result<Answer, String> {
    if let (Some(factor), Some(greatest)) = (given.known("factor"), given.known("greatest")) {
        if factor.low < 1.0 {
            return Err("a tightening factor is 1 or above: Fmax / Fmin".to_string());
        }
        let least = Span::of(&[greatest, factor], |v| v[0] / v[1]);
        let text = format!("{} can be counted on, Fmax / αA", span(least, KILONEWTONS, 3));
        return Ok(Answer {
            lines: vec![line("preload", text)],
            refused: false,
        });
    }
    let method = given
        .words("method")
        .ok_or("give `method=…`, or `factor=…` and `greatest=…`")?;
    if method == "?" {
        let lines = method_scatters()
            .iter()
            .map(|row| format!("{:<12} {}", scatter_range(row), row.method));
        return Ok(Answer {
            lines: lines.collect(),
            refused: false,
        });
    }
    let row = method_scatter(method)
        .map_err(|error| format!("in `method={method}`: {}; `method=?` lists them", error.message()))?;
    let range = scatter_range(row);
    // αA = Fmax/Fmin = (1 + s)/(1 − s), VDI 2230.
    let factor = |share: f64| (1.0 + share / 100.0) / (1.0 - share / 100.0);
    let mut lines = vec![
        line("method", &row.method),
        line("scatter", format!("{range} of the preload")),
        line(
            "factor",
            format!("αA = Fmax / Fmin = {:.2} to {:.2}", factor(row.low), factor(row.high)),
        ),
    ];
    if let Some(preload) = given.known("preload") {
        let wide = Span {
            low: preload.low * (1.0 - row.high / 100.0),
            usual: preload.usual,
            high: preload.high * (1.0 + row.high / 100.0),
        };
        lines.push(line(
            "preload",
            format!("{} at the greater scatter", span(wide, KILONEWTONS, 3)),
        ));
    }
    lines.push(line("source", &row.source));
    Ok(Answer { lines, refused: false })
}

fn standard(given: &Given) -> Result<Answer, String> {
    let fastener = fastener(given, "fastener")?.ok_or("`fastener` is missing")?;
    let thread = fastener.thread();
    let mut lines = vec![line("fastener", fastener.to_string())];
    if let Some(row) = standard_torque(thread.right_handed()) {
        lines.push(line("torque", row.range.to_string()));
        lines.push(line("source", &row.source));
    }
    let condition = given.words("finish").map(Condition::parse).transpose().map_err(words)?;
    if let Some(class) = fastener.class() {
        let friction = condition.map(|c| c.friction());
        let fits = |mu: f64| friction.is_none_or(|f| mu >= f.low - 1e-9 && mu <= f.high + 1e-9);
        let rows: Vec<_> = class_torques()
            .iter()
            .filter(|row| row.class == class.name() && same_thread(&row.thread, thread) && fits(row.friction))
            .collect();
        for row in &rows {
            lines.push(line(
                "torque",
                format!("{} {} at µ {:.2}", row.torque, row.unit, row.friction),
            ));
        }
        if let (Some(least), Some(most)) = (
            rows.iter().map(|row| row.torque).min_by(f64::total_cmp),
            rows.iter().map(|row| row.torque).max_by(f64::total_cmp),
        ) {
            let what = condition.map_or_else(|| "of every condition tabled".to_string(), |c| format!("for {c}"));
            lines.push(line("range", format!("{least} to {most} N·m {what}")));
            lines.push(line(
                "",
                "greatest permitted at that friction: with less friction the same torque overstrains the bolt",
            ));
            lines.push(line("source", &rows[0].source));
        }
    }
    let general = general_torques().iter().filter(|row| {
        let class = fastener.class().map_or("", |class| class.name());
        same_thread(&row.thread, thread) && (row.class.is_empty() || row.class == class)
    });
    for row in general {
        let range = if row.low < row.high {
            format!("{} to {}", row.low, row.high)
        } else {
            row.low.to_string()
        };
        lines.push(line("published", format!("{range} {} {}", row.unit, row.condition)));
        lines.push(line("source", &row.source));
        if row.condition.starts_with("dry") {
            let less = |share: f64| number(row.low * (1.0 - share), 3);
            lines.push(line(
                "oiled",
                format!("{} {}, 10 % less with engine oil", less(0.1), row.unit),
            ));
            lines.push(line(
                "plated",
                format!("{} {}, 20 % less with new plated screws", less(0.2), row.unit),
            ));
            lines.push(line(
                "source",
                "US Army TM 9-2320-362-14&P, appendix F; other tables take 25 % off for both",
            ));
        }
    }
    if lines.len() == 1 {
        let finish = given
            .words("finish")
            .map_or_else(String::new, |finish| format!(", {finish}"));
        return Err(format!(
            "the tables hold no published torque for {fastener}{finish}; `benchleaf torque \"{fastener}\" --preload …` estimates one"
        ));
    }
    Ok(Answer { lines, refused: false })
}

fn clamp(given: &Given) -> Result<Answer, String> {
    let fastener = fastener(given, "fastener")?.ok_or("`fastener` is missing")?;
    given.positive(&["preload", "of-yield", "of-proof", "k", "bearing"])?;
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
    let (preload, how) = match (given.known("preload"), given.known("of-yield"), given.known("of-proof")) {
        (Some(preload), None, None) => (preload, String::new()),
        (None, Some(share), None) => {
            let strength = fastener.strength().ok_or_else(no_class)?;
            let mu = friction
                .ok_or("`friction` is missing: torsion takes a part of the yield strength; add `friction=0.12`")?;
            let at = |v: &[f64]| preload_at_yield_share(thread, strength.yield_strength, v[0], v[1]).si();
            (
                Span::of(&[share, mu], at),
                ", tension and torsion together at that share of yield (VDI 2230)".to_string(),
            )
        }
        (None, None, Some(share)) => {
            let proof = fastener.proof_load().ok_or_else(no_class)?.si();
            (
                Span::of(&[share], |v| v[0] * proof),
                ", that share of the proof load".to_string(),
            )
        }
        _ => return Err("give one of `preload=…`, `of-yield=…` and `of-proof=…`".to_string()),
    };
    lines.push(line(
        "preload",
        format!("{} ({}){how}", span(preload, KILONEWTONS, 3), span(preload, POUNDS, 4)),
    ));
    let bearing = given
        .known("bearing")
        .unwrap_or(Span::one(usual_bearing_diameter(thread).si()));
    let (torque, form) = match (friction, given.known("k")) {
        (_, Some(k)) => {
            let diameter = thread.diameter().si();
            (Span::of(&[preload, k], |v| v[1] * v[0] * diameter), "K F d")
        }
        (Some(mu), None) => {
            let at = |v: &[f64]| {
                let both = Friction {
                    threads: v[1],
                    face: v[1],
                };
                motosh(thread, Length::from_si(v[2]), both, Force::from_si(v[0]))
                    .sum()
                    .si()
            };
            (Span::of(&[preload, mu, bearing], at), "F (P/2π + 0.577 µ d2 + µ D/2)")
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
    lines.push(line(
        "estimate",
        "friction decides and nobody measured it: the maker's figure stands above these",
    ));
    Ok(Answer { lines, refused: false })
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
