//! Conditions: what must be so before something is done, and where what isn't came about.

use super::shape::{Asked, Node, Turn};
use super::world::{Key, LOOSE, OUT, Place, SNUG, TIGHT, World};
use crate::check::ledger::diagram::{ALWAYS, NEVER, Ref};
use crate::check::ledger::fault::{How, Lack, Since, Wrong};
use crate::model::registers::{Action, Joint, Register, State, Temporary};
use crate::model::ties::Need;
use crate::model::{Entity, Handle, handle};
use crate::source::Span;

/// Who needs it: an entry, or a mark.
#[derive(Clone, Copy)]
pub struct By {
    pub node: Option<Node>,
    pub turn: Turn,
    pub at: Span,
}

impl World<'_> {
    /// Judges conditions where a guard holds, all by how things stand before any of them is taken to be so: what one asks is no state for
    /// another to be held against.
    pub fn judge(&mut self, needs: &[&Need], by: By, guard: Ref) {
        let mut taken: Vec<(Key, Ref, u32)> = Vec::new();
        for need in needs {
            match self.shape.asked(need, by.turn) {
                Asked::Met(nodes) => {
                    for node in nodes {
                        self.met(node, by, guard);
                    }
                }
                Asked::Off(nodes) => {
                    for node in nodes {
                        self.off(node, by, guard);
                    }
                }
                Asked::Loose(nodes) => {
                    for node in nodes {
                        let there = self.there(node.entity);
                        let tight = self.test(Key::Grip(node), |grip| grip == TIGHT);
                        let bad = self.all(&[guard, there, tight]);
                        self.lacks(bad, by, node, Lack::Tight, vec![Place::Last(vec![Key::Grip(node)])]);
                    }
                }
                Asked::State(nodes, values) => {
                    for node in nodes {
                        taken.extend(self.state(node, &values, by, guard));
                    }
                }
            }
        }
        // Of several that ask for different values the first counts.
        for (key, guard, value) in taken.into_iter().rev() {
            self.mend(key, guard, value);
        }
    }

    /// All of some conditions.
    pub fn all(&mut self, conditions: &[Ref]) -> Ref {
        conditions
            .iter()
            .fold(ALWAYS, |all, condition| self.diagrams.and(all, *condition))
    }

    fn lacks(&mut self, bad: Ref, by: By, node: Node, lack: Lack, since: Vec<Place>) {
        let wrong = Wrong::Lacks {
            by: by.node.map(|node| node.entity),
            thing: node.entity,
            lack,
        };
        self.wrong(bad, wrong, Place::Here(by.at), since);
    }

    fn met(&mut self, node: Node, by: By, guard: Ref) {
        let seat = self.shape.seat(node);
        match node.entity.register {
            Register::Parts | Register::Temporary => self.met_item(node, seat, by, guard),
            Register::Torques => {
                let there = self.there(node.entity);
                let loose = self.test(Key::Grip(node), |grip| matches!(grip, LOOSE | SNUG | OUT));
                let bad = self.all(&[guard, there, loose]);
                self.lacks(bad, by, node, Lack::Loose, vec![Place::Last(vec![Key::Grip(node)])]);
            }
            Register::Joints => self.met_joint(node, by, guard),
            Register::Actions | Register::Limits => {
                let there = self.there(node.entity);
                let undone = self.test(Key::Valid(node), |valid| valid == 0);
                let bad = self.all(&[guard, there, undone]);
                let key = Key::Valid(node);
                let since = vec![Place::Done(key), Place::Changed(vec![key])];
                self.lacks(bad, by, node, Lack::Undone, since);
            }
            // No condition names these but a state, which is asked for by its value.
            Register::States
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

    fn met_item(&mut self, node: Node, seat: Node, by: By, guard: Ref) {
        let there = self.any_there(seat);
        let asked = self.diagrams.and(guard, there);
        let whole = self.whole(seat);
        let bad = self.diagrams.without(asked, whole);
        let keys = self.keys(seat);
        self.lacks(bad, by, node, Lack::Missing, vec![Place::Last(keys.clone())]);
        let spent = self.spent(seat);
        let bad = self.all(&[asked, whole, spent]);
        self.lacks(bad, by, node, Lack::Spent, vec![Place::Last(keys)]);
        let mut fine = self.diagrams.without(asked, bad);
        fine = self.diagrams.and(fine, whole);
        for outer in self.shape.up_to(seat, by.node.map(|node| self.shape.seat(node))) {
            let there = self.any_there(outer);
            let whole = self.whole(outer);
            let spent = self.spent(outer);
            let whole = self.diagrams.without(whole, spent);
            let bad = self.diagrams.without(fine, whole);
            let bad = self.diagrams.and(bad, there);
            if let Some(part) = handle(outer.entity) {
                let keys = self.keys(outer);
                self.lacks(bad, by, node, Lack::Aside(part), vec![Place::Last(keys)]);
            }
            fine = self.diagrams.without(fine, bad);
        }
    }

    fn met_joint(&mut self, node: Node, by: By, guard: Ref) {
        let there = self.there(node.entity);
        let asked = self.diagrams.and(guard, there);
        let closed = self.closed(node);
        let closing = self.closing(node);
        let bad = self.diagrams.without(asked, closed);
        self.lacks(bad, by, node, Lack::Open, vec![Place::Last(closing.clone())]);
        let shut = self.diagrams.and(asked, closed);
        let needs = Place::Told(Since {
            at: by.at,
            how: How::Needs,
        });
        let right = self.filled_wrongly(node, shut, needs, false);
        let hard = self.test(Key::Hard(node), |hard| hard == 1);
        let cures = self.holds_what_cures(node);
        let soft = self.diagrams.without(cures, hard);
        let bad = self.diagrams.and(right, soft);
        self.lacks(bad, by, node, Lack::Uncured, vec![Place::Last(closing)]);
    }

    /// Tells, at its last closing, of a closed joint that doesn't hold exactly one filling; gives where it does.
    pub fn filled_wrongly(&mut self, node: Node, shut: Ref, since: Place, end: bool) -> Ref {
        let count = self.fillings(node);
        let one = self.diagrams.map(count, &mut |count| u32::from(count == 1));
        let none = self
            .diagrams
            .map(count, &mut |count| u32::from(count == 0 || count >= 16));
        let bad = self.diagrams.without(shut, one);
        let closing = Place::Closing(node);
        let joint: Option<Handle<Joint>> = handle(node.entity);
        if let Some(joint) = joint {
            let empty = self.diagrams.and(bad, none);
            let full = self.diagrams.without(bad, none);
            for (bad, count) in [(empty, 0), (full, 2)] {
                let wrong = Wrong::Filling { joint, count };
                if end {
                    self.wrong_at_end(bad, wrong, closing.clone(), vec![since.clone()]);
                } else {
                    self.wrong(bad, wrong, closing.clone(), vec![since.clone()]);
                }
            }
        }
        self.diagrams.and(shut, one)
    }

    /// True where a joint holds a consumable that cures.
    pub fn holds_what_cures(&mut self, node: Node) -> Ref {
        let bits = self.cure_bits(node);
        self.test(Key::Filling(node), |filling| filling & bits != 0)
    }

    /// The bits of those consumables of a joint that cure.
    pub fn cure_bits(&self, node: Node) -> u32 {
        let consumables = self.shape.joint(node).map_or(&[][..], |joint| &joint.consumables);
        let cures = |entity: &Entity| self.consumable(*entity).is_some_and(|c| c.cure.is_some());
        consumables
            .iter()
            .enumerate()
            .filter(|(_, entity)| cures(entity))
            .fold(0, |bits, (n, _)| bits | 1 << n.min(30))
    }

    pub fn consumable(&self, entity: Entity) -> Option<&crate::model::registers::Consumable> {
        let consumable: Handle<crate::model::registers::Consumable> = handle(entity)?;
        Some(&self.shape.set.catalogue.consumables[consumable])
    }

    fn off(&mut self, node: Node, by: By, guard: Ref) {
        let seat = self.shape.seat(node);
        let on = self.any_on(seat);
        let bad = self.diagrams.and(guard, on);
        let keys = self.keys(seat);
        let action: Option<Handle<Action>> = by.node.and_then(|node| handle(node.entity));
        let item: Option<Handle<Temporary>> = handle(node.entity);
        let fitted = vec![Place::Fitted(keys)];
        if let (Some(action), Some(item)) = (action, item) {
            // The actions after the first suffer from the same mistake.
            let met = self.test(Key::Met(node), |met| met == 1);
            let bad = self.diagrams.without(bad, met);
            self.set(Key::Met(node), bad, |_| 1);
            self.wrong(bad, Wrong::ForbiddenItem { action, item }, Place::Here(by.at), fitted);
            return;
        }
        self.lacks(bad, by, node, Lack::On, fitted);
    }

    /// A state; gives where it isn't so, and what it is then taken to be.
    fn state(&mut self, node: Node, values: &[usize], by: By, guard: Ref) -> Option<(Key, Ref, u32)> {
        let state: Option<Handle<State>> = handle(node.entity);
        let (state, first) = state.zip(values.first().copied())?;
        let key = Key::State(node);
        let unknown = self.test(key, |value| value == 0);
        let bad = self.diagrams.and(guard, unknown);
        let declared = self.shape.set.catalogue.states.get(state).id.span;
        let start = Place::Told(Since {
            at: declared,
            how: How::Unsaid,
        });
        let wrong = Wrong::NeedUnknown {
            state,
            needs: first,
            by: by.node.map(|node| node.entity),
        };
        self.wrong(bad, wrong, Place::Here(by.at), vec![start]);
        let action: Option<Handle<Action>> = by.node.and_then(|node| handle(node.entity));
        let entry = &self.shape.set.catalogue.states[state];
        let mut other = NEVER;
        for is in 0..entry.values.len() {
            if values.contains(&is) {
                continue;
            }
            let so = self.test(key, |value| value == is as u32 + 1);
            let bad = self.diagrams.and(guard, so);
            let wrong = match (action, by.node) {
                (Some(action), _) => Wrong::WrongState {
                    action,
                    state,
                    is,
                    needs: first,
                },
                (None, None) => Wrong::NeedNotMet {
                    state,
                    is,
                    needs: first,
                },
                (None, Some(by)) => Wrong::Lacks {
                    by: Some(by.entity),
                    thing: node.entity,
                    lack: Lack::Is(is),
                },
            };
            self.wrong(bad, wrong, Place::Here(by.at), vec![Place::Last(vec![key])]);
            other = self.diagrams.or(other, bad);
        }
        // What follows must not be told once more.
        let mend = self.diagrams.or(other, bad);
        Some((key, mend, first as u32 + 1))
    }
}
