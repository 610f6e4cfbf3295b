//! In which order the positions of a pattern are tightened.

use uom::si::length::meter;

use super::{PatternFault, Position};

/// An order of tightening: every position once, by number from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order(Vec<usize>);

impl Order {
    /// The author's own order over `count` positions.
    pub(super) fn given(numbers: &[usize], count: usize) -> Result<Order, PatternFault> {
        let mut seen = vec![false; count];
        for number in numbers.iter().copied() {
            match number.checked_sub(1).and_then(|index| seen.get_mut(index)) {
                None => return Err(PatternFault::NoSuchPosition { number, count }),
                Some(true) => return Err(PatternFault::Twice { number }),
                Some(seen) => *seen = true,
            }
        }
        match seen.iter().position(|seen| !seen) {
            Some(index) => Err(PatternFault::LeftOut { number: index + 1 }),
            None => Ok(Order(numbers.to_vec())),
        }
    }

    /// An order of indices from 0 that is known to name each position once.
    pub(super) fn trusted(indices: Vec<usize>) -> Order {
        Order(indices.into_iter().map(|index| index + 1).collect())
    }

    /// Position numbers in order of tightening.
    pub fn numbers(&self) -> &[usize] {
        &self.0
    }

    /// At which turn, from 1, each position is tightened; position 1 first. What a drawing writes beside the bolts.
    pub fn turns(&self) -> Vec<usize> {
        let mut turns = vec![0; self.0.len()];
        for (turn, number) in self.0.iter().enumerate() {
            if let Some(slot) = turns.get_mut(number.wrapping_sub(1)) {
                *slot = turn + 1;
            }
        }
        turns
    }
}

/// The crossing order on a circle of `count` evenly spaced positions, as indices from 0: each next one as far from the last ones as
/// can be. Gives 1-5-3-7-2-6-4-8 for eight, the star 1-3-5-2-4 for five, and the legacy cross patterns of ASME PCC-1 for
/// multiples of four (from memory).
pub fn crossing(count: usize) -> Vec<usize> {
    match count {
        0 => Vec::new(),
        1 => vec![0],
        odd if odd % 2 == 1 => {
            // (n − 1)/2 and n have no common factor, so the steps meet every position.
            let step = (odd - 1) / 2;
            (0..odd).map(|turn| turn * step % odd).collect()
        }
        even => crossing(even / 2)
            .into_iter()
            .flat_map(|index| [index, index + even / 2])
            .collect(),
    }
}

/// From the centre outwards, crossing: positions equally far from the middle of all make a ring; rings go from the inside out, and
/// within a ring the next is always the one farthest from the last. Ties go to the lower number, so the order never varies.
pub(super) fn outwards(positions: &[Position]) -> Vec<usize> {
    let count = positions.len() as f64;
    let middle = |axis: fn(&Position) -> f64| positions.iter().map(axis).sum::<f64>() / count;
    let (x, y) = (
        middle(|position| position.x.get::<meter>()),
        middle(|position| position.y.get::<meter>()),
    );
    // Micrometres as whole numbers: equal distances must compare equal whatever the last bits of the floats.
    let micrometres = |distance: f64| (distance * 1e6).round() as i64;
    let radius = |position: &Position| {
        let across = position.x.get::<meter>() - x;
        micrometres(across.hypot(position.y.get::<meter>() - y))
    };
    // Radius, index and position of each that is left.
    let numbered = positions.iter().enumerate();
    let mut remaining: Vec<(i64, usize, Position)> = numbered.map(|(n, at)| (radius(at), n, *at)).collect();
    remaining.sort_by_key(|(radius, index, _)| (*radius, *index));
    let mut order: Vec<usize> = Vec::with_capacity(positions.len());
    let mut last: Option<Position> = None;
    while let Some((ring, ..)) = remaining.first() {
        // Floats of one ring may round to either side of a micrometre's half.
        let within = remaining
            .iter()
            .take_while(|(radius, ..)| *radius <= ring.saturating_add(1));
        let farthest = last.and_then(|last| {
            within.enumerate().min_by_key(|(_, (_, index, position))| {
                let distance = micrometres(position.distance(last));
                (std::cmp::Reverse(distance), *index)
            })
        });
        let pick = farthest.map_or(0, |(place, _)| place);
        let (_, index, position) = remaining.remove(pick);
        order.push(index);
        last = Some(position);
    }
    order
}
