//! Bolt patterns: positions in millimetres and in tightening order.

use super::card::{Pattern, Position};
use crate::parse::head::registers::{self, Layout};
use uom::si::angle::radian;
use uom::si::length::millimeter;

/// The drawing of a pattern; `None` if it has no layout, which has had its finding.
pub fn drawing(id: &str, pattern: &registers::Pattern) -> Option<Pattern> {
    let layout = pattern.layout.as_ref()?;
    let places = places(layout);
    let order: Vec<usize> = if pattern.order.is_empty() {
        (0..places.len()).collect()
    } else {
        pattern.order.iter().map(|o| o.value as usize - 1).collect()
    };
    let position = |(n, place): (usize, &usize)| {
        let (x_mm, y_mm) = places.get(*place).copied().unwrap_or_default();
        Position {
            order: n + 1,
            x_mm,
            y_mm,
        }
    };
    Some(Pattern {
        id: id.to_string(),
        name: pattern.name.clone(),
        positions: order.iter().enumerate().map(position).collect(),
        layout: match layout {
            Layout::Circle { .. } => "circle",
            Layout::Grid { .. } => "grid",
            Layout::Listed(_) => "listed",
        }
        .to_string(),
        passes: pattern.passes.iter().map(|p| p.value.to_string()).collect(),
        computed: pattern.order.is_empty(),
    })
}

/// Positions as declared: round the circle from its start, row by row, or as listed.
fn places(layout: &Layout) -> Vec<(f64, f64)> {
    match layout {
        Layout::Circle { count, diameter, start } => {
            let radius = diameter.quantity().get::<millimeter>() / 2.0;
            let start = start.as_ref().map_or(0.0, |s| s.quantity().get::<radian>());
            let angle = |n: u32| start + std::f64::consts::TAU * f64::from(n) / f64::from(*count);
            (0..*count)
                .map(|n| (radius * angle(n).cos(), radius * angle(n).sin()))
                .collect()
        }
        Layout::Grid {
            columns,
            rows,
            pitch_x,
            pitch_y,
        } => {
            let (x, y) = (
                pitch_x.quantity().get::<millimeter>(),
                pitch_y.quantity().get::<millimeter>(),
            );
            let place = |row: u32, column: u32| (x * f64::from(column), -y * f64::from(row));
            (0..*rows)
                .flat_map(|row| (0..*columns).map(move |column| place(row, column)))
                .collect()
        }
        Layout::Listed(at) => at
            .iter()
            .map(|(x, y)| (x.quantity().get::<millimeter>(), y.quantity().get::<millimeter>()))
            .collect(),
    }
}
