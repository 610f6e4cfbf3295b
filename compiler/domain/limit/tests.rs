//! Tests of limits, tolerances and ranges.

use proptest::prelude::*;
use rust_decimal::Decimal;

use super::*;
use crate::quantity::tests::{any_text, config};
use crate::quantity::{Dimension, Figure, Measure, Unit, ValueErrorKind};

fn shown(text: &str) -> (String, String) {
    let limit = Limit::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
    (limit.to_string(), limit.bounds().to_string())
}

#[test]
fn every_form_is_read_and_printed() {
    let cases = [
        ("41.2..41.9 mm", "41.2–41.9 mm", "41.2–41.9 mm"),
        ("41.2 mm .. 41.9 mm", "41.2–41.9 mm", "41.2–41.9 mm"),
        ("20-24 N·m", "20–24 N·m", "20–24 N·m"),
        ("20 to 24 Nm", "20–24 N·m", "20–24 N·m"),
        ("-40..-20 °C", "-40 to -20 °C", "-40 to -20 °C"),
        ("500 µm..1.2 mm", "500 µm to 1.2 mm", "500 µm to 1.2 mm"),
        ("0.20 ± 0.02 mm", "0.20 ± 0.02 mm", "0.18–0.22 mm"),
        ("0.20 mm +/- 0.02 mm", "0.20 ± 0.02 mm", "0.18–0.22 mm"),
        ("12 V ± 5 %", "12 V ± 5 %", "11.4–12.6 V"),
        ("30 mm ± 20 µm", "30 mm ± 20 µm", "29.98–30.02 mm"),
        ("10 +0.02/-0.01 mm", "10 mm +0.02/−0.01 mm", "9.99–10.02 mm"),
        ("10 mm +0.02 −0.01", "10 mm +0.02/−0.01 mm", "9.99–10.02 mm"),
        ("10 -0.01/+0.02 mm", "10 mm +0.02/−0.01 mm", "9.99–10.02 mm"),
        ("10 +0.02/0 mm", "10 mm +0.02/−0 mm", "10–10.02 mm"),
        ("10 -0.1/-0.2 mm", "10 mm −0.1/−0.2 mm", "9.8–9.9 mm"),
        ("10 -0.2/-0.1 mm", "10 mm −0.1/−0.2 mm", "9.8–9.9 mm"),
        ("10 0/-0.02 mm", "10 mm +0/−0.02 mm", "9.98–10 mm"),
        ("10 mm +0.05/+0.02", "10 mm +0.05/+0.02 mm", "10.02–10.05 mm"),
        ("10 mm +0.05 +0.02", "10 mm +0.05/+0.02 mm", "10.02–10.05 mm"),
        ("2.500 +0.000/-0.001 in", "2.500 in +0.000/−0.001 in", "2.499–2.500 in"),
        ("< 0.05 mm", "< 0.05 mm", "< 0.05 mm"),
        ("> 1.2 bar", "> 1.2 bar", "> 1.2 bar"),
        ("max. 5 mm", "max 5 mm", "max 5 mm"),
        ("5 mm max.", "max 5 mm", "max 5 mm"),
        ("Min. 5 mm", "min 5 mm", "min 5 mm"),
        ("58..62 HRC", "58–62 HRC", "58–62 HRC"),
        ("max 0.02 mm/m", "max 0.02 mm/m", "max 0.02 mm/m"),
        ("max 0.05 mm", "max 0.05 mm", "max 0.05 mm"),
        ("0.05 mm max", "max 0.05 mm", "max 0.05 mm"),
        ("≤ 0.05 mm", "max 0.05 mm", "max 0.05 mm"),
        ("min 1.2 bar", "min 1.2 bar", "min 1.2 bar"),
        ("min 5 min", "min 5 min", "min 5 min"),
        ("30 H7", "30 H7", "30.000–30.021 mm"),
        ("30H7", "30 H7", "30.000–30.021 mm"),
        ("2..3 m3", "2–3 m³", "2–3 m³"),
        ("50 ± 4 %", "50 ± 4 %", "46–54 %"),
    ];
    for (text, limit, bounds) in cases {
        if text == "50 ± 4 %" {
            // Neither figure has a unit of its own: the share of a bare number means nothing.
            assert!(matches!(
                Limit::parse(text).unwrap_err().kind,
                ValueErrorKind::MissingUnit { .. }
            ));
            continue;
        }
        assert_eq!(shown(text), (limit.to_owned(), bounds.to_owned()), "{text}");
    }
}

#[test]
fn faults_name_their_place() {
    let fault = |text: &str| Limit::parse(text).unwrap_err();
    assert_eq!(
        fault("34..33 mm").kind,
        ValueErrorKind::EmptyRange {
            low: "34".into(),
            high: "33".into()
        }
    );
    assert_eq!(fault("34..33 mm").at, 0..6);
    assert_eq!(fault("33 mm").kind, ValueErrorKind::NoLimit);
    assert!(matches!(fault("33..34").kind, ValueErrorKind::MissingUnit { .. }));
    assert!(matches!(
        fault("3 mm..4 N·m").kind,
        ValueErrorKind::MixedDimensions { .. }
    ));
    assert_eq!(fault("0.20 ± -0.02 mm").kind, ValueErrorKind::NegativeTolerance);
    assert!(matches!(fault("30 Q7").kind, ValueErrorKind::UnknownFit { .. }));
    assert!(matches!(
        fault("max 0,05 mm").kind,
        ValueErrorKind::CommaInNumber { .. }
    ));
    assert!(matches!(
        Interval::parse("5..25 mm", &[Dimension::Torque]).unwrap_err().kind,
        ValueErrorKind::WrongDimension { .. }
    ));
}

#[test]
fn exponents_overload_and_unclear_points_are_refused_by_name() {
    let fault = |text: &str| {
        let error = Limit::parse(text).unwrap_err();
        format!("{}; {}", error.message(), error.help())
    };
    for (text, plain) in [
        ("max 1e-3 mm", "`1e-3` is written with a power of ten; write `0.001`"),
        (
            "max 1.5E3 N",
            "`1.5E3` is written with a power of ten; write `1500`; if a tolerance class of ISO 286 is meant, `1.5 E3`",
        ),
        (
            "max 2×10^-2 mm",
            "`2×10^-2` is written with a power of ten; write `0.02`",
        ),
        (
            "max 2 x 10⁻² mm",
            "`2 x 10⁻²` is written with a power of ten; write `0.02`",
        ),
        (
            "max 1e5",
            "`1e5` is written with a power of ten; write `100000`; if a tolerance class of ISO 286 is meant, `1 e5`",
        ),
    ] {
        assert_eq!(fault(text), plain, "{text}");
    }
    assert!(
        fault("30e8").contains("`30 e8`"),
        "a shaft or a power of ten: only a space tells"
    );
    assert!(Limit::parse("30 e8").is_ok());
    assert!(fault("OL").starts_with("`OL` is what a meter shows"));
    assert!(fault("min OL").starts_with("`OL` is what a meter shows"));
    assert!(fault("max.5 mm").starts_with("`max.5` may mean `max 5` or `max 0.5`"));
}

#[test]
fn a_figure_that_must_be_passed_is_itself_out() {
    let allows = |limit: &str, value: &str| {
        let value = Measure::parse(value).unwrap();
        Limit::parse(limit).unwrap().bounds().allow(&value)
    };
    assert_eq!(allows("< 0.05 mm", "0.05 mm"), Some(false));
    assert_eq!(allows("< 0.05 mm", "0.0499 mm"), Some(true));
    assert_eq!(allows("> 1 bar", "100 kPa"), Some(false));
    assert_eq!(allows("max 0.05 mm", "0.05 mm"), Some(true));
    // Another scale of hardness is another kind of thing, and so is a cycle from a turn.
    assert_eq!(allows("min 58 HRC", "58 HBW"), None);
    assert_eq!(allows("max 50 Hz", "50 rpm"), None);
}

#[test]
fn tolerances_alone() {
    let shown = |text: &str| Tolerance::parse(text, &[Dimension::Torque]).map(|tolerance| tolerance.to_string());
    assert_eq!(shown("± 4 %").as_deref(), Ok("± 4 %"));
    assert_eq!(shown("10 %").as_deref(), Ok("± 10 %"));
    assert_eq!(shown("+/- 2 Nm").as_deref(), Ok("± 2 N·m"));
    assert_eq!(shown("+2/-1 N·m").as_deref(), Ok("+2/−1 N·m"));
    assert!(matches!(
        shown("± 2 mm").unwrap_err().kind,
        ValueErrorKind::WrongDimension { .. }
    ));
    assert!(matches!(
        shown("+2/-1 mm").unwrap_err().kind,
        ValueErrorKind::WrongDimension { .. }
    ));
    assert!(matches!(
        shown("4").unwrap_err().kind,
        ValueErrorKind::MissingUnit { .. }
    ));
}

#[test]
fn conversions_go_inward() {
    let inch = Unit::find("in").unwrap();
    let at = |text: &str| Limit::parse(text).unwrap().in_unit(inch).unwrap().to_string();
    assert_eq!(at("max 0.05 mm"), "max 0.0019 in");
    assert_eq!(at("41.2..41.9 mm"), "1.623–1.649 in");
    assert_eq!(at("30 H7"), "1.18111–1.18192 in");
    assert_eq!(at("1.5..2.5 in"), "1.5–2.5 in");
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn no_text_panics(text in any_text()) {
        for error in [Limit::parse(&text).err(), Tolerance::parse(&text, &[]).err(), Interval::parse(&text, &[]).err()].into_iter().flatten() {
            prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
        }
    }

    #[test]
    fn printing_and_reading_again_changes_nothing(
        low in -100_000_i64..100_000,
        width in 0_i64..100_000,
        plus in 1_i64..1000,
        minus in 0_i64..1000,
        scale in 0_u32..4,
        index in 0_usize..200,
        form in 0_usize..6,
    ) {
        let units: Vec<Unit> = Unit::all().filter(|unit| unit.dimension() != Dimension::Ratio).collect();
        let unit = units[index % units.len()];
        let figure = |value: i64| Decimal::new(value, scale);
        let text = match form {
            0 => format!("{}..{} {unit}", figure(low), figure(low + width)),
            1 => format!("{} ± {} {unit}", figure(low), figure(plus)),
            2 => format!("{} +{}/-{} {unit}", figure(low), figure(plus), figure(minus)),
            3 => format!("max {} {unit}", figure(low)),
            4 => format!("min {} {unit}", figure(low)),
            _ => format!("{} {unit} ± {} %", figure(low), figure(plus)),
        };
        let limit = match Limit::parse(&text) {
            Err(error) if error.kind == ValueErrorKind::BelowAbsoluteZero => {
                prop_assert_eq!(unit.dimension(), Dimension::Temperature, "{}", text);
                return Ok(());
            }
            read => read.unwrap(),
        };
        prop_assert_eq!(Limit::parse(&limit.to_string()), Ok(limit.clone()), "{} printed as {}", text, limit);
        let bounds = limit.bounds();
        if let (Some(low), Some(high)) = (&bounds.low, &bounds.high) {
            prop_assert!(low.compare(high).unwrap().is_le());
            prop_assert_eq!(bounds.allow(low), Some(true));
        }
    }

    #[test]
    fn a_converted_limit_never_allows_more(low in -1_000_000_i64..1_000_000, width in 0_i64..1_000_000, scale in 0_u32..5, from in 0_usize..200, to in 0_usize..200) {
        let units: Vec<Unit> = Unit::all().collect();
        let from = units[from % units.len()];
        let same: Vec<Unit> = Unit::of(from.dimension()).collect();
        let to = same[to % same.len()];
        let measure = |value: i64| Measure::new(Figure::computed(Decimal::new(value, scale)), from);
        let bounds = Bounds { low: Some(measure(low)), high: Some(measure(low + width)), open: false };
        if let Some(inward) = bounds.in_unit(to) {
            let (low, high) = (inward.low.unwrap(), inward.high.unwrap());
            prop_assert!(low.compare(&high).unwrap().is_le());
            // Compared in the target unit, where the exact bounds are the converted ones to 28 digits.
            prop_assert!(low.value() >= from.convert(bounds.low.unwrap().value(), to).unwrap());
            prop_assert!(high.value() <= from.convert(bounds.high.unwrap().value(), to).unwrap());
        } else {
            prop_assert!(width == 0 || from.dimension() != to.dimension() || width < 1000);
        }
    }
}
