//! How things stand before the first step.

use super::pieces::Pieces;
use super::shape::Node;
use super::world::{Key, OUT, TIGHT, UNNAMED, World};
use crate::check::ledger::diagram::{ALWAYS, NEVER, Ref};
use crate::model::registers::State;
use crate::model::{Handle, handle};

impl World<'_> {
    pub(super) fn start(&mut self, key: Key) -> Ref {
        let number = match key {
            Key::Item(node) => {
                let (qty, fitted, spares, single) = match self.shape.part(node) {
                    Some(part) => (part.qty, part.fitted, part.spares, part),
                    None => {
                        let count = self.temporary(node).map_or(1, |item| item.qty);
                        let pieces = Pieces {
                            fresh: count,
                            ..Pieces::default()
                        };
                        return Ref::Leaf(self.pieces.number(pieces));
                    }
                };
                let on = if fitted { qty } else { 0 };
                let fresh = match (single.renew, fitted) {
                    (true, _) => qty + spares,
                    (false, true) => 0,
                    (false, false) => qty,
                };
                self.pieces.number(Pieces {
                    good: on,
                    fresh,
                    ..Pieces::default()
                })
            }
            Key::Grip(node) => return self.first_grip(node),
            Key::Wet(node) => {
                let grip = self.first_grip(node);
                return self.diagrams.map(grip, &mut |grip| u32::from(grip != OUT));
            }
            Key::State(node) => {
                let state: Option<Handle<State>> = handle(node.entity);
                let entry = state.map(|state| &self.shape.set.catalogue.states[state]);
                let start = entry.and_then(|e| {
                    let start = e.start.as_ref()?;
                    e.values.iter().position(|v| v.text == start.text)
                });
                start.map_or(0, |start| start as u32 + 1)
            }
            Key::Clock(_) => self.clocks.number(super::clock::State::Idle),
            Key::Filling(node) => return self.first_filling(node),
            Key::Hard(_) => 1,
            Key::Worn(_)
            | Key::Open(..)
            | Key::Bare(..)
            | Key::Valid(_)
            | Key::Read(_)
            | Key::Answer(_)
            | Key::Met(_) => 0,
        };
        Ref::Leaf(number)
    }

    /// Tight, or out if nothing that they hold is on.
    pub(super) fn first_grip(&mut self, node: Node) -> Ref {
        let held: Vec<Node> = self.shape.holds(node).to_vec();
        let own = self.shape.fastener_part(node);
        let places: Vec<Node> = if held.is_empty() {
            own.into_iter().collect()
        } else {
            held
        };
        let mut empty = NEVER;
        for place in places {
            let nothing = self.first_empty(place);
            empty = self.diagrams.or(empty, nothing);
        }
        self.diagrams
            .map(empty, &mut |empty| if empty == 1 { OUT } else { TIGHT })
    }

    pub(super) fn first_empty(&mut self, seat: Node) -> Ref {
        let shape = self.shape;
        let mut empty = ALWAYS;
        for part in shape.place(seat).map_or(&[][..], |place| &place.parts) {
            if shape.part(*part).is_some_and(|p| p.fitted) {
                let there = self.there(part.entity);
                empty = self.diagrams.without(empty, there);
            }
        }
        empty
    }

    /// What is in a joint at the start and isn't one of its parts: nothing where a part is, else what nobody names.
    pub(super) fn first_filling(&mut self, node: Node) -> Ref {
        let shape = self.shape;
        let mut empty = ALWAYS;
        for place in shape.joint(node).map_or(&[][..], |joint| &joint.places) {
            let nothing = self.first_empty(*place);
            empty = self.diagrams.and(empty, nothing);
        }
        self.diagrams
            .map(empty, &mut |empty| if empty == 1 { UNNAMED } else { 0 })
    }
}
