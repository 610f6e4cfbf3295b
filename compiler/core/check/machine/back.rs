//! Ways back: `[repeat …]` is gone once on each way, and asks again.

use super::ground::way_back;
use super::sequence::Instance;
use super::shape::Node;
use super::way::Way;
use super::ways::Moment;
use super::world::World;
use crate::check::ledger::diagram::{NEVER, Ref};
use crate::check::walk::Stop;
use crate::model::ActKind;
use crate::source::Span;
use std::collections::BTreeSet;

impl Way<'_, '_> {
    /// A way back, taken where its step is done.
    pub(super) fn back(
        &mut self,
        world: &mut World,
        card: &[Instance],
        index: usize,
        under_way: &mut Vec<usize>,
        done: Ref,
    ) {
        let Some(start) = way_back(self.ground, card, index) else {
            return;
        };
        let Some(instance) = card.get(index) else { return };
        // A way that has ended leads nowhere back.
        let done = world.going(done);
        let key = (instance.stop, instance.turn.map_or(0, |(_, member)| member));
        let taken = self.taken.get(&key).copied().unwrap_or(NEVER);
        // The answer that led back is not given a second time.
        let again = world.diagrams.and(taken, done);
        world.forbid(again);
        if under_way.contains(&index) {
            return;
        }
        let now = world.diagrams.without(done, taken);
        if now == NEVER {
            return;
        }
        let all = world.diagrams.or(taken, now);
        self.taken.insert(key, all);
        // What is asked from here on is asked on the way that begins.
        let before = (self.readings.len(), world.ways.now());
        under_way.push(index);
        self.walk(world, card, start..index + 1, under_way, now);
        under_way.pop();
        // On one that wasn't followed to its end, what led back may well be asked again.
        if self.is_over() {
            return;
        }
        let looked = world.diagrams.visited();
        self.can_end(world, card, index, now, before);
        self.looked += world.diagrams.visited() - looked;
    }

    /// Tells of a way back on which nothing asks again what led back.
    fn can_end(
        &mut self,
        world: &mut World,
        card: &[Instance],
        index: usize,
        now: Ref,
        (before, moment): (usize, Moment),
    ) {
        let Some(instance) = card.get(index) else { return };
        let Some(stop) = self.ground.flow.stops.get(instance.stop) else {
            return;
        };
        let mut led = world.conditions(&stop.phase.only);
        let step = world.conditions(&stop.step.only);
        led = world.diagrams.and(led, step);
        for question in stop.phase.ifs.iter().chain(&stop.step.ifs) {
            let holds = self.answer(world, question, instance.turn, None);
            led = world.diagrams.and(led, holds);
        }
        // What else is asked on the way may turn out so that this is not asked again.
        let questions = stop.phase.ifs.iter().chain(&stop.step.ifs);
        let own: BTreeSet<Node> = questions
            .filter_map(|question| self.ground.turn_of(question, instance.turn))
            .collect();
        let asked: BTreeSet<usize> = self
            .readings
            .iter()
            .skip(before)
            .filter(|(entity, member, _)| own.contains(&Node::new(*entity, *member)))
            .filter_map(|key| self.answers.known.get(key))
            .map(|(variable, _)| *variable)
            .collect();
        let other = world.diagrams.without(now, led);
        let can = world.diagrams.exists_of(other, &asked);
        let bad = world.diagrams.without(now, can);
        let bad = world.real(bad, moment);
        world.endless(bad, repeat_mark(stop).unwrap_or(stop.step.span));
    }
}

/// Where the way back of a step is marked.
fn repeat_mark(stop: &Stop) -> Option<Span> {
    let marks = stop
        .step
        .acts
        .iter()
        .chain(stop.step.substeps.iter().flat_map(|sub| &sub.acts));
    marks
        .into_iter()
        .find(|act| matches!(act.kind, ActKind::Repeat(_)))
        .map(|act| act.span)
}
