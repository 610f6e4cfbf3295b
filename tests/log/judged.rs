//! Readings held against their limits: what is told of each, written as it is.

use super::is;
use crate::harness::{Files, Outcome, job};
use libtest_mimic::Trial;

/// A case: its name, the limits of a card, what is written for each, and what is told, as `kind: message`.
type Case = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static [&'static str],
);

const CASES: &[Case] = &[
    (
        "coarse-for-a-fit",
        "bore: {limit: 50 H7}",
        &[("bore", "50")],
        &[
            "too coarse to judge: bore (step 1.1) is 50 mm, too coarse to judge by 50 H7 (50.000–50.025 mm): write it to 0.001 mm",
        ],
    ),
    ("fine-for-a-fit", "bore: {limit: 50 H7}", &[("bore", "50.000")], &[]),
    (
        "coarse-and-plainly-out",
        "bore: {limit: 50 H7}",
        &[("bore", "51")],
        &["out of limits: bore (step 1.1) is 51 mm, and the limit is 50 H7 (50.000–50.025 mm)"],
    ),
    (
        "an-inch-for-hundredths",
        "pin: {limit: min 24.98 mm}",
        &[("pin", "1 in")],
        &["too coarse to judge: pin (step 1.1) is 1 in, too coarse to judge by min 24.98 mm: write it to 0.01 mm"],
    ),
    (
        "coarse-and-plainly-in",
        "pin: {limit: min 24.98 mm}",
        &[("pin", "1.1 in")],
        &[],
    ),
    (
        "as-fine-as-the-limit",
        "pin: {limit: min 24.98 mm}",
        &[("pin", "24.98")],
        &[],
    ),
    (
        "a-rise-is-no-temperature",
        "rise: {limit: max 40 K}",
        &[("rise", "36 °F")],
        &[
            "unreadable: `36 °F`: `°F` is a unit of temperature, not of temperature difference; write a unit of temperature difference, such as `K`",
        ],
    ),
    (
        "a-rise-in-fahrenheit",
        "rise: {limit: max 2 K}",
        &[("rise", "36 Δ°F")],
        &["out of limits: rise (step 1.1) is 36 Δ°F (20.0 K), and the limit is max 2 K"],
    ),
    (
        "a-rise-worked-out",
        "oil: {limit: max 90 °C}\n  room: {limit: max 90 °F}\n  rise: {limit: max 5 K, calc: oil - room}",
        &[("oil", "27"), ("room", "68"), ("rise", "")],
        &["out of limits: rise (step 1.3) is 7 K, and the limit is max 5 K"],
    ),
    (
        "no-size-of-the-list",
        "gap: {limit: 0..9 mm}\n  shim: {limit: 0..9 mm, calc: \"next-above(gap, 1.00..2.00 mm step 0.05 mm)\"}",
        &[("gap", "5"), ("shim", "3")],
        &["can't be worked out: shim (step 1.2) can't be worked out: no size of its list will do"],
    ),
    (
        "divided-by-nought",
        "drop: {limit: 0..9 mm}\n  run: {limit: 0..9 mm}\n  share: {limit: 0..90 %, calc: drop / run}",
        &[("drop", "1"), ("run", "0"), ("share", "50")],
        &["can't be worked out: share (step 1.3) can't be worked out: its readings divide by nought"],
    ),
    // 62 mm, 0.05 mm, 11.7e-6/K from 20 °C: 88.93 °C exactly.
    ("heat-rounded-up", HEAT, &[("seat", "62.00"), ("heat", "89")], &[]),
    ("heat-to-a-tenth", HEAT, &[("seat", "62.00"), ("heat", "89.0")], &[]),
    (
        "heat-to-a-tenth-rounded",
        HEAT,
        &[("seat", "62.00"), ("heat", "88.9")],
        &[],
    ),
    ("heat-to-hundredths", HEAT, &[("seat", "62.00"), ("heat", "88.93")], &[]),
    (
        "heat-too-cold",
        HEAT,
        &[("seat", "62.00"), ("heat", "88")],
        &["differs: heat (step 1.2) is 88 °C by hand, and its readings give 89.0 °C"],
    ),
    (
        "heat-too-hot",
        HEAT,
        &[("seat", "62.00"), ("heat", "90")],
        &["differs: heat (step 1.2) is 90 °C by hand, and its readings give 89.0 °C"],
    ),
];

const HEAT: &str =
    "seat: {limit: 61.99..62.01 mm}\n  heat: {limit: max 120 °C, calc: \"heat(seat, 0.05 mm, carbon steel, 20 °C)\"}";

pub fn trials() -> Vec<Trial> {
    let trial = |case: &'static Case| Trial::test(format!("log/judged/{}", case.0), move || judged(case));
    CASES.iter().map(trial).collect()
}

fn judged((_, limits, written, told): &Case) -> Outcome {
    let ids = written
        .iter()
        .map(|(id, _)| format!("1. Measure the [measure {id}].\n"));
    let card = format!(
        "---\ntitle: Card\nlimits:\n  {limits}\n---\n\n{}",
        ids.collect::<String>()
    );
    let files: Files = [
        ("p/set.yaml", "machine: Invented pump\ntitle: Rebuild\n".to_string()),
        ("p/10-a.md", card),
    ]
    .map(|(path, text)| (path.to_string(), text.into_bytes()))
    .into();
    let mut text = job::begun(&files, ("p", "a"), "", "", &[])?;
    for (n, (id, value)) in written.iter().enumerate() {
        let empty = format!("limit: \"{id}\"\n    step: \"1.{}\"\n    value: \"\"", n + 1);
        if !text.contains(&empty) {
            return Err(format!("no {empty} in\n{text}").into());
        }
        text = text.replace(&empty, &empty.replace("value: \"\"", &format!("value: \"{value}\"")));
    }
    let report = job::record(&files, &text, "")?;
    let found: Vec<String> = report
        .findings
        .iter()
        .filter(|f| f.kind.word() != "missing")
        .map(|f| format!("{}: {}", f.kind.word(), f.message))
        .collect();
    is(&found, &format!("{told:?}"))
}
