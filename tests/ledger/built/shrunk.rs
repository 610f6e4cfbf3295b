//! A disagreement made small: what can be left out while one stays is left out.

use super::report::differences;
use super::set::{Set, Ties};

/// The kind of a disagreement: missed or false, and its code.
fn kinds(set: &Set) -> Vec<String> {
    let kind = |line: &String| line.split("what:").next().unwrap_or("").to_string();
    match differences(set) {
        Ok(lines) => lines.iter().map(kind).collect(),
        Err(error) => vec![format!("! {}", error.split(':').next().unwrap_or(""))],
    }
}

pub fn shrunk(set: &Set) -> Set {
    let Some(first) = kinds(set).first().cloned() else {
        return set.clone();
    };
    let mut best = set.clone();
    loop {
        let smaller = smaller(&best)
            .into_iter()
            .find(|smaller| kinds(smaller).contains(&first));
        match smaller {
            Some(smaller) => best = smaller,
            None => return best,
        }
    }
}

fn with(set: &Set, change: impl FnOnce(&mut Set)) -> Set {
    let mut set = set.clone();
    change(&mut set);
    set
}

fn without<T: Clone>(list: &[T]) -> Vec<Vec<T>> {
    let drop = |n: usize| {
        let mut list = list.to_vec();
        list.remove(n);
        list
    };
    (0..list.len()).map(drop).collect()
}

fn smaller_ties(ties: &Ties) -> Vec<Ties> {
    let mut all = Vec::new();
    let mut add = |ties: Ties| all.push(ties);
    for secures in without(&ties.secures) {
        add(Ties {
            secures,
            ..ties.clone()
        });
    }
    for covers in without(&ties.covers) {
        add(Ties { covers, ..ties.clone() });
    }
    for contains in without(&ties.contains) {
        add(Ties {
            contains,
            ..ties.clone()
        });
    }
    for needs in without(&ties.needs) {
        add(Ties { needs, ..ties.clone() });
    }
    for never_with in without(&ties.never_with) {
        add(Ties {
            never_with,
            ..ties.clone()
        });
    }
    for to_fit in without(&ties.to_fit) {
        add(Ties { to_fit, ..ties.clone() });
    }
    for to_remove in without(&ties.to_remove) {
        add(Ties {
            to_remove,
            ..ties.clone()
        });
    }
    for to_tighten in without(&ties.to_tighten) {
        add(Ties {
            to_tighten,
            ..ties.clone()
        });
    }
    for only in without(&ties.only) {
        add(Ties { only, ..ties.clone() });
    }
    if ties.each {
        add(Ties {
            each: false,
            ..ties.clone()
        });
    }
    all
}

/// Everything that is one thing less.
fn smaller(set: &Set) -> Vec<Set> {
    let mut all = Vec::new();
    for card in 0..set.cards.len() {
        if card + 1 == set.cards.len() && card > 0 {
            all.push(with(set, |set| {
                set.cards.pop();
            }));
        }
        for step in (0..set.cards[card].steps.len()).rev() {
            if set.cards[card].steps.len() > 1
                && set.cards[card].steps.iter().all(|it| it.back.is_none_or(|b| b < step))
            {
                all.push(with(set, |set| {
                    set.cards[card].steps.remove(step);
                }));
            }
            let it = &set.cards[card].steps[step];
            for acts in without(&it.acts) {
                all.push(with(set, |set| set.cards[card].steps[step].acts = acts));
            }
            for only in without(&it.only) {
                all.push(with(set, |set| set.cards[card].steps[step].only = only));
            }
            if it.back.is_some() {
                all.push(with(set, |set| set.cards[card].steps[step].back = None));
            } else if it.ask.is_some() {
                all.push(with(set, |set| set.cards[card].steps[step].ask = None));
            }
            if it.stop {
                all.push(with(set, |set| set.cards[card].steps[step].stop = false));
            }
            if it.bullet {
                all.push(with(set, |set| set.cards[card].steps[step].bullet = false));
            }
            if it.each != super::set::Each::No {
                all.push(with(set, |set| set.cards[card].steps[step].each = super::set::Each::No));
            }
        }
        if !set.cards[card].only.is_empty() {
            all.push(with(set, |set| set.cards[card].only.clear()));
        }
        if set.cards[card].shared {
            all.push(with(set, |set| set.cards[card].shared = false));
        }
    }
    for thing in set.tied() {
        let ties = set.ties(thing).cloned().unwrap_or_default();
        for ties in smaller_ties(&ties) {
            all.push(with(set, |set| {
                if let Some(old) = set.ties_mut(thing) {
                    *old = ties;
                }
            }));
        }
    }
    for n in 0..set.parts.len() {
        let part = set.parts[n].clone();
        let mut less = vec![part.clone(); 7];
        less[0].finish = None;
        less[1].single = false;
        less[2].marked = false;
        less[3].renew = false;
        less[4].spares = 0;
        less[5].qty = 1;
        less[6].replaces = None;
        all.extend(
            less.into_iter()
                .filter(|it| *it != part)
                .map(|it| with(set, |set| set.parts[n] = it)),
        );
    }
    for n in 0..set.torques.len() {
        let torque = set.torques[n].clone();
        let mut less = vec![torque.clone(); 3];
        less[0].part = None;
        less[1].lubricant = None;
        less[2].single = false;
        all.extend(
            less.into_iter()
                .filter(|it| *it != torque)
                .map(|it| with(set, |set| set.torques[n] = it)),
        );
    }
    for n in 0..set.items.len() {
        let item = set.items[n].clone();
        let mut less = vec![item.clone(); 3];
        less[0].keeps.clear();
        less[1].perilous = false;
        less[2].qty = 1;
        all.extend(
            less.into_iter()
                .filter(|it| *it != item)
                .map(|it| with(set, |set| set.items[n] = it)),
        );
    }
    for n in 0..set.states.len() {
        let state = set.states[n].clone();
        let mut less = vec![state.clone(); 3];
        less[0].finish = None;
        less[1].perilous.clear();
        less[2].each = false;
        all.extend(
            less.into_iter()
                .filter(|it| *it != state)
                .map(|it| with(set, |set| set.states[n] = it)),
        );
    }
    for n in 0..set.actions.len() {
        if set.actions[n].sets.is_some() {
            all.push(with(set, |set| set.actions[n].sets = None));
        }
    }
    for never in without(&set.never) {
        all.push(with(set, |set| set.never = never));
    }
    let used = |joint: usize| {
        let named = super::set::Thing::Joint(joint);
        set.tied().iter().any(|thing| {
            set.ties(*thing)
                .is_some_and(|ties| ties.needs.contains(&super::set::Ask::Is(named)))
        })
    };
    let last = set.joints.len().wrapping_sub(1);
    let acted = set
        .cards
        .iter()
        .flat_map(|card| &card.steps)
        .flat_map(|step| &step.acts)
        .any(|act| matches!(act, super::set::Act::UseOn(_, at) if at.thing == super::set::Thing::Joint(last)));
    if !set.joints.is_empty() && !used(last) && !acted {
        all.push(with(set, |set| {
            set.joints.pop();
        }));
    }
    all
}
