//! The procedures of a set in its order, and what names one of them.

use super::{Choices, Procedure};
use std::collections::VecDeque;
use std::ops::Index;

/// Names a procedure of a set. Only the model makes one; of another set it names another procedure or none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ProcedureId(usize);

impl ProcedureId {
    /// By its position in the set's order.
    pub(super) fn at(position: usize) -> ProcedureId {
        ProcedureId(position)
    }

    /// The number of its card, from 1.
    pub fn number(self) -> usize {
        self.0 + 1
    }
}

/// Something of each procedure of a set, in the set's order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Each<T>(Vec<T>);

impl<T> Default for Each<T> {
    fn default() -> Self {
        Each(Vec::new())
    }
}

impl<T> FromIterator<T> for Each<T> {
    fn from_iter<I: IntoIterator<Item = T>>(all: I) -> Self {
        Each(all.into_iter().collect())
    }
}

impl<T> Each<T> {
    /// `None` for a procedure of another set that has more of them.
    pub fn of(&self, procedure: ProcedureId) -> Option<&T> {
        self.0.get(procedure.0)
    }

    pub fn of_mut(&mut self, procedure: ProcedureId) -> Option<&mut T> {
        self.0.get_mut(procedure.0)
    }

    pub fn iter(&self) -> std::slice::Iter<'_, T> {
        self.0.iter()
    }

    /// With what names them.
    pub fn named(&self) -> impl DoubleEndedIterator<Item = (ProcedureId, &T)> {
        self.0.iter().enumerate().map(|(n, one)| (ProcedureId(n), one))
    }

    pub fn named_mut(&mut self) -> impl Iterator<Item = (ProcedureId, &mut T)> {
        self.0.iter_mut().enumerate().map(|(n, one)| (ProcedureId(n), one))
    }

    pub fn into_named(self) -> impl Iterator<Item = (ProcedureId, T)> {
        self.0.into_iter().enumerate().map(|(n, one)| (ProcedureId(n), one))
    }

    /// What names them, in order.
    pub fn ids(&self) -> impl DoubleEndedIterator<Item = ProcedureId> + use<T> {
        (0..self.0.len()).map(ProcedureId)
    }

    pub fn len(&self) -> usize {
        self.0.len()
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Of the first procedure.
    pub fn first(&self) -> Option<&T> {
        self.0.first()
    }
}

impl<T> Index<ProcedureId> for Each<T> {
    type Output = T;

    #[expect(
        clippy::indexing_slicing,
        reason = "an id is given by its own set alone, and there is one for each of its procedures"
    )]
    fn index(&self, procedure: ProcedureId) -> &T {
        &self.0[procedure.0]
    }
}

impl<'a, T> IntoIterator for &'a Each<T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<T> IntoIterator for Each<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl Each<Procedure> {
    /// Those that there are for some choices, in order.
    pub fn there<'a>(&'a self, choices: &'a Choices) -> impl Iterator<Item = ProcedureId> + 'a {
        self.named()
            .filter(|(_, one)| choices.meet(&one.only))
            .map(|(id, _)| id)
    }

    /// Those of the procedures that there are for some choices which come right before one: where one that comes before isn't there, those
    /// before it.
    pub fn before(&self, procedure: ProcedureId, choices: &Choices) -> Vec<ProcedureId> {
        let mut found: Vec<ProcedureId> = Vec::new();
        let mut seen = vec![procedure];
        let mut open: VecDeque<ProcedureId> = self[procedure].after.iter().copied().collect();
        while let Some(one) = open.pop_front() {
            if seen.contains(&one) {
                continue;
            }
            seen.push(one);
            match choices.meet(&self[one].only) {
                true => found.push(one),
                false => open.extend(&self[one].after),
            }
        }
        found
    }

    /// The procedure of an id as an author writes it.
    pub fn find(&self, id: &str) -> Option<ProcedureId> {
        self.0.iter().position(|procedure| procedure.id == id).map(ProcedureId)
    }
}
