//! Outside check values, run through the public interface of the domain: one trial a row, and one that none was left out.

mod bench;
mod facts;
mod fasteners;
mod joints;
mod quantities;
mod row;

use libtest_mimic::{Failed, Trial};

use row::Row;

/// How many rows the file holds. A row that is added is counted here too, so that none gets lost unnoticed.
const ROWS: usize = 302;

/// What a row's check says: nothing, or how it differs.
type Outcome = Result<(), String>;

/// One trial a row, by the name `values/<topic>/<id>`, and one that counts them.
pub fn trials() -> Vec<Trial> {
    let rows = row::all();
    let count = rows.len();
    let mut trials: Vec<Trial> = rows
        .into_iter()
        .map(|row| {
            let name = format!("values/{}/{}", row.topic.replace(' ', "-"), row.id);
            Trial::test(name, move || {
                let outcome = match check_of(&row.topic) {
                    Some(check) => check(&row),
                    None => Err(format!("nobody handles the topic `{}`", row.topic)),
                };
                outcome.map_err(|difference| {
                    Failed::from(format!("{} {}: {difference}\n  {}", row.id, row.inputs, row.source))
                })
            })
        })
        .collect();
    trials.push(Trial::test("values/every-row-is-run", move || match count {
        ROWS => Ok(()),
        other => Err(Failed::from(format!("{other} rows, expected {ROWS}"))),
    }));
    trials
}

/// The check of a topic.
fn check_of(topic: &str) -> Option<fn(&Row) -> Outcome> {
    Some(match topic {
        "unit" => quantities::unit_conversion,
        "rounding half-even" => quantities::rounding,
        "converted limit" => quantities::converted_limit,
        "duration" => quantities::duration,
        "ISO 286 fit" => quantities::fit,
        "ISO 286 fit pair" => quantities::fit_pair,
        "stress area metric" | "stress area inch" => fasteners::stress_area,
        "thread diameters" => fasteners::thread_diameters,
        "proof load" | "proof load fine" => fasteners::proof_load,
        "class strength" => fasteners::class_strength,
        "grade strength" => fasteners::grade_strength,
        "nut factor" => joints::nut_factor,
        "torque-preload" => joints::torque_preload,
        "preload stress" => joints::preload_stress,
        "VDI 2230 preload and torque" => joints::vdi,
        "preload scatter" => joints::preload_scatter,
        "standard torque" => joints::standard_torque,
        "advance by angle" => joints::advance,
        "bolt stretch" => joints::stretch,
        "adapter" => bench::adapter,
        "tool accuracy" => bench::tool_accuracy,
        "tool range" => bench::tool_range,
        "heating for a fit" => bench::heating,
        "expansion coefficient" => bench::expansion,
        "piston ring gap" => bench::ring_gap,
        "shim choice" => bench::shim,
        "signal word" => facts::signal_word,
        "safety colour" => facts::safety_colour,
        "message placement" => facts::message_placement,
        "GHS pictogram" => facts::pictogram,
        "ISO 7010 sign" => facts::sign,
        _ => return None,
    })
}
