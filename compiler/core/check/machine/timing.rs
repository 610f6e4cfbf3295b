//! Time that passes: windows, waits, open joints, and what a phase or card must not end in.

use super::acts::Doing;
use super::clock;
use super::ground::within;
use super::shape::Turn;
use super::way::Way;
use super::world::{Key, Place, Running, World};
use crate::check::ledger::diagram::{NEVER, Ref};
use crate::check::ledger::fault::{How, Wrong};
use crate::check::walk::Stop;
use crate::domain::timer::Duration;
use crate::model::registers::{self, Timer};
use crate::model::{Act, ActKind, Handle, handle};
use crate::source::Span;

impl Way<'_, '_> {
    /// A phase or card begins: windows that run don't run over it.
    pub(super) fn boundary(&mut self, world: &mut World, stop: &Stop, guard: Ref) {
        let here = (stop.procedure, stop.phase.number);
        let before = self.phase.replace(here);
        let Some(before) = before.filter(|before| *before != here) else {
            return;
        };
        let card = before.0 != here.0;
        let at = if stop.phase.title.is_empty() {
            stop.step.span
        } else {
            stop.phase.span
        };
        world.event(at, How::Ends);
        for key in world.running.clone() {
            let Key::Clock(node) = key else { continue };
            let Some(timer) = handle(node.entity) else { continue };
            if within(self.ground.set, timer).is_none() {
                continue;
            }
            let clocks = world.clocks_where(key, |state| state.runs() && !state.is_broken());
            let bad = world.diagrams.and(guard, clocks);
            let since = vec![Place::Started(key)];
            world.wrong(bad, Wrong::BreakInWindow { timer, card }, Place::Here(at), since);
            world.clock(key, guard, None, clock::What::Break);
        }
    }

    /// How long a step takes: a number of durations and one more.
    pub(super) fn time(&mut self, world: &mut World, acts: &[(Ref, &Act)]) -> Ref {
        let zero = world.durations.number(Duration::zero());
        let mut sum = Ref::Leaf(zero + 1);
        for (guard, act) in acts {
            if let ActKind::Time(time) = &act.kind {
                let numbers = &mut world.durations;
                let longer = world.diagrams.map(sum, &mut |leaf| {
                    let before = leaf
                        .checked_sub(1)
                        .and_then(|n| numbers.get(n))
                        .unwrap_or_else(Duration::zero);
                    numbers.number(before.plus(time)) + 1
                });
                sum = world.diagrams.select(*guard, longer, sum);
            }
        }
        sum
    }

    /// Where a step is done and says no time.
    pub(super) fn untimed(&mut self, world: &mut World, acts: &[(Ref, &Act)], done: Ref) -> Ref {
        let mut timed = NEVER;
        for (guard, act) in acts {
            if matches!(act.kind, ActKind::Time(_)) {
                timed = world.diagrams.or(timed, *guard);
            }
        }
        world.diagrams.without(done, timed)
    }

    /// Time passes for windows and open joints; a step without a time in one is told.
    pub(super) fn pass(&mut self, world: &mut World, stop: &Stop, acts: &[(Ref, &Act)], done: Ref) {
        if world.running.is_empty() {
            return;
        }
        let untimed = self.untimed(world, acts, done);
        let time = self.time(world, acts);
        for key in world.running.clone() {
            match key.running() {
                Some(Running::Timer(node)) => {
                    let Some(timer) = handle(node.entity) else { continue };
                    let Some(limit) = within(self.ground.set, timer) else {
                        continue;
                    };
                    world.event(stop.step.span, How::Ends);
                    let runs = world.clocks_where(key, clock::State::runs);
                    let bad = world.diagrams.and(untimed, runs);
                    let wrong = Wrong::Untimed { window: node.entity };
                    let since = vec![Place::Started(key)];
                    world.wrong(bad, wrong, Place::Here(stop.step.span), since);
                    for (guard, act) in acts {
                        if let ActKind::Time(time) = &act.kind {
                            world.clock(key, *guard, Some(&limit), clock::What::Work(time.clone()));
                        }
                    }
                }
                Some(Running::Open(..)) if world.value(key) == Ref::Leaf(0) => {
                    world.running.remove(&key);
                }
                Some(Running::Open(node, consumable)) => {
                    world.event(stop.step.span, How::Ends);
                    let open = world.test(key, |open| open > 0);
                    let bad = world.diagrams.and(untimed, open);
                    let wrong = Wrong::Untimed { window: consumable };
                    let since = vec![Place::Changed(vec![Key::Filling(node)])];
                    world.wrong(bad, wrong, Place::Here(stop.step.span), since);
                    let Some(limit) = world.open_time(consumable) else {
                        continue;
                    };
                    let now = world.value(key);
                    let (durations, clocks) = (&world.durations, &mut world.clocks);
                    let longer = world.diagrams.combine(now, time, &mut |open, time| {
                        let state = open.checked_sub(1).and_then(|number| clocks.get(number));
                        let time = time.checked_sub(1).and_then(|number| durations.get(number));
                        let (Some(mut state), Some(time)) = (state, time) else {
                            return open;
                        };
                        // Past its limit it only gets later.
                        if state.elapsed().is_some_and(|elapsed| *elapsed <= limit) {
                            clock::What::Work(time).happen(&mut state);
                        }
                        clocks.number(state) + 1
                    });
                    let goes_on = world.diagrams.and(done, open);
                    world.become_(key, goes_on, longer);
                }
                None => {}
            }
        }
    }

    pub(super) fn start_timer(&mut self, world: &mut World, timer: Handle<Timer>, act: &Act, turn: Turn, guard: Ref) {
        for node in world.meant(timer.entity(), act.member, turn) {
            world.event(act.span, How::Started);
            let key = Key::Clock(node);
            let runs = world.clocks_where(key, clock::State::runs);
            let bad = world.diagrams.and(guard, runs);
            let since = vec![Place::Started(key)];
            world.wrong(bad, Wrong::StartedTwice { timer }, Place::Here(act.span), since);
            world.running.insert(key);
            world.clock(key, guard, None, clock::What::Start);
            self.wait_cures(world, timer, guard);
            if within(self.ground.set, timer).is_none() {
                world.meanwhile(guard, &clock::What::WaitStarts(node));
            }
        }
    }

    /// A wait that is long enough is one for what was used on no joint: which of them it times is written nowhere.
    pub(super) fn wait_cures(&mut self, world: &mut World, timer: Handle<Timer>, guard: Ref) {
        let Some(registers::Span::AtLeast(wait)) = &self.ground.set.catalogue.timers[timer].span else {
            return;
        };
        for key in world.bare.clone() {
            let Key::Bare(entity, _) = key else { continue };
            let cure = world.consumable(entity).and_then(|c| c.cure.as_ref());
            if cure.is_some_and(|cure| wait.value >= cure.value) {
                world.set(key, guard, |_| 0);
            }
        }
    }

    pub(super) fn end_timer(&mut self, world: &mut World, timer: Handle<Timer>, act: &Act, turn: Turn, guard: Ref) {
        let limit = within(self.ground.set, timer);
        for node in world.meant(timer.entity(), act.member, turn) {
            world.event(act.span, How::Ends);
            let key = Key::Clock(node);
            let idle = world.clocks_where(key, |state| !state.runs());
            let bad = world.diagrams.and(guard, idle);
            world.wrong(bad, Wrong::NotStarted { timer }, Place::Here(act.span), Vec::new());
            if let Some(limit) = &limit {
                for takes in world.elapsed(key).into_iter().filter(|takes| takes > limit) {
                    let so = world.clocks_where(key, |state| state.elapsed() == Some(&takes));
                    let bad = world.diagrams.and(guard, so);
                    let since = vec![Place::Started(key)];
                    let wrong = Wrong::Overrun {
                        timer,
                        takes: takes.clone(),
                    };
                    world.wrong(bad, wrong, Place::Here(act.span), since);
                }
            }
            world.clock(key, guard, None, clock::What::Stop);
            if let Some(registers::Span::AtLeast(length)) = &self.ground.set.catalogue.timers[timer].span {
                world.meanwhile(guard, &clock::What::WaitEnds(node, length.value.clone()));
            }
            if !world.may_run(key) {
                world.running.remove(&key);
            }
        }
    }

    pub(super) fn hold_in(&mut self, world: &mut World, key: Key, hold: Handle<registers::Hold>, doing: Doing) {
        let at = Place::Here(doing.at);
        match key.running() {
            Some(Running::Timer(node)) => {
                let Some(timer) = handle(node.entity).filter(|t| within(self.ground.set, *t).is_some()) else {
                    return;
                };
                let runs = world.clocks_where(key, clock::State::runs);
                let bad = world.diagrams.and(doing.guard, runs);
                let since = vec![Place::Started(key)];
                world.wrong(bad, Wrong::HoldInWindow { timer, hold }, at, since);
            }
            Some(Running::Open(node, _)) => {
                let Some(joint) = handle(node.entity) else { return };
                let open = world.test(key, |open| open > 0);
                let bad = world.diagrams.and(doing.guard, open);
                let since = vec![Place::Changed(vec![Key::Filling(node)])];
                world.wrong(bad, Wrong::HoldInOpen { joint, hold }, at, since);
            }
            None => {}
        }
    }

    /// A card, or a way, ends: nothing is left as nobody should leave it.
    pub(super) fn card_ends(&mut self, world: &mut World, guard: Ref, last: Place) {
        world.event(Span::new(self.ground.set.file, 0, 0), How::Ends);
        for node in world.perils.states.clone() {
            let mut may = false;
            for value in &self.ground.shape.ties(node.entity).perilous {
                let key = Key::State(node);
                let so = world.test(key, |leaf| leaf == *value as u32 + 1);
                may |= so != NEVER;
                let bad = world.diagrams.and(guard, so);
                let wrong = Wrong::Perilous {
                    thing: node.entity,
                    value: Some(*value),
                };
                world.wrong(bad, wrong, Place::Last(vec![key]), vec![last.clone()]);
            }
            // What was given up isn't known to be safe.
            if !may && !world.poisoned {
                world.perils.states.remove(&node);
            }
        }
        for node in world.perils.items.clone() {
            let on = world.pieces(node, |p| p.on() > 0);
            let bad = world.diagrams.and(guard, on);
            let wrong = Wrong::Perilous {
                thing: node.entity,
                value: None,
            };
            let at = Place::Fitted(vec![Key::Item(node)]);
            world.wrong(bad, wrong, at, vec![last.clone()]);
            if on == NEVER && !world.poisoned {
                world.perils.items.remove(&node);
            }
        }
    }
}
