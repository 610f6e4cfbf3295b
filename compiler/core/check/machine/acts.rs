//! What marks do, each judged before its effect.

use super::needs::By;
use super::shape::{Node, Turn};
use super::world::{Key, LOOSE, OUT, Place, SNUG, TIGHT, World};
use crate::check::ledger::diagram::{NEVER, Ref};
use crate::check::ledger::fault::{How, Since, Wrong};
use crate::model::registers::{Joint, Part, Reuse, Temporary, Torque};
use crate::model::ties::{Need, Ties};
use crate::model::{Entity, Handle, Item, handle};
use crate::source::Span;

/// Where and when something is done.
#[derive(Clone, Copy)]
pub struct Doing {
    pub at: Span,
    pub turn: Turn,
    pub guard: Ref,
}

/// Which conditions an act asks.
type Field = for<'t> fn(&'t Ties) -> &'t [Need];

fn needs(ties: &Ties) -> &[Need] {
    &ties.needs
}

impl World<'_> {
    /// The members that a mark means.
    pub fn meant(&self, entity: Entity, member: Option<usize>, turn: Turn) -> Vec<Node> {
        self.shape.members(&[entity], member, turn)
    }

    /// Tells of what isn't there for these choices, and gives where it is.
    fn present(&mut self, node: Node, doing: Doing) -> Ref {
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
    fn reached(&mut self, node: Node, at: Span, guard: Ref) {
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
                let on = self.any_on(outer);
                covers = self.diagrams.and(covers, on);
            }
            let bad = self.diagrams.and(guard, covers);
            let since = vec![Place::Fitted(vec![Key::Item(coverer)])];
            let (thing, by) = (node.entity, coverer.entity);
            self.wrong(bad, Wrong::Covered { thing, by }, Place::Here(at), since);
        }
    }

    fn asks(&mut self, node: Node, fields: &[Field], at: Span, guard: Ref) {
        let shape = self.shape;
        for field in fields {
            let asked = shape.told(node.entity, |ties| field(ties));
            let by = By {
                node: Some(node),
                turn: shape.turn(node),
                at,
            };
            self.judge(&asked, by, guard);
        }
    }

    /// What stands on something that was touched is out of date.
    fn touch(&mut self, seat: Node, guard: Ref) {
        for node in self.shape.dependents(seat).to_vec() {
            self.set(Key::Valid(node), guard, |_| 0);
        }
    }

    // Parts and temporary items.

    pub fn fit(&mut self, item: Item, node: Node, count: Option<u32>, doing: Doing) {
        let at = doing.at;
        self.event(at, How::Fitted);
        let guard = self.present(node, doing);
        self.reached(node, at, guard);
        self.asks(node, &[needs, |t| &t.to_fit], at, guard);
        match item {
            Item::Temporary(item) => {
                let qty = self.shape.set.catalogue.temporary[item].qty;
                let asked = count.unwrap_or(qty);
                self.over(Item::Temporary(item), node, asked, qty, at, guard);
                self.change(node, guard, |p| p.fit(asked, qty, false));
            }
            Item::Part(part) => self.fit_part(part, node, count, at, guard),
        }
    }

    /// Tells of more going on than there is; gives where that is not so.
    fn over(&mut self, item: Item, node: Node, asked: u32, qty: u32, at: Span, guard: Ref) -> Ref {
        let mut fine = guard;
        for on in 0..=qty {
            if on.saturating_add(asked) <= qty {
                continue;
            }
            let so = self.pieces(node, |p| p.on() == on);
            let bad = self.diagrams.and(guard, so);
            let since = vec![Place::Fitted(vec![Key::Item(node)])];
            self.wrong(bad, Wrong::FittedTwice { item, on, asked }, Place::Here(at), since);
            fine = self.diagrams.without(fine, bad);
        }
        fine
    }

    fn fit_part(&mut self, part: Handle<Part>, node: Node, count: Option<u32>, at: Span, guard: Ref) {
        let seat = self.shape.seat(node);
        let entry = &self.shape.set.catalogue.parts[part];
        let asked = count.unwrap_or(entry.qty);
        for held in self.shape.holds(node).to_vec() {
            self.nothing_to_hold(node.entity, held, at, guard);
        }
        for torque in self.shape.torques_of(seat).to_vec() {
            let there = self.there(torque.entity);
            let guard = self.diagrams.and(guard, there);
            for held in self.shape.holds(torque).to_vec() {
                self.nothing_to_hold(node.entity, held, at, guard);
            }
        }
        let fine = self.over(Item::Part(part), node, asked, entry.qty, at, guard);
        let fine = self.place_taken(part, node, asked, at, fine);
        if entry.renew {
            let short = self.pieces(node, |p| p.fresh < asked);
            let bad = self.diagrams.and(fine, short);
            let since = vec![Place::Fitted(vec![Key::Item(node)])];
            self.wrong(bad, Wrong::NoneLeft { part }, Place::Here(at), since);
        }
        if entry.marked {
            let bare = self.pieces(node, |p| {
                let used = asked.saturating_sub(p.fresh);
                used > 0 && p.off > 0
            });
            let bad = self.diagrams.and(fine, bare);
            let since = vec![Place::Removed(vec![Key::Item(node)])];
            self.wrong(bad, Wrong::NotMarked { part }, Place::Here(at), since);
        }
        let single = self.single(node);
        let (qty, renew) = (entry.qty, entry.renew);
        self.change(node, guard, |p| {
            if renew {
                // A new one that came off isn't used again; where none is left, one was bought.
                p.fresh = p.fresh.max(asked);
            }
            p.fit(asked, qty, single);
        });
        // Tight ones are out by what goes on beside what they hold.
        for torque in self.shape.fasteners(seat).to_vec() {
            self.set(Key::Grip(torque), guard, |grip| if grip == TIGHT { OUT } else { grip });
        }
        self.touch(seat, guard);
        for joint in self.shape.joints_of(seat).to_vec() {
            self.touch(joint, guard);
            let closes = self.shape.joint(joint).is_some_and(|j| j.closers.contains(&seat));
            if closes {
                self.shut(joint, at, guard);
            }
        }
    }

    /// True if pieces of a part that came off, or were loosened, are spent.
    fn single(&self, node: Node) -> bool {
        let reuse = |torque: &Node| {
            let handle: Option<Handle<Torque>> = handle(torque.entity);
            handle.is_some_and(|h| self.shape.set.catalogue.torques[h].reuse == Reuse::No)
        };
        self.shape.is_single(node) || self.shape.torques_of(self.shape.seat(node)).iter().any(reuse)
    }

    fn nothing_to_hold(&mut self, by: Entity, held: Node, at: Span, guard: Ref) {
        let there = self.any_there(held);
        let on = self.any_on(held);
        let bad = self.diagrams.without(guard, on);
        let bad = self.diagrams.and(bad, there);
        if let Some(part) = handle(held.entity) {
            let since = vec![Place::Removed(self.keys(held))];
            self.wrong(bad, Wrong::HoldsNothing { by, part }, Place::Here(at), since);
        }
    }

    fn place_taken(&mut self, part: Handle<Part>, node: Node, asked: u32, at: Span, guard: Ref) -> Ref {
        let seat = self.shape.seat(node);
        let Some(place) = self.shape.place(seat) else {
            return guard;
        };
        let full = place.pieces;
        let mut fine = guard;
        let others: Vec<Node> = place.parts.iter().copied().filter(|other| *other != node).collect();
        // How many are on in all, where pieces take each other's place.
        let mut sum = Ref::Leaf(asked);
        for other in std::iter::once(&node).chain(&others) {
            let now = self.value(Key::Item(*other));
            let numbers = &self.pieces;
            sum = self.diagrams.combine(sum, now, &mut |sum, leaf| {
                sum + numbers.get(leaf).map_or(0, |pieces| pieces.on())
            });
        }
        let over = self
            .diagrams
            .map(sum, &mut |sum| u32::from(full.is_none_or(|full| sum > full)));
        for other in others {
            let on = self.pieces(other, |p| p.on() > 0);
            let bad = self.all(&[fine, on, over]);
            if let Some(by) = handle(other.entity) {
                let since = vec![Place::Fitted(vec![Key::Item(other)])];
                self.wrong(bad, Wrong::PlaceTaken { part, by }, Place::Here(at), since);
            }
            fine = self.diagrams.without(fine, bad);
        }
        fine
    }

    pub fn remove(&mut self, item: Item, node: Node, count: Option<u32>, doing: Doing) {
        let at = doing.at;
        self.event(at, How::Removed);
        let guard = self.present(node, doing);
        self.reached(node, at, guard);
        self.asks(node, &[needs, |t| &t.to_remove], at, guard);
        let qty = match item {
            Item::Part(part) => self.shape.set.catalogue.parts[part].qty,
            Item::Temporary(item) => self.shape.set.catalogue.temporary[item].qty,
        };
        let asked = count.unwrap_or(qty);
        let seat = self.shape.seat(node);
        if let Item::Part(part) = item {
            self.held(part, seat, at, guard);
        }
        for on in 0..asked.min(qty + 1) {
            let so = self.pieces(node, |p| p.on() == on);
            let bad = self.diagrams.and(guard, so);
            let since = vec![Place::Removed(vec![Key::Item(node)])];
            self.wrong(bad, Wrong::RemovedOff { item, on, asked }, Place::Here(at), since);
        }
        let before = self.any_on(seat);
        let single = self.single(node);
        self.change(node, guard, |p| p.remove(asked, single));
        if matches!(item, Item::Temporary(_)) {
            let gone = self.pieces(node, |p| p.on() == 0);
            let gone = self.diagrams.and(gone, guard);
            self.set(Key::Met(node), gone, |_| 0);
            return;
        }
        let after = self.any_on(seat);
        let emptied = self.diagrams.without(before, after);
        let emptied = self.diagrams.and(emptied, guard);
        for torque in self.shape.fasteners(seat).to_vec() {
            self.set(Key::Grip(torque), emptied, |_| OUT);
        }
        self.touch(seat, guard);
        for joint in self.shape.joints_of(seat).to_vec() {
            self.touch(joint, guard);
            let closes = self.shape.joint(joint).is_some_and(|j| j.closers.contains(&seat));
            if closes {
                self.open(joint, guard);
            }
        }
    }

    /// Tells of what keeps a part on.
    fn held(&mut self, part: Handle<Part>, seat: Node, at: Span, guard: Ref) {
        for torque in self.shape.fasteners(seat).to_vec() {
            let there = self.there(torque.entity);
            let tight = self.test(Key::Grip(torque), |grip| grip == TIGHT);
            let bad = self.all(&[guard, there, tight]);
            if let Some(by) = handle(torque.entity) {
                let since = vec![Place::Last(vec![Key::Grip(torque)])];
                self.wrong(bad, Wrong::HeldTight { part, by }, Place::Here(at), since);
            }
            if let Some(bolts) = self.shape.fastener_part(torque) {
                let there = self.any_there(bolts);
                let inside = self.any_on(bolts);
                let bad = self.all(&[guard, there, inside]);
                let bad = self.diagrams.without(bad, tight);
                let since = vec![Place::Fitted(self.keys(bolts))];
                let (by, still_in) = (bolts.entity, true);
                self.wrong(bad, Wrong::Held { part, by, still_in }, Place::Here(at), since);
            }
        }
        for torque in self.shape.torques_of(seat).to_vec() {
            let there = self.there(torque.entity);
            let tight = self.test(Key::Grip(torque), |grip| grip == TIGHT);
            let bad = self.all(&[guard, there, tight]);
            if let Some(by) = handle(torque.entity) {
                let since = vec![Place::Last(vec![Key::Grip(torque)])];
                self.wrong(bad, Wrong::HeldTight { part, by }, Place::Here(at), since);
            }
        }
        for clip in self.shape.clips(seat).to_vec() {
            let on = self.pieces(clip, |p| p.on() > 0);
            let bad = self.diagrams.and(guard, on);
            let since = vec![Place::Fitted(vec![Key::Item(clip)])];
            let (by, still_in) = (clip.entity, false);
            self.wrong(bad, Wrong::Held { part, by, still_in }, Place::Here(at), since);
        }
    }

    /// A mark on a part: those of its pieces that are on.
    pub fn mark(&mut self, node: Node, doing: Doing) {
        self.event(doing.at, How::Marked);
        let guard = self.present(node, doing);
        let plain = !self.single(node);
        self.change(node, guard, |p| {
            if plain {
                p.marked += p.good;
                p.good = 0;
            }
        });
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
        self.set(Key::Grip(node), guard, |_| TIGHT);
        self.touch(node, guard);
        for joint in shape.joints_of(node).to_vec() {
            self.touch(joint, guard);
            self.shut(joint, at, guard);
        }
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

    pub fn loosen(&mut self, torque: Handle<Torque>, node: Node, doing: Doing) {
        let at = doing.at;
        self.event(at, How::Loosened);
        let guard = self.present(node, doing);
        self.reached(node, at, guard);
        self.asks(node, &[needs, |t| &t.to_loosen], at, guard);
        let out = self.test(Key::Grip(node), |grip| grip == OUT);
        let bad = self.diagrams.and(guard, out);
        let since = vec![Place::Last(vec![Key::Grip(node)])];
        self.wrong(bad, Wrong::LoosenedOut { torque }, Place::Here(at), since);
        self.set(Key::Grip(node), guard, |grip| if grip == OUT { OUT } else { LOOSE });
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

    // Joints.

    /// Something was put on a joint.
    pub fn spread_on_joint(&mut self, consumable: Entity, node: Node, time: Ref, doing: Doing) {
        self.event(doing.at, How::Used);
        let guard = self.present(node, doing);
        self.reached(node, doing.at, guard);
        let closed = self.closed(node);
        let bad = self.diagrams.and(guard, closed);
        let closing = self.closing(node);
        let joint: Option<Handle<Joint>> = handle(node.entity);
        if let Some(joint) = joint {
            let since = vec![Place::Last(closing)];
            self.wrong(bad, Wrong::JointClosed { joint }, Place::Here(doing.at), since);
        }
        let guard = self.diagrams.without(guard, closed);
        let position = self
            .shape
            .joint(node)
            .and_then(|joint| joint.consumables.iter().position(|c| *c == consumable));
        let Some(position) = position else { return };
        let bit = 1 << position.min(30);
        self.set(Key::Filling(node), guard, |bits| bits | bit);
        self.set(Key::Hard(node), guard, |_| 0);
        self.touch(node, guard);
        if self.consumable(consumable).is_some_and(|c| c.open.is_some()) {
            let key = Key::Open(node, consumable);
            self.running.insert(key);
            let idle = self.test(key, |open| open == 0);
            let starts = self.diagrams.and(guard, idle);
            self.become_(key, starts, time);
        }
    }

    /// Something was put on fasteners.
    pub fn spread_on_torque(&mut self, consumable: Entity, node: Node, doing: Doing) {
        self.event(doing.at, How::Used);
        let guard = self.present(node, doing);
        self.reached(node, doing.at, guard);
        if self.shape.ties(node.entity).lubricant == Some(consumable) {
            self.set(Key::Wet(node), guard, |_| 1);
        }
    }

    /// A joint is opened: what was in it and isn't a part is gone.
    fn open(&mut self, joint: Node, guard: Ref) {
        self.set(Key::Filling(joint), guard, |_| 0);
        self.set(Key::Hard(joint), guard, |_| 0);
        let shape = self.shape;
        for consumable in shape.joint(joint).map_or(&[][..], |joint| &joint.consumables) {
            self.set(Key::Open(joint, *consumable), guard, |_| 0);
        }
    }

    /// A fastener or part that closes a joint was tightened or went on: where that closed it, what was open is judged.
    fn shut(&mut self, node: Node, at: Span, guard: Ref) {
        let closed = self.closed(node);
        let guard = self.diagrams.and(guard, closed);
        let shape = self.shape;
        let joint: Option<Handle<Joint>> = handle(node.entity);
        let Some(joint) = joint else { return };
        for consumable in shape.joint(node).map_or(&[][..], |joint| &joint.consumables) {
            let key = Key::Open(node, *consumable);
            let Some(open) = self.consumable(*consumable).and_then(|c| c.open.as_ref()) else {
                continue;
            };
            let limit = open.value.clone();
            let numbers = &self.durations;
            let takes: Vec<(u32, crate::domain::timer::Duration)> =
                (0..).map_while(|n| Some((n + 1, numbers.get(n)?))).collect();
            for (leaf, takes) in takes.into_iter().filter(|(_, takes)| *takes > limit) {
                let so = self.test(key, |open| open == leaf);
                let bad = self.diagrams.and(guard, so);
                if bad == NEVER {
                    continue;
                }
                let consumable = handle(*consumable);
                if let Some(consumable) = consumable {
                    let wrong = Wrong::OpenOver {
                        joint,
                        consumable,
                        takes,
                    };
                    let since = vec![Place::Changed(vec![Key::Filling(node)])];
                    self.wrong(bad, wrong, Place::Here(at), since);
                }
            }
            self.set(key, guard, |_| 0);
        }
    }

    /// Everything closed with a consumable has cured.
    pub fn wait(&mut self, consumable: Entity, doing: Doing) {
        self.event(doing.at, How::Waited);
        let mut cured = NEVER;
        for node in self.shape.joints() {
            let position = self
                .shape
                .joint(node)
                .and_then(|joint| joint.consumables.iter().position(|c| *c == consumable));
            let Some(position) = position else { continue };
            let closed = self.closed(node);
            let inside = self.test(Key::Filling(node), |bits| bits & 1 << position.min(30) != 0);
            let soft = self.test(Key::Hard(node), |hard| hard == 0);
            let cures = self.all(&[doing.guard, closed, inside, soft]);
            self.set(Key::Hard(node), cures, |_| 1);
            cured = self.diagrams.or(cured, cures);
        }
        for key in self.bare.clone() {
            if matches!(key, Key::Bare(used, _) if used == consumable) {
                let bare = self.test(key, |bare| bare == 1);
                let bare = self.diagrams.and(bare, doing.guard);
                self.set(key, bare, |_| 0);
                cured = self.diagrams.or(cured, bare);
            }
        }
        let bad = self.diagrams.without(doing.guard, cured);
        if let Some(consumable) = handle(consumable) {
            self.wrong(
                bad,
                Wrong::NothingCures { consumable },
                Place::Here(doing.at),
                Vec::new(),
            );
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
