//! Tests of fasteners.

use proptest::prelude::*;
use uom::si::area::square_millimeter;
use uom::si::f64::Length;
use uom::si::force::newton;
use uom::si::length::millimeter;

use super::*;
use crate::quantity::tests::{any_text, config};

#[test]
fn fasteners_as_authors_name_them() {
    for (text, shown) in [
        ("M8x1.25 8.8", "M8×1.25 8.8"),
        ("M8 class 10.9", "M8×1.25 10.9"),
        ("M6 A2-70", "M6×1 A2-70"),
        ("3/8-16 UNC grade 8", "3/8-16 UNC grade 8"),
        ("3/8-16 UNC-2A gr. 5", "3/8-16 UNC grade 5"),
        ("#10-32", "No. 10-32 UNF"),
        ("1/4-20 UNC A2-70", "1/4-20 UNC A2-70"),
    ] {
        assert_eq!(
            Fastener::parse(text).map(|fastener| fastener.to_string()),
            Ok(shown.to_owned()),
            "{text}"
        );
    }
}

#[test]
fn classes_that_do_not_go_with_the_thread() {
    let fault = |text: &str| Fastener::parse(text).unwrap_err();
    let error = fault("M8 grade 8");
    assert_eq!(
        (error.at.clone(), error.help()),
        (3..10, "did you mean `8.8`?".to_owned())
    );
    assert!(matches!(
        fault("3/8-16 UNC 8.8").kind,
        ValueErrorKind::UnknownClass { .. }
    ));
    assert_eq!(fault("M8 88").help(), "did you mean `8.8`?");
    // 9.8 ends at 16 mm.
    assert!(matches!(fault("M20 9.8").kind, ValueErrorKind::ClassSize { .. }));
}

#[test]
fn proof_loads() {
    let load = |text: &str| Fastener::parse(text).unwrap().proof_load().unwrap().get::<newton>();
    assert!((load("M8 8.8") - 21_200.0).abs() < 130.0);
    assert!(Fastener::parse("M8").unwrap().proof_load().is_none());
}

#[test]
fn threads_in_soft_metal_strip_first() {
    let fastener = Fastener::parse("M8 10.9").unwrap();
    let length = Length::new::<millimeter>(8.0);
    let soft = TappedMaterial::parse("cast aluminium").unwrap();
    let internal = strip::internal_strip_load(fastener.thread(), length, soft);
    assert!(internal < strip::external_strip_load(fastener, length).unwrap());
    assert_eq!(strip::strip_load(fastener, length, soft), internal);
    // π · 8 · (8 − 0.8 · 1.25) · 7/8 · 0.78 = 120.1 mm²
    let area = strip::internal_shear_area(
        fastener.thread(),
        strip::effective_engagement(fastener.thread(), length),
    );
    assert!((area.get::<square_millimeter>() - 120.07).abs() < 0.01);
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn no_text_panics(text in any_text()) {
        for error in [Fastener::parse(&text).err(), TappedMaterial::parse(&text).err()].into_iter().flatten() {
            prop_assert!(text.get(error.at.clone()).is_some(), "{error:?}");
        }
    }

    #[test]
    fn designations_read_back(index in 0_usize..200) {
        let threads: Vec<Thread> = Thread::all().collect();
        let thread = threads[index % threads.len()];
        prop_assert_eq!(Fastener::parse(&thread.to_string()), Ok(Fastener::new(thread, None)));
    }
}
