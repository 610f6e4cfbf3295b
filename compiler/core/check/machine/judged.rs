//! What holds on the ways that there are, and what findings come to on them.

use super::ways::Moment;
use super::world::{Found, World};
use crate::check::ledger::diagram::{ALWAYS, NEVER, Ref};
use std::collections::{BTreeMap, BTreeSet};

/// What several findings of one thing come to on the ways that there are.
pub struct Judged {
    /// Where each of them is so.
    pub each: Vec<Ref>,
    /// Where any is so.
    pub any: Ref,
    /// The ways on which one was looked for.
    pub care: Ref,
    /// When the first was found.
    since: Moment,
    /// The parts that bear on them.
    bearing: BTreeSet<usize>,
}

impl World<'_> {
    /// Ends the ways on which a condition holds.
    pub fn end(&mut self, condition: Ref) {
        if condition != NEVER {
            let meets = self.diagrams.not(condition);
            self.ways.add(&mut self.diagrams, meets, true);
        }
    }

    /// There are no ways on which a condition holds.
    pub fn forbid(&mut self, condition: Ref) {
        if condition != NEVER {
            let meets = self.diagrams.not(condition);
            self.ways.add(&mut self.diagrams, meets, false);
        }
    }

    /// True if a condition holds on ways that have not ended.
    pub(super) fn goes_on(&self, condition: Ref) -> bool {
        self.ways.go_on(&self.diagrams, condition)
    }

    /// A condition without those ways that have ended, as far as what ended them bears on it.
    pub fn going(&mut self, condition: Ref) -> Ref {
        if self.ways.are_over() {
            return NEVER;
        }
        let mut going = condition;
        for part in self.ways.bearing(&self.diagrams, [condition]) {
            let part = self.ways.parts.get(part).map_or(ALWAYS, |part| part.going);
            going = self.diagrams.and(going, part);
        }
        going
    }

    /// A condition without those ways that there are not, as was known by then.
    pub fn real(&mut self, condition: Ref, moment: Moment) -> Ref {
        if self.ways.none.is_some_and(|none| none < moment.0) {
            return NEVER;
        }
        let mut real = condition;
        for part in self.ways.bearing(&self.diagrams, [condition]) {
            let parts: Vec<Ref> = self.ways.by(part, moment).iter().map(|part| part.real).collect();
            for part in parts {
                real = self.diagrams.and(real, part);
            }
        }
        real
    }

    /// All is known of the ways that there are.
    pub fn seal(&mut self) {
        self.ways.seal(&self.diagrams);
    }

    /// True if a condition holds on ways that there are and that had not ended by then.
    pub fn was_going(&self, condition: Ref, moment: Moment) -> bool {
        self.ways.went_on(&self.diagrams, condition, moment)
    }

    /// What several findings of one thing come to.
    pub fn judged(&mut self, group: &[Found]) -> Judged {
        let moments = || group.iter().map(|found| found.moment);
        let since = moments().min().unwrap_or(self.ways.now());
        let last = moments().max().unwrap_or(since);
        let conditions = group.iter().map(|found| found.condition);
        let mut bearing = self.ways.bearing(&self.diagrams, conditions);
        // What ended between them bears on them: a way that one of them was found on may have been over when another was.
        let ended = (since.0..last.0).filter(|part| self.ways.parts.get(*part).is_some_and(|part| part.ends));
        bearing.extend(ended.map(|part| self.ways.outermost(part)));
        let mut real = ALWAYS;
        for part in &bearing {
            let part = self.ways.parts.get(*part).map_or(ALWAYS, |part| part.real);
            real = self.diagrams.and(real, part);
        }
        let mut judged = Judged {
            each: Vec::new(),
            any: NEVER,
            care: NEVER,
            since,
            bearing,
        };
        for found in group {
            if self.ways.was_void(found.moment) && !found.free {
                judged.each.push(NEVER);
                continue;
            }
            let mut going = ALWAYS;
            for part in &judged.bearing {
                let parts: Vec<Ref> = self.ways.by(*part, found.moment).iter().map(|p| p.going).collect();
                for part in parts {
                    going = self.diagrams.and(going, part);
                }
            }
            let condition = self.diagrams.and(found.condition, going);
            let mut ways = self.diagrams.and(going, real);
            if found.free {
                // It is looked for on its own ways as well, which count for nothing else.
                ways = self.diagrams.or(ways, condition);
            }
            judged.each.push(condition);
            // On no way that there is: it was not looked for as early as that.
            if self.diagrams.and(condition, ways) == NEVER {
                continue;
            }
            judged.any = self.diagrams.or(judged.any, condition);
            judged.care = self.diagrams.or(judged.care, ways);
        }
        judged
    }

    /// Puts values that some way has in place of those that none has, among what bears on nothing that was judged.
    pub fn complete(&mut self, values: &mut BTreeMap<usize, usize>, judged: &Judged) {
        for index in 0..self.ways.parts.len() {
            let Some(part) = self.ways.parts.get(index) else {
                continue;
            };
            if part.within.is_some() || judged.bearing.contains(&index) {
                continue;
            }
            let by = self.ways.by(index, judged.since);
            let all: Vec<Ref> = by.iter().map(|by| by.going).chain([part.real]).collect();
            if all.iter().all(|one| self.diagrams.leaf(*one, values) == 1) {
                continue;
            }
            let all = self.all(&all);
            if let Some(better) = self.diagrams.some_values(all, values) {
                *values = better;
            }
        }
    }
}
