//! Tests of torques and stages.

use proptest::prelude::*;

use super::*;
use crate::limit::Tolerance;
use crate::quantity::tests::{any_text, config};
use crate::quantity::{Dimension, Unit, ValueErrorKind};

#[test]
fn torques_in_every_form() {
    let cases = [
        ("12 Nm", "12 N·m", "12 N·m", "12 N·m"),
        ("12 N·m ± 10 %", "12 N·m ± 10 %", "10.8 N·m", "13.2 N·m"),
        ("12 ± 2 N·m", "12 ± 2 N·m", "10 N·m", "14 N·m"),
        ("20..24 N·m", "20–24 N·m", "20 N·m", "24 N·m"),
        ("88 in-lb +/- 5%", "88 lbf·in ± 5 %", "83.6 lbf·in", "92.4 lbf·in"),
    ];
    for (text, shown, low, high) in cases {
        let torque = TorqueValue::parse(text).unwrap();
        assert_eq!(
            (torque.to_string(), torque.low().to_string(), torque.high().to_string()),
            (shown.into(), low.into(), high.into())
        );
    }
    let range = TorqueValue::parse("20..25 N·m").unwrap();
    assert_eq!(range.target().to_string(), "22.5 N·m");
    assert_eq!(
        range.in_unit(Unit::find("lbf·ft").unwrap()).as_deref(),
        Some("14.8–18.4 lbf·ft")
    );
    let tolerance = Tolerance::parse("± 10 %", &[Dimension::Torque]).unwrap();
    let plain = TorqueValue::parse("12 N·m").unwrap().or_tolerance(&tolerance).unwrap();
    assert_eq!(plain.low().to_string(), "10.8 N·m");
}

#[test]
fn torques_that_are_none() {
    let kind = |text: &str| TorqueValue::parse(text).unwrap_err().kind;
    assert_eq!(kind("-12 N·m"), ValueErrorKind::Negative);
    assert_eq!(
        kind("12 N·m ± 100 %"),
        ValueErrorKind::ToleranceTooLarge { share: None }
    );
    assert_eq!(
        kind("9 N·m ± 10"),
        ValueErrorKind::ToleranceTooLarge {
            share: Some("± 10 %".into())
        }
    );
    assert!(matches!(kind("max 12 N·m"), ValueErrorKind::NotANumber { .. }));
    assert!(matches!(kind("12 lb"), ValueErrorKind::WrongDimension { .. }));
    assert!(matches!(kind("30 H7"), ValueErrorKind::NotANumber { .. }));
}

#[test]
fn stages() {
    let shown = |text: &str| Stage::parse(text).map(|stage| stage.to_string());
    assert_eq!(shown("20 N·m").as_deref(), Ok("20 N·m"));
    assert_eq!(shown("+90°").as_deref(), Ok("+90°"));
    assert_eq!(shown("+90 deg").as_deref(), Ok("+90°"));
    assert_eq!(shown("60 °").as_deref(), Ok("+60°"));
    assert_eq!(shown("+90 ± 5 °").as_deref(), Ok("+90° ± 5°"));
    assert_eq!(shown("1/2 turn").as_deref(), Ok("+1/2 turn"));
    let error = Stage::parse(" +90").unwrap_err();
    assert_eq!(
        (error.at, error.kind),
        (
            2..4,
            ValueErrorKind::MissingUnit {
                expected: Some(Dimension::Angle)
            }
        )
    );
    assert!(matches!(
        Stage::parse("+20 N·m").unwrap_err().kind,
        ValueErrorKind::WrongDimension { .. }
    ));
    assert_eq!(Stage::parse("-90°").unwrap_err().kind, ValueErrorKind::Negative);
}

#[test]
fn by_hand_has_no_figure() {
    for text in ["hand", " Hand ", "HAND"] {
        assert_eq!(Stage::parse(text), Ok(Stage::Hand), "{text}");
        assert_eq!(Stage::only(text), Ok(Stage::Hand), "{text}");
    }
    assert!(Stage::Hand.torque().is_none() && Stage::Hand.turn().is_none() && Stage::Hand.is_by_hand());
    assert_eq!(Stage::Hand.to_string(), HAND);
    // What means the same is named; `snug` is what a structural joint calls a wrench's first effort, and nothing is guessed of it.
    for text in ["hand-tight", "hand tight", "Finger-tight", "handfest"] {
        let error = Stage::only(text).unwrap_err();
        assert_eq!(error.replacement().as_deref(), Some(HAND), "{text}");
    }
    for text in ["snug", "by hand", "tight", "hand 5 N·m", "5 N·m hand", "handle"] {
        assert_ne!(
            Stage::only(text).map_err(|e| e.replacement()),
            Err(Some(HAND.to_owned())),
            "{text}"
        );
        assert!(Stage::parse(text).is_err() && Stage::only(text).is_err(), "{text}");
    }
    // A single figure is no angle, whether or not `hand` may stand there.
    assert!(Stage::only("+90°").is_err());
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn no_text_panics(text in any_text()) {
        for error in [Stage::parse(&text).err(), TorqueValue::parse(&text).err()].into_iter().flatten() {
            prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
        }
    }

    #[test]
    fn printing_and_reading_again_changes_nothing(value in 1_i64..100_000, tolerance in 1_i64..99, scale in 0_u32..3, form in 0_usize..5) {
        let figure = rust_decimal::Decimal::new(value, scale);
        let text = match form {
            0 => format!("{figure} N·m"),
            1 => format!("{figure} lbf·in ± {tolerance} %"),
            2 => format!("{figure} lbf·ft +1 %"),
            3 => format!("{figure}..{} kgf·cm", figure + rust_decimal::Decimal::from(tolerance)),
            _ => format!("+{figure}°"),
        };
        // `+1 %` isn't a tolerance, and must not pass for one.
        prop_assert_eq!(Stage::parse(&text).is_err(), form == 2);
        if let Ok(stage) = Stage::parse(&text) {
            prop_assert_eq!(Stage::parse(&stage.to_string()), Ok(stage));
        }
    }
}

#[test]
fn tightened_again_after() {
    for text in [
        "50 h",
        "1 h 30 min",
        "800 km",
        "3 heat cycles",
        "1 heat cycle",
        " 2  heat cycles ",
    ] {
        assert_eq!(again(text), Ok(()), "{text}");
    }
    let kind = |text: &str| again(text).unwrap_err().kind;
    for text in [
        "zq",
        "0 heat cycles",
        "heat cycles",
        "3 cycles",
        "-5 km",
        "true",
        "5 N·m",
    ] {
        assert!(matches!(kind(text), ValueErrorKind::NoInterval { .. }), "{text}");
    }
    assert!(matches!(kind("50"), ValueErrorKind::MissingUnit { .. }));
    assert!(matches!(kind(" "), ValueErrorKind::Empty));
}
