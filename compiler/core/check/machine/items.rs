//! Parts and temporary items: what goes on, comes off and is marked.

use super::acts::{Doing, needs};
use super::shape::Node;
use super::world::{Key, OUT, Place, TIGHT, World};
use crate::check::ledger::diagram::Ref;
use crate::check::ledger::fault::{How, Wrong};
use crate::model::registers::{Part, Reuse, Torque};
use crate::model::{Entity, Handle, Item, handle};
use crate::source::Span;

impl World<'_> {
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
    pub(super) fn over(&mut self, item: Item, node: Node, asked: u32, qty: u32, at: Span, guard: Ref) -> Ref {
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

    pub(super) fn fit_part(&mut self, part: Handle<Part>, node: Node, count: Option<u32>, at: Span, guard: Ref) {
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
        let room = self.pieces(node, |p| p.on() < qty);
        let soft = self.still_open(seat);
        self.change(node, guard, |p| {
            if renew {
                // A new one that came off isn't used again; where none is left, one was bought: as many as there is room for.
                p.fresh = p.fresh.max(asked.min(qty.saturating_sub(p.on())));
            }
            p.fit(asked, qty, single);
        });
        // Tight ones are out by what goes on beside what they hold; where nothing goes on, that is told, and they stay as they are.
        let goes_on = self.diagrams.and(guard, room);
        for torque in self.shape.fasteners(seat).to_vec() {
            let tight = self.test(Key::Grip(torque), |grip| grip == TIGHT);
            let out = self.diagrams.and(goes_on, tight);
            self.comes_out(torque, out);
        }
        self.touch(seat, guard);
        for joint in self.shape.joints_of(seat).to_vec() {
            self.touch(joint, guard);
            let closes = self.shape.joint(joint).is_some_and(|j| j.closers.contains(&seat));
            if closes {
                self.shut(joint, at, guard);
            }
        }
        self.cures_from_here(soft, guard);
    }

    /// True if pieces of a part that came off, or were loosened, are spent.
    pub(super) fn single(&self, node: Node) -> bool {
        let reuse = |torque: &Node| {
            let handle: Option<Handle<Torque>> = handle(torque.entity);
            handle.is_some_and(|h| self.shape.set.catalogue.torques[h].reuse == Reuse::No)
        };
        self.shape.is_single(node) || self.shape.torques_of(self.shape.seat(node)).iter().any(reuse)
    }

    pub(super) fn nothing_to_hold(&mut self, by: Entity, held: Node, at: Span, guard: Ref) {
        let there = self.any_there(held);
        let on = self.any_on(held);
        let bad = self.diagrams.without(guard, on);
        let bad = self.diagrams.and(bad, there);
        if let Some(part) = handle(held.entity) {
            let since = vec![Place::Removed(self.keys(held))];
            self.wrong(bad, Wrong::HoldsNothing { by, part }, Place::Here(at), since);
        }
    }

    pub(super) fn place_taken(&mut self, part: Handle<Part>, node: Node, asked: u32, at: Span, guard: Ref) -> Ref {
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
            let inside = self.test(Key::Grip(torque), |grip| grip != OUT);
            let out = self.diagrams.and(emptied, inside);
            self.comes_out(torque, out);
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

    /// Fasteners that were in are out by what they hold: they have been touched, and with them what they close.
    fn comes_out(&mut self, torque: Node, guard: Ref) {
        self.set(Key::Grip(torque), guard, |_| OUT);
        let there = self.there(torque.entity);
        let touched = self.diagrams.and(guard, there);
        self.touch(torque, touched);
        for joint in self.shape.joints_of(torque).to_vec() {
            self.touch(joint, touched);
        }
    }

    /// Tells of what keeps a part on.
    pub(super) fn held(&mut self, part: Handle<Part>, seat: Node, at: Span, guard: Ref) {
        for torque in self.shape.fasteners(seat).to_vec() {
            let there = self.there(torque.entity);
            let tight = self.test(Key::Grip(torque), |grip| grip == TIGHT);
            let bad = self.all(&[guard, there, tight]);
            if let Some(by) = handle(torque.entity) {
                let since = vec![Place::Last(vec![Key::Grip(torque)])];
                self.wrong(bad, Wrong::HeldTight { part, by }, Place::Here(at), since);
            }
            if let Some(bolts) = self.shape.fastener_part(torque) {
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
}
