//! What marks do, each judged before its effect.

use super::needs::By;
use super::shape::{Node, Turn};
use super::world::{Key, LOOSE, OUT, Place, SNUG, TIGHT, World};
use crate::check::ledger::diagram::{NEVER, Ref};
use crate::check::ledger::fault::{How, Since, Wrong};
use crate::model::registers::{Reuse, Temporary, Torque};
use crate::model::ties::{Need, Ties};
use crate::model::{Entity, Handle, handle};
use crate::source::Span;

/// Where and when something is done.
#[derive(Clone, Copy)]
pub struct Doing {
    pub at: Span,
    pub turn: Turn,
    pub guard: Ref,
}

/// The step that a mark stands in: where, how long it takes, and where it says no time.
#[derive(Clone, Copy)]
pub struct InStep {
    pub span: Span,
    pub time: Ref,
    pub untimed: Ref,
}

/// Which conditions an act asks.
pub(super) type Field = for<'t> fn(&'t Ties) -> &'t [Need];

pub(super) fn needs(ties: &Ties) -> &[Need] {
    &ties.needs
}

impl World<'_> {
    /// The members that a mark means.
    pub fn meant(&self, entity: Entity, member: Option<usize>, turn: Turn) -> Vec<Node> {
        self.shape.members(&[entity], member, turn)
    }

    /// Tells of what isn't there for these choices, and gives where it is.
    pub(super) fn present(&mut self, node: Node, doing: Doing) -> Ref {
        let there = self.there(node.entity);
        let bad = self.diagrams.without(doing.guard, there);
        let declared = self.shape.set.catalogue.id(node.entity).map(|id| {
            Place::Told(Since {
                at: id.span,
                how: How::AtStart,
            })
        });
        let wrong = Wrong::NotThere { thing: node.entity };
        self.wrong(bad, wrong, Place::Here(doing.at), declared.into_iter().collect());
        self.diagrams.and(doing.guard, there)
    }

    /// Tells of what lies under something, or in an assembly that is on.
    pub(super) fn reached(&mut self, node: Node, at: Span, guard: Ref) {
        let seat = self.shape.seat(node);
        if let Some(outer) = self.shape.container(seat)
            && let Some(assembly) = handle(outer.entity)
        {
            let on = self.any_on(outer);
            let bad = self.diagrams.and(guard, on);
            let since = vec![Place::Fitted(self.keys(outer))];
            let thing = node.entity;
            self.wrong(bad, Wrong::Inside { thing, assembly }, Place::Here(at), since);
        }
        for coverer in self.shape.coverers(seat).to_vec() {
            let mut covers = self.pieces(coverer, |p| p.on() > 0);
            let of = self.shape.seat(coverer);
            let chains = [self.shape.up_to(seat, Some(of)), self.shape.up_to(of, Some(seat))];
            for outer in chains.concat() {
                let carries = self.carries(outer);
                covers = self.diagrams.and(covers, carries);
            }
            let bad = self.diagrams.and(guard, covers);
            let since = vec![Place::Fitted(vec![Key::Item(coverer)])];
            let (thing, by) = (node.entity, coverer.entity);
            self.wrong(bad, Wrong::Covered { thing, by }, Place::Here(at), since);
        }
    }

    pub(super) fn asks(&mut self, node: Node, fields: &[Field], at: Span, guard: Ref) {
        let shape = self.shape;
        let told = |field: &Field| shape.told(node.entity, |ties| field(ties));
        let asked: Vec<&Need> = fields.iter().flat_map(told).collect();
        let by = By {
            node: Some(node),
            turn: shape.turn(node),
            at,
        };
        self.judge(&asked, by, guard);
    }

    /// What stands on something that was touched is out of date.
    pub(super) fn touch(&mut self, seat: Node, guard: Ref) {
        for node in self.shape.dependents(seat).to_vec() {
            self.set(Key::Valid(node), guard, |_| 0);
        }
    }

    // Fasteners.

    fn fasten(&mut self, handle_of: Handle<Torque>, node: Node, fields: &[Field], doing: Doing) -> Ref {
        let at = doing.at;
        let guard = self.present(node, doing);
        self.reached(node, at, guard);
        self.asks(node, fields, at, guard);
        for held in self.shape.holds(node).to_vec() {
            self.nothing_to_hold(node.entity, held, at, guard);
        }
        if let Some(seat) = self.shape.fastener_part(node)
            && let Some(part) = handle(seat.entity)
        {
            let there = self.any_there(seat);
            let whole = self.whole(seat);
            let bad = self.diagrams.without(guard, whole);
            let bad = self.diagrams.and(bad, there);
            let since = vec![Place::Last(self.keys(seat))];
            let wrong = Wrong::FastenersMissing {
                torque: handle_of,
                part,
            };
            self.wrong(bad, wrong, Place::Here(at), since);
        }
        guard
    }

    pub fn torque(&mut self, torque: Handle<Torque>, node: Node, doing: Doing) {
        let at = doing.at;
        self.event(at, How::Tightened);
        let guard = self.fasten(torque, node, &[needs, |t| &t.to_tighten], doing);
        let shape = self.shape;
        if let Some(lubricant) = shape.ties(node.entity).lubricant.and_then(handle) {
            let dry = self.test(Key::Wet(node), |wet| wet == 0);
            let bad = self.diagrams.and(guard, dry);
            let since = vec![Place::Changed(vec![Key::Wet(node)])];
            self.wrong(bad, Wrong::Dry { torque, lubricant }, Place::Here(at), since);
        }
        match shape.fastener_part(node) {
            Some(seat) => {
                for part in self.parts_of(seat) {
                    if self.single(part) {
                        self.change(part, guard, |p| {
                            p.spent += p.eased;
                            p.eased = 0;
                        });
                    }
                }
            }
            None if shape.set.catalogue.torques[torque].reuse == Reuse::No => {
                let worn = self.test(Key::Worn(node), |worn| worn == 1);
                let bad = self.diagrams.and(guard, worn);
                let since = vec![Place::Changed(vec![Key::Worn(node)])];
                self.wrong(bad, Wrong::FastenerReused { torque }, Place::Here(at), since);
                self.set(Key::Worn(node), guard, |_| 0);
            }
            None => {}
        }
        let soft = self.still_open(node);
        self.set(Key::Grip(node), guard, |_| TIGHT);
        self.touch(node, guard);
        for joint in shape.joints_of(node).to_vec() {
            self.touch(joint, guard);
            self.shut(joint, at, guard);
        }
        self.cures_from_here(soft, guard);
    }

    pub fn snug(&mut self, torque: Handle<Torque>, node: Node, doing: Doing) {
        self.event(doing.at, How::Snugged);
        let guard = self.fasten(torque, node, &[], doing);
        let snug = self.test(Key::Grip(node), |grip| grip == SNUG);
        let bad = self.diagrams.and(guard, snug);
        let since = vec![Place::Last(vec![Key::Grip(node)])];
        self.wrong(bad, Wrong::SnuggedTwice { torque }, Place::Here(doing.at), since);
        let tight = self.test(Key::Grip(node), |grip| grip == TIGHT);
        let eased = self.diagrams.and(guard, tight);
        self.set(Key::Grip(node), guard, |_| SNUG);
        self.touch(node, guard);
        for joint in self.shape.joints_of(node).to_vec() {
            self.touch(joint, guard);
            self.open(joint, eased);
        }
    }

    /// True where a place that fasteners hold has no piece on; of those that hold nothing, where they are not on themselves.
    fn bare_of(&mut self, node: Node) -> Ref {
        let held = self.shape.holds(node).to_vec();
        let own = self.shape.fastener_part(node).filter(|_| held.is_empty());
        let mut bare = NEVER;
        for place in held.into_iter().chain(own) {
            let there = self.any_there(place);
            let on = self.any_on(place);
            let empty = self.diagrams.without(there, on);
            bare = self.diagrams.or(bare, empty);
        }
        bare
    }

    pub fn loosen(&mut self, torque: Handle<Torque>, node: Node, doing: Doing) {
        let at = doing.at;
        self.event(at, How::Loosened);
        let guard = self.present(node, doing);
        self.reached(node, at, guard);
        self.asks(node, &[needs, |t| &t.to_loosen], at, guard);
        // Out by another piece that went on beside what they hold, some of them are in.
        let out = self.test(Key::Grip(node), |grip| grip == OUT);
        let bare = self.bare_of(node);
        let bad = self.all(&[guard, out, bare]);
        let since = vec![Place::Last(vec![Key::Grip(node)])];
        self.wrong(bad, Wrong::LoosenedOut { torque }, Place::Here(at), since);
        let loose = self.diagrams.without(guard, bad);
        self.set(Key::Grip(node), loose, |_| LOOSE);
        self.set(Key::Wet(node), guard, |_| 0);
        match self.shape.fastener_part(node) {
            Some(seat) => {
                for part in self.parts_of(seat) {
                    if self.single(part) {
                        self.change(part, guard, |p| {
                            p.eased += p.good + p.marked;
                            p.good = 0;
                            p.marked = 0;
                        });
                    }
                }
            }
            None if self.shape.set.catalogue.torques[torque].reuse == Reuse::No => {
                self.set(Key::Worn(node), guard, |_| 1);
            }
            None => {}
        }
        self.touch(node, guard);
        for joint in self.shape.joints_of(node).to_vec() {
            self.touch(joint, guard);
            self.open(joint, guard);
        }
    }

    // The rest.

    pub fn measure(&mut self, node: Node, as_found: bool, answer: Option<Ref>, doing: Doing) {
        self.event(doing.at, How::Measured);
        let guard = self.present(node, doing);
        self.reached(node, doing.at, guard);
        self.asks(node, &[needs], doing.at, guard);
        self.set(Key::Read(node), guard, |_| 1);
        if as_found {
            return;
        }
        self.set(Key::Valid(node), guard, |_| 1);
        if let Some(answer) = answer {
            self.become_(Key::Answer(node), guard, answer);
        }
    }

    pub fn act(&mut self, node: Node, sets: &[(Node, usize)], doing: Doing) {
        self.event(doing.at, How::Done);
        self.asks(node, &[needs], doing.at, doing.guard);
        for (state, value) in sets {
            self.put(*state, *value, doing);
        }
        self.set(Key::Valid(node), doing.guard, |_| 1);
    }

    pub fn put(&mut self, node: Node, value: usize, doing: Doing) {
        self.event(doing.at, How::Set);
        self.set(Key::State(node), doing.guard, |_| value as u32 + 1);
    }

    pub fn hold(&mut self, node: Node, doing: Doing) {
        self.event(doing.at, How::Done);
        self.asks(node, &[needs], doing.at, doing.guard);
    }

    /// A temporary item is used where it stands.
    pub fn use_item(&mut self, item: Handle<Temporary>, node: Node, doing: Doing) {
        self.event(doing.at, How::Used);
        let guard = self.present(node, doing);
        let off = self.pieces(node, |p| p.on() == 0);
        let bad = self.diagrams.and(guard, off);
        let since = vec![Place::Removed(vec![Key::Item(node)])];
        self.wrong(bad, Wrong::UsedOff { item }, Place::Here(doing.at), since);
    }
}
