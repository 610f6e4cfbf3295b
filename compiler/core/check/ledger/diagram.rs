//! Functions of the options, shared: a multi-valued decision diagram whose leaves are numbers.
//!
//! A diagram maps every combination of choices to a number (a state of what is tracked, or 0 and 1 for a condition). Equal parts are one
//! node, so what grows is the number of *different* futures, not the number of combinations: thirty-two options that each fit one more
//! of the same item make some five hundred nodes, not four thousand million.

use crate::check::walk::guard::{Guard, Literal, Variables};
use std::collections::{BTreeMap, BTreeSet};

/// Most nodes one diagram may have. A workshop's set has a few dozen; beyond this the analysis says so and gives up on that one thing.
pub const LIMIT: usize = 100_000;

/// A diagram: a leaf or a node of [`Diagrams`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ref {
    Leaf(u32),
    Node(u32),
}

/// The condition that holds for no choice.
pub const NEVER: Ref = Ref::Leaf(0);
/// The condition that holds for every choice.
pub const ALWAYS: Ref = Ref::Leaf(1);

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Node {
    variable: usize,
    /// One for each value of the variable; not all the same.
    children: Vec<Ref>,
}

/// Diagrams that share their nodes.
#[derive(Debug)]
pub struct Diagrams<'a> {
    variables: &'a Variables,
    nodes: Vec<Node>,
    known: BTreeMap<Node, u32>,
    exhausted: bool,
    /// Nodes looked at so far, for tests of how the work grows.
    visited: usize,
}

impl<'a> Diagrams<'a> {
    pub fn new(variables: &'a Variables) -> Self {
        Diagrams {
            variables,
            nodes: Vec::new(),
            known: BTreeMap::new(),
            exhausted: false,
            visited: 0,
        }
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
        if self.nodes.len() >= LIMIT {
            self.exhausted = true;
            return NEVER;
        }
        let index = self.nodes.len() as u32;
        self.known.insert(node.clone(), index);
        self.nodes.push(node);
        Ref::Node(index)
    }

    fn get(&self, diagram: Ref) -> Option<&Node> {
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
    fn child(&self, diagram: Ref, literal: Literal) -> Ref {
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

    /// The opposite condition.
    pub fn not(&mut self, condition: Ref) -> Ref {
        self.select(condition, NEVER, ALWAYS)
    }

    /// The fewest choices that bring a condition about whatever else is chosen; of several such, the first in the order of options and
    /// values. `None` if nothing brings it about.
    ///
    /// Where finding the fewest would take too long, the answer is one from which no choice can be left out.
    pub fn fewest_choices(&mut self, condition: Ref) -> Option<Vec<Literal>> {
        let before = self.exhausted;
        let best = self.fewest(condition, &mut BTreeMap::new());
        if self.exhausted && !before {
            return self.some_choices(condition);
        }
        best
    }

    fn fewest(&mut self, condition: Ref, done: &mut BTreeMap<Ref, Option<Vec<Literal>>>) -> Option<Vec<Literal>> {
        match condition {
            NEVER => return None,
            Ref::Leaf(_) => return Some(Vec::new()),
            Ref::Node(_) if self.exhausted => return None,
            Ref::Node(_) => {}
        }
        if let Some(known) = done.get(&condition) {
            return known.clone();
        }
        self.visited += 1;
        let node = self.get(condition).cloned()?;
        // Without a choice of this option the condition must hold for each of its values.
        let mut every = ALWAYS;
        for child in &node.children {
            every = self.and(every, *child);
        }
        let mut best = self.fewest(every, done);
        for (value, child) in node.children.iter().enumerate() {
            let Some(rest) = self.fewest(*child, done) else {
                continue;
            };
            let variable = node.variable;
            let found: Vec<Literal> = std::iter::once(Literal { variable, value }).chain(rest).collect();
            if best.as_ref().is_none_or(|b| (found.len(), &found) < (b.len(), b)) {
                best = Some(found);
            }
        }
        done.insert(condition, best.clone());
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
    pub fn brings_about(&self, choices: &[Literal], condition: Ref) -> bool {
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
