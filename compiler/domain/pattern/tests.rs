//! Tests of patterns.

use proptest::prelude::*;
use uom::si::angle::degree;
use uom::si::f64::{Ratio, Torque};
use uom::si::length::millimeter;

use super::*;
use crate::quantity::Written;
use crate::quantity::tests::config;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn circle(count: usize) -> Pattern {
    Pattern::circle(count, mm(100.0), Angle::new::<degree>(0.0)).unwrap()
}

#[test]
fn circles_cross() {
    assert_eq!(circle(4).computed_order().numbers(), [1, 3, 2, 4]);
    assert_eq!(circle(5).computed_order().numbers(), [1, 3, 5, 2, 4]);
    assert_eq!(circle(6).computed_order().numbers(), [1, 4, 2, 5, 3, 6]);
    assert_eq!(circle(8).computed_order().numbers(), [1, 5, 3, 7, 2, 6, 4, 8]);
    assert_eq!(
        circle(12).computed_order().numbers(),
        [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]
    );
    let top = circle(4).positions()[0];
    assert!(top.x.get::<millimeter>().abs() < 1e-9 && (top.y.get::<millimeter>() - 50.0).abs() < 1e-9);
    let right = circle(4).positions()[1];
    assert!((right.x.get::<millimeter>() - 50.0).abs() < 1e-9);
}

#[test]
fn a_cylinder_head_goes_from_the_middle_outwards() {
    // 1 2 3 4 5
    // 6 7 8 9 10
    let head = Pattern::grid(5, 2, mm(90.0), mm(80.0)).unwrap();
    let order = head.computed_order();
    assert_eq!(order.numbers(), [3, 8, 2, 9, 7, 4, 6, 5, 1, 10]);
    assert_eq!(order.turns(), [9, 3, 1, 6, 8, 7, 5, 2, 4, 10]);
    assert_eq!(
        Pattern::grid(2, 2, mm(10.0), mm(10.0))
            .unwrap()
            .computed_order()
            .numbers(),
        [1, 4, 2, 3]
    );
}

#[test]
fn faults_are_said() {
    assert_eq!(
        Pattern::circle(0, mm(1.0), Angle::new::<degree>(0.0)),
        Err(PatternFault::Empty)
    );
    assert_eq!(
        Pattern::circle(4, mm(0.0), Angle::new::<degree>(0.0)),
        Err(PatternFault::NotPositive { what: "diameter" })
    );
    assert_eq!(
        Pattern::grid(1000, 1000, mm(1.0), mm(1.0)),
        Err(PatternFault::TooMany { count: 1_000_000 })
    );
    let spot = Position { x: mm(1.0), y: mm(2.0) };
    assert_eq!(
        Pattern::listed(vec![spot, spot]),
        Err(PatternFault::SameSpot { first: 1, second: 2 })
    );
    let four = circle(4);
    assert_eq!(four.given_order(&[1, 3, 2]), Err(PatternFault::LeftOut { number: 4 }));
    assert_eq!(four.given_order(&[1, 3, 3, 4]), Err(PatternFault::Twice { number: 3 }));
    assert_eq!(
        four.given_order(&[0, 1, 2, 3]),
        Err(PatternFault::NoSuchPosition { number: 0, count: 4 })
    );
    assert!(four.given_order(&[4, 2, 3, 1]).is_ok());
}

#[test]
fn passes_are_shares_of_the_final_torque() {
    let passes = |shares: &[&str]| {
        Passes::new(
            shares
                .iter()
                .map(|share| Written::<Ratio>::parse(share).unwrap())
                .collect(),
        )
    };
    let torques = |last: &str| -> Vec<String> {
        let last = Written::<Torque>::parse(last).unwrap();
        passes(&["30 %", "70 %", "100 %"])
            .unwrap()
            .torques(&last)
            .iter()
            .map(|torque| torque.to_string())
            .collect()
    };
    assert_eq!(torques("120 N·m"), ["36 N·m", "84 N·m", "120 N·m"]);
    assert_eq!(torques("12 N·m"), ["3.6 N·m", "8.4 N·m", "12 N·m"]);
    assert_eq!(torques("55 lbf·ft"), ["16.5 lbf·ft", "38 lbf·ft", "55 lbf·ft"]);
    assert_eq!(passes(&["50 %", "30 %", "100 %"]), Err(PatternFault::PassesDoNotRise));
    assert_eq!(passes(&["50 %", "90 %"]), Err(PatternFault::LastPassNotWhole));
    assert_eq!(passes(&["0 %", "100 %"]), Err(PatternFault::PassNotPositive));
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn every_position_comes_once(count in 1_usize..60, columns in 1_usize..9, rows in 1_usize..9) {
        for order in [circle(count).computed_order(), Pattern::grid(columns, rows, mm(7.3), mm(11.1)).unwrap().computed_order()] {
            let mut sorted = order.numbers().to_vec();
            sorted.sort_unstable();
            prop_assert_eq!(sorted, (1..=order.numbers().len()).collect::<Vec<_>>());
        }
    }

    #[test]
    fn neighbours_on_a_circle_do_not_follow_each_other(count in 5_usize..60) {
        let order = circle(count).computed_order();
        // Five positions and fewer than seven leave no other way in places; from seven on there always is one.
        if count >= 7 {
            for pair in order.numbers().windows(2) {
                let apart = pair[0].abs_diff(pair[1]);
                prop_assert!(apart.min(count - apart) > 1, "{:?}", order);
            }
        }
    }

    #[test]
    fn listed_positions_go_outwards(points in prop::collection::vec((-500_i32..500, -500_i32..500), 1..30)) {
        let mut points = points;
        points.sort_unstable();
        points.dedup();
        let positions: Vec<Position> = points.iter().map(|(x, y)| Position { x: mm(f64::from(*x)), y: mm(f64::from(*y)) }).collect();
        let count = positions.len() as f64;
        let centre = (points.iter().map(|p| f64::from(p.0)).sum::<f64>() / count, points.iter().map(|p| f64::from(p.1)).sum::<f64>() / count);
        let radius = |number: &usize| (f64::from(points[number - 1].0) - centre.0).hypot(f64::from(points[number - 1].1) - centre.1);
        let pattern = Pattern::listed(positions).unwrap();
        let order = pattern.computed_order();
        for pair in order.numbers().windows(2) {
            prop_assert!(radius(&pair[0]) <= radius(&pair[1]) + 0.005);
        }
    }
}
