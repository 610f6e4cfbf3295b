//! What helps either way: temporary items, actions, states and readings.

use super::super::problem::{Clause, Literal, bit};
use super::{Deed, Machine, Thing, needs, value};
use crate::check::machine::Node;
use crate::model::registers::{Action, State, Temporary};
use crate::model::{Entity, Handle, handle};
use rust_decimal::Decimal;
use std::collections::BTreeSet;

impl Machine<'_> {
    /// What helps either way: temporary items, actions, states and readings.
    pub(super) fn helpers(&mut self) {
        let set = self.shape.set;
        let items = self.shape.temporary().into_iter();
        let items: Vec<Node> = items.filter(|item| self.there(item.entity)).collect();
        for item in &items {
            let mut asks = vec![vec![self.is(Thing::Temporary(*item), 0)]];
            asks.extend(self.open(*item));
            self.asks(*item, &[needs, |ties| &ties.to_fit], &mut asks);
            for (state, values) in &self.shape.ties(item.entity).keeps {
                for node in self.shape.members(&[state.entity()], None, self.shape.turn(*item)) {
                    let ways = values.iter().fold(bit(0), |ways, index| ways | bit(value(*index)));
                    let variable = self.variable(Thing::State(node));
                    asks.push(vec![Literal { variable, ways }]);
                }
            }
            let on = self.variable(Thing::Temporary(*item));
            self.add(Deed::Put(*item), asks, vec![(on, 1)], Decimal::ZERO);
        }
        for item in items {
            let mut asks = vec![vec![self.is(Thing::Temporary(item), 1)]];
            asks.extend(self.open(item));
            self.asks(item, &[needs, |ties| &ties.to_remove], &mut asks);
            let on = self.variable(Thing::Temporary(item));
            self.add(Deed::Take(item), asks, vec![(on, 0)], Decimal::ZERO);
        }
        let mut by_action: BTreeSet<(Entity, usize)> = BTreeSet::new();
        for (action, _) in set.catalogue.actions.iter() {
            let links = set.links.actions.get(&action);
            let sets: Vec<(Handle<State>, usize)> = links.map_or_else(Vec::new, |links| links.sets.clone());
            by_action.extend(sets.iter().map(|(state, value)| (state.entity(), *value)));
            self.action(action, &sets);
        }
        for (state, entry) in set.catalogue.states.iter() {
            for index in 0..entry.value.values.len() {
                if !by_action.contains(&(state.entity(), index)) {
                    let (mut asks, mut brings) = (Vec::new(), Vec::new());
                    self.sets(state, index, &mut asks, &mut brings);
                    let deed = Deed::Set(state.entity(), index);
                    self.add(deed, asks, brings, Decimal::ZERO);
                }
            }
        }
        for (limit, _) in set.catalogue.limits.iter() {
            for node in self.shape.members(&[limit.entity()], None, None) {
                if self.there(node.entity) {
                    let mut asks = self.open(node);
                    self.asks(node, &[needs], &mut asks);
                    let valid = self.variable(Thing::Valid(node));
                    self.add(Deed::Measure(node), asks, vec![(valid, 1)], Decimal::ZERO);
                }
            }
        }
    }

    pub(super) fn action(&mut self, action: Handle<Action>, sets: &[(Handle<State>, usize)]) {
        let node = Node::new(action.entity(), 0);
        let mut asks = Vec::new();
        self.asks(node, &[needs], &mut asks);
        let mut brings = vec![(self.variable(Thing::Valid(node)), 1)];
        for (state, index) in sets {
            self.sets(*state, *index, &mut asks, &mut brings);
        }
        self.add(Deed::Do(action.entity()), asks, brings, Decimal::ZERO);
    }

    /// A state gets a value: nothing that is on may keep another.
    pub(super) fn sets(
        &mut self,
        state: Handle<State>,
        index: usize,
        asks: &mut Vec<Clause>,
        brings: &mut Vec<(usize, u8)>,
    ) {
        for node in self.shape.members(&[state.entity()], None, None) {
            let keepers = self.shape.keepers.get(&node).cloned().unwrap_or_default();
            for keeper in keepers {
                let kept = &self.shape.ties(keeper.entity).keeps;
                let other = |(kept, values): &(Handle<State>, Vec<usize>)| *kept == state && !values.contains(&index);
                if handle::<Temporary>(keeper.entity).is_some() && kept.iter().any(other) {
                    asks.push(vec![self.is(Thing::Temporary(keeper), 0)]);
                }
            }
            brings.push((self.variable(Thing::State(node)), value(index)));
        }
    }
}
