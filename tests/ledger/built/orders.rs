//! Every combination of options and every order that a set allows.

use super::set::{Each, Set, Step};
use super::world::meets;

/// A step to be done, for one member or for all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop {
    pub card: usize,
    pub step: usize,
    pub member: Option<usize>,
}

/// One order of all steps, card after card.
pub type Order = Vec<Vec<Stop>>;

/// Combinations of choices that are allowed; none for an option that isn't asked.
pub fn combinations(set: &Set) -> Vec<Vec<Option<usize>>> {
    let mut all: Vec<Vec<Option<usize>>> = vec![Vec::new()];
    for option in &set.options {
        let mut next = Vec::new();
        for before in all {
            if meets(&before, &option.only) {
                for value in 0..option.values {
                    let mut with = before.clone();
                    with.push(Some(value));
                    next.push(with);
                }
            } else {
                let mut with = before.clone();
                with.push(None);
                next.push(with);
            }
        }
        all = next;
    }
    let ruled_out = |combination: &Vec<Option<usize>>| {
        set.never
            .iter()
            .any(|pairs| pairs.iter().all(|(option, value)| combination[*option] == Some(*value)))
    };
    all.retain(|combination| !ruled_out(combination));
    all
}

fn permutations<T: Clone>(of: &[T]) -> Vec<Vec<T>> {
    if of.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for first in 0..of.len() {
        let mut rest = of.to_vec();
        let it = rest.remove(first);
        for mut tail in permutations(&rest) {
            tail.insert(0, it.clone());
            all.push(tail);
        }
    }
    all
}

/// The orders of one card's steps; as written first.
fn card_orders(set: &Set, card: usize, all_by_member: bool) -> Vec<Vec<Stop>> {
    let steps = &set.cards[card].steps;
    let mut orders: Vec<Vec<Stop>> = vec![Vec::new()];
    let mut at = 0;
    while at < steps.len() {
        let alike = |other: &&Step| !other.phase && other.bullet == steps[at].bullet && other.each == steps[at].each;
        let length = 1 + steps[at + 1..].iter().take_while(alike).count();
        let block: Vec<usize> = (at..at + length).collect();
        let stop = |step: usize, member: Option<usize>| Stop { card, step, member };
        let members: Vec<usize> = (0..set.members).collect();
        let by_member = |block: &[usize]| -> Vec<Stop> {
            members
                .iter()
                .flat_map(|m| block.iter().map(|s| stop(*s, Some(*m))).collect::<Vec<_>>())
                .collect()
        };
        let by_step = |block: &[usize]| -> Vec<Stop> {
            block
                .iter()
                .flat_map(|s| members.iter().map(|m| stop(*s, Some(*m))).collect::<Vec<_>>())
                .collect()
        };
        let ways: Vec<Vec<Stop>> = match (steps[at].each, steps[at].bullet) {
            (Each::Turn, _) => vec![by_member(&block)],
            (Each::Side, _) if all_by_member => vec![by_member(&block)],
            (Each::Side, _) => vec![by_step(&block)],
            (Each::No, false) => vec![block.iter().map(|s| stop(*s, None)).collect()],
            (Each::No, true) => permutations(&block)
                .into_iter()
                .map(|order| order.into_iter().map(|s| stop(s, None)).collect())
                .collect(),
        };
        orders = orders
            .iter()
            .flat_map(|before| {
                ways.iter()
                    .map(|way| [before.clone(), way.clone()].concat())
                    .collect::<Vec<_>>()
            })
            .collect();
        at += length;
    }
    orders
}

/// Every order that a set allows; the written one first.
pub fn orders(set: &Set) -> Vec<Order> {
    // Cards that `procedures` names stand before the files beside the set.
    let mut cards: Vec<usize> = (0..set.cards.len()).collect();
    cards.sort_by_key(|card| !set.cards[*card].shared);
    let follows = |order: &Vec<usize>| {
        order
            .iter()
            .enumerate()
            .all(|(n, card)| set.cards[*card].after.iter().all(|it| order[..n].contains(it)))
    };
    let side = set
        .cards
        .iter()
        .flat_map(|card| &card.steps)
        .any(|step| step.each == Each::Side);
    let mut all = Vec::new();
    for order in permutations(&cards).into_iter().filter(follows) {
        // Side by side, or member by member throughout.
        for by_member in [false, true].into_iter().take(1 + usize::from(side)) {
            let mut with: Vec<Order> = vec![Vec::new()];
            for card in &order {
                let ways = card_orders(set, *card, by_member);
                with = with
                    .iter()
                    .flat_map(|before| {
                        let one = |way: &Vec<Stop>| [before.clone(), vec![way.clone()]].concat();
                        ways.iter().map(one).collect::<Vec<_>>()
                    })
                    .collect();
            }
            all.extend(with);
        }
    }
    all
}
