//! A problem of taking apart, told by what may stand how: acts with what they ask and bring about, and what is wanted in the end. Nothing
//! here knows what a machine is.

use rust_decimal::Decimal;

/// One thing that stands in one of a few ways, numbered from 0.
pub type Variable = usize;

/// True while a thing stands in one of some ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Literal {
    pub variable: Variable,
    /// A bit for each way that will do.
    pub ways: u128,
}

impl Literal {
    pub fn is(variable: Variable, way: u8) -> Literal {
        Literal {
            variable,
            ways: bit(way),
        }
    }

    pub fn allows(self, way: u8) -> bool {
        self.ways & bit(way) != 0
    }
}

/// The bit of a way; none past the last that there is room for.
pub fn bit(way: u8) -> u128 {
    1u128.checked_shl(u32::from(way)).unwrap_or(0)
}

/// Holds if one of its literals does.
pub type Clause = Vec<Literal>;

/// Something that can be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Act {
    /// All must hold before it.
    pub asks: Vec<Clause>,
    /// What stands how after it.
    pub brings: Vec<(Variable, u8)>,
    /// What has to be bought for it.
    pub price: Decimal,
}

/// How everything stands at the start, what can be done, and what must hold in the end. Acts are in the order in which ties are broken.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Problem {
    pub start: Vec<u8>,
    pub acts: Vec<Act>,
    pub goal: Vec<Clause>,
}

/// How everything stands.
pub type Standing = Vec<u8>;

pub fn holds(clause: &[Literal], standing: &[u8]) -> bool {
    clause
        .iter()
        .any(|literal| standing.get(literal.variable).is_some_and(|way| literal.allows(*way)))
}

impl Act {
    pub fn can(&self, standing: &[u8]) -> bool {
        self.asks.iter().all(|clause| holds(clause, standing))
    }

    pub fn done(&self, standing: &[u8]) -> Standing {
        let mut after = standing.to_vec();
        for (variable, way) in &self.brings {
            if let Some(now) = after.get_mut(*variable) {
                *now = *way;
            }
        }
        after
    }

    /// True if it can be the first to make a clause hold: it doesn't itself wait for that.
    pub fn begins(&self, clause: &Clause) -> bool {
        self.achieves(clause) && !self.asks.contains(clause)
    }

    /// True if it can make a clause hold.
    pub fn achieves(&self, clause: &[Literal]) -> bool {
        self.brings.iter().any(|(variable, way)| {
            clause
                .iter()
                .any(|literal| literal.variable == *variable && literal.allows(*way))
        })
    }
}

/// Why something can't be done: what is asked and never comes about, from the goal to what nothing brings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stuck {
    /// Acts that can't be done, each because of the next; none where the goal itself has nothing to bring it about.
    pub acts: Vec<usize>,
    /// What the last of them asks, or the goal.
    pub clause: Clause,
    /// True if the last act waits for one that stands before it in the list: the one at this position.
    pub round: Option<usize>,
}

/// The ways in which each variable could ever stand, if nothing that once stood so were lost again.
pub struct Seen(Vec<u128>);

impl Problem {
    /// What could ever be done if nothing that once stood so were lost again: what isn't here can't be done at all.
    fn doable(&self) -> (Vec<bool>, Vec<u128>) {
        let mut seen: Vec<u128> = self.start.iter().map(|way| bit(*way)).collect();
        let mut done = vec![false; self.acts.len()];
        loop {
            let mut more = false;
            for (act, done) in self.acts.iter().zip(&mut done) {
                if *done || !act.asks.iter().all(|clause| possible(clause, &seen)) {
                    continue;
                }
                (*done, more) = (true, true);
                for (variable, way) in &act.brings {
                    if let Some(seen) = seen.get_mut(*variable) {
                        *seen |= bit(*way);
                    }
                }
            }
            if !more {
                return (done, seen);
            }
        }
    }

    /// Acts that could be done if nothing were lost, in order; and why the goal is out of reach even then.
    pub fn outlook(&self) -> (Vec<bool>, Option<Stuck>) {
        let (done, seen) = self.doable();
        (done, self.stuck(&Seen(seen)))
    }

    /// How things could ever come to stand: the same for every goal.
    pub fn seen(&self) -> Seen {
        Seen(self.doable().1)
    }

    /// Why the goal is out of reach, by how things could ever stand.
    pub fn stuck(&self, Seen(seen): &Seen) -> Option<Stuck> {
        let stuck = self.goal.iter().find(|clause| !possible(clause, seen));
        stuck.map(|clause| self.why(clause, seen))
    }

    /// Follows what is asked and never comes about.
    fn why(&self, clause: &Clause, seen: &[u128]) -> Stuck {
        let mut stuck = Stuck {
            acts: Vec::new(),
            clause: clause.clone(),
            round: None,
        };
        loop {
            // What was met before closes a round, so others are followed first.
            let mut all = self
                .acts
                .iter()
                .enumerate()
                .filter(|(_, act)| act.begins(&stuck.clause));
            let known = all.clone().next();
            let next = all.find(|(index, _)| !stuck.acts.contains(index)).or(known);
            let Some((next, _)) = next else { return stuck };
            if let Some(round) = stuck.acts.iter().position(|act| *act == next) {
                stuck.round = Some(round);
                return stuck;
            }
            let asks = self.acts.get(next).map_or(&[][..], |act| &act.asks);
            let Some(asked) = asks.iter().find(|clause| !possible(clause, seen)) else {
                return stuck;
            };
            stuck.acts.push(next);
            stuck.clause = asked.clone();
        }
    }
}

fn possible(clause: &[Literal], seen: &[u128]) -> bool {
    clause
        .iter()
        .any(|literal| seen.get(literal.variable).is_some_and(|ways| ways & literal.ways != 0))
}
