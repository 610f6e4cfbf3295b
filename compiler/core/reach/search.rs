//! The least that brings a goal about: the fewest acts, of those the cheapest, of those the ones that stand first in the registers.
//!
//! What must be done whatever else is (nothing but it makes true what is asked) and stands in nobody's way is done at once; only where there
//! is a choice are several ways followed, those first that can still turn out least.

use super::problem::{Act, Clause, Literal, Problem, Standing, Stuck, bit, holds};
use rust_decimal::Decimal;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// Acts in an order that works; `least` is false where there were too many ways to try them all.
    Way { acts: Vec<usize>, least: bool },
    /// Nothing brings it about.
    None(Option<Stuck>),
    /// Too many ways to find one.
    TooMany,
}

/// Most ways that are looked at.
const MOST: usize = 20_000;

/// What some acts cost. Compared by their number, then by price, then by the acts themselves: of two that are alike, the one is less whose
/// last act by register stands earlier.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Cost {
    price: Decimal,
    /// Falling.
    acts: Vec<usize>,
}

impl Cost {
    fn with(&self, act: usize, price: Decimal) -> Cost {
        let mut cost = self.clone();
        let at = cost.acts.partition_point(|other| *other > act);
        cost.acts.insert(at, act);
        cost.price = cost.price.saturating_add(price);
        cost
    }
}

impl Ord for Cost {
    fn cmp(&self, other: &Cost) -> Ordering {
        let key = |cost: &Cost| (cost.acts.len(), cost.price);
        key(self).cmp(&key(other)).then_with(|| self.acts.cmp(&other.acts))
    }
}

impl PartialOrd for Cost {
    fn partial_cmp(&self, other: &Cost) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// The least way to a problem's goal.
pub fn least(problem: &Problem) -> Found {
    let (usable, stuck) = problem.outlook();
    if stuck.is_some() {
        return Found::None(stuck);
    }
    let search = Search::new(problem, &usable);
    match search.run(true) {
        Outcome::Found(acts) => Found::Way { acts, least: true },
        Outcome::None => Found::None(None),
        Outcome::TooMany => match search.run(false) {
            Outcome::Found(acts) => Found::Way { acts, least: false },
            Outcome::None => Found::None(None),
            Outcome::TooMany => Found::TooMany,
        },
    }
}

/// Acts that are part of every way to a problem's goal, from its start; none where there is no goal.
pub fn musts(problem: &Problem) -> Vec<usize> {
    let (usable, _) = problem.outlook();
    Search::new(problem, &usable).musts(&problem.start)
}

enum Outcome {
    Found(Vec<usize>),
    None,
    TooMany,
}

struct Search<'a> {
    problem: &'a Problem,
    /// By variable, the acts that could be done and bring it to stand some way.
    bringers: Vec<Vec<usize>>,
}

/// A way under way: what it comes to at least, what it has cost, how far it is and how it came there.
type Open = (Cost, Cost, usize);

struct Node {
    standing: Standing,
    from: Option<(usize, usize)>,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, usable: &[bool]) -> Search<'a> {
        let mut bringers = vec![Vec::new(); problem.start.len()];
        for (index, act) in problem.acts.iter().enumerate() {
            if !usable.get(index).copied().unwrap_or(false) {
                continue;
            }
            for (variable, _) in &act.brings {
                if let Some(all) = bringers.get_mut(*variable).filter(|all| all.last() != Some(&index)) {
                    all.push(index);
                }
            }
        }
        Search { problem, bringers }
    }

    /// Follows ways, the least first; or, without care for that, those nearest to the goal.
    fn run(&self, careful: bool) -> Outcome {
        let mut nodes = vec![Node {
            standing: self.problem.start.clone(),
            from: None,
        }];
        let mut best: BTreeMap<Standing, Cost> = BTreeMap::new();
        let mut open: BTreeSet<Open> = BTreeSet::new();
        open.insert((Cost::default(), Cost::default(), 0));
        best.insert(self.problem.start.clone(), Cost::default());
        while let Some((_, cost, index)) = open.pop_first() {
            let Some(standing) = nodes.get(index).map(|node| node.standing.clone()) else {
                continue;
            };
            if best.get(&standing).is_some_and(|known| *known < cost) {
                continue;
            }
            if self.problem.goal.iter().all(|clause| holds(clause, &standing)) {
                return Outcome::Found(way(&nodes, index));
            }
            if nodes.len() > MOST {
                return Outcome::TooMany;
            }
            let musts = self.musts(&standing);
            for act in self.next(&standing, &musts) {
                let Some(entry) = self.problem.acts.get(act) else {
                    continue;
                };
                let after = entry.done(&standing);
                let cost = cost.with(act, entry.price);
                if best.get(&after).is_some_and(|known| *known <= cost) {
                    continue;
                }
                best.insert(after.clone(), cost.clone());
                let rest = self.musts(&after);
                let at_least = match careful {
                    true => rest.iter().fold(cost.clone(), |sum, act| self.add(sum, *act)),
                    false => rest.iter().fold(Cost::default(), |sum, act| self.add(sum, *act)),
                };
                open.insert((at_least, cost, nodes.len()));
                nodes.push(Node {
                    standing: after,
                    from: Some((index, act)),
                });
            }
        }
        Outcome::None
    }

    fn add(&self, cost: Cost, act: usize) -> Cost {
        let price = self.problem.acts.get(act).map_or(Decimal::ZERO, |act| act.price);
        cost.with(act, price)
    }

    /// What can be done next, without what is certain to lead to nothing better.
    fn next(&self, standing: &[u8], musts: &[usize]) -> Vec<usize> {
        let relevant = self.relevant(standing);
        let acts = &self.problem.acts;
        let can = |act: &usize| acts.get(*act).is_some_and(|act| act.can(standing));
        let free = |act: &usize| {
            acts.get(*act)
                .is_some_and(|one| self.harmless(*act, one, standing, &relevant))
        };
        if let Some(must) = musts.iter().find(|act| can(act) && free(act)) {
            return vec![*must];
        }
        relevant.into_iter().filter(can).collect()
    }

    /// Acts that are part of every way to the goal: each the only one to make true what is asked. What others wait for stands first.
    fn musts(&self, standing: &[u8]) -> Vec<usize> {
        let mut found = Vec::new();
        let mut seen = vec![false; self.problem.acts.len()];
        for clause in self.problem.goal.iter().filter(|clause| !holds(clause, standing)) {
            self.must(clause, standing, &mut seen, &mut found);
        }
        found
    }

    fn must(&self, clause: &Clause, standing: &[u8], seen: &mut [bool], found: &mut Vec<usize>) {
        // Frames on a list of our own: chains of covers may be long.
        let mut stack: Vec<(usize, usize)> = Vec::new();
        stack.extend(self.only_one(clause, seen).map(|act| (act, 0)));
        while let Some((act, next)) = stack.last_mut() {
            let asks = self.problem.acts.get(*act).map_or(&[][..], |act| &act.asks);
            match asks.get(*next) {
                None => {
                    found.push(*act);
                    stack.pop();
                }
                Some(clause) => {
                    *next += 1;
                    if !holds(clause, standing) {
                        let inner = self.only_one(clause, seen);
                        stack.extend(inner.map(|act| (act, 0)));
                    }
                }
            }
        }
    }

    /// The only act that makes a clause hold, if it wasn't met before.
    fn only_one(&self, clause: &Clause, seen: &mut [bool]) -> Option<usize> {
        let begins = |act: &usize| self.problem.acts.get(*act).is_some_and(|act| act.begins(clause));
        let mut all = self.achievers(clause).into_iter().filter(begins);
        let (first, second) = (all.next()?, all.next());
        let new = second.is_none() && !seen.get(first).copied().unwrap_or(true);
        if new && let Some(seen) = seen.get_mut(first) {
            *seen = true;
        }
        new.then_some(first)
    }

    /// The acts that make a clause hold, in order.
    fn achievers(&self, clause: &Clause) -> BTreeSet<usize> {
        let bringers = clause.iter().filter_map(|literal| self.bringers.get(literal.variable));
        let achieves = |act: &&usize| self.problem.acts.get(**act).is_some_and(|act| act.achieves(clause));
        bringers.flatten().filter(achieves).copied().collect()
    }

    /// Acts that can be of use from here on, in order: those that make true what is asked and isn't, or what others of them undo.
    fn relevant(&self, standing: &[u8]) -> Vec<usize> {
        let mut relevant: BTreeSet<usize> = BTreeSet::new();
        let mut asked: Vec<(&Clause, bool)> = self.problem.goal.iter().map(|clause| (clause, false)).collect();
        // By variable, how acts of use may bring it to stand.
        let mut brought = vec![0u128; self.problem.start.len()];
        let undone = |clause: &Clause, brought: &[u128]| {
            let other = |literal: &Literal| {
                brought
                    .get(literal.variable)
                    .is_some_and(|ways| ways & !literal.ways != 0)
            };
            !holds(clause, standing) || clause.iter().any(other)
        };
        let mut more = true;
        while more {
            more = false;
            let mut at = 0;
            while let Some((clause, counted)) = asked.get(at).copied() {
                at += 1;
                if counted || !undone(clause, &brought) {
                    continue;
                }
                if let Some(entry) = asked.get_mut(at - 1) {
                    entry.1 = true;
                }
                more = true;
                for index in self.achievers(clause) {
                    let Some(act) = self.problem.acts.get(index).filter(|_| relevant.insert(index)) else {
                        continue;
                    };
                    asked.extend(act.asks.iter().map(|clause| (clause, false)));
                    for (variable, way) in &act.brings {
                        if let Some(ways) = brought.get_mut(*variable) {
                            *ways |= bit(*way);
                        }
                    }
                }
            }
        }
        relevant.into_iter().collect()
    }

    /// True if doing it now takes nothing from what else is of use: nothing that is asked stops being so, and nobody else brings what it
    /// brings to stand otherwise.
    fn harmless(&self, own: usize, act: &Act, standing: &[u8], relevant: &[usize]) -> bool {
        let others: Vec<&Act> = relevant
            .iter()
            .filter(|other| **other != own)
            .filter_map(|other| self.problem.acts.get(*other))
            .collect();
        let mut asked = others.iter().flat_map(|act| &act.asks).chain(&self.problem.goal);
        let takes = |clause: &Clause| {
            act.brings.iter().any(|(variable, way)| {
                let now = standing.get(*variable).copied().unwrap_or(*way);
                let mut own = clause.iter().filter(|literal| literal.variable == *variable);
                now != *way && own.any(|literal| literal.allows(now) && !literal.allows(*way))
            })
        };
        let other_way = |other: &&&Act| {
            let brings = other.brings.iter();
            brings
                .into_iter()
                .any(|(variable, way)| act.brings.iter().any(|(own, to)| own == variable && to != way))
        };
        !asked.any(takes) && others.iter().find(other_way).is_none()
    }
}

fn way(nodes: &[Node], mut index: usize) -> Vec<usize> {
    let mut acts = Vec::new();
    while let Some((from, act)) = nodes.get(index).and_then(|node| node.from) {
        acts.push(act);
        index = from;
    }
    acts.reverse();
    acts
}
