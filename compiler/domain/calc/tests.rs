//! Worked examples, and what no text may do.

use super::*;
use crate::quantity::tests::{any_text, config};
use crate::quantity::{Dimension, Measure, Unit};
use crate::thermal::Material;
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Readings by id, a row a line, columns parted by spaces; all in one unit.
fn readings(text: &str, unit: &str) -> Value {
    let columns = text.lines().next().unwrap_or("").split(' ').count();
    let all: Vec<Measure> = text
        .split_whitespace()
        .map(|f| Measure::parse(&format!("{f} {unit}")).unwrap())
        .collect();
    Value::readings(&all, columns).unwrap()
}

fn given() -> BTreeMap<&'static str, Value> {
    BTreeMap::from([
        ("bore", readings("65.012 65.010\n65.008 65.004\n65.006 65.005", "mm")),
        ("skirt", readings("64.941", "mm")),
        ("gap", readings("0.50\n0.52\n0.51\n0.50", "mm")),
        ("gap-in", readings("0.0200", "in")),
        ("oil", readings("60", "°C")),
        ("room", readings("20", "°C")),
        ("force", readings("40", "N")),
        ("arm", readings("250", "mm")),
    ])
}

/// The result in a unit, to a power of ten, or the first fault.
fn result(text: &str, unit: &str, place: i32) -> Result<String, String> {
    let given = given();
    let node = parse(text).map_err(|e| e.message())?;
    let unit = Unit::find(unit).unwrap();
    let shape = |name: &str| {
        let value = given.get(name)?;
        let Scale::Unit(unit) = value.scale else { return None };
        Some(Shape::readings(
            unit.dimension(),
            value.figures.len() / value.columns,
            value.columns,
        ))
    };
    let (_, faults) = shape_of(&node, &shape, unit.dimension());
    if let Some(fault) = faults.first() {
        return Err(fault.message());
    }
    let value = work_out(&node, &|name| given.get(name).cloned()).map_err(|why| why.words().to_owned())?;
    let measures = value.measures(unit, place).ok_or("no measure")?;
    Ok(measures.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "))
}

fn gives(text: &str, unit: &str, place: i32, expected: &str) {
    assert_eq!(result(text, unit, place).as_deref(), Ok(expected), "{text}");
}

fn refused(text: &str, words: &str) {
    let error = result(text, "mm", -3).unwrap_err();
    assert!(error.contains(words), "{text}: {error}");
}

#[test]
fn arithmetic_is_exact_and_units_meet() {
    gives("max(bore) - skirt", "mm", -3, "0.071 mm");
    gives("mean(gap) + 0.04 mm", "mm", -3, "0.548 mm");
    gives("gap-in + 0.04 mm", "mm", -3, "0.548 mm");
    gives("spread(bore) / 2", "mm", -3, "0.004 mm");
    gives("abs(skirt - 65 mm)", "mm", -3, "0.059 mm");
    gives("min(skirt, 2.5 in)", "mm", -3, "63.500 mm");
    gives("2 * (skirt - 64.9 mm)", "mm", -3, "0.082 mm");
    gives("force * arm", "N·m", -1, "10.0 N·m");
    gives("skirt / 64.941 mm", "%", 0, "100 %");
    gives("oil - room", "K", 0, "40 K");
    gives("room + 5 K", "°C", 0, "25 °C");
}

#[test]
fn products_get_the_kind_that_they_are() {
    // P = ω M: 3000 rpm × 10 N·m = 314.159 rad/s × 10 N·m (ISO 80000-4).
    gives("10 N·m * 3000 rpm", "W", 0, "3142 W");
    gives("3.142 kW / 3000 rpm", "N·m", 1 - 2, "10.0 N·m");
    // v = ω r: 1000 rpm on a radius of 50 mm.
    gives("1000 rpm * 50 mm", "m/s", -2, "5.24 m/s");
    gives("230 V * 2 A", "W", 0, "460 W");
    gives("200 bar * 10 L/min", "kW", -2, "3.33 kW");
    gives("40 N * 250 mm", "J", 0, "10 J");
    gives("10 N·m * 90°", "J", -2, "15.71 J");
    gives("12 N / 4 mm", "N/mm", 0, "3 N/mm");
    gives("(0.04 mm - 0.01 mm) / 1 m", "mm/m", -2, "0.03 mm/m");
    gives("0.2 mm/m * 500 mm", "mm", -2, "0.10 mm");
    let wrong = |text: &str, unit: &str| result(text, unit, 0).unwrap_err();
    assert!(wrong("1 m/s / 1 m", "rpm").contains("this gives frequency, and the limit is of rotational speed"));
    assert!(wrong("58 HRC - 55 HBW", "HRC").contains("Rockwell C hardness and Brinell hardness don't go together"));
}

#[test]
fn a_list_gives_a_figure_for_each_reading() {
    gives("gap + 0.04 mm", "mm", -2, "0.54 mm, 0.56 mm, 0.55 mm, 0.54 mm");
    gives("clearance(bore, skirt)", "mm", -3, "0.063 mm, 0.071 mm");
}

// Rows are heights, columns directions: out of round compares directions at one height, taper heights in one direction.
#[test]
fn cylinders() {
    gives("out-of-round(bore)", "mm", -3, "0.004 mm");
    gives("taper(bore)", "mm", -3, "0.006 mm");
    refused("taper(skirt)", "two rows");
    refused("out-of-round(gap)", "two columns");
}

// Shim arithmetic (common practice, no source): check values C102, C277, C278.
#[test]
fn shims() {
    gives("shim(2.5 mm, 0.31 mm, 0.2 mm)", "mm", -2, "2.61 mm");
    gives("2.80 mm + 0.18 mm - 0.25 mm", "mm", -2, "2.73 mm");
    gives("shim(0.100 in, 0.014 in, 0.010 in)", "in", -3, "0.104 in");
    gives("shim(2.80 mm, 0.18 mm, 0.25 mm)", "mm", -2, "2.73 mm");
}

#[test]
fn sizes_are_chosen() {
    gives(
        "nearest(shim(2.80 mm, 0.18 mm, 0.25 mm), 2.00..3.20 mm step 0.05 mm)",
        "mm",
        -2,
        "2.75 mm",
    );
    gives("next-below(2.73 mm, 2.60 mm, 2.70 mm, 2.80 mm)", "mm", -2, "2.70 mm");
    gives("next-above(2.73 mm, 2.60 mm, 2.70 mm, 2.80 mm)", "mm", -2, "2.80 mm");
    // Of two equally near the smaller: clearance is never less than was wanted.
    gives("nearest(2.725 mm, 2.00..3.20 mm step 0.05 mm)", "mm", -2, "2.70 mm");
    // Stocked in even hundredths alone, or in odd ones.
    gives(
        "nearest(2.73 mm, 2.00..3.00 mm step 0.01 mm, even)",
        "mm",
        -2,
        "2.72 mm",
    );
    gives("nearest(2.74 mm, 2.00..3.00 mm step 0.01 mm, odd)", "mm", -2, "2.73 mm");
    assert_eq!(
        result("next-above(4 mm, 1 mm, 2 mm)", "mm", 0),
        Err("no size of its list will do".to_string())
    );
    refused("nearest(skirt)", "missing");
    refused("nearest(skirt, 1..2 mm step 0 mm)", "above zero");
    refused("nearest(skirt, 0..1 m step 0.001 mm)", "more than");
}

// End gap of a piston ring per bore (common practice, no source): check values C275, C276.
#[test]
fn ring_gaps() {
    gives("end-gap(100 mm, 0.4 %)", "mm", -2, "0.40 mm");
    gives("end-gap(3.50 in, 0.004)", "in", -3, "0.014 in");
}

// Growth = α d ΔT, from 20 °C: the rises of check values C265 (122.10 K), C267 (71.23 K), for the coefficient 11.7 of carbon steel.
#[test]
fn press_fits() {
    gives(
        "heat(35 mm, 0.03 mm + 0.02 mm, carbon steel, 20 °C)",
        "°C",
        -1,
        "142.1 °C",
    );
    gives("heat(72 mm, 0.06 mm, carbon steel, room)", "°C", -1, "91.2 °C");
    let steel = Material::parse("carbon steel").unwrap();
    assert!((steel.expansion().value - 11.7e-6).abs() < 1e-12);
}

#[test]
fn what_makes_no_sense_is_refused() {
    refused("bore - skirtt", "`skirtt` is not in limits");
    refused("force - arm", "force and length don't go together");
    refused("force * arm", "this gives torque, and the limit is of length");
    refused("force * force", "kg^2");
    refused("oil + room", "a temperature can only");
    refused("bore - gap", "6 readings meet 4");
    refused("bore -skirt", "neither an id nor a figure");
    refused("bore - ", "is missing here");
    refused("(bore - skirt", "never closed");
    refused("bore skirt", "neither an id");
    refused("max bore", "neither an id");
    refused("largest(bore)", "no function `largest`");
    refused("abs(bore, skirt)", "takes one value");
    refused("0.5 furlongs + skirt", "furlongs");
    refused("heat(35 mm, 0.05 mm, cheese, 20 °C)", "cheese");
    refused("heat(35 mm, 0.05 mm)", "takes a size");
    refused("", "missing");
    refused(&"(".repeat(200), "goes past the budget `brackets`");
    assert_eq!(
        result("skirt / 0", "mm", 0),
        Err("its readings divide by nought".to_string())
    );
}

#[test]
fn readings_fall_to_their_places() {
    let names = |text: &str| {
        text.split('|')
            .filter(|n| !n.is_empty())
            .map(str::to_string)
            .collect::<Vec<_>>()
    };
    let grid = |rows: &str, columns: &str| Grid {
        rows: names(rows),
        columns: names(columns),
    };
    let cells = |target: &Grid, source: &Grid, place| share(target, source, place).map(|s| s.cells);
    let (cylinders, pistons) = (grid("cyl 1|cyl 2", ""), grid("piston 1|piston 2", ""));
    let bores = grid("top|low", "cyl 1 along|cyl 2 along|cyl 1 across|cyl 2 across");
    assert_eq!(cells(&cylinders, &bores, 1), Some(vec![1, 3, 5, 7]));
    assert_eq!(cells(&cylinders, &pistons, 1), Some(vec![1]));
    assert_eq!(cells(&cylinders, &grid("", ""), 1), Some(vec![0]));
    assert_eq!(cells(&grid("", ""), &pistons, 0), Some(vec![0, 1]));
    assert_eq!(cells(&cylinders, &grid("a|b|c", ""), 0), None);
    assert_eq!(
        cells(&grid("rod 1|rod 2", ""), &grid("along|across", "pin 1|pin 2"), 1),
        Some(vec![1, 3])
    );
    assert_eq!(cells(&bores, &bores, 5), Some(vec![5]));
    assert_eq!(bores.names()[1], "top, cyl 2 along");
}

#[test]
fn every_dimension_has_powers_and_a_coherent_unit() {
    for dimension in Dimension::ALL {
        // Shares and slopes are both plain numbers, and degrees multiply as kelvins; no other two meet.
        let plain = matches!(dimension, Dimension::Ratio | Dimension::Slope);
        let found = Powers::of(dimension).dimension();
        assert!(
            plain || found == Some(dimension) || dimension == Dimension::TemperatureDifference,
            "{dimension}"
        );
        let unit = shape::coherent(dimension);
        assert_eq!(unit.is_none(), plain);
        let same = |u: Unit| u.dimension() == dimension || u.symbol() == "K";
        assert!(unit.is_none_or(same));
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn no_text_panics(text in any_text()) {
        if let Err(error) = parse(&text) {
            prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
        }
    }

    #[test]
    fn nothing_that_looks_like_an_expression_panics(text in "[a-c0-9 ()+*/.,-]{0,40}|nearest\\([0-9a ., m]{0,20}") {
        match parse(&text) {
            Err(error) => prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}"),
            Ok(node) => {
                let shape = |name: &str| (name == "a").then(|| Shape::readings(Dimension::Length, 1, 1));
                let (_, faults) = shape_of(&node, &shape, Dimension::Length);
                prop_assert!(faults.iter().all(|f| text.get(f.at.clone()).is_some()));
                let _ = work_out(&node, &|_| Some(readings("1.5", "mm")));
            }
        }
    }
}
