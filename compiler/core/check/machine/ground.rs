//! What stays the same from one order to another: what is asked, and the answers that there can be.

use super::sequence::{self, Instance, Order};
use super::shape::{Node, Shape, Turn};
use crate::check::calc::CalcFacts;
use crate::check::walk::Flow;
use crate::check::walk::guard::Variables;
use crate::domain::limit::Limit;
use crate::domain::timer::Duration;
use crate::model::registers::{self, Measurement, Timer};
use crate::model::ties::{Asked, Question};
use crate::model::{ActKind, Entity, Handle, Item, ProcedureId, Set, StepNumber};
use std::collections::{BTreeMap, BTreeSet};

/// Answers that a reading can have, as leaves of the key that stands for it.
pub const IN: u32 = 1;
pub const LOW: u32 = 2;
pub const HIGH: u32 = 3;

/// What is asked: limit or case, member, and how often it has been asked before.
pub(super) type Asking = (Entity, usize, usize);

/// Variables for answers are made as they are asked for; the second time round they must be the same.
#[derive(Debug, Default, Clone)]
pub struct Answers {
    /// The variable and what its values mean.
    pub(super) known: BTreeMap<Asking, (usize, Vec<u32>)>,
}

/// Everything that stays the same from one order to another.
pub struct Ground<'a> {
    pub set: &'a Set,
    pub flow: &'a Flow<'a>,
    pub shape: &'a Shape<'a>,
    pub calcs: &'a CalcFacts,
    /// Limits that some step asks about.
    pub(super) asked: BTreeSet<Handle<Measurement>>,
    /// Sections of `[step …]`: by procedure and number, the stop.
    pub(super) stops: BTreeMap<(ProcedureId, StepNumber), usize>,
    /// By procedure, the positions of its stops.
    cards: BTreeMap<ProcedureId, Vec<usize>>,
}

impl<'a> Ground<'a> {
    pub fn new(set: &'a Set, flow: &'a Flow<'a>, shape: &'a Shape<'a>, calcs: &'a CalcFacts) -> Ground<'a> {
        let mut asked = BTreeSet::new();
        let mut stops = BTreeMap::new();
        let mut cards: BTreeMap<ProcedureId, Vec<usize>> = BTreeMap::new();
        for (index, stop) in flow.stops.iter().enumerate() {
            for question in stop.phase.ifs.iter().chain(&stop.step.ifs) {
                if let Asked::Limit { limit, .. } = question.of {
                    asked.insert(limit);
                }
            }
            stops.insert((stop.procedure, stop.step.number), index);
            cards.entry(stop.procedure).or_default().push(index);
        }
        Ground {
            set,
            flow,
            shape,
            calcs,
            asked,
            stops,
            cards,
        }
    }

    /// The steps of one procedure, in an order.
    pub(super) fn card(&self, procedure: ProcedureId, order: &Order) -> Vec<Instance> {
        let written = self.cards.get(&procedure).map_or(&[][..], Vec::as_slice);
        sequence::of_card(self.set, &self.flow.stops, procedure, written, order)
    }

    pub(super) fn turn_of(&self, question: &Question, turn: Turn) -> Option<Node> {
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
pub(super) fn bounds(limit: &Limit) -> (bool, bool) {
    let bounds = limit.bounds();
    (bounds.low.is_some(), bounds.high.is_some())
}

/// Makes the variables of all answers, before the diagrams that they are variables of.
pub fn answers(ground: &Ground, variables: &mut Variables) -> Answers {
    // As many readings and questions as there can be: every way back once, in every order the same.
    let order = Order {
        procedures: ground.set.procedures.ids().collect(),
        ..Order::default()
    };
    let mut asked_for: Vec<(Asking, String, Vec<String>, Vec<u32>)> = Vec::new();
    let mut cases: BTreeSet<Asking> = BTreeSet::new();
    let mut reads: BTreeMap<(Entity, usize), usize> = BTreeMap::new();
    for procedure in &order.procedures {
        let card = ground.card(*procedure, &order);
        let mut asked = Vec::new();
        unroll(ground, &card, 0..card.len(), &mut Vec::new(), &mut asked);
        for instance in asked {
            let Some(stop) = ground.flow.stops.get(instance.stop) else {
                continue;
            };
            for question in stop.phase.ifs.iter().chain(&stop.step.ifs) {
                if let Asked::Case(case) = question.of {
                    let name = &ground.set.catalogue.cases.get(case).id.text;
                    let member = instance.turn.map_or(0, |(_, member)| member + 1);
                    for member in [0, member] {
                        let asking = (case.entity(), member, 0);
                        if cases.insert(asking) {
                            let words = ["no", "yes"].map(str::to_string).to_vec();
                            asked_for.push((asking, name.clone(), words, vec![0, 1]));
                        }
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
                    let words = outcomes.iter().map(|(_, word)| (*word).to_string()).collect();
                    let leaves = outcomes.into_iter().map(|(leaf, _)| leaf).collect();
                    asked_for.push((
                        (node.entity, node.member, *times),
                        ground.shape.called(node),
                        words,
                        leaves,
                    ));
                    *times += 1;
                }
            }
        }
    }
    let mut answers = Answers::default();
    for (asking, name, words, leaves) in asked_for {
        let variable = variables.answer(name, words);
        answers.known.insert(asking, (variable, leaves));
    }
    answers
}

/// Most steps that ways back may make of one card, and that are walked on those of a set that isn't big.
pub(super) const MOST: usize = 20_000;

/// The steps of a card with every way back gone once.
pub(super) fn unroll(
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
pub(super) fn way_back(ground: &Ground, card: &[Instance], index: usize) -> Option<usize> {
    let stop = ground.flow.stops.get(card.get(index)?.stop)?;
    let number = sequence::acts(stop, None).into_iter().find_map(|(_, act)| {
        let ActKind::Repeat(number) = act.kind else { return None };
        Some(number)
    })?;
    sequence::target(&ground.flow.stops, card, index, number)
}

/// How long a window is; `None` of a wait.
pub fn within(set: &Set, timer: Handle<Timer>) -> Option<Duration> {
    match &set.catalogue.timers[timer].span {
        Some(registers::Span::Within(within)) => Some(within.value.clone()),
        Some(registers::Span::AtLeast(_)) | None => None,
    }
}

pub(super) fn entity(item: Item) -> Entity {
    match item {
        Item::Part(part) => part.entity(),
        Item::Temporary(item) => item.entity(),
    }
}
