//! Two joints at a time, one of which cures while the bead of the other is open: random steps alone hardly ever come to that.

use super::dice::Dice;
use super::made::{Features, only};
use super::set::{Act, At, Consumable, Joint, Set, Step, Thing, Ties};

/// Some sets end a card with work on two joints. The dice are its own, so that all else of a set stays as it was.
pub fn beads(set: &mut Set, dice: &mut Dice, features: Features) {
    // Some cures are over before a bead is dry.
    for it in set.consumables.iter_mut().filter(|it| it.cure.is_some()) {
        it.cure = Some([3, 6, 120][dice.below(3)]);
    }
    if !features.joints || !dice.percent(50) {
        return;
    }
    while beaded(set).len() < 2 {
        add(set, dice);
    }
    let mut joints = beaded(set);
    let (first, a) = joints.remove(dice.below(joints.len()));
    let (second, b) = joints.remove(dice.below(joints.len()));
    let on = |joint: usize| At {
        thing: Thing::Joint(joint),
        member: None,
    };
    let mut acts = vec![opens(set, first), opens(set, second)];
    acts.extend([Act::UseOn(a, on(first)), Act::UseOn(b, on(second))]);
    acts.extend(closes(set, first, dice));
    acts.push(Act::Wait(a));
    acts.extend(closes(set, second, dice));
    acts.push(Act::Wait(b));
    if dice.percent(40) {
        let at = dice.below(acts.len() - 1);
        acts.swap(at, at + 1);
    }
    if dice.percent(20) {
        acts.remove(dice.below(acts.len()));
    }
    let mut steps: Vec<Step> = acts.into_iter().map(|act| step(act, set, dice, features)).collect();
    if features.orders && dice.percent(50) {
        // The first stands apart from bullets before it.
        let at = 1 + dice.below(steps.len() - 3);
        steps[at..at + 2].iter_mut().for_each(|step| step.bullet = true);
    }
    let card = dice.below(set.cards.len());
    set.cards[card].steps.extend(steps);
}

/// Joints that take a consumable, with that.
fn beaded(set: &Set) -> Vec<(usize, usize)> {
    let of = |(n, joint): (usize, &Joint)| {
        joint.takes.iter().find_map(|thing| match thing {
            Thing::Consumable(consumable) => Some((n, *consumable)),
            _ => None,
        })
    };
    set.joints.iter().enumerate().filter_map(of).collect()
}

fn add(set: &mut Set, dice: &mut Dice) {
    set.consumables.push(Consumable {
        open: dice.percent(70).then(|| 3 + dice.below(8) as u64),
        cure: dice.percent(70).then(|| [3, 6, 120][dice.below(3)]),
    });
    let torque = dice.below(set.torques.len());
    set.torques[torque].ties.only.clear();
    set.joints.push(Joint {
        takes: vec![Thing::Consumable(set.consumables.len() - 1)],
        closed_by: Thing::Torque(torque),
        ties: Ties::default(),
    });
}

fn opens(set: &Set, joint: usize) -> Act {
    let thing = set.joints[joint].closed_by;
    let at = At { thing, member: None };
    match thing {
        Thing::Part(_) => Act::Remove(at, None),
        _ => Act::Loosen(at),
    }
}

/// All that closes a joint at once, or member by member.
fn closes(set: &Set, joint: usize, dice: &mut Dice) -> Vec<Act> {
    let thing = set.joints[joint].closed_by;
    let members = match set.is_each(thing) && dice.percent(50) {
        true => (0..set.members).map(Some).collect(),
        false => vec![None],
    };
    let close = |member: Option<usize>| match thing {
        Thing::Part(_) => Act::Fit(At { thing, member }, None),
        _ => Act::Tighten(At { thing, member }),
    };
    members.into_iter().map(close).collect()
}

fn step(act: Act, set: &Set, dice: &mut Dice, features: Features) -> Step {
    Step {
        acts: vec![act],
        only: match features.options && dice.percent(15) {
            true => only(set, dice),
            false => Vec::new(),
        },
        minutes: dice.percent(90).then(|| dice.below(3) as u64),
        ..Step::default()
    }
}
