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
            Key::Item(node) => return self.first_pieces(node),
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

    /// On, or lying ready; nothing at all where it isn't there.
    fn first_pieces(&mut self, node: Node) -> Ref {
        let pieces = match self.shape.part(node) {
            Some(part) => Pieces {
                good: if part.fitted { part.qty } else { 0 },
                fresh: match (part.renew, part.fitted) {
                    (true, _) => part.qty + part.spares,
                    (false, true) => 0,
                    (false, false) => part.qty,
                },
                ..Pieces::default()
            },
            None => Pieces {
                fresh: self.temporary(node).map_or(1, |item| item.qty),
                ..Pieces::default()
            },
        };
        let there = self.there(node.entity);
        let number = Ref::Leaf(self.pieces.number(pieces));
        let none = Ref::Leaf(self.pieces.number(Pieces::default()));
        self.diagrams.select(there, number, none)
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
        // One that is on is enough: what goes on beside it later makes them out then. What isn't there is left out.
        let (mut empty, mut any) = (ALWAYS, NEVER);
        for place in places {
            let nothing = self.first_empty(place);
            empty = self.diagrams.and(empty, nothing);
            let there = self.any_there(place);
            any = self.diagrams.or(any, there);
        }
        let empty = self.diagrams.and(empty, any);
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
