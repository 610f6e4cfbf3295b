//! What acts ask, as clauses.

use super::super::problem::{Clause, Literal, bit};
use super::{Field, Machine, TIGHT, Thing, value};
use crate::check::machine::{Asked, Node};
use crate::model::registers::Register;
use crate::model::ties::Need;

impl Machine<'_> {
    /// What some conditions ask, as clauses.
    pub(super) fn judged(&mut self, needs: &[&Need], node: Node, clauses: &mut Vec<Clause>) {
        let turn = self.shape.turn(node);
        for need in needs {
            match self.shape.asked(need, turn) {
                Asked::Met(nodes) => nodes.into_iter().for_each(|thing| self.met(thing, node, clauses)),
                Asked::Off(nodes) => {
                    for thing in nodes {
                        let seat = self.shape.seat(thing);
                        let thing = match thing.is(Register::Temporary) {
                            true => Thing::Temporary(seat),
                            false => Thing::Seat(seat),
                        };
                        let clause = vec![self.is(thing, 0)];
                        clauses.push(clause);
                    }
                }
                Asked::Loose(nodes) => {
                    for torque in nodes
                        .into_iter()
                        .filter(|node| self.there(node.entity))
                        .collect::<Vec<_>>()
                    {
                        let clause = vec![self.not(Thing::Grip(torque), TIGHT)];
                        clauses.push(clause);
                    }
                }
                Asked::State(nodes, values) => {
                    let ways = values.iter().fold(0, |ways, index| ways | bit(value(*index)));
                    for state in nodes {
                        let variable = self.variable(Thing::State(state));
                        clauses.push(vec![Literal { variable, ways }]);
                    }
                }
            }
        }
    }

    pub(super) fn met(&mut self, thing: Node, by: Node, clauses: &mut Vec<Clause>) {
        let seat = self.shape.seat(thing);
        match thing.entity.register {
            Register::Parts if self.any_there(seat) => {
                let outer = self.shape.up_to(seat, Some(self.shape.seat(by)));
                for place in std::iter::once(seat).chain(outer) {
                    if self.any_there(place) {
                        let clause = vec![self.is(Thing::Seat(place), 1)];
                        clauses.push(clause);
                    }
                }
            }
            Register::Temporary if self.there(thing.entity) => clauses.push(vec![self.is(Thing::Temporary(thing), 1)]),
            Register::Torques if self.there(thing.entity) => clauses.push(vec![self.is(Thing::Grip(thing), TIGHT)]),
            Register::Joints if self.there(thing.entity) => {
                clauses.extend(self.sealed(thing));
            }
            Register::Actions | Register::Limits if self.there(thing.entity) => {
                clauses.push(vec![self.is(Thing::Valid(thing), 1)]);
            }
            // Not there for these choices, or nothing that a condition names.
            Register::Parts
            | Register::Temporary
            | Register::Torques
            | Register::Joints
            | Register::Actions
            | Register::Limits
            | Register::States
            | Register::Consumables
            | Register::Tools
            | Register::Timers
            | Register::Holds
            | Register::Options
            | Register::Patterns
            | Register::Cases
            | Register::Groups
            | Register::Pictures => {}
        }
    }

    /// A joint closed, filled and hard.
    pub fn sealed(&mut self, joint: Node) -> Vec<Clause> {
        let mut clauses = self.closed(joint);
        let places = self
            .shape
            .joint(joint)
            .map_or_else(Vec::new, |joint| joint.places.clone());
        let mut filled = vec![self.is(Thing::Filled(joint), 1)];
        for place in places {
            filled.push(self.is(Thing::Seat(place), 1));
        }
        clauses.push(filled);
        clauses.push(vec![self.is(Thing::Hard(joint), 1), self.is(Thing::Filled(joint), 0)]);
        clauses
    }

    pub(super) fn closed(&mut self, joint: Node) -> Vec<Clause> {
        let closers = self
            .shape
            .joint(joint)
            .map_or_else(Vec::new, |joint| joint.closers.clone());
        let mut clauses = Vec::new();
        for closer in closers {
            if closer.is(Register::Torques) && self.there(closer.entity) {
                clauses.push(vec![self.is(Thing::Grip(closer), TIGHT)]);
            } else if !closer.is(Register::Torques) && self.any_there(closer) {
                clauses.push(vec![self.is(Thing::Seat(closer), 1)]);
            }
        }
        clauses
    }

    pub(super) fn asks(&mut self, node: Node, fields: &[Field], clauses: &mut Vec<Clause>) {
        for field in fields {
            let needs = self.shape.told(node.entity, |ties| field(ties));
            self.judged(&needs, node, clauses);
        }
    }

    /// What keeps anybody from getting at something: what it lies in, and what covers it.
    pub fn open(&mut self, node: Node) -> Vec<Clause> {
        let seat = self.shape.seat(node);
        let mut clauses = Vec::new();
        if let Some(outer) = self.shape.container(seat).filter(|outer| !self.sits(*outer).is_empty()) {
            clauses.push(vec![self.is(Thing::Seat(outer), 0)]);
        }
        for coverer in self.shape.coverers(seat).to_vec() {
            let of = self.shape.seat(coverer);
            let on = match coverer.is(Register::Temporary) {
                true => self.there(coverer.entity).then_some(Thing::Temporary(coverer)),
                false => self.sits(of).contains(&coverer).then_some(Thing::Seat(of)),
            };
            let Some(on) = on else { continue };
            // It is out of the way, too, once it has gone off inside something.
            let mut clause = vec![self.is(on, 0)];
            for outer in [self.shape.up_to(seat, Some(of)), self.shape.up_to(of, Some(seat))].concat() {
                clause.push(self.is(Thing::Seat(outer), 0));
            }
            clauses.push(clause);
        }
        clauses
    }
}
