//! Which ways there are, and which of them go on.
//!
//! What ends a way (a `[stop]`) and what no way can be (`never`, an answer given once more that led back) are conditions, each on a few
//! choices and answers. A big set has thousands: in one diagram they would be as long as the set, and whatever is asked on the way would
//! be asked of all of it. Conditions that bear on nothing in common are therefore kept apart, in parts, and something is judged by the
//! parts that bear on it; of the others it is enough that some way meets them.

use crate::check::ledger::diagram::{ALWAYS, Diagrams, NEVER, Ref};
use std::collections::{BTreeMap, BTreeSet};

/// How many conditions there had been: what comes later has ended no way yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub(super) usize);

/// What conditions on the same things come to. Each new condition makes one, which takes up those that it joins.
#[derive(Debug)]
pub(super) struct Part {
    /// The one that took this up.
    pub(super) within: Option<usize>,
    /// Those that it took up.
    pub(super) of: Vec<usize>,
    /// Variables that nothing bore on before.
    first: Vec<usize>,
    /// Ways that have not ended.
    pub(super) going: Ref,
    /// Ways that there are.
    pub(super) real: Ref,
    /// True if ways ended with it.
    pub(super) ends: bool,
}

/// Conditions on ways, in the order in which they came up.
#[derive(Debug, Default)]
pub struct Ways {
    pub(super) parts: Vec<Part>,
    /// By variable, the first part that bears on it.
    of: BTreeMap<usize, usize>,
    /// The first conditions after which no way goes on, and there is none.
    over: Option<usize>,
    pub(super) none: Option<usize>,
    /// Once all is known: from when on no way goes on that there is.
    void: Option<usize>,
}

impl Ways {
    pub fn now(&self) -> Moment {
        Moment(self.parts.len())
    }

    /// Forgets what came up since.
    pub fn undo(&mut self, to: Moment) {
        while self.parts.len() > to.0 {
            let Some(gone) = self.parts.pop() else { return };
            for part in gone.of {
                if let Some(part) = self.parts.get_mut(part) {
                    part.within = None;
                }
            }
            for variable in gone.first {
                self.of.remove(&variable);
            }
        }
        self.over = self.over.filter(|part| *part < to.0);
        self.none = self.none.filter(|part| *part < to.0);
    }

    /// True if every way has ended.
    pub fn are_over(&self) -> bool {
        self.over.is_some()
    }

    pub(super) fn outermost(&self, part: usize) -> usize {
        let mut at = part;
        while let Some(outer) = self.parts.get(at).and_then(|part| part.within) {
            at = outer;
        }
        at
    }

    /// The outermost parts that bear on what conditions do.
    pub(super) fn bearing(&self, diagrams: &Diagrams, conditions: impl IntoIterator<Item = Ref>) -> BTreeSet<usize> {
        if self.parts.is_empty() {
            return BTreeSet::new();
        }
        let variables = diagrams.variables(conditions);
        let known = variables.iter().filter_map(|variable| self.of.get(variable));
        known.map(|part| self.outermost(*part)).collect()
    }

    /// What an outermost part was made of by then.
    pub(super) fn by(&self, part: usize, moment: Moment) -> Vec<&Part> {
        let mut found = Vec::new();
        let mut open = vec![part];
        while let Some(at) = open.pop() {
            let Some(part) = self.parts.get(at) else { continue };
            if at < moment.0 {
                found.push(part);
            } else {
                open.extend(part.of.iter().rev());
            }
        }
        found
    }

    pub(super) fn add(&mut self, diagrams: &mut Diagrams, meets: Ref, ends: bool) {
        let variables = diagrams.variables([meets]);
        let of: BTreeSet<usize> = self.bearing(diagrams, [meets]);
        let (mut going, mut real) = (ALWAYS, ALWAYS);
        for part in of.iter().filter_map(|part| self.parts.get(*part)) {
            going = diagrams.and(going, part.going);
            real = diagrams.and(real, part.real);
        }
        match ends {
            true => going = diagrams.and(going, meets),
            false => real = diagrams.and(real, meets),
        }
        // What came of too many combinations says nothing.
        if diagrams.exhausted() {
            return;
        }
        let index = self.parts.len();
        let mut first = Vec::new();
        for variable in variables {
            self.of.entry(variable).or_insert_with(|| {
                first.push(variable);
                index
            });
        }
        for part in &of {
            if let Some(part) = self.parts.get_mut(*part) {
                part.within = Some(index);
            }
        }
        if going == NEVER {
            self.over.get_or_insert(index);
        }
        if real == NEVER {
            self.none.get_or_insert(index);
        }
        self.parts.push(Part {
            within: None,
            of: of.into_iter().collect(),
            first,
            going,
            real,
            ends,
        });
    }

    /// All is known: finds from when on no way goes on that there is.
    pub(super) fn seal(&mut self, diagrams: &Diagrams) {
        let outer = self.parts.iter().enumerate().filter(|(_, part)| part.within.is_none());
        let void = |(index, part): (usize, &Part)| {
            let meets = |moment: usize| {
                let by = self.by(index, Moment(moment));
                let all: Vec<Ref> = by.iter().map(|part| part.going).chain([part.real]).collect();
                diagrams.meet(&all)
            };
            let (mut good, mut bad) = (0, index + 1);
            if meets(bad) {
                return None;
            }
            if !meets(good) {
                return Some(good);
            }
            while good + 1 < bad {
                let middle = good.midpoint(bad);
                *(if meets(middle) { &mut good } else { &mut bad }) = middle;
            }
            Some(bad)
        };
        self.void = outer.filter_map(void).min();
    }

    /// True if a condition holds on ways that have not ended.
    pub(super) fn go_on(&self, diagrams: &Diagrams, condition: Ref) -> bool {
        let bearing = self.bearing(diagrams, [condition]);
        let parts = bearing.iter().filter_map(|part| self.parts.get(*part));
        let all: Vec<Ref> = parts.map(|part| part.going).chain([condition]).collect();
        !self.are_over() && diagrams.meet(&all)
    }

    /// True if a condition holds on ways that there are and that had not ended by then; once all is known. Makes no nodes: what is asked of
    /// every step of a big set must not cost as much as it holds.
    pub(super) fn went_on(&self, diagrams: &Diagrams, condition: Ref, moment: Moment) -> bool {
        if self.was_void(moment) {
            return false;
        }
        let mut all = vec![condition];
        for part in self.bearing(diagrams, [condition]) {
            all.extend(self.parts.get(part).map(|part| part.real));
            all.extend(self.by(part, moment).iter().map(|part| part.going));
        }
        diagrams.meet(&all)
    }

    /// True if no way went on by then that there is, whatever is asked.
    pub(super) fn was_void(&self, moment: Moment) -> bool {
        self.void.is_some_and(|void| void <= moment.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::chance::chance;
    use crate::check::walk::guard::{Literal, Variables};

    const VARIABLES: usize = 7;

    /// What is kept in parts says what all in one diagram does, at every moment, forgotten conditions and all.
    #[test]
    fn parts_say_what_one_diagram_says() {
        let mut next = chance(11);
        let mut variables = Variables::default();
        for n in 0..VARIABLES {
            variables.answer(format!("a{n}"), ["no", "yes", "perhaps"].map(str::to_string).to_vec());
        }
        let (mut yes, mut no, mut void) = (0, 0, 0);
        for _ in 0..400 {
            let mut diagrams = Diagrams::new(&variables);
            let mut ways = Ways::default();
            // After each condition: ways that go on, and ways that there are.
            let mut whole = vec![(ALWAYS, ALWAYS)];
            for _ in 0..next(9) {
                let before = ways.now();
                for forgotten in [true, false] {
                    let condition = some(&mut diagrams, &mut next);
                    let ends = next(2) == 0;
                    let meets = diagrams.not(condition);
                    ways.add(&mut diagrams, meets, ends);
                    if forgotten {
                        ways.undo(before);
                        continue;
                    }
                    let (mut going, mut real) = whole.last().copied().unwrap();
                    match ends {
                        true => going = diagrams.and(going, meets),
                        false => real = diagrams.and(real, meets),
                    }
                    whole.push((going, real));
                    assert_eq!(ways.are_over(), going == NEVER);
                    let asked = some(&mut diagrams, &mut next);
                    let so = diagrams.and(asked, going) != NEVER;
                    assert_eq!(ways.go_on(&diagrams, asked), so);
                }
            }
            ways.seal(&diagrams);
            let real = whole.last().map_or(ALWAYS, |(_, real)| *real);
            for (moment, (going, _)) in whole.iter().enumerate() {
                let there = diagrams.and(*going, real);
                assert_eq!(ways.was_void(Moment(moment)), there == NEVER);
                void += usize::from(there == NEVER);
                let asked = some(&mut diagrams, &mut next);
                let so = diagrams.and(asked, there) != NEVER;
                assert_eq!(ways.went_on(&diagrams, asked, Moment(moment)), so);
                *(if so { &mut yes } else { &mut no }) += 1;
            }
        }
        assert!(yes > 500 && no > 50 && void > 20, "{yes} {no} {void}");
    }

    /// A condition on one to three variables.
    fn some(diagrams: &mut Diagrams, next: &mut impl FnMut(usize) -> usize) -> Ref {
        let literals: BTreeMap<usize, usize> = (0..1 + next(3)).map(|_| (next(VARIABLES), next(3))).collect();
        let literals: Vec<Literal> = literals
            .into_iter()
            .map(|(variable, value)| Literal { variable, value })
            .collect();
        let cube = diagrams.cube(&literals);
        if next(3) == 0 { diagrams.not(cube) } else { cube }
    }
}
