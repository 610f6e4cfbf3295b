//! Preload and torque as published: scatter by method, torques by class and finish.

use super::Topic;
use super::asked::{fastener, same_thread, words};
use super::given::{Given, Input, Span, Wanted};
use super::show::{KILONEWTONS, NEWTON_METRES, span};
use super::tables::{class_torques, general_torques};
use crate::answers::{Answer, line, number};
use crate::domain::lubrication::Condition;
use crate::domain::preload::standard::{MethodScatter, method_scatter, method_scatters, scattered, standard_torque};
use crate::domain::quantity::{Dimension, Kind};
use uom::si::f64::Force;

pub const TOPICS: &[Topic] = &[
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
            Input::known(
                "fastener",
                "thread and class, such as `M10 8.8`, or a thread of the aviation table",
                Wanted::Words,
            ),
            Input::known(
                "dry",
                "a dry torque of your own, for what is taken off it",
                Wanted::Figure(Dimension::Torque),
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
        let least = Span::of([greatest, factor], |[greatest, factor]| greatest / factor);
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
        let at = |preload: f64| scattered(Force::from_si(preload), row.high / 100.0);
        let wide = Span {
            low: at(preload.low).0.si(),
            usual: preload.usual,
            high: at(preload.high).1.si(),
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
    if let (Some(dry), None) = (given.known("dry"), given.words("fastener")) {
        given.positive(&["dry"])?;
        let shown = given.shown("dry", NEWTON_METRES);
        let lines = reduced(|share| span(Span::of([dry], |[dry]| dry * (1.0 - share)), shown, 3)).into();
        return Ok(Answer { lines, refused: false });
    }
    let fastener = fastener(given, "fastener")?.ok_or("give `fastener=…` for its published torques, or `dry=…`")?;
    if given.known("dry").is_some() {
        return Err("give either `fastener=…` or `dry=…`, not both".to_string());
    }
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
        if let (Some(first), Some(least), Some(most)) = (
            rows.first(),
            rows.iter().map(|row| row.torque).min_by(f64::total_cmp),
            rows.iter().map(|row| row.torque).max_by(f64::total_cmp),
        ) {
            let what = condition.map_or_else(|| "of every condition tabled".to_string(), |c| format!("for {c}"));
            lines.push(line("range", format!("{least} to {most} N·m {what}")));
            lines.push(line(
                "",
                "greatest permitted at that friction: with less friction the same torque overstrains the bolt",
            ));
            lines.push(line("source", &first.source));
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
            let less = |share: f64| format!("{} {}", number(row.low * (1.0 - share), 3), row.unit);
            lines.extend(reduced(less));
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

/// What is taken off a dry torque; `less` writes it with a share taken off.
fn reduced(less: impl Fn(f64) -> String) -> [String; 3] {
    [
        line("oiled", format!("{}, 10 % less with engine oil", less(0.1))),
        line("plated", format!("{}, 20 % less with new plated screws", less(0.2))),
        line(
            "source",
            "US Army TM 9-2320-362-14&P, appendix F; other tables take 25 % off for both",
        ),
    ]
}
