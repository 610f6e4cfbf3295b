//! Tests of quantities: spellings, exact conversions, significance, faults and their places.

use proptest::prelude::*;
use rust_decimal::Decimal;
use uom::si::f64::{Angle, Length, Pressure, Time, Torque};

use super::*;

fn unit(symbol: &str) -> Unit {
    Unit::find(symbol).unwrap_or_else(|| panic!("no unit {symbol}"))
}

fn converted(text: &str, to: &str) -> String {
    Measure::parse(text)
        .unwrap()
        .in_unit(unit(to), Rounding::Nearest)
        .unwrap()
        .to_string()
}

#[test]
fn spellings_fold_to_the_canonical_symbol() {
    let same = [
        (
            "N·m",
            vec!["12 Nm", "12 N.m", "12 N*m", "12N·m", "12\u{a0}N⋅m", "12\u{202f}N m"],
        ),
        (
            "lbf·ft",
            vec![
                "12 ft-lb",
                "12 ft·lbf",
                "12 lb-ft",
                "12 ft lbs",
                "12 lbf.ft",
                "12 ft.lb.",
                "12 ft.-lbs.",
            ],
        ),
        (
            "lbf·in",
            vec!["12 in-lb", "12 inlb", "12 lb-in", "12 in·lbf", "12 lbf in"],
        ),
        ("kgf·cm", vec!["12 kgf·cm", "12 kg-cm", "12 kp cm"]),
        ("µm", vec!["12 um", "12 µm", "12 μm"]),
        ("in", vec!["12 in", "12\"", "12 in.", "12″", "12 inches"]),
        ("°C", vec!["12 degC", "12 °C", "12 ºC", "12 ℃", "12 deg C"]),
        ("US fl oz", vec!["12 US fl oz", "12 US fl. oz."]),
        ("kgf/cm²", vec!["12 kgf/cm2", "12 kg/cm²", "12 kgf/cm^2"]),
    ];
    for (symbol, spellings) in same {
        for text in spellings {
            assert_eq!(
                Measure::parse(text).map(|m| m.to_string()),
                Ok(format!("12 {symbol}")),
                "{text}"
            );
        }
    }
    assert_eq!(Measure::parse("60 °").unwrap().to_string(), "60°");
    assert_eq!(Measure::parse("60 deg").unwrap().to_string(), "60°");
}

#[test]
fn conversions_keep_the_figures_own_significance() {
    assert_eq!(converted("12 N·m", "lbf·ft"), "8.9 lbf·ft");
    assert_eq!(converted("100 N·m", "lbf·ft"), "73.8 lbf·ft");
    assert_eq!(converted("1 N·m", "lbf·ft"), "0.74 lbf·ft");
    assert_eq!(converted("88 lbf·in", "N·m"), "9.9 N·m");
    assert_eq!(converted("40 N·m", "lbf·ft"), "29.5 lbf·ft");
    assert_eq!(converted("0.05 mm", "in"), "0.0020 in");
    assert_eq!(converted("68 °F", "°C"), "20 °C");
    assert_eq!(converted("-40 °F", "°C"), "-40 °C");
    assert_eq!(converted("31.9 °F", "°C"), "-0.1 °C");
    assert_eq!(converted("32 °F", "°C"), "0 °C");
    assert_eq!(converted("0 mm", "in"), "0 in");
    assert_eq!(converted("3/8 in", "mm"), "9.52 mm");
    assert_eq!(converted("12000 lbf", "N"), "53379 N");
    assert_eq!(converted("1 rev", "°"), "360°");
}

#[test]
fn conversions_of_inch_and_pound_units_are_exact() {
    let exact = |text: &str, to: &str| {
        let measure = Measure::parse(text).unwrap();
        measure
            .unit()
            .convert(measure.value(), unit(to))
            .unwrap()
            .normalize()
            .to_string()
    };
    assert_eq!(exact("1 lbf·ft", "N·m"), "1.3558179483314004");
    assert_eq!(exact("1 lbf·ft", "lbf·in"), "12");
    assert_eq!(exact("1 in", "mm"), "25.4");
    assert_eq!(exact("1 US gal", "in3"), "231");
    assert_eq!(exact("90 °", "rev"), "0.25");
    assert_eq!(exact("1 h", "min"), "60");
}

#[test]
fn fractions_and_signs() {
    let value = |text: &str| Measure::parse(text).unwrap().value().normalize().to_string();
    assert_eq!(value("1/2 in"), "0.5");
    assert_eq!(value("1-1/2 in"), "1.5");
    assert_eq!(value("1 1/2 in"), "1.5");
    assert_eq!(value(".5 mm"), "0.5");
    assert_eq!(value("−40 °C"), "-40");
    assert_eq!(Measure::parse("1-1/2 in").unwrap().to_string(), "1-1/2 in");
}

#[test]
fn faults_have_their_place() {
    let fault = |text: &str| Written::<Torque>::parse(text).unwrap_err();
    assert_eq!(
        fault("12"),
        ValueError::new(
            0..2,
            ValueErrorKind::MissingUnit {
                expected: Some(Dimension::Torque)
            }
        )
    );
    assert_eq!(fault("  "), ValueError::new(2..2, ValueErrorKind::Empty));
    assert_eq!(fault("12 N·m dry").at, 8..11);
    assert_eq!(
        fault("x N·m"),
        ValueError::new(0..1, ValueErrorKind::NotANumber { found: "x".into() })
    );
    assert_eq!(
        fault("12 nm").kind,
        ValueErrorKind::UnknownUnit {
            found: "nm".into(),
            suggestion: Some("N·m".into()),
            choices: Vec::new(),
        }
    );
    let wrong = fault("12 mm");
    assert_eq!(wrong.at, 3..5);
    assert_eq!(wrong.message(), "`mm` is a unit of length, not of torque");
    let comma = fault("12,5 N·m");
    assert_eq!((comma.at.clone(), comma.help()), (0..4, "write `12.5`".to_owned()));
    let help = |text: &str| fault(text).help();
    assert_eq!(help("1,200 N·m"), "write `1.200` for decimals or `1200` for thousands");
    assert_eq!(help("0,050 N·m"), "write `0.050`");
    assert_eq!(help("1234,567 N·m"), "write `1234.567`");
    assert_eq!(help("1,234,567.5 N·m"), "write `1234567.5`");
    assert_eq!(fault("1.234,5 N·m").replacement(), None);
    assert!(matches!(fault("1/3 N·m").kind, ValueErrorKind::NumberOutOfRange { .. }));
    assert!(matches!(
        fault("123456789012345678901234567890123 N·m").kind,
        ValueErrorKind::NumberOutOfRange { .. }
    ));
    assert_eq!(
        Measure::parse("5 gal").unwrap_err().help(),
        "say whose gal: write `US gal` or `imp gal`"
    );
}

#[test]
fn typed_values_are_si() {
    assert_eq!(Written::<Length>::parse("1 in").unwrap().quantity().si(), 0.0254);
    assert_eq!(Written::<Pressure>::parse("1 bar").unwrap().quantity().si(), 1e5);
    assert_eq!(Written::<Time>::parse("24 h").unwrap().quantity().si(), 86400.0);
    assert!((Written::<Angle>::parse("90°").unwrap().quantity().si() - std::f64::consts::FRAC_PI_2).abs() < 1e-15);
}

/// The usual number of cases, without a file of past failures in the tree: a failure worth keeping becomes a test of its own.
pub(crate) fn config() -> ProptestConfig {
    ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Any text, with a good share of texts that look nearly like values.
pub(crate) fn any_text() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "12",
        "0.5",
        ".",
        "..",
        "±",
        "+",
        "-",
        "−",
        "/",
        ",",
        " ",
        "\u{a0}",
        "N·m",
        "mm",
        "°",
        "%",
        "µ",
        "in",
        "max",
        "min",
        "H7",
        "to",
        "P",
        "T",
        "M8",
        "x",
        "h",
        "é",
        "999999999999999999999999999999",
        "1/2",
        "(",
        "UNC",
        "No.",
        "8.8",
        "grade",
    ]);
    prop_oneof![
        any::<String>(),
        prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat())
    ]
}

/// A whole text in place of a unit is read once, not once more for each of its words: read anew for each, one of these takes hours.
#[test]
fn a_text_in_place_of_a_unit_takes_no_longer_than_it_is() {
    let much = 200_000;
    for (begins, goes_on, meant) in [
        ("12 ", "the rip ", None),
        ("12 N·m ", "the rip ", Some("N·m")),
        ("12 N ", "· ", Some("N")),
        ("12 m", "   ", Some("m")),
        ("12 ", "a1", None),
        ("12 h ", "e9x", Some("h")),
    ] {
        let text = format!("{begins}{}", goes_on.repeat(much));
        let mut scan = scan::Scan::new(&text);
        scan.number().unwrap();
        let found = scan.unit(None).map(|found| found.map(|(unit, _)| unit));
        assert_eq!(found.ok().flatten(), meant.map(unit), "{begins}{goes_on}");
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn no_text_panics_and_faults_lie_on_character_boundaries(text in any_text()) {
        if let Err(error) = Measure::parse(&text) {
            prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
            prop_assert!(!error.message().is_empty() && !error.help().is_empty());
        }
    }

    #[test]
    fn printing_and_reading_again_changes_nothing(mantissa in -1_000_000_i64..1_000_000, scale in 0_u32..6, index in 0_usize..200) {
        let units: Vec<Unit> = Unit::all().collect();
        let measure = Measure::new(Figure::computed(Decimal::new(mantissa, scale)), units[index % units.len()]);
        match Measure::parse(&measure.to_string()) {
            Err(error) if error.kind == ValueErrorKind::BelowAbsoluteZero => {
                prop_assert_eq!(measure.unit().dimension(), Dimension::Temperature);
                prop_assert!(mantissa < 0);
            }
            read => prop_assert_eq!(read, Ok(measure)),
        }
    }

    #[test]
    fn there_and_back_is_within_rounding(mantissa in 1_i64..1_000_000, scale in 0_u32..6, from in 0_usize..200, to in 0_usize..200) {
        let units: Vec<Unit> = Unit::all().collect();
        let from = units[from % units.len()];
        let same: Vec<Unit> = Unit::of(from.dimension()).collect();
        let to = same[to % same.len()];
        let value = Decimal::new(mantissa, scale);
        if let Some(back) = from.convert(value, to).and_then(|there| to.convert(there, from)) {
            // 28 places hold at least this much of the smallest value a table's units can make of the smallest figure here.
            prop_assert!((back - value).abs() <= value * Decimal::new(1, 6), "{from} {to} {value} {back}");
        }
    }

    #[test]
    fn conversion_is_monotone(a in 1_i64..1_000_000, b in 1_i64..1_000_000, rounding in prop::sample::select(vec![Rounding::Down, Rounding::Up, Rounding::Nearest])) {
        let place = -3;
        let (low, high) = (a.min(b), a.max(b));
        let at = |value: i64| Measure::new(Figure::computed(Decimal::new(value, 2)), unit("N·m")).in_unit_to_place(unit("lbf·ft"), place, rounding).unwrap().value();
        prop_assert!(at(low) <= at(high));
    }

    #[test]
    fn rounding_goes_the_way_it_says(mantissa in any::<i64>(), scale in 0_u32..18, place in -8_i32..8) {
        let value = Decimal::new(mantissa, scale);
        let down = round_to_place(value, place, Rounding::Down);
        let up = round_to_place(value, place, Rounding::Up);
        let nearest = round_to_place(value, place, Rounding::Nearest);
        prop_assert!(down <= value && value <= up);
        prop_assert!(nearest == down || nearest == up);
        prop_assert!(!nearest.to_string().starts_with("-0") || !nearest.is_zero());
    }

    #[test]
    fn a_unit_of_another_dimension_is_refused(index in 0_usize..200) {
        let units: Vec<Unit> = Unit::all().collect();
        let unit = units[index % units.len()];
        let parsed = Written::<Torque>::parse(&format!("12 {unit}"));
        prop_assert_eq!(parsed.is_ok(), unit.dimension() == Dimension::Torque);
    }
}
