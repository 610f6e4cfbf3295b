//! Putting together: what goes on, is filled and tightened.

use super::super::problem::{Clause, Literal};
use super::{Deed, Machine, TIGHT, Thing, cures, needs};
use crate::check::machine::Node;
use crate::model::Entity;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

impl Machine<'_> {
    pub(super) fn fitting(&mut self, seat: Node, node: Node, fillings: &BTreeMap<Node, Entity>) {
        let shape = self.shape;
        let mut asks = vec![vec![self.is(Thing::Seat(seat), 0)]];
        asks.extend(self.open(node));
        self.asks(node, &[needs, |ties| &ties.to_fit], &mut asks);
        let of_bolts = shape.torques_of(seat).iter().filter(|torque| self.there(torque.entity));
        let of_bolts: Vec<Node> = of_bolts.copied().collect();
        for holder in std::iter::once(node).chain(of_bolts) {
            for held in shape.holds(holder).to_vec() {
                if self.any_there(held) {
                    asks.push(vec![self.is(Thing::Seat(held), 1)]);
                }
            }
        }
        for torque in shape.fasteners(seat).to_vec() {
            asks.push(vec![self.not(Thing::Grip(torque), TIGHT)]);
        }
        self.closes(seat, fillings, &mut asks);
        let mut brings = vec![(self.variable(Thing::Seat(seat)), 1)];
        self.touched(seat, &mut brings);
        for joint in shape.joints_of(seat).to_vec() {
            self.touched(joint, &mut brings);
        }
        self.add(Deed::Fit(node), asks, brings, Decimal::ZERO);
    }

    /// What closes a joint goes on once the joint is filled.
    pub(super) fn closes(&mut self, closer: Node, fillings: &BTreeMap<Node, Entity>, asks: &mut Vec<Clause>) {
        for joint in self.shape.joints_of(closer).to_vec() {
            let closes = self
                .shape
                .joint(joint)
                .is_some_and(|joint| joint.closers.contains(&closer));
            if closes && fillings.contains_key(&joint) {
                asks.push(vec![self.is(Thing::Filled(joint), 1)]);
            }
            let places = self
                .shape
                .joint(joint)
                .map_or_else(Vec::new, |joint| joint.places.clone());
            for place in places.into_iter().filter(|_| closes) {
                if !self.sits(place).is_empty() {
                    asks.push(vec![self.is(Thing::Seat(place), 1)]);
                }
            }
        }
    }

    pub(super) fn tightening(&mut self, torque: Node, fillings: &BTreeMap<Node, Entity>) {
        let shape = self.shape;
        let mut asks = vec![vec![self.not(Thing::Grip(torque), TIGHT)]];
        asks.extend(self.open(torque));
        self.asks(torque, &[needs, |ties| &ties.to_tighten], &mut asks);
        for held in shape.holds(torque).to_vec() {
            if self.any_there(held) {
                asks.push(vec![self.is(Thing::Seat(held), 1)]);
            }
        }
        let bolts = shape.fastener_part(torque).filter(|bolts| self.any_there(*bolts));
        if let Some(bolts) = bolts {
            asks.push(vec![self.is(Thing::Seat(bolts), 1)]);
        }
        if let Some(lubricant) = shape.ties(torque.entity).lubricant {
            asks.push(vec![self.is(Thing::Wet(torque), 1)]);
            let mut spreads = vec![vec![self.not(Thing::Grip(torque), TIGHT)]];
            spreads.extend(self.open(torque));
            let wet = self.variable(Thing::Wet(torque));
            let deed = Deed::Spread(lubricant, torque);
            self.add(deed, spreads, vec![(wet, 1)], Decimal::ZERO);
        }
        self.closes(torque, fillings, &mut asks);
        let mut brings = vec![(self.variable(Thing::Grip(torque)), TIGHT)];
        self.touched(torque, &mut brings);
        for joint in shape.joints_of(torque).to_vec() {
            self.touched(joint, &mut brings);
        }
        self.add(Deed::Tighten(torque), asks, brings, Decimal::ZERO);
    }

    pub(super) fn filling(&mut self, joint: Node, consumable: Entity, fillings: &BTreeMap<Node, Entity>) {
        let mut asks = self.open(joint);
        let shut = self.closed(joint);
        asks.push(
            shut.iter()
                .flatten()
                .map(|literal| Literal {
                    variable: literal.variable,
                    ways: !literal.ways,
                })
                .collect(),
        );
        let cures = cures(self.shape, consumable);
        let mut brings = vec![(self.variable(Thing::Filled(joint)), 1)];
        brings.push((self.variable(Thing::Hard(joint)), u8::from(!cures)));
        self.touched(joint, &mut brings);
        let deed = Deed::Spread(consumable, joint);
        self.add(deed, asks, brings, Decimal::ZERO);
        let of_this = fillings.iter().filter(|(_, other)| **other == consumable);
        let joints: Vec<Node> = of_this.map(|(joint, _)| *joint).collect();
        // One wait is for all joints that it cures in.
        if cures && joints.first() == Some(&joint) {
            let (mut asks, mut brings) = (Vec::new(), Vec::new());
            for joint in joints {
                asks.extend(self.closed(joint));
                asks.push(vec![self.is(Thing::Filled(joint), 1)]);
                brings.push((self.variable(Thing::Hard(joint)), 1));
            }
            self.add(Deed::Wait(consumable), asks, brings, Decimal::ZERO);
        }
    }
}
