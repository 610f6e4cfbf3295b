//! The fewest choices that bring something about: what a finding names.

use super::diagram::{ALWAYS, Diagrams, NEVER, Ref};
use crate::check::walk::guard::Literal;
use std::collections::{BTreeMap, BTreeSet};

/// Most nodes that are looked at for one finding: what is put together from few nodes may have very many parts.
const LOOKED: usize = 500_000;

/// A search for the fewest choices.
struct Search {
    /// By a condition and what choices for it must leave possible: the fewest that there are.
    known: BTreeMap<[Ref; 2], Option<Vec<Literal>>>,
    /// How many nodes may have been looked at when it is given up.
    most: usize,
}

impl Diagrams<'_> {
    /// The fewest choices that bring a condition about whatever else is chosen; of several such, the first in the order of options and
    /// values. `None` if nothing brings it about.
    ///
    /// Where finding the fewest would take too long, the answer is one from which no choice can be left out.
    pub fn fewest_choices(&mut self, condition: Ref) -> Option<Vec<Literal>> {
        self.fewest_choices_meeting(condition, ALWAYS)
    }

    /// The same among those choices that some way has on which another condition holds as well, which brings the first about.
    pub fn fewest_choices_meeting(&mut self, condition: Ref, way: Ref) -> Option<Vec<Literal>> {
        let before = self.exhausted;
        let most = self.visited + LOOKED;
        let search = || Search {
            known: BTreeMap::new(),
            most,
        };
        // Most often the fewest of all leave a way, and what leaves one need not be followed.
        let mut best = self.fewest(condition, ALWAYS, &mut search());
        if way != ALWAYS && !self.exhausted {
            let cube = best.as_ref().map_or(NEVER, |best| self.cube(best));
            if !self.meet(&[cube, way]) {
                best = self.fewest(condition, way, &mut search());
            }
        }
        if self.exhausted && !before {
            let some = if way == ALWAYS { condition } else { way };
            return self.some_choices(some);
        }
        best
    }

    fn fewest(&mut self, condition: Ref, way: Ref, search: &mut Search) -> Option<Vec<Literal>> {
        match (condition, way) {
            (NEVER, _) | (_, NEVER) => return None,
            (Ref::Leaf(_), _) => return Some(Vec::new()),
            (Ref::Node(_), _) if self.exhausted => return None,
            (Ref::Node(_), _) => {}
        }
        let key = [condition, way];
        if let Some(known) = search.known.get(&key) {
            return known.clone();
        }
        if self.visited > search.most {
            self.exhausted = true;
            return None;
        }
        self.visited += 1;
        let variable = key
            .iter()
            .filter_map(|r| self.get(*r))
            .map(|node| node.variable)
            .min()?;
        let asks = self.get(condition).is_some_and(|node| node.variable == variable);
        // Without a choice of this option the condition must hold for each of its values, and some of them must leave a way.
        let (mut every, mut any) = (ALWAYS, NEVER);
        let mut below = Vec::new();
        for value in 0..self.variables.size(variable) {
            let [condition, way] = key.map(|r| self.child(r, Literal { variable, value }));
            below.push((condition, way));
            every = self.and(every, condition);
            any = self.or(any, way);
        }
        let mut best = self.fewest(every, any, search);
        // To choose what the condition doesn't ask for makes nothing easier.
        for (value, (condition, way)) in below.into_iter().enumerate().filter(|_| asks) {
            let Some(rest) = self.fewest(condition, way, search) else {
                continue;
            };
            let found: Vec<Literal> = std::iter::once(Literal { variable, value }).chain(rest).collect();
            if best.as_ref().is_none_or(|b| (found.len(), &found) < (b.len(), b)) {
                best = Some(found);
            }
        }
        search.known.insert(key, best.clone());
        best
    }

    /// Choices that bring a condition about, none of which can be left out.
    fn some_choices(&self, condition: Ref) -> Option<Vec<Literal>> {
        let mut choices = Vec::new();
        let mut at = condition;
        while let Some(node) = self.get(at) {
            let (value, child) = node.children.iter().enumerate().find(|(_, c)| **c != NEVER)?;
            choices.push(Literal {
                variable: node.variable,
                value,
            });
            at = *child;
        }
        if at == NEVER {
            return None;
        }
        let mut index = 0;
        while index < choices.len() {
            let mut fewer = choices.clone();
            fewer.remove(index);
            if self.brings_about(&fewer, condition) {
                choices = fewer;
            } else {
                index += 1;
            }
        }
        Some(choices)
    }

    /// True if a condition holds for every combination that has these choices.
    fn brings_about(&self, choices: &[Literal], condition: Ref) -> bool {
        let chosen: BTreeMap<usize, usize> = choices.iter().map(|l| (l.variable, l.value)).collect();
        let mut open = vec![condition];
        let mut seen = BTreeSet::new();
        while let Some(at) = open.pop() {
            if at == NEVER {
                return false;
            }
            let Some(node) = self.get(at).filter(|_| seen.insert(at)) else {
                continue;
            };
            match chosen.get(&node.variable) {
                Some(value) => open.push(node.children.get(*value).copied().unwrap_or(NEVER)),
                None => open.extend(&node.children),
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::chance::chance;
    use crate::check::walk::guard::Variables;

    const VARIABLES: usize = 4;
    const VALUES: usize = 3;

    /// What trying every choice gives: none that is shorter leaves a way and brings it about.
    #[test]
    fn none_are_fewer() {
        let mut next = chance(5);
        let mut variables = Variables::default();
        for n in 0..VARIABLES {
            variables.answer(format!("a{n}"), ["no", "yes", "perhaps"].map(str::to_string).to_vec());
        }
        let mut lengths = [0; VARIABLES + 1];
        for _ in 0..300 {
            let mut diagrams = Diagrams::new(&variables);
            let mut some = |diagrams: &mut Diagrams| {
                let mut all = NEVER;
                for _ in 0..1 + next(4) {
                    let one: BTreeMap<usize, usize> =
                        (0..1 + next(3)).map(|_| (next(VARIABLES), next(VALUES))).collect();
                    let cube = cube(diagrams, &one);
                    all = diagrams.or(all, cube);
                }
                all
            };
            // As a finding has it: what is so, on ways that there are or anywhere.
            let (any, care) = (some(&mut diagrams), some(&mut diagrams));
            let way = diagrams.and(any, care);
            let free = diagrams.not(care);
            let condition = diagrams.or(any, free);
            let found = diagrams.fewest_choices_meeting(condition, way);
            let mut best: Option<Vec<Literal>> = None;
            for number in 0..(VALUES + 1).pow(VARIABLES as u32) {
                let value = |variable: usize| number / (VALUES + 1).pow(variable as u32) % (VALUES + 1);
                let one = (0..VARIABLES).filter(|n| value(*n) < VALUES).map(|n| (n, value(n)));
                let one: BTreeMap<usize, usize> = one.collect();
                let cube = cube(&mut diagrams, &one);
                if diagrams.without(cube, condition) != NEVER || diagrams.and(cube, way) == NEVER {
                    continue;
                }
                let one = literals(&one);
                if best.as_ref().is_none_or(|best| (one.len(), &one) < (best.len(), best)) {
                    best = Some(one);
                }
            }
            assert_eq!(found, best);
            lengths[best.map_or(VARIABLES, |best| best.len())] += 1;
        }
        assert!(lengths.iter().all(|count| *count > 3), "{lengths:?}");
    }

    fn literals(of: &BTreeMap<usize, usize>) -> Vec<Literal> {
        of.iter()
            .map(|(variable, value)| Literal {
                variable: *variable,
                value: *value,
            })
            .collect()
    }

    fn cube(diagrams: &mut Diagrams, of: &BTreeMap<usize, usize>) -> Ref {
        diagrams.cube(&literals(of))
    }
}
