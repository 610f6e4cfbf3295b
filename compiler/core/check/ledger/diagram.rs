//! Functions of the options, shared: a multi-valued decision diagram whose leaves are numbers.
//!
//! A diagram maps every combination of choices to a number (a state of what is tracked, or 0 and 1 for a condition). Equal parts are one
//! node, so what grows is the number of *different* futures, not the number of combinations: thirty-two options that each fit one more
//! of the same item make some five hundred nodes, not four thousand million.

use crate::check::walk::guard::{Guard, Literal, Variables};
use rustc_hash::{FxHashMap, FxHashSet};
use std::collections::{BTreeMap, BTreeSet};

/// Most nodes that one act may bring. A workshop's set has a few dozen; beyond this the analysis says so and gives up on that one thing.
pub const LIMIT: usize = 100_000;

/// A diagram: a leaf or a node of [`Diagrams`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ref {
    Leaf(u32),
    Node(u32),
}

/// The condition that holds for no choice.
pub const NEVER: Ref = Ref::Leaf(0);
/// The condition that holds for every choice.
pub const ALWAYS: Ref = Ref::Leaf(1);

#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Node {
    pub(super) variable: usize,
    /// One for each value of the variable; not all the same.
    pub(super) children: Vec<Ref>,
}

/// Diagrams that share their nodes.
#[derive(Debug)]
pub struct Diagrams<'a> {
    pub(super) variables: &'a Variables,
    nodes: Vec<Node>,
    known: FxHashMap<Node, u32>,
    pub(super) exhausted: bool,
    /// How many nodes there may be for now.
    ceiling: usize,
    /// Nodes looked at so far, for tests of how the work grows.
    pub(super) visited: usize,
}

impl<'a> Diagrams<'a> {
    pub fn new(variables: &'a Variables) -> Self {
        Diagrams {
            variables,
            nodes: Vec::new(),
            known: FxHashMap::default(),
            exhausted: false,
            ceiling: LIMIT,
            visited: 0,
        }
    }

    /// Begins a piece of work that may bring [`LIMIT`] nodes of its own; says whether the one before it had to be given up.
    pub fn begin(&mut self) -> bool {
        self.ceiling = self.nodes.len() + LIMIT;
        std::mem::take(&mut self.exhausted)
    }

    /// True if [`LIMIT`] was met; what the diagrams say from then on is worth nothing.
    pub fn exhausted(&self) -> bool {
        self.exhausted
    }

    /// Nodes looked at so far.
    pub fn visited(&self) -> usize {
        self.visited
    }

    fn node(&mut self, variable: usize, children: Vec<Ref>) -> Ref {
        let first = children.first().copied().unwrap_or(NEVER);
        if children.iter().all(|c| *c == first) {
            return first;
        }
        let node = Node { variable, children };
        if let Some(index) = self.known.get(&node) {
            return Ref::Node(*index);
        }
        if self.nodes.len() >= self.ceiling {
            self.exhausted = true;
            return NEVER;
        }
        let index = self.nodes.len() as u32;
        self.known.insert(node.clone(), index);
        self.nodes.push(node);
        Ref::Node(index)
    }

    pub(super) fn get(&self, diagram: Ref) -> Option<&Node> {
        match diagram {
            Ref::Leaf(_) => None,
            Ref::Node(index) => self.nodes.get(index as usize),
        }
    }

    /// The condition of a guard.
    pub fn guard(&mut self, guard: &Guard) -> Ref {
        let mut below = ALWAYS;
        for (variable, values) in guard.allowed().rev() {
            let children = (0..self.variables.size(variable))
                .map(|value| if values.contains(&value) { below } else { NEVER })
                .collect();
            below = self.node(variable, children);
        }
        below
    }

    /// Each leaf replaced by what `change` makes of it.
    pub fn map(&mut self, diagram: Ref, change: &mut impl FnMut(u32) -> u32) -> Ref {
        // Most of what is tracked hangs on no choice.
        if let Ref::Leaf(leaf) = diagram {
            self.visited += 1;
            return Ref::Leaf(change(leaf));
        }
        self.map_with(diagram, change, &mut BTreeMap::new())
    }

    fn map_with(&mut self, diagram: Ref, change: &mut impl FnMut(u32) -> u32, done: &mut BTreeMap<Ref, Ref>) -> Ref {
        if let Some(known) = done.get(&diagram) {
            return *known;
        }
        self.visited += 1;
        let result = match (diagram, self.get(diagram).cloned()) {
            (Ref::Leaf(leaf), _) => Ref::Leaf(change(leaf)),
            (Ref::Node(_), None) => NEVER,
            (Ref::Node(_), Some(node)) => {
                let children = node.children.iter().map(|c| self.map_with(*c, change, done)).collect();
                self.node(node.variable, children)
            }
        };
        done.insert(diagram, result);
        result
    }

    /// `yes` where the condition holds, `no` elsewhere.
    pub fn select(&mut self, condition: Ref, yes: Ref, no: Ref) -> Ref {
        self.select_with(condition, yes, no, &mut BTreeMap::new())
    }

    fn select_with(&mut self, condition: Ref, yes: Ref, no: Ref, done: &mut BTreeMap<[Ref; 3], Ref>) -> Ref {
        match condition {
            NEVER => return no,
            Ref::Leaf(_) => return yes,
            Ref::Node(_) if yes == no => return yes,
            Ref::Node(_) => {}
        }
        let key = [condition, yes, no];
        if let Some(known) = done.get(&key) {
            return *known;
        }
        self.visited += 1;
        let Some(variable) = key.iter().filter_map(|r| self.get(*r)).map(|n| n.variable).min() else {
            return yes;
        };
        let mut children = Vec::new();
        for value in 0..self.variables.size(variable) {
            let [condition, yes, no] = key.map(|r| self.child(r, Literal { variable, value }));
            children.push(self.select_with(condition, yes, no, done));
        }
        let result = self.node(variable, children);
        done.insert(key, result);
        result
    }

    /// What is left of a diagram once its first variable, if it is this one, has a value.
    pub(super) fn child(&self, diagram: Ref, literal: Literal) -> Ref {
        match self.get(diagram) {
            Some(node) if node.variable == literal.variable => {
                node.children.get(literal.value).copied().unwrap_or(NEVER)
            }
            _ => diagram,
        }
    }

    /// Both conditions.
    pub fn and(&mut self, one: Ref, other: Ref) -> Ref {
        self.select(one, other, NEVER)
    }

    /// True if some choices meet all of some conditions. Makes no nodes: what is asked of every step of a big set must not cost as much as
    /// it holds.
    pub fn meet(&self, conditions: &[Ref]) -> bool {
        self.meet_with(conditions.to_vec(), &mut FxHashSet::default())
    }

    fn meet_with(&self, mut conditions: Vec<Ref>, apart: &mut FxHashSet<Vec<Ref>>) -> bool {
        if conditions.contains(&NEVER) {
            return false;
        }
        conditions.retain(|condition| matches!(condition, Ref::Node(_)));
        conditions.sort_unstable();
        conditions.dedup();
        // A condition that is a node is met by some choices.
        if conditions.len() < 2 {
            return true;
        }
        if apart.contains(&conditions) {
            return false;
        }
        let variables = conditions.iter().filter_map(|r| self.get(*r)).map(|n| n.variable);
        let Some(variable) = variables.min() else {
            return false;
        };
        let met = (0..self.variables.size(variable)).any(|value| {
            let literal = Literal { variable, value };
            let below = conditions.iter().map(|r| self.child(*r, literal)).collect();
            self.meet_with(below, apart)
        });
        if !met {
            apart.insert(conditions);
        }
        met
    }

    /// The variables that some diagrams depend on.
    pub fn variables(&self, diagrams: impl IntoIterator<Item = Ref>) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut open: Vec<Ref> = diagrams.into_iter().collect();
        let mut seen = FxHashSet::default();
        while let Some(at) = open.pop() {
            if let Some(node) = self.get(at)
                && seen.insert(at)
            {
                found.insert(node.variable);
                open.extend(&node.children);
            }
        }
        found
    }

    /// Either condition, or both.
    pub fn or(&mut self, one: Ref, other: Ref) -> Ref {
        self.select(one, ALWAYS, other)
    }

    /// One condition and not the other.
    pub fn without(&mut self, one: Ref, other: Ref) -> Ref {
        self.select(other, NEVER, one)
    }

    /// What `join` makes of the leaves of two diagrams.
    pub fn combine(&mut self, one: Ref, other: Ref, join: &mut impl FnMut(u32, u32) -> u32) -> Ref {
        self.combine_with(one, other, join, &mut BTreeMap::new())
    }

    fn combine_with(
        &mut self,
        one: Ref,
        other: Ref,
        join: &mut impl FnMut(u32, u32) -> u32,
        done: &mut BTreeMap<[Ref; 2], Ref>,
    ) -> Ref {
        if let (Ref::Leaf(a), Ref::Leaf(b)) = (one, other) {
            return Ref::Leaf(join(a, b));
        }
        let key = [one, other];
        if let Some(known) = done.get(&key) {
            return *known;
        }
        self.visited += 1;
        let Some(variable) = key.iter().filter_map(|r| self.get(*r)).map(|n| n.variable).min() else {
            return NEVER;
        };
        let mut children = Vec::new();
        for value in 0..self.variables.size(variable) {
            let [a, b] = key.map(|r| self.child(r, Literal { variable, value }));
            children.push(self.combine_with(a, b, join, done));
        }
        let result = self.node(variable, children);
        done.insert(key, result);
        result
    }

    /// A diagram that depends on one variable: a leaf for each of its values.
    pub fn of_variable(&mut self, variable: usize, leaves: &[u32]) -> Ref {
        let children = leaves.iter().map(|leaf| Ref::Leaf(*leaf)).collect();
        self.node(variable, children)
    }

    /// True where some values of these variables make a condition true.
    pub fn exists_of(&mut self, condition: Ref, variables: &BTreeSet<usize>) -> Ref {
        self.exists_with(condition, variables, &mut BTreeMap::new())
    }

    fn exists_with(&mut self, condition: Ref, free: &BTreeSet<usize>, done: &mut BTreeMap<Ref, Ref>) -> Ref {
        let Some(node) = self.get(condition).cloned() else {
            return condition;
        };
        if let Some(known) = done.get(&condition) {
            return *known;
        }
        self.visited += 1;
        let children: Vec<Ref> = node
            .children
            .iter()
            .map(|child| self.exists_with(*child, free, done))
            .collect();
        let result = if free.contains(&node.variable) {
            children.into_iter().fold(NEVER, |sum, child| self.or(sum, child))
        } else {
            self.node(node.variable, children)
        };
        done.insert(condition, result);
        result
    }

    /// The leaf of a diagram under some values; where a variable has none, its first.
    pub fn leaf(&self, diagram: Ref, values: &BTreeMap<usize, usize>) -> u32 {
        let mut at = diagram;
        loop {
            match (at, self.get(at)) {
                (Ref::Leaf(leaf), _) => return leaf,
                (Ref::Node(_), None) => return 0,
                (Ref::Node(_), Some(node)) => {
                    let value = values.get(&node.variable).copied().unwrap_or(0);
                    at = node.children.get(value).copied().unwrap_or(NEVER);
                }
            }
        }
    }

    /// Values that make a condition true, as near as can be to those that are liked; `None` if nothing does.
    pub fn some_values(&self, condition: Ref, liked: &BTreeMap<usize, usize>) -> Option<BTreeMap<usize, usize>> {
        let mut values = liked.clone();
        let mut at = condition;
        while let Some(node) = self.get(at) {
            let first = values.get(&node.variable).copied().unwrap_or(0);
            let order = std::iter::once(first).chain(0..node.children.len());
            let (value, child) = order
                .filter_map(|value| Some((value, *node.children.get(value)?)))
                .find(|(_, child)| *child != NEVER)?;
            values.insert(node.variable, value);
            at = child;
        }
        (at != NEVER).then_some(values)
    }

    /// The condition that some variables have some values.
    pub fn cube(&mut self, literals: &[Literal]) -> Ref {
        let mut below = ALWAYS;
        let mut sorted = literals.to_vec();
        sorted.sort();
        for literal in sorted.into_iter().rev() {
            let children = (0..self.variables.size(literal.variable))
                .map(|value| if value == literal.value { below } else { NEVER })
                .collect();
            below = self.node(literal.variable, children);
        }
        below
    }

    /// The opposite condition.
    pub fn not(&mut self, condition: Ref) -> Ref {
        self.select(condition, NEVER, ALWAYS)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::chance::chance;

    const VARIABLES: usize = 4;
    const VALUES: usize = 3;

    fn variables() -> Variables {
        let mut variables = Variables::default();
        for n in 0..VARIABLES {
            variables.answer(format!("a{n}"), ["no", "yes", "perhaps"].map(str::to_string).to_vec());
        }
        variables
    }

    fn literals(of: &BTreeMap<usize, usize>) -> Vec<Literal> {
        let literal = |(variable, value): (&usize, &usize)| Literal {
            variable: *variable,
            value: *value,
        };
        of.iter().map(literal).collect()
    }

    /// Any of a few sets of choices.
    fn any_of_some(diagrams: &mut Diagrams, next: &mut impl FnMut(usize) -> usize) -> Ref {
        (0..2 + next(4)).fold(NEVER, |all, _| {
            let one: BTreeMap<usize, usize> = (0..1 + next(3)).map(|_| (next(VARIABLES), next(VALUES))).collect();
            let cube = diagrams.cube(&literals(&one));
            diagrams.or(all, cube)
        })
    }

    /// With no room for another node the fewest choices can't be found; what is told instead is enough, and all of it is needed.
    #[test]
    fn where_room_runs_out_choices_are_told_of_which_none_can_be_left_out() {
        let variables = variables();
        let mut next = chance(11);
        let mut lengths = [0; VARIABLES + 1];
        for _ in 0..1000 {
            let mut diagrams = Diagrams::new(&variables);
            let condition = any_of_some(&mut diagrams, &mut next);
            let care = any_of_some(&mut diagrams, &mut next);
            let some_way = diagrams.and(condition, care);
            for way in [ALWAYS, some_way] {
                diagrams.ceiling = diagrams.nodes.len();
                let found = diagrams.fewest_choices_meeting(condition, way);
                let gave_up = diagrams.exhausted();
                assert_eq!(diagrams.begin(), gave_up);
                assert!(!diagrams.exhausted() && !diagrams.begin());
                if !gave_up {
                    continue;
                }
                let told_of = if way == ALWAYS { condition } else { way };
                let Some(found) = found else {
                    assert_eq!(told_of, NEVER);
                    continue;
                };
                let mut brings_about = |choices: &[Literal]| {
                    let cube = diagrams.cube(choices);
                    diagrams.without(cube, told_of) == NEVER
                };
                assert!(brings_about(&found), "{found:?}");
                for left_out in 0..found.len() {
                    let mut fewer = found.clone();
                    fewer.remove(left_out);
                    assert!(!brings_about(&fewer), "{found:?} without {left_out}");
                }
                lengths[found.len()] += 1;
            }
        }
        assert!(lengths[1..].iter().all(|count| *count > 0), "{lengths:?}");
    }
}
