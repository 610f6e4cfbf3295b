//! A set done from its first step to its last, in one order, for all choices and answers at once.

use super::acts::Doing;
use super::clock;
use super::needs::By;
use super::sequence::{self, Instance, Order};
use super::shape::{Node, Shape, Turn};
use super::world::{Key, Place, Touches, World};
use crate::check::calc::CalcFacts;
use crate::check::ledger::diagram::{ALWAYS, NEVER, Ref};
use crate::check::ledger::fault::{How, Since, Wrong};
use crate::check::walk::guard::Variables;
use crate::check::walk::{Flow, Stop};
use crate::domain::limit::Limit;
use crate::domain::timer::Duration;
use crate::model::registers::{self, Case, Measurement, Temporary, Timer};
use crate::model::ties::{Answer, Asked, Question};
use crate::model::{Act, ActKind, Entity, Handle, Item, Set, StepNumber, Surface, Thing, handle};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// Answers that a reading can have, as leaves of [`Key::Answer`].
pub const IN: u32 = 1;
pub const LOW: u32 = 2;
pub const HIGH: u32 = 3;

/// Variables for answers are made as they are asked for; the second time round they must be the same.
#[derive(Debug, Default, Clone)]
pub struct Answers {
    /// By limit or case, member, and how often it has been asked: the variable and what its values mean.
    known: BTreeMap<(Entity, usize, usize), (usize, Vec<u32>)>,
}

/// Everything that stays the same from one order to another.
pub struct Ground<'a> {
    pub set: &'a Set,
    pub flow: &'a Flow<'a>,
    pub shape: &'a Shape<'a>,
    pub calcs: &'a CalcFacts,
    /// Limits that some step asks about.
    asked: BTreeSet<Handle<Measurement>>,
    /// Sections of `[step …]`: by procedure and number, the stop.
    stops: BTreeMap<(usize, StepNumber), usize>,
}

impl<'a> Ground<'a> {
    pub fn new(set: &'a Set, flow: &'a Flow<'a>, shape: &'a Shape<'a>, calcs: &'a CalcFacts) -> Ground<'a> {
        let mut asked = BTreeSet::new();
        let mut stops = BTreeMap::new();
        for (index, stop) in flow.stops.iter().enumerate() {
            for question in stop.phase.ifs.iter().chain(&stop.step.ifs) {
                if let Asked::Limit { limit, .. } = question.of {
                    asked.insert(limit);
                }
            }
            stops.insert((stop.procedure, stop.step.number), index);
        }
        Ground {
            set,
            flow,
            shape,
            calcs,
            asked,
            stops,
        }
    }

    fn turn_of(&self, question: &Question, turn: Turn) -> Option<Node> {
        let Asked::Limit { limit, member, .. } = question.of else {
            return None;
        };
        self.shape.members(&[limit.entity()], member, turn).first().copied()
    }

    /// What a reading may turn out to be.
    fn outcomes(&self, limit: Handle<Measurement>) -> Vec<(u32, &'static str)> {
        let entry = &self.set.catalogue.limits[limit];
        let bounds = entry.limit.as_ref().map(|limit| bounds(&limit.value));
        let (low, high) = bounds.unwrap_or((true, true));
        let mut outcomes = vec![(IN, "in")];
        if low {
            outcomes.push((LOW, "low"));
        }
        if high {
            outcomes.push((HIGH, "high"));
        }
        outcomes
    }
}

/// Whether a limit has a lower and an upper bound.
fn bounds(limit: &Limit) -> (bool, bool) {
    let bounds = limit.bounds();
    (bounds.low.is_some(), bounds.high.is_some())
}

/// Everything but the world: questions asked so far, and the ways back under way.
pub struct Way<'g, 'a> {
    ground: &'g Ground<'a>,
    order: &'g Order,
    answers: &'g Answers,
    /// How often each limit was read so far.
    reads: BTreeMap<(Entity, usize), usize>,
    cases: BTreeMap<(Handle<Case>, usize), Ref>,
    /// By stop and member: the ways on which the way back was taken.
    taken: BTreeMap<(usize, usize), Ref>,
    /// By stop: what it touches.
    pub traces: BTreeMap<usize, Touches>,
    /// The guards under which each stop is done.
    pub reached: BTreeMap<usize, Ref>,
    /// The `[stop]` after which no way goes on.
    pub ended: Option<Span>,
    phase: Option<(usize, usize)>,
    card: usize,
}

/// Makes the variables of all answers, before the diagrams that they are variables of.
pub fn answers(ground: &Ground, variables: &mut Variables) -> Answers {
    let mut answers = Answers::default();
    // As many readings and questions as there can be: every way back once, in every order the same.
    let order = Order {
        procedures: (0..ground.set.procedures.len()).collect(),
        ..Order::default()
    };
    let mut reads: BTreeMap<(Entity, usize), usize> = BTreeMap::new();
    for procedure in &order.procedures {
        let card = sequence::of_card(ground.set, &ground.flow.stops, *procedure, &order);
        let mut asked = Vec::new();
        unroll(ground, &card, 0..card.len(), &mut Vec::new(), &mut asked);
        for instance in asked {
            let Some(stop) = ground.flow.stops.get(instance.stop) else {
                continue;
            };
            for question in stop.phase.ifs.iter().chain(&stop.step.ifs) {
                if let Asked::Case(case) = question.of {
                    let name = ground.set.catalogue.cases.get(case).id.text.clone();
                    let member = instance.turn.map_or(0, |(_, member)| member + 1);
                    for member in [0, member] {
                        answers.known.entry((case.entity(), member, 0)).or_insert_with(|| {
                            let variable = variables.answer(name.clone(), vec!["no".to_string(), "yes".to_string()]);
                            (variable, vec![0, 1])
                        });
                    }
                }
            }
            for (_, act) in sequence::acts(stop, None) {
                let ActKind::Measure(limit, false) = act.kind else {
                    continue;
                };
                if !ground.asked.contains(&limit) {
                    continue;
                }
                for node in ground.shape.members(&[limit.entity()], act.member, instance.turn) {
                    let times = reads.entry((node.entity, node.member)).or_default();
                    let outcomes = ground.outcomes(limit);
                    let name = ground.shape.called(node);
                    let words = outcomes.iter().map(|(_, word)| (*word).to_string()).collect();
                    let variable = variables.answer(name, words);
                    let leaves = outcomes.into_iter().map(|(leaf, _)| leaf).collect();
                    answers
                        .known
                        .insert((node.entity, node.member, *times), (variable, leaves));
                    *times += 1;
                }
            }
        }
    }
    answers
}

/// Most steps that ways back may make of one card.
const MOST: usize = 20_000;

/// The steps of a card with every way back gone once.
fn unroll(
    ground: &Ground,
    card: &[Instance],
    range: std::ops::Range<usize>,
    under_way: &mut Vec<usize>,
    out: &mut Vec<Instance>,
) {
    for index in range {
        let Some(instance) = card.get(index) else { return };
        if out.len() >= MOST {
            return;
        }
        out.push(*instance);
        if under_way.contains(&index) {
            continue;
        }
        if let Some(start) = way_back(ground, card, index) {
            under_way.push(index);
            unroll(ground, card, start..index + 1, under_way, out);
            under_way.pop();
        }
    }
}

/// Where the way back of a step leads, if it has one.
fn way_back(ground: &Ground, card: &[Instance], index: usize) -> Option<usize> {
    let stop = ground.flow.stops.get(card.get(index)?.stop)?;
    let number = sequence::acts(stop, None)
        .into_iter()
        .find_map(|(_, act)| match act.kind {
            ActKind::Repeat(number) => Some(number),
            _ => None,
        })?;
    sequence::target(&ground.flow.stops, card, index, number)
}

impl<'g, 'a> Way<'g, 'a> {
    pub fn new(ground: &'g Ground<'a>, order: &'g Order, answers: &'g Answers) -> Way<'g, 'a> {
        Way {
            ground,
            order,
            answers,
            reads: BTreeMap::new(),
            cases: BTreeMap::new(),
            taken: BTreeMap::new(),
            traces: BTreeMap::new(),
            reached: BTreeMap::new(),
            ended: None,
            phase: None,
            card: 0,
        }
    }

    /// Does the whole set.
    pub fn go(&mut self, world: &mut World) {
        for never in &self.ground.set.never {
            let together = world.conditions(&never.pairs);
            world.allowed = world.diagrams.without(world.allowed, together);
        }
        self.worked_of_nothing(world);
        for procedure in self.order.procedures.clone() {
            let card = sequence::of_card(self.ground.set, &self.ground.flow.stops, procedure, self.order);
            world.steps.push(Vec::new());
            self.card = world.steps.len() - 1;
            self.walk(world, &card, 0..card.len(), &mut Vec::new(), ALWAYS);
            self.card_ends(world, ALWAYS, Place::Step(self.card));
        }
        super::end::judge(world);
    }

    /// Calculations that are there for choices for which one of their readings isn't.
    fn worked_of_nothing(&mut self, world: &mut World) {
        for (calc, facts) in &self.ground.calcs.calcs {
            let at = self.ground.set.catalogue.limits.get(*calc).id.span;
            let there = world.there(calc.entity());
            for reading in facts.readings.values() {
                let read = world.there(reading.entity());
                let bad = world.diagrams.without(there, read);
                let declared = Place::Told(Since {
                    at: self.ground.set.catalogue.limits.get(*reading).id.span,
                    how: How::AtStart,
                });
                let wrong = Wrong::NotRead {
                    calc: *calc,
                    reading: *reading,
                };
                world.wrong(bad, wrong, Place::Here(at), vec![declared]);
            }
        }
    }

    fn walk(
        &mut self,
        world: &mut World,
        card: &[Instance],
        range: std::ops::Range<usize>,
        under_way: &mut Vec<usize>,
        guard: Ref,
    ) {
        for index in range {
            let Some(instance) = card.get(index) else { return };
            let Some(stop) = self.ground.flow.stops.get(instance.stop) else {
                continue;
            };
            let (found, began) = (world.found.len(), world.so_far());
            world.touches = Touches::default();
            let done = self.step(world, stop, *instance, guard);
            let touches = std::mem::take(&mut world.touches);
            let trace = self.traces.entry(instance.stop).or_default();
            trace.reads.extend(touches.reads);
            trace.writes.extend(touches.writes);
            world.settle(found, began);
            self.back(world, card, index, under_way, done);
        }
    }

    /// A way back, taken where its step is done.
    fn back(&mut self, world: &mut World, card: &[Instance], index: usize, under_way: &mut Vec<usize>, done: Ref) {
        let Some(start) = way_back(self.ground, card, index) else {
            return;
        };
        let Some(instance) = card.get(index) else { return };
        let key = (instance.stop, instance.turn.map_or(0, |(_, member)| member));
        let taken = self.taken.get(&key).copied().unwrap_or(NEVER);
        // The answer that led back is not given a second time.
        let again = world.diagrams.and(taken, done);
        world.allowed = world.diagrams.without(world.allowed, again);
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
        let before = (self.reads.clone(), world.allowed);
        under_way.push(index);
        self.walk(world, card, start..index + 1, under_way, now);
        under_way.pop();
        self.can_end(world, card, index, now, before);
    }

    /// Tells of a way back on which nothing asks again.
    fn can_end(
        &mut self,
        world: &mut World,
        card: &[Instance],
        index: usize,
        now: Ref,
        (before, allowed): (BTreeMap<(Entity, usize), usize>, Ref),
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
        let asked: BTreeSet<usize> = self
            .reads
            .iter()
            .flat_map(|(key, times)| (before.get(key).copied().unwrap_or(0)..*times).map(move |n| (key.0, key.1, n)))
            .filter_map(|key| self.answers.known.get(&key))
            .map(|(variable, _)| *variable)
            .collect();
        let other = world.diagrams.without(now, led);
        let can = world.diagrams.exists_of(other, &asked);
        let bad = world.diagrams.without(now, can);
        let bad = world.diagrams.and(bad, allowed);
        world.endless(bad, repeat_mark(stop).unwrap_or(stop.step.span));
    }

    /// Where a question is answered so; tells of one that can't be answered at `tell`.
    fn answer(&mut self, world: &mut World, question: &Question, turn: Turn, tell: Option<Ref>) -> Ref {
        match &question.of {
            Asked::Limit { limit, answer, .. } => {
                let Some(node) = self.ground.turn_of(question, turn) else {
                    return NEVER;
                };
                if let Some(guard) = tell {
                    let none = world.test(Key::Answer(node), |leaf| leaf == 0);
                    let bad = world.diagrams.and(guard, none);
                    let wrong = Wrong::NoAnswer { limit: *limit };
                    world.wrong(bad, wrong, Place::Here(question.span), Vec::new());
                }
                let answer = *answer;
                world.test(Key::Answer(node), |leaf| match answer {
                    Answer::Out => leaf == LOW || leaf == HIGH,
                    Answer::In => leaf == IN,
                    Answer::Low => leaf == LOW,
                    Answer::High => leaf == HIGH,
                })
            }
            Asked::Case(case) => {
                let member = turn.map_or(0, |(_, member)| member + 1);
                let known = self.cases.get(&(*case, 0)).or_else(|| self.cases.get(&(*case, member)));
                let yes = match known {
                    Some(known) => *known,
                    None => {
                        let made = self.answers.known.get(&(case.entity(), member, 0));
                        let yes = made.map(|(variable, leaves)| world.diagrams.of_variable(*variable, leaves));
                        let yes = yes.unwrap_or(NEVER);
                        self.cases.insert((*case, member), yes);
                        yes
                    }
                };
                if question.not { world.diagrams.not(yes) } else { yes }
            }
        }
    }

    /// One step; gives where it is done.
    fn step(&mut self, world: &mut World, stop: &Stop<'a>, instance: Instance, guard: Ref) -> Ref {
        let set = self.ground.set;
        let procedure = set.procedures.get(stop.procedure);
        let of_card = procedure.map_or(ALWAYS, |p| world.conditions(&p.only));
        let of_phase = world.conditions(&stop.phase.only);
        let phase = world.all(&[guard, of_card, of_phase]);
        self.boundary(world, stop, phase);
        let of_step = world.conditions(&stop.step.only);
        let only = world.diagrams.and(phase, of_step);
        let mut done = only;
        for question in stop.phase.ifs.iter().chain(&stop.step.ifs) {
            world.event(question.span, How::Ends);
            let holds = self.answer(world, question, instance.turn, Some(done));
            done = world.diagrams.and(done, holds);
        }
        let reached = world.diagrams.and(done, world.alive);
        let known = self.reached.get(&instance.stop).copied().unwrap_or(NEVER);
        let reached = world.diagrams.or(known, reached);
        self.reached.insert(instance.stop, reached);
        for list in [0, self.card] {
            if let Some(steps) = world.steps.get_mut(list) {
                steps.push((done, stop.step.span));
            }
        }
        let acts = sequence::acts(stop, self.order.substeps.get(&instance.stop));
        let mut guarded: Vec<(Ref, &Act)> = Vec::new();
        for (sub, act) in acts {
            let only = sub.and_then(|sub| stop.step.substeps.get(sub)).map(|sub| &sub.only);
            let of_sub = only.map_or(ALWAYS, |only| world.conditions(only));
            guarded.push((world.diagrams.and(done, of_sub), act));
        }
        self.begin(world, stop, instance, &guarded, only, done);
        let mut touched: BTreeSet<Node> = BTreeSet::new();
        let time = self.time(world, &guarded);
        for (guard, act) in &guarded {
            let doing = Doing {
                at: act.span,
                turn: instance.turn,
                guard: *guard,
            };
            self.act(world, act, doing, (stop.step.span, time), &mut touched);
        }
        self.keep(world, &touched, &guarded);
        self.finish(world, &guarded, instance.turn);
        for (guard, act) in &guarded {
            if matches!(act.kind, ActKind::Stop) {
                let at = Place::Told(Since {
                    at: stop.step.span,
                    how: How::Ends,
                });
                self.card_ends(world, *guard, at);
                world.alive = world.diagrams.without(world.alive, *guard);
                if world.alive == NEVER {
                    self.ended.get_or_insert(act.span);
                }
            }
        }
        done
    }

    /// A phase or card begins: windows that run don't run over it.
    fn boundary(&mut self, world: &mut World, stop: &Stop, guard: Ref) {
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

    /// Needs, waits that end, windows that start, and the time that passes.
    fn begin(
        &mut self,
        world: &mut World,
        stop: &Stop,
        instance: Instance,
        acts: &[(Ref, &Act)],
        only: Ref,
        done: Ref,
    ) {
        for (guard, act) in acts {
            world.event(act.span, How::Needs);
            match &act.kind {
                ActKind::Need(need) => {
                    let by = By {
                        node: None,
                        turn: instance.turn,
                        at: act.span,
                    };
                    world.judge(&[need], by, *guard);
                }
                ActKind::Wait(consumable) => {
                    let doing = Doing {
                        at: act.span,
                        turn: instance.turn,
                        guard: *guard,
                    };
                    world.wait(consumable.entity(), doing);
                }
                ActKind::Step { procedure, number } => self.points(world, (*procedure, *number), act.span, only),
                ActKind::Repeat(number) => self.points(world, (stop.procedure, *number), act.span, only),
                ActKind::End(timer) if within(self.ground.set, *timer).is_none() => {
                    self.end_timer(world, *timer, act, instance.turn, *guard);
                }
                _ => {}
            }
        }
        for (guard, act) in acts {
            if let ActKind::Start(timer) = &act.kind
                && within(self.ground.set, *timer).is_some()
            {
                self.start_timer(world, *timer, act, instance.turn, *guard);
            }
        }
        self.pass(world, stop, acts, done);
    }

    /// `[step X]` names a step that is there whenever it is itself.
    fn points(&mut self, world: &mut World, target: (usize, StepNumber), at: Span, only: Ref) {
        let Some(target) = self
            .ground
            .stops
            .get(&target)
            .and_then(|t| self.ground.flow.stops.get(*t))
        else {
            return;
        };
        let procedure = self.ground.set.procedures.get(target.procedure);
        let mut there = procedure.map_or(ALWAYS, |p| world.conditions(&p.only));
        for conditions in [&target.phase.only, &target.step.only] {
            let holds = world.conditions(conditions);
            there = world.diagrams.and(there, holds);
        }
        let bad = world.diagrams.without(only, there);
        let target = target.step.span;
        let since = vec![Place::Told(Since {
            at: target,
            how: How::Ends,
        })];
        world.wrong(bad, Wrong::PointsNowhere { target }, Place::Here(at), since);
    }

    /// How long a step takes: a number of durations and one more.
    fn time(&mut self, world: &mut World, acts: &[(Ref, &Act)]) -> Ref {
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

    /// Time passes for windows and open joints; a step without a time in one is told.
    fn pass(&mut self, world: &mut World, stop: &Stop, acts: &[(Ref, &Act)], done: Ref) {
        if world.running.is_empty() {
            return;
        }
        let mut timed = NEVER;
        for (guard, act) in acts {
            if matches!(act.kind, ActKind::Time(_)) {
                timed = world.diagrams.or(timed, *guard);
            }
        }
        let untimed = world.diagrams.without(done, timed);
        let time = self.time(world, acts);
        for key in world.running.clone() {
            match key {
                Key::Clock(node) => {
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
                Key::Open(..) if world.value(key) == Ref::Leaf(0) => {
                    world.running.remove(&key);
                }
                Key::Open(node, consumable) => {
                    world.event(stop.step.span, How::Ends);
                    let open = world.test(key, |open| open > 0);
                    let bad = world.diagrams.and(untimed, open);
                    let wrong = Wrong::Untimed { window: consumable };
                    let since = vec![Place::Changed(vec![Key::Filling(node)])];
                    world.wrong(bad, wrong, Place::Here(stop.step.span), since);
                    let limit = world
                        .consumable(consumable)
                        .and_then(|c| c.open.clone())
                        .map(|o| o.value);
                    let now = world.value(key);
                    let numbers = &mut world.durations;
                    let longer = world.diagrams.combine(now, time, &mut |open, time| {
                        let of = |leaf: u32, numbers: &super::world::Numbers<Duration>| {
                            leaf.checked_sub(1).and_then(|n| numbers.get(n))
                        };
                        let (Some(open), Some(time)) = (of(open, numbers), of(time, numbers)) else {
                            return open;
                        };
                        let mut sum = open.plus(&time);
                        // Past its limit it only gets later.
                        if let Some(limit) = limit.as_ref().filter(|limit| open > **limit) {
                            sum = open.clone().max(limit.clone());
                        }
                        numbers.number(sum) + 1
                    });
                    let goes_on = world.diagrams.and(done, open);
                    world.become_(key, goes_on, longer);
                }
                _ => {}
            }
        }
    }

    fn start_timer(&mut self, world: &mut World, timer: Handle<Timer>, act: &Act, turn: Turn, guard: Ref) {
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
                for other in world.running.clone() {
                    if other != key && matches!(other, Key::Clock(_)) {
                        world.clock(other, guard, None, clock::What::WaitStarts(node));
                    }
                }
            }
        }
    }

    /// A wait that is long enough is one for what was used on no joint: which of them it times is written nowhere.
    fn wait_cures(&mut self, world: &mut World, timer: Handle<Timer>, guard: Ref) {
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

    fn end_timer(&mut self, world: &mut World, timer: Handle<Timer>, act: &Act, turn: Turn, guard: Ref) {
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
                let length = length.value.clone();
                for other in world.running.clone() {
                    let Key::Clock(of) = other else { continue };
                    let limit = handle(of.entity).and_then(|timer| within(self.ground.set, timer));
                    if other != key && limit.is_some() {
                        world.clock(
                            other,
                            guard,
                            limit.as_ref(),
                            clock::What::WaitEnds(node, length.clone()),
                        );
                    }
                }
            }
            if !world.may_run(key) {
                world.running.remove(&key);
            }
        }
    }

    /// One mark's effect.
    fn act(
        &mut self,
        world: &mut World,
        act: &Act,
        doing: Doing,
        (step, time): (Span, Ref),
        touched: &mut BTreeSet<Node>,
    ) {
        let set = self.ground.set;
        match &act.kind {
            ActKind::Fit(item, count) => {
                for node in world.meant(entity(*item), act.member, doing.turn) {
                    world.fit(*item, node, *count, doing);
                    touched.insert(node);
                }
            }
            ActKind::Remove(item, count) => {
                for node in world.meant(entity(*item), act.member, doing.turn) {
                    world.remove(*item, node, *count, doing);
                }
            }
            ActKind::Torque(torque) => {
                for node in world.meant(torque.entity(), act.member, doing.turn) {
                    world.torque(*torque, node, doing);
                }
            }
            ActKind::Snug(torque) => {
                for node in world.meant(torque.entity(), act.member, doing.turn) {
                    world.snug(*torque, node, doing);
                }
            }
            ActKind::Loosen(torque) => {
                for node in world.meant(torque.entity(), act.member, doing.turn) {
                    world.loosen(*torque, node, doing);
                }
            }
            ActKind::Measure(limit, as_found) => self.measure(world, *limit, *as_found, act, doing),
            ActKind::Use(Thing::Temporary(item), _, _) => {
                for node in world.meant(item.entity(), act.member, doing.turn) {
                    world.use_item(*item, node, doing);
                }
            }
            ActKind::Use(Thing::Consumable(consumable), _, Some(onto)) => {
                let (entity, torque) = match onto.what {
                    Surface::Joint(joint) => (joint.entity(), false),
                    Surface::Torque(torque) => (torque.entity(), true),
                };
                for node in world.meant(entity, onto.member, doing.turn) {
                    if torque {
                        world.spread_on_torque(consumable.entity(), node, doing);
                    } else {
                        world.spread_on_joint(consumable.entity(), node, time, doing);
                    }
                }
                if torque {
                    self.bare(world, *consumable, step, doing);
                }
            }
            ActKind::Use(Thing::Consumable(consumable), _, None) => self.bare(world, *consumable, step, doing),
            ActKind::Set(state, value) => {
                for node in world.meant(state.entity(), act.member, doing.turn) {
                    world.put(node, *value, doing);
                    touched.insert(node);
                }
            }
            ActKind::Do(action) => {
                let links = set.links.actions.get(action);
                let mut sets: Vec<(Node, usize)> = Vec::new();
                for (state, value) in links.iter().flat_map(|links| &links.sets) {
                    for node in world.meant(state.entity(), None, doing.turn) {
                        sets.push((node, *value));
                        touched.insert(node);
                    }
                }
                world.act(Node::new(action.entity(), 0), &sets, doing);
            }
            ActKind::Mark(part) => {
                for node in world.meant(part.entity(), act.member, doing.turn) {
                    world.mark(node, doing);
                }
            }
            ActKind::Use(Thing::Tool(_) | Thing::Part(_), ..)
            | ActKind::Need(_)
            | ActKind::Start(_)
            | ActKind::End(_)
            | ActKind::Hold(_)
            | ActKind::Label(_)
            | ActKind::Step { .. }
            | ActKind::See(_)
            | ActKind::Time(_)
            | ActKind::Only
            | ActKind::Wait(_)
            | ActKind::Each
            | ActKind::If(_)
            | ActKind::Repeat(_)
            | ActKind::Stop => {}
        }
    }

    /// A consumable that is used on no joint: a window must time it while it is open, and a wait its cure.
    fn bare(&mut self, world: &mut World, consumable: Handle<registers::Consumable>, step: Span, doing: Doing) {
        let set = self.ground.set;
        let entry = &set.catalogue.consumables[consumable];
        world.event(doing.at, How::Used);
        if entry.cure.is_some() {
            let key = Key::Bare(consumable.entity(), step);
            world.bare.insert(key);
            world.set(key, doing.guard, |_| 1);
        }
        let Some(open) = &entry.open else { return };
        let mut timed = NEVER;
        for key in world.running.clone() {
            let Key::Clock(node) = key else { continue };
            let limit = handle(node.entity).and_then(|timer| within(set, timer));
            if limit.is_some_and(|limit| limit <= open.value) {
                let runs = world.clocks_where(key, clock::State::runs);
                timed = world.diagrams.or(timed, runs);
            }
        }
        let bad = world.diagrams.without(doing.guard, timed);
        world.wrong(
            bad,
            Wrong::OpenNotTimed { consumable },
            Place::Here(doing.at),
            Vec::new(),
        );
    }

    fn measure(&mut self, world: &mut World, limit: Handle<Measurement>, as_found: bool, act: &Act, doing: Doing) {
        for node in world.meant(limit.entity(), act.member, doing.turn) {
            let mut answer = None;
            if !as_found && self.ground.asked.contains(&limit) {
                let times = self.reads.entry((node.entity, node.member)).or_default();
                let known = self.answers.known.get(&(node.entity, node.member, *times));
                *times += 1;
                answer = known.map(|(variable, leaves)| world.diagrams.of_variable(*variable, leaves));
            }
            world.measure(node, as_found, answer, doing);
            self.worked_out(world, limit, doing);
        }
    }

    /// A calculation is worked out of readings that have been taken.
    fn worked_out(&mut self, world: &mut World, calc: Handle<Measurement>, doing: Doing) {
        let Some(facts) = self.ground.calcs.calcs.get(&calc) else {
            return;
        };
        let readings: BTreeSet<Handle<Measurement>> = facts.readings.values().copied().collect();
        for reading in readings {
            for node in world.meant(reading.entity(), None, doing.turn) {
                // What isn't there at all is told at the entry.
                let there = world.there(node.entity);
                let guard = world.diagrams.and(doing.guard, there);
                let read = world.test(Key::Read(node), |read| read == 1);
                let bad = world.diagrams.without(guard, read);
                let declared = Place::Told(Since {
                    at: self.ground.set.catalogue.limits.get(reading).id.span,
                    how: How::AtStart,
                });
                let wrong = Wrong::NotRead { calc, reading };
                world.wrong(bad, wrong, Place::Here(doing.at), vec![declared]);
            }
        }
    }

    /// What temporary items keep is judged when the step is done, where it has touched either.
    fn keep(&mut self, world: &mut World, touched: &BTreeSet<Node>, acts: &[(Ref, &Act)]) {
        let shape = self.ground.shape;
        for node in touched {
            let item: Option<Handle<Temporary>> = handle(node.entity);
            let keepers = match item {
                Some(_) if shape.keepers.contains_key(node) => vec![*node],
                Some(_) => continue,
                None => shape.keepers.get(node).cloned().unwrap_or_default(),
            };
            for keeper in keepers {
                self.kept(world, keeper, *node, acts);
            }
        }
    }

    fn kept(&mut self, world: &mut World, keeper: Node, touched: Node, acts: &[(Ref, &Act)]) {
        let shape = self.ground.shape;
        let Some(item) = handle::<Temporary>(keeper.entity) else {
            return;
        };
        let on = world.pieces(keeper, |p| p.on() > 0);
        // The last mark of the step that touched it.
        let of = |act: &Act| match &act.kind {
            ActKind::Fit(fitted, _) => entity(*fitted) == touched.entity,
            ActKind::Set(state, _) => state.entity() == touched.entity,
            ActKind::Do(action) => {
                let links = self.ground.set.links.actions.get(action);
                links.is_some_and(|l| l.sets.iter().any(|(state, _)| state.entity() == touched.entity))
            }
            _ => false,
        };
        let Some((guard, act)) = acts.iter().rev().find(|(_, act)| of(act)) else {
            return;
        };
        let fitted = touched == keeper;
        // Fitted and set in one step is told once, at the fit.
        let both = !fitted
            && acts
                .iter()
                .any(|(_, act)| matches!(&act.kind, ActKind::Fit(f, _) if entity(*f) == keeper.entity));
        if both {
            return;
        }
        for (state, values) in &shape.ties(keeper.entity).keeps {
            for state_node in world.meant(state.entity(), None, shape.turn(keeper)) {
                if !fitted && state_node != touched {
                    continue;
                }
                let key = Key::State(state_node);
                let entry = &self.ground.set.catalogue.states[*state];
                for is in (0..entry.values.len()).filter(|is| !values.contains(is)) {
                    let so = world.test(key, |value| value == is as u32 + 1);
                    let bad = world.all(&[*guard, on, so]);
                    let since = match fitted {
                        true => vec![Place::Last(vec![key])],
                        false => vec![Place::Fitted(vec![Key::Item(keeper)])],
                    };
                    let wrong = Wrong::Kept {
                        item,
                        state: *state,
                        is,
                    };
                    world.wrong(bad, wrong, Place::Here(act.span), since);
                }
            }
        }
    }

    /// Windows end, waits start, hold points.
    fn finish(&mut self, world: &mut World, acts: &[(Ref, &Act)], turn: Turn) {
        for (guard, act) in acts {
            if let ActKind::End(timer) = &act.kind
                && within(self.ground.set, *timer).is_some()
            {
                self.end_timer(world, *timer, act, turn, *guard);
            }
        }
        for (guard, act) in acts {
            match &act.kind {
                ActKind::Start(timer) if within(self.ground.set, *timer).is_none() => {
                    self.start_timer(world, *timer, act, turn, *guard);
                }
                ActKind::Hold(hold) => {
                    let doing = Doing {
                        at: act.span,
                        turn,
                        guard: *guard,
                    };
                    world.hold(Node::new(hold.entity(), 0), doing);
                    for key in world.running.clone() {
                        self.hold_in(world, key, *hold, doing);
                    }
                }
                _ => {}
            }
        }
    }

    fn hold_in(&mut self, world: &mut World, key: Key, hold: Handle<registers::Hold>, doing: Doing) {
        let at = Place::Here(doing.at);
        match key {
            Key::Clock(node) => {
                let Some(timer) = handle(node.entity).filter(|t| within(self.ground.set, *t).is_some()) else {
                    return;
                };
                let runs = world.clocks_where(key, clock::State::runs);
                let bad = world.diagrams.and(doing.guard, runs);
                let since = vec![Place::Started(key)];
                world.wrong(bad, Wrong::HoldInWindow { timer, hold }, at, since);
            }
            Key::Open(node, _) => {
                let Some(joint) = handle(node.entity) else { return };
                let open = world.test(key, |open| open > 0);
                let bad = world.diagrams.and(doing.guard, open);
                let since = vec![Place::Changed(vec![Key::Filling(node)])];
                world.wrong(bad, Wrong::HoldInOpen { joint, hold }, at, since);
            }
            _ => {}
        }
    }

    /// A card, or a way, ends: nothing is left as nobody should leave it.
    fn card_ends(&mut self, world: &mut World, guard: Ref, last: Place) {
        world.event(Span::new(self.ground.set.file, 0, 0), How::Ends);
        for node in self.ground.shape.states() {
            for value in &self.ground.shape.ties(node.entity).perilous {
                let key = Key::State(node);
                let so = world.test(key, |leaf| leaf == *value as u32 + 1);
                let bad = world.diagrams.and(guard, so);
                let wrong = Wrong::Perilous {
                    thing: node.entity,
                    value: Some(*value),
                };
                world.wrong(bad, wrong, Place::Last(vec![key]), vec![last.clone()]);
            }
        }
        for node in self.ground.shape.temporary() {
            if world.temporary(node).is_some_and(|item| item.perilous) {
                let on = world.pieces(node, |p| p.on() > 0);
                let bad = world.diagrams.and(guard, on);
                let wrong = Wrong::Perilous {
                    thing: node.entity,
                    value: None,
                };
                let at = Place::Fitted(vec![Key::Item(node)]);
                world.wrong(bad, wrong, at, vec![last.clone()]);
            }
        }
    }
}

/// How long a window is; `None` of a wait.
pub fn within(set: &Set, timer: Handle<Timer>) -> Option<Duration> {
    match &set.catalogue.timers[timer].span {
        Some(registers::Span::Within(within)) => Some(within.value.clone()),
        Some(registers::Span::AtLeast(_)) | None => None,
    }
}

fn entity(item: Item) -> Entity {
    match item {
        Item::Part(part) => part.entity(),
        Item::Temporary(item) => item.entity(),
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
