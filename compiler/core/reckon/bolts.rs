//! Bolts and nuts beyond their torque: stretch, drag, castle nuts, scatter, published torques.

use super::Topic;
use super::asked::{fastener, same_thread, words};
use super::given::{Given, Input, Span, Wanted};
use super::show::Shown;
use super::show::{KILONEWTONS, MEGAPASCALS, MICROMETRES, MILLIMETRES, NEWTON_METRES, PSI, span};
use super::tables::{least_drags, prevailing};
use crate::answers::{Answer, line, number};
use crate::domain::fastener::Fastener;
use crate::domain::preload::standard::{castle_nut_window, standard_torque, with_drag};
use crate::domain::preload::turn::{self, steel_modulus};
use crate::domain::quantity::{Dimension, Figure, Kind, Measure};
use uom::si::f64::{Force, Length, Pressure, Torque};

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
            Input::known("torque", "torque wanted", Wanted::Figure(Dimension::Torque)),
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
            Input::known(
                "torque",
                "torque range, such as `20..27 N·m` (that of the aviation table if not given)",
                Wanted::Figure(Dimension::Torque),
            ),
            Input::known("drag", "drag of the nut", Wanted::Figure(Dimension::Torque)),
            Input::known("slots", "slots of the nut (6 if not given)", Wanted::Number),
            Input::known("holes", "pin holes through the bolt (1 if not given)", Wanted::Number),
            Input::known("fastener", "thread, for how far a slot advances", Wanted::Words),
        ],
        work: castle_nut,
    },
];

fn stretch(given: &Given) -> Result<Answer, String> {
    let fastener = fastener(given, "fastener")?.ok_or("`fastener` is missing")?;
    given.positive(&["length", "modulus"])?;
    let length = given.span("length")?;
    let modulus = given.known("modulus").unwrap_or(Span::one(steel_modulus().si()));
    let area = fastener.thread().stress_area();
    let mut lines = vec![line(
        "bolt",
        format!(
            "{fastener}, stress area {:.1} mm² taken for the whole length",
            area.si() * 1e6
        ),
    )];
    match (given.known("load"), given.known("stretch")) {
        (Some(load), None) => {
            let found = Span::of([load, length, modulus], |[load, length, modulus]| {
                let (load, length) = (Force::from_si(load), Length::from_si(length));
                turn::stretch(load, length, area, Pressure::from_si(modulus)).si()
            });
            let own = span(found, given.shown("length", MILLIMETRES), 3);
            lines.push(line(
                "stretch",
                format!("{} ({own}), F L / (A E)", span(found, MICROMETRES, 4)),
            ));
            let stress = Span::of([load], |[load]| load / area.si());
            lines.push(line(
                "stress",
                format!("{} ({}), F / A", span(stress, MEGAPASCALS, 4), span(stress, PSI, 4)),
            ));
            lines.extend(share_of_proof(fastener, load));
        }
        (None, Some(stretch)) => {
            let load = Span::of([stretch, length, modulus], |[stretch, length, modulus]| {
                stretch / length * area.si() * modulus
            });
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

/// A share of the torque, below which one manual leaves drag out (US Army TB 43-0218, 7 c).
const DISREGARDED: f64 = 1.0 / 3.0;

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
    let mut lines = Vec::new();
    let thread = given
        .words("thread")
        .map(Fastener::parse)
        .transpose()
        .map_err(words)?
        .map(|f| f.thread());
    let least: Vec<_> = least_drags()
        .iter()
        .filter(|row| thread.is_some_and(|thread| same_thread(&row.thread, thread)))
        .collect();
    for row in &least {
        lines.push(line(
            "drag left",
            format!("at least {} {}, or a new nut", row.least, row.unit),
        ));
        lines.push(line("source", &row.source));
    }
    let Some(torque) = given.known("torque") else {
        return match lines.is_empty() {
            false => Ok(Answer { lines, refused: false }),
            true => Err("give `torque=…` and `drag=…`, or a `thread=…` whose least drag is tabled".to_string()),
        };
    };
    let unit = given.shown("torque", NEWTON_METRES);
    let standard = thread.and_then(|thread| prevailing().iter().find(|row| same_thread(&row.thread, thread)));
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
    let set = Span::of([torque, drag], |[torque, drag]| {
        with_drag(Torque::from_si(torque), Torque::from_si(drag)).si()
    });
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
    if measured.is_some() && drag.high < torque.low * DISREGARDED {
        lines.push(line(
            "elsewhere",
            format!(
                "{}: drag below a third of the torque is left out",
                span(torque, unit, 4)
            ),
        ));
        lines.push(line(
            "source",
            "US Army TB 43-0218, 7 c; the manual of the machine decides",
        ));
    }
    Ok(Answer { lines, refused: false })
}

fn castle_nut(given: &Given) -> Result<Answer, String> {
    given.positive(&["torque", "slots", "holes"])?;
    let published = fastener(given, "fastener")?.and_then(|f| standard_torque(f.thread().right_handed()));
    let (torque, unit) = match (given.known("torque"), published) {
        (Some(torque), _) => (torque, given.shown("torque", NEWTON_METRES)),
        (None, Some(row)) => {
            let one = Measure::new(Figure::computed(rust_decimal::Decimal::ONE), row.range.high().unit());
            let ends = Span::between(row.range.low().si(), row.range.high().si());
            (ends, Shown(row.range.high().unit().symbol(), one.si()))
        }
        (None, None) => {
            return Err("give `torque=…`, or a `fastener=…` of the aviation table, such as `5/16-24`".to_string());
        }
    };
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
    let window = |drag: f64| {
        let ends = castle_nut_window(
            Torque::from_si(torque.low),
            Torque::from_si(torque.high),
            Torque::from_si(drag),
        );
        (ends.0.si(), ends.1.si())
    };
    // Of a range of drags, what holds for each of them.
    let (start, _) = window(drag.high);
    let (_, end) = window(drag.low);
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
