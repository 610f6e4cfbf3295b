//! Bolts and nuts beyond their torque: stretch, drag, castle nuts, scatter, published torques.

use super::Topic;
use super::given::{Given, Input, Span, Wanted};
use super::show::{KILONEWTONS, MICROMETRES, MILLIMETRES, NEWTON_METRES, span};
use super::tables::{class_torques, prevailing};
use crate::answers::{Answer, line, number};
use crate::domain::fastener::{Fastener, Thread};
use crate::domain::lubrication::Condition;
use crate::domain::preload::standard::{MethodScatter, method_scatter, method_scatters, standard_torque};
use crate::domain::preload::turn::steel_modulus;
use crate::domain::quantity::{Dimension, Kind, ValueError};

pub const TOPICS: &[Topic] = &[
    Topic {
        name: "stretch",
        about: "how much a bolt stretches under a load, or what load a stretch means",
        inputs: &[
            Input::needed("fastener", "thread and class, such as `M10 10.9`", Wanted::Words),
            Input::needed("length", "clamped length", Wanted::Figure(Dimension::Length)),
            Input::known("load", "preload", Wanted::Figure(Dimension::Force)),
            Input::known("stretch", "stretch measured", Wanted::Figure(Dimension::Length)),
            Input::known(
                "modulus",
                "Young's modulus (205 GPa of steel if not given)",
                Wanted::Figure(Dimension::Pressure),
            ),
        ],
        work: stretch,
    },
    Topic {
        name: "drag",
        about: "the setting for a self-locking nut: its drag added to the torque",
        inputs: &[
            Input::needed("torque", "torque wanted", Wanted::Figure(Dimension::Torque)),
            Input::known(
                "drag",
                "drag measured while running the nut down",
                Wanted::Figure(Dimension::Torque),
            ),
            Input::known("thread", "thread, for the drag its standard allows", Wanted::Words),
        ],
        work: drag,
    },
    Topic {
        name: "castle-nut",
        about: "where to look for the pin hole of a castle nut",
        inputs: &[
            Input::needed(
                "torque",
                "torque range, such as `20..27 N·m`",
                Wanted::Figure(Dimension::Torque),
            ),
            Input::known("drag", "drag of the nut", Wanted::Figure(Dimension::Torque)),
            Input::known("slots", "slots of the nut (6 if not given)", Wanted::Number),
            Input::known("holes", "pin holes through the bolt (1 if not given)", Wanted::Number),
            Input::known("fastener", "thread, for how far a slot advances", Wanted::Words),
        ],
        work: castle_nut,
    },
    Topic {
        name: "scatter",
        about: "how far preload scatters by a method of tightening",
        inputs: &[
            Input::needed(
                "method",
                "method, such as `angle controlled`; `?` lists them",
                Wanted::Words,
            ),
            Input::known("preload", "preload aimed at", Wanted::Figure(Dimension::Force)),
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

fn words(error: ValueError) -> String {
    format!("{}; {}", error.message(), error.help())
}

fn fastener(given: &Given, name: &str) -> Result<Option<Fastener>, String> {
    let text = given.words(name);
    text.map(|text| Fastener::parse(text).map_err(|e| format!("in `{name}={text}`: {}", words(e))))
        .transpose()
}

fn stretch(given: &Given) -> Result<Answer, String> {
    let fastener = fastener(given, "fastener")?.ok_or("`fastener` is missing")?;
    given.positive(&["length", "modulus"])?;
    let length = given.span("length")?;
    let modulus = given.known("modulus").unwrap_or(Span::one(steel_modulus().si()));
    let area = Span::one(fastener.thread().stress_area().si());
    let mut lines = vec![line(
        "bolt",
        format!(
            "{fastener}, stress area {:.1} mm² taken for the whole length",
            area.usual * 1e6
        ),
    )];
    match (given.known("load"), given.known("stretch")) {
        (Some(load), None) => {
            let found = Span::of(&[load, length, modulus], |v| v[0] * v[1] / (area.usual * v[2]));
            lines.push(line("stretch", format!("{}, F L / (A E)", span(found, MICROMETRES, 4))));
            lines.extend(share_of_proof(fastener, load));
        }
        (None, Some(stretch)) => {
            let load = Span::of(&[stretch, length, modulus], |v| v[0] / v[1] * area.usual * v[2]);
            lines.push(line(
                "load",
                format!("{}, stretch × A E / L", span(load, KILONEWTONS, 3)),
            ));
            lines.extend(share_of_proof(fastener, load));
        }
        _ => return Err("give either `load=…` or `stretch=…`".to_string()),
    }
    lines.push(line(
        "estimate",
        "a shank thicker than its thread stretches less, a waisted one more; head and nut add a little",
    ));
    Ok(Answer { lines, refused: false })
}

fn share_of_proof(fastener: Fastener, load: Span) -> Option<String> {
    let proof = fastener.proof_load()?.si();
    let share = Span {
        low: load.low / proof,
        usual: load.usual / proof,
        high: load.high / proof,
    };
    Some(line(
        "proof",
        format!("{} of the proof load", span(share, super::show::PER_CENT, 3)),
    ))
}

fn drag(given: &Given) -> Result<Answer, String> {
    given.positive(&["torque"])?;
    let torque = given.span("torque")?;
    let unit = given.shown("torque", NEWTON_METRES);
    let mut lines = Vec::new();
    let standard = match given.words("thread") {
        Some(text) => {
            let thread = Fastener::parse(text).map_err(words)?.thread();
            let row = prevailing().iter().find(|row| same_thread(&row.thread, thread));
            Some(row.ok_or_else(|| {
                format!("the tables hold no prevailing torque of {thread}: measure it and give `drag=…`")
            })?)
        }
        None => None,
    };
    if let Some(row) = standard {
        lines.push(line(
            "drag allowed",
            format!("at most {} {} the first time on", row.first_on_most, row.unit),
        ));
        lines.push(line(
            "drag left",
            format!(
                "at least {} {} the first time off, {} {} the fifth: below it, a new nut",
                row.first_off_least, row.unit, row.fifth_off_least, row.unit
            ),
        ));
        lines.push(line("source", &row.source));
    }
    let measured = given.known("drag");
    let drag = measured.or_else(|| {
        standard.map(|row| Span {
            low: 0.0,
            usual: row.first_on_most / 2.0,
            high: row.first_on_most,
        })
    });
    let drag =
        drag.ok_or("give the drag measured (`drag=…`), or the thread for what its standard allows (`thread=…`)")?;
    let set = Span::of(&[torque, drag], |v| v[0] + v[1]);
    lines.insert(0, line("set", format!("{}, torque + drag", span(set, unit, 4))));
    if measured.is_none() {
        lines.insert(
            1,
            line(
                "estimate",
                "nobody measured this nut's drag: measure it while running it down, and set torque + drag",
            ),
        );
    }
    if let (Some(drag), Some(row)) = (measured, standard)
        && drag.high > row.first_on_most
    {
        lines.push(line("", "MORE drag than its standard allows: look at the thread"));
    }
    lines.push(line("source", "FAA AC 43.13-1B, 7-40 c and d"));
    Ok(Answer { lines, refused: false })
}

fn same_thread(name: &str, thread: Thread) -> bool {
    Fastener::parse(name).is_ok_and(|known| known.thread() == thread.right_handed())
}

fn castle_nut(given: &Given) -> Result<Answer, String> {
    given.positive(&["torque", "slots", "holes"])?;
    let torque = given.span("torque")?;
    let unit = given.shown("torque", NEWTON_METRES);
    let drag = given.known("drag").unwrap_or(Span::one(0.0));
    let slots = given.known("slots").map_or(6.0, |s| s.usual);
    let holes = given.known("holes").map_or(1.0, |s| s.usual);
    if torque.is_one() {
        return Err(
            "a castle nut needs a torque range, such as `torque=20..27 N·m`: between its ends a slot is looked for"
                .to_string(),
        );
    }
    // A hole through the bolt has two ends; of an even number of slots both ends meet one at once.
    let meets = if slots % 2.0 == 0.0 {
        slots * holes
    } else {
        2.0 * slots * holes
    };
    let step = 360.0 / meets;
    let start = torque.low + drag.high;
    let end = torque.high + drag.low;
    let show = |value: f64| format!("{} {}", number(value / unit.1, 4), unit.0);
    let mut lines = vec![
        line("start", format!("tighten to {}, the least torque + drag", show(start))),
        line("never past", format!("{}, the greatest torque + drag", show(end))),
        line("next slot", format!("at most {step:.0}° further")),
    ];
    if let Some(fastener) = fastener(given, "fastener")? {
        let advance = Span::one(fastener.thread().pitch().si() * step / 360.0);
        lines.push(line("", format!("a slot advances {}", span(advance, MILLIMETRES, 3))));
    }
    lines.push(line(
        "",
        "if none is met, change the washer or the nut: never back off, never pass the greatest",
    ));
    lines.push(line("source", "FAA AC 43.13-1B, 7-40 f"));
    let refused = start > end;
    if refused {
        lines.push(line(
            "",
            "REFUSED: with that drag nothing is left between the least and the greatest",
        ));
    }
    Ok(Answer { lines, refused })
}

/// `± 5 to 12 %`
fn scatter_range(row: &MethodScatter) -> String {
    if row.low < row.high {
        format!("± {} to {} %", row.low, row.high)
    } else {
        format!("± {} %", row.low)
    }
}

fn scatter(given: &Given) -> Result<Answer, String> {
    let method = given.words("method").unwrap_or_default();
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
