//! A set done from its first step to its last, in one order, for all choices and answers at once.

use super::acts::{Doing, InStep};
use super::ground::{Answers, Asking, Ground, HIGH, IN, LOW, MOST, within};
use super::needs::By;
use super::sequence::{self, Instance, Order};
use super::shape::{Node, Turn};
use super::touches::Touches;
use super::ways::Moment;
use super::world::{Key, Place, World};
use crate::check::ledger::diagram::{ALWAYS, NEVER, Ref};
use crate::check::ledger::fault::{How, Left, Since, Untried, Wrong};
use crate::check::walk::Stop;
use crate::model::registers::Case;
use crate::model::ties::{Answer, Asked, Question};
use crate::model::{Act, ActKind, Entity, Handle, ProcedureId, StepNumber};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// What is touched, by stop, by stop and sub-step, and by stop and member where it is done for each.
#[derive(Debug, Default)]
pub struct Traces {
    pub stops: BTreeMap<usize, Touches>,
    pub subs: BTreeMap<(usize, usize), Touches>,
    pub members: BTreeMap<(usize, usize), Touches>,
    /// By card, the windows and open times that begin or end with it and go on beyond it, and what no card may end with; and which might.
    pub beyond: BTreeMap<ProcedureId, (BTreeSet<usize>, BTreeSet<usize>)>,
}

/// Everything but the world: questions asked so far, and the ways back under way.
pub struct Way<'g, 'a> {
    pub(super) ground: &'g Ground<'a>,
    pub(super) order: &'g Order,
    pub(super) answers: &'g Answers,
    /// How often each limit was read so far.
    pub(super) reads: BTreeMap<(Entity, usize), usize>,
    /// All of them, one after another: the limit, its member, and how often it was read before.
    pub(super) readings: Vec<Asking>,
    pub(super) cases: BTreeMap<(Handle<Case>, usize), Ref>,
    /// By stop and member: the ways on which the way back was taken.
    pub(super) taken: BTreeMap<(usize, usize), Ref>,
    pub traces: Traces,
    /// The guards under which each stop is done, and when.
    pub reached: BTreeMap<usize, Vec<(Ref, Moment)>>,
    /// The same of the card as the world has of the step: what may have begun or ended.
    turned: BTreeSet<Key>,
    /// Steps walked on ways back so far.
    pub(super) walked: usize,
    /// Nodes of diagrams looked at on them.
    pub(super) looked: usize,
    pub untried: BTreeSet<Untried>,
    /// The `[stop]` after which no way goes on.
    pub ended: Option<Span>,
    pub(super) phase: Option<(ProcedureId, usize)>,
    pub(super) card: usize,
}

/// Steps on ways back for each step of a set, where that is more than [`MOST`]: each card of a big set may have its own.
const BACK: usize = 4;

/// Most nodes looked at on ways back: where many of them lead back over each other, one step may bear on more answers than can be told apart.
const LOOKED: usize = 3_000_000;

impl<'g, 'a> Way<'g, 'a> {
    pub fn new(ground: &'g Ground<'a>, order: &'g Order, answers: &'g Answers) -> Way<'g, 'a> {
        Way {
            ground,
            order,
            answers,
            reads: BTreeMap::new(),
            readings: Vec::new(),
            cases: BTreeMap::new(),
            taken: BTreeMap::new(),
            traces: Traces::default(),
            reached: BTreeMap::new(),
            turned: BTreeSet::new(),
            walked: 0,
            looked: 0,
            untried: BTreeSet::new(),
            ended: None,
            phase: None,
            card: 0,
        }
    }

    /// Does the whole set.
    pub fn go(&mut self, world: &mut World) {
        for never in &self.ground.set.never {
            let together = world.conditions(&never.pairs);
            world.forbid(together);
        }
        self.worked_of_nothing(world);
        for procedure in self.order.procedures.clone() {
            let card = self.ground.card(procedure, self.order);
            world.steps.push(Vec::new());
            self.card = world.steps.len() - 1;
            let began = world.so_far();
            self.turned.clear();
            self.walk(world, &card, 0..card.len(), &mut Vec::new(), ALWAYS);
            let turned = std::mem::take(&mut self.turned);
            self.traces.beyond.insert(procedure, world.turned_since(turned, began));
            // A card that isn't there doesn't end.
            let there = self
                .ground
                .set
                .procedures
                .of(procedure)
                .map_or(ALWAYS, |p| world.conditions(&p.only));
            self.card_ends(world, there, Place::Step(self.card));
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

    /// True once the ways back are more than are followed.
    pub(super) fn is_over(&self) -> bool {
        self.walked > MOST.max(self.ground.flow.stops.len() * BACK) || self.looked > LOOKED
    }

    pub(super) fn walk(
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
            self.walked += usize::from(!under_way.is_empty());
            if self.is_over() {
                // Ways back that meet each other: what comes after this is not followed on the way that they are on.
                self.untried.insert(Untried {
                    at: stop.step.span,
                    what: Left::Repeats,
                });
                return;
            }
            let (found, began) = (world.found.len(), world.so_far());
            let ways = world.ways.now();
            let looked = world.diagrams.visited();
            world.touches = Touches::default();
            let done = self.step(world, stop, *instance, guard);
            let given_up = world.settle(found, began);
            if given_up {
                world.ways.undo(ways);
            }
            let mut touches = std::mem::take(&mut world.touches);
            let turned = std::mem::take(&mut world.turned);
            let times = turned.iter().filter(|key| key.running().is_some());
            let times: Vec<Key> = times.copied().collect();
            self.turned.extend(turned);
            (touches.turned, touches.may_turn) = world.turned_since(times, began);
            touches.times = !touches.turned.is_empty();
            if let Some((_, member)) = instance.turn {
                let of_member = self.traces.members.entry((instance.stop, member)).or_default();
                of_member.extend(touches.clone());
            }
            self.traces.stops.entry(instance.stop).or_default().extend(touches);
            if !under_way.is_empty() {
                self.looked += world.diagrams.visited() - looked;
            }
            self.back(world, card, index, under_way, done);
        }
    }

    /// Where a question is answered so; tells of one that can't be answered at `tell`.
    pub(super) fn answer(&mut self, world: &mut World, question: &Question, turn: Turn, tell: Option<Ref>) -> Ref {
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
        let procedure = set.procedures.of(stop.procedure);
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
        let reached = self.reached.entry(instance.stop).or_default();
        let here = (done, world.ways.now());
        if !reached.contains(&here) {
            reached.push(here);
        }
        for list in [0, self.card] {
            if let Some(steps) = world.steps.get_mut(list) {
                steps.push((done, stop.step.span));
            }
        }
        let acts = sequence::acts(stop, self.order.substeps.get(&instance.stop));
        let mut guarded: Vec<(Ref, &Act)> = Vec::new();
        let mut subs: Vec<Option<usize>> = Vec::new();
        for (sub, act) in acts {
            subs.push(sub);
            let only = sub.and_then(|sub| stop.step.substeps.get(sub)).map(|sub| &sub.only);
            let of_sub = only.map_or(ALWAYS, |only| world.conditions(only));
            guarded.push((world.diagrams.and(done, of_sub), act));
        }
        self.begin(world, stop, instance, &guarded, only, done);
        let mut touched: BTreeSet<Node> = BTreeSet::new();
        let in_step = InStep {
            span: stop.step.span,
            time: self.time(world, &guarded),
            untimed: self.untimed(world, &guarded, done),
        };
        for ((guard, act), sub) in guarded.iter().zip(subs) {
            let doing = Doing {
                at: act.span,
                turn: instance.turn,
                guard: *guard,
            };
            // What a bullet touches is told of by itself too.
            let before = sub.map(|_| std::mem::take(&mut world.touches));
            self.act(world, act, doing, in_step, &mut touched);
            world.touches.turns |= turns(&act.kind);
            if let (Some(sub), Some(before)) = (sub, before) {
                let mut own = std::mem::replace(&mut world.touches, before);
                world.touches.extend(own.clone());
                own.turns |= at_an_end(&act.kind);
                self.traces.subs.entry((instance.stop, sub)).or_default().extend(own);
            }
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
                world.end(*guard);
                if world.ways.are_over() {
                    self.ended.get_or_insert(act.span);
                }
            }
        }
        done
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
                ActKind::See(procedure) => self.names(world, *procedure, act.span, only),
                ActKind::Repeat(number) => self.points(world, (stop.procedure, *number), act.span, only),
                ActKind::End(timer) if within(self.ground.set, *timer).is_none() => {
                    self.end_timer(world, *timer, act, instance.turn, *guard);
                }
                // Windows end, waits start and holds come when the step is done; the rest is what is done in it.
                ActKind::End(_)
                | ActKind::Start(_)
                | ActKind::Hold(_)
                | ActKind::Torque(_)
                | ActKind::Snug(_)
                | ActKind::Loosen(_)
                | ActKind::Measure(..)
                | ActKind::Fit(..)
                | ActKind::Remove(..)
                | ActKind::Use(..)
                | ActKind::Set(..)
                | ActKind::Do(_)
                | ActKind::Label(_)
                | ActKind::Time(_)
                | ActKind::Only
                | ActKind::Mark(_)
                | ActKind::Each
                | ActKind::If(_)
                | ActKind::Stop => {}
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

    /// `[see X]` names a card that is there whenever it is itself.
    fn names(&mut self, world: &mut World, procedure: ProcedureId, at: Span, only: Ref) {
        let Some(card) = self.ground.set.procedures.of(procedure) else {
            return;
        };
        let Some((_, first)) = card.steps().next() else { return };
        let there = world.conditions(&card.only);
        let bad = world.diagrams.without(only, there);
        let target = first.span;
        let since = vec![Place::Told(Since {
            at: target,
            how: How::Ends,
        })];
        world.wrong(bad, Wrong::PointsNowhere { target }, Place::Here(at), since);
    }

    /// `[step X]` names a step that is there whenever it is itself.
    fn points(&mut self, world: &mut World, target: (ProcedureId, StepNumber), at: Span, only: Ref) {
        let Some(target) = self
            .ground
            .stops
            .get(&target)
            .and_then(|t| self.ground.flow.stops.get(*t))
        else {
            return;
        };
        let procedure = self.ground.set.procedures.of(target.procedure);
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
                // Those before were looked at when the step began.
                ActKind::Start(_)
                | ActKind::End(_)
                | ActKind::Need(_)
                | ActKind::Wait(_)
                | ActKind::Step { .. }
                | ActKind::See(_)
                | ActKind::Repeat(_)
                | ActKind::Torque(_)
                | ActKind::Snug(_)
                | ActKind::Loosen(_)
                | ActKind::Measure(..)
                | ActKind::Fit(..)
                | ActKind::Remove(..)
                | ActKind::Use(..)
                | ActKind::Set(..)
                | ActKind::Do(_)
                | ActKind::Label(_)
                | ActKind::Time(_)
                | ActKind::Only
                | ActKind::Mark(_)
                | ActKind::Each
                | ActKind::If(_)
                | ActKind::Stop => {}
            }
        }
    }
}

/// True of marks after which other steps come than those that follow: no step changes places with theirs.
fn turns(kind: &ActKind) -> bool {
    matches!(kind, ActKind::Repeat(_) | ActKind::Stop)
}

/// True of marks that count when their step begins or ends.
fn at_an_end(kind: &ActKind) -> bool {
    matches!(
        kind,
        ActKind::Need(_) | ActKind::Wait(_) | ActKind::Start(_) | ActKind::End(_) | ActKind::Hold(_)
    )
}
