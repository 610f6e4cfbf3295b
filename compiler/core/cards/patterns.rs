//! Bolt patterns: positions in millimetres and in tightening order.

use super::card::{Drawing, Landmark, Landmarks, Pattern, Position};
use crate::model::{Name, registers};
use uom::si::length::millimeter;

fn landmark((side, what): &(registers::Side, String)) -> Landmark {
    Landmark {
        side: side.word().to_string(),
        what: what.clone(),
    }
}

/// The drawing of a pattern; `None` if it has no positions, which has had its finding.
pub fn drawing(id: &Name, pattern: &registers::Pattern) -> Option<Pattern> {
    let places = pattern.places.as_ref()?;
    let turns = places.order.turns();
    let place = |(at, turn): (&crate::domain::pattern::Position, usize)| Position {
        order: turn,
        x_mm: at.x.get::<millimeter>(),
        y_mm: at.y.get::<millimeter>(),
    };
    let mut positions: Vec<Position> = places.pattern.positions().iter().zip(turns).map(place).collect();
    positions.sort_by_key(|p| p.order);
    Some(Pattern {
        id: id.text.clone(),
        name: pattern.name.clone(),
        positions: Drawing(positions),
        passes: pattern
            .passes
            .iter()
            .flat_map(|p| p.shares())
            .map(ToString::to_string)
            .collect(),
        landmarks: Landmarks(pattern.landmarks.iter().map(landmark).collect()),
        span: Some(id.span),
    })
}
