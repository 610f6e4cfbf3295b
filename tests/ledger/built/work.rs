//! Random steps over a random set. A step is looked at in a simulator that has done those before it; most that go wrong there are thrown away.

use super::dice::Dice;
use super::made::{Features, only};
use super::set::{Act, Ask, At, Card, Each, If, Set, Step, Thing};
use super::world::World;

/// Of a hundred steps that go wrong, how many stay.
const WRONG: usize = 7;

fn act(set: &Set, dice: &mut Dice, member: Option<usize>) -> Act {
    let at = |dice: &mut Dice, thing: Thing| At {
        thing,
        member: match member.is_none() && set.is_each(thing) && dice.percent(40) {
            true => Some(dice.below(set.members)),
            false => None,
        },
    };
    let part = Thing::Part(dice.below(set.parts.len()));
    let item = Thing::Item(dice.below(set.items.len()));
    let torque = Thing::Torque(dice.below(set.torques.len()));
    let counted = |dice: &mut Dice, thing: Thing| {
        let qty = match thing {
            Thing::Part(n) => set.parts[n].qty,
            Thing::Item(n) => set.items[n].qty,
            _ => 1,
        };
        let alone = !set.is_each(thing);
        (alone && qty > 1 && dice.percent(40)).then_some(1)
    };
    match dice.below(40) {
        0..=7 => Act::Fit(at(dice, part), counted(dice, part)),
        8..=14 => Act::Remove(at(dice, part), counted(dice, part)),
        15 | 16 => Act::Fit(at(dice, item), counted(dice, item)),
        17 | 18 => Act::Remove(at(dice, item), counted(dice, item)),
        19..=21 => Act::Loosen(at(dice, torque)),
        22 => Act::Snug(at(dice, torque)),
        23..=25 => Act::Tighten(at(dice, torque)),
        26..=28 => {
            let state = Thing::State(dice.below(set.states.len()));
            Act::Set(at(dice, state), dice.below(3))
        }
        29 | 30 => Act::Do(dice.below(set.actions.len())),
        31 | 32 => {
            let limit = Thing::Limit(dice.below(set.limits.len()));
            Act::Measure(at(dice, limit), dice.percent(15))
        }
        33 => Act::UseItem(at(dice, item)),
        34 => Act::Mark(at(dice, part)),
        35 => Act::Hold(dice.below(set.holds.len())),
        36 => Act::Need(needed(set, dice)),
        _ if set.consumables.is_empty() => Act::Tighten(at(dice, torque)),
        37 if !set.joints.is_empty() => Act::Wait(dice.below(set.consumables.len())),
        _ => used(set, dice).unwrap_or(Act::Loosen(at(dice, torque))),
    }
}

fn needed(set: &Set, dice: &mut Dice) -> Ask {
    match dice.below(4) {
        0 => Ask::Is(Thing::Part(dice.below(set.parts.len()))),
        1 => Ask::Off(Thing::Part(dice.below(set.parts.len()))),
        2 => Ask::Is(Thing::Torque(dice.below(set.torques.len()))),
        _ => Ask::At(dice.below(set.states.len()), vec![dice.below(3)]),
    }
}

/// A consumable on a joint that takes it, or on a torque that names it.
fn used(set: &Set, dice: &mut Dice) -> Option<Act> {
    let mut all = Vec::new();
    for (n, joint) in set.joints.iter().enumerate() {
        for thing in &joint.takes {
            if let Thing::Consumable(consumable) = thing {
                all.push((*consumable, Thing::Joint(n)));
            }
        }
    }
    for (n, torque) in set.torques.iter().enumerate() {
        all.extend(torque.lubricant.map(|consumable| (consumable, Thing::Torque(n))));
    }
    if all.is_empty() {
        return None;
    }
    let (consumable, thing) = all[dice.below(all.len())];
    Some(Act::UseOn(consumable, At { thing, member: None }))
}

/// Does a step for whom it is meant.
fn does(world: &mut World, set: &Set, step: &Step, card: usize, number: usize) {
    if !world.meets(&step.only) {
        return;
    }
    match step.each {
        Each::No => world.does(step, card, number, None),
        Each::Side | Each::Turn => (0..set.members).for_each(|member| world.does(step, card, number, Some(member))),
    }
}

/// True if a step brings about no fault that was not there.
fn goes_well<'a>(world: &World<'a>, set: &Set, step: &Step, card: usize, number: usize) -> Option<World<'a>> {
    let mut after = world.clone();
    does(&mut after, set, step, card, number);
    let new = after.faults.keys().any(|fault| !world.faults.contains_key(fault));
    (!new).then_some(after)
}

fn step(set: &Set, dice: &mut Dice, features: Features) -> Step {
    let mut step = Step::default();
    if features.groups && dice.percent(30) {
        step.each = if dice.percent(70) { Each::Side } else { Each::Turn };
    }
    let member = (step.each != Each::No).then_some(0);
    step.acts.push(act(set, dice, member));
    while dice.percent(15) {
        let more = act(set, dice, member);
        // The same mark twice in a step couldn't be told apart.
        if !step.acts.contains(&more) {
            step.acts.push(more);
        }
    }
    if features.options && dice.percent(25) {
        step.only = only(set, dice);
    }
    step.minutes = dice.percent(75).then(|| dice.below(4) as u64);
    step
}

/// What would mend a fault that the end shows.
fn mending(set: &Set, world: &World) -> Vec<Act> {
    let mut end = world.clone();
    end.card_ends();
    end.ends();
    let mut acts = Vec::new();
    for fault in end.faults.keys().filter(|fault| !world.faults.contains_key(fault)) {
        let thing = set
            .tied()
            .into_iter()
            .find(|thing| fault.what.first() == Some(&thing.id()));
        let at = |thing: Thing| At { thing, member: None };
        match (fault.code, thing) {
            (404 | 450, Some(thing @ Thing::Item(_))) => acts.push(Act::Remove(at(thing), None)),
            (405, Some(Thing::Part(part))) => {
                let place = (0..set.parts.len()).filter(|other| set.root(*other) == set.root(part));
                acts.extend(place.map(|other| Act::Fit(at(Thing::Part(other)), None)));
            }
            (445, Some(thing)) => acts.extend([Act::Fit(at(thing), None), Act::Remove(at(thing), None)]),
            (407 | 438, Some(thing)) => acts.push(Act::Tighten(at(thing))),
            (453, _) => acts.extend((0..set.consumables.len()).map(Act::Wait)),
            (451, _) => {
                let parts = (0..set.parts.len()).map(|part| Act::Fit(at(Thing::Part(part)), None));
                acts.extend(parts);
            }
            (414 | 450, _) => {
                let state = (0..set.states.len()).find(|state| fault.what.first() == Some(&Thing::State(*state).id()));
                acts.extend(
                    state
                        .into_iter()
                        .flat_map(|s| (0..3).map(move |v| Act::Set(at(Thing::State(s)), v))),
                );
            }
            _ => {}
        }
    }
    acts
}

/// Cards with steps.
pub fn cards(set: &mut Set, dice: &mut Dice, features: Features) {
    let base = set.clone();
    let defaults = defaults(&base);
    let mut world = World::new(&base, &defaults);
    let count = match dice.below(4) {
        0 | 1 => 1,
        2 => 2,
        _ => 2 + usize::from(features.orders),
    };
    let length = 4 + dice.below(12);
    for card in 0..count {
        let mut steps: Vec<Step> = Vec::new();
        let mut tries = 0;
        while steps.len() < length / count + 1 && tries < 200 {
            tries += 1;
            let step = step(&base, dice, features);
            match goes_well(&world, &base, &step, card, steps.len()) {
                Some(after) => world = after,
                None if dice.percent(WRONG) => does(&mut world, &base, &step, card, steps.len()),
                None => continue,
            }
            steps.push(step);
        }
        if card + 1 == count && dice.percent(85) {
            for _ in 0..10 {
                let mut acts = mending(&base, &world);
                let done = loop {
                    if acts.is_empty() {
                        break false;
                    }
                    let step = Step {
                        acts: vec![acts.remove(dice.below(acts.len()))],
                        minutes: Some(1),
                        ..Step::default()
                    };
                    if let Some(after) = goes_well(&world, &base, &step, card, steps.len()) {
                        world = after;
                        steps.push(step);
                        break true;
                    }
                };
                if !done {
                    break;
                }
            }
        } else {
            world.card_ends();
        }
        let after = match card {
            0 => Vec::new(),
            _ if features.orders && dice.percent(50) => (0..card).filter(|_| dice.percent(40)).collect(),
            _ => vec![card - 1],
        };
        let only = match features.options && dice.percent(15) {
            true => only(&base, dice),
            false => Vec::new(),
        };
        set.cards.push(Card {
            steps,
            after,
            only,
            shared: dice.percent(10),
        });
    }
    if features.answers {
        answers(set, dice);
    }
    if features.orders {
        bullets(set, dice);
    }
}

pub fn defaults(set: &Set) -> Vec<Option<usize>> {
    let mut defaults: Vec<Option<usize>> = Vec::new();
    for option in &set.options {
        let asked = super::world::meets(&defaults, &option.only);
        defaults.push(asked.then_some(option.default));
    }
    defaults
}

/// Some steps become ones that are done if a reading or a case says so.
fn answers(set: &mut Set, dice: &mut Dice) {
    set.cases = dice.below(3);
    let cases = set.cases;
    for card in 0..set.cards.len() {
        let mut measured: Vec<usize> = Vec::new();
        let mut at = 0;
        while at < set.cards[card].steps.len() {
            let step = &set.cards[card].steps[at];
            if dice.percent(15) && step.acts.len() == 1 && step.each == Each::No {
                let limit = match dice.percent(90) {
                    true if measured.is_empty() => None,
                    true => Some(measured[dice.below(measured.len())]),
                    false => Some(dice.below(set.limits.len())),
                };
                let ask = match limit {
                    Some(limit) => {
                        let words: &[&'static str] = if set.limits[limit].low {
                            &["out", "in", "low", "high"]
                        } else {
                            &["out", "in", "high"]
                        };
                        Some(If::Limit(limit, words[dice.below(words.len())]))
                    }
                    None if cases > 0 => Some(If::Case(dice.below(cases), dice.percent(70))),
                    None => None,
                };
                let step = &mut set.cards[card].steps[at];
                step.ask = ask;
                if let Some(If::Limit(_, word)) = step.ask
                    && at > 0
                    && word != "in"
                    && dice.percent(35)
                {
                    step.back = Some(at - 1 - dice.below(at.min(3)));
                } else if step.ask.is_some() && dice.percent(12) {
                    step.stop = true;
                }
            }
            for act in &set.cards[card].steps[at].acts {
                if let Act::Measure(
                    At {
                        thing: Thing::Limit(limit),
                        ..
                    },
                    false,
                ) = act
                {
                    measured.push(*limit);
                }
            }
            at += 1;
        }
        // One way back a card, and not into or out of steps for each member.
        let mut one = false;
        for at in 0..set.cards[card].steps.len() {
            if let Some(back) = set.cards[card].steps[at].back {
                let plain = set.cards[card].steps[back..=at]
                    .iter()
                    .all(|step| step.each == Each::No);
                if one || !plain {
                    set.cards[card].steps[at].back = None;
                }
                one |= set.cards[card].steps[at].back.is_some();
            }
        }
    }
}

/// Two or three neighbours become bullets; not on a way back.
fn bullets(set: &mut Set, dice: &mut Dice) {
    for card in &mut set.cards {
        if card.steps.len() < 3 || !dice.percent(60) {
            continue;
        }
        let count = 2 + dice.below(2);
        let first = dice.below(card.steps.len() - count + 1);
        let steps = &card.steps;
        let looped = |at: usize| {
            steps
                .iter()
                .enumerate()
                .any(|(n, step)| step.back.is_some_and(|back| back <= at && at <= n))
        };
        let plain = (first..first + count).all(|at| steps[at].each == Each::No && !looped(at) && !steps[at].stop);
        if plain {
            card.steps[first..first + count]
                .iter_mut()
                .for_each(|step| step.bullet = true);
        }
    }
}
