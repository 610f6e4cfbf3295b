//! Taking apart: what comes off and is loosened.

use super::super::price::Prices;
use super::{Deed, LOOSE, Machine, OUT, TIGHT, Thing, needs};
use crate::check::machine::Node;
use rust_decimal::Decimal;

impl Machine<'_> {
    pub(super) fn removal(&mut self, seat: Node, prices: &Prices) {
        let shape = self.shape;
        let mut asks = vec![vec![self.is(Thing::Seat(seat), 1)]];
        asks.extend(self.open(seat));
        for node in self.sits(seat).to_vec() {
            self.asks(node, &[needs, |ties| &ties.to_remove], &mut asks);
        }
        let held = shape.fasteners(seat).iter().filter(|torque| self.there(torque.entity));
        let held: Vec<Node> = held.copied().collect();
        for torque in &held {
            asks.push(vec![self.not(Thing::Grip(*torque), TIGHT)]);
            let bolts = shape
                .fastener_part(*torque)
                .filter(|bolts| !self.sits(*bolts).is_empty());
            if let Some(bolts) = bolts {
                asks.push(vec![self.is(Thing::Seat(bolts), 0)]);
            }
        }
        for torque in shape.torques_of(seat).to_vec() {
            if self.there(torque.entity) {
                asks.push(vec![self.not(Thing::Grip(torque), TIGHT)]);
            }
        }
        for clip in shape.clips(seat).to_vec() {
            let of = shape.seat(clip);
            if self.sits(of).contains(&clip) {
                asks.push(vec![self.is(Thing::Seat(of), 0)]);
            }
        }
        let mut brings = vec![(self.variable(Thing::Seat(seat)), 0)];
        for torque in held {
            brings.push((self.variable(Thing::Grip(torque)), OUT));
        }
        self.touched(seat, &mut brings);
        self.opens(seat, &mut brings);
        let price = prices.of_place(shape, self.sits(seat));
        self.add(Deed::Remove(seat), asks, brings, price);
    }

    pub(super) fn loosening(&mut self, torque: Node) {
        let mut asks = vec![vec![self.is(Thing::Grip(torque), TIGHT)]];
        asks.extend(self.open(torque));
        self.asks(torque, &[needs, |ties| &ties.to_loosen], &mut asks);
        let mut brings = vec![
            (self.variable(Thing::Grip(torque)), LOOSE),
            (self.variable(Thing::Wet(torque)), 0),
        ];
        self.touched(torque, &mut brings);
        self.opens(torque, &mut brings);
        self.add(Deed::Loosen(torque), asks, brings, Decimal::ZERO);
    }
}
