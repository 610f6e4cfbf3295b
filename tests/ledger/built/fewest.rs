//! The fewest choices and answers that bring a fault about, by trying them all.

use super::stand::{Fault, Place};
use super::told::{Told, plain};
use super::walk::Way;
use std::collections::{BTreeMap, BTreeSet};

/// A choice or answer as the compiler words it.
fn worded(name: &str, value: &str) -> String {
    let base = name.split('#').next().unwrap_or(name);
    match (base.chars().next(), value) {
        (Some('o'), _) => format!("{base}={value}"),
        _ => format!("{base} {value}"),
    }
}

/// One fault as brute force has it: each set of fewest choices, and the places it may be told at.
#[derive(Debug, Clone)]
pub struct Theirs {
    pub code: u32,
    pub kind: &'static str,
    pub what: Vec<String>,
    pub fewest: Vec<(BTreeSet<String>, BTreeSet<Place>)>,
}

/// All subsets of so many.
fn subsets<'a>(of: &[(&'a String, &'a String)], size: usize) -> Vec<Vec<(&'a String, &'a String)>> {
    if size == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (n, first) in of.iter().enumerate() {
        for mut rest in subsets(&of[n + 1..], size - 1) {
            rest.insert(0, *first);
            all.push(rest);
        }
    }
    all
}

impl Theirs {
    /// True if a finding of the compiler is this one, with choices that are among the fewest.
    pub fn is(&self, told: &Told) -> bool {
        let named = told.what == self.what || (self.code == 402 && told.what.first() == self.what.first());
        let so = |(choices, places): &(BTreeSet<String>, BTreeSet<Place>)| {
            *choices == told.choices && places.contains(&told.at)
        };
        told.code == self.code && told.kind == self.kind && named && self.fewest.iter().any(so)
    }

    /// How many choices it takes.
    pub fn size(&self) -> usize {
        self.fewest.first().map_or(0, |(choices, _)| choices.len())
    }

    pub fn stands(&self, at: &Place) -> bool {
        self.fewest.iter().any(|(_, places)| places.contains(at))
    }
}

/// Answers that nothing hangs on where something is so: with any other in their place it is so as well. No finding names them.
fn idle(has: &dyn Fn(&Way) -> bool, ways: &[Way]) -> BTreeSet<String> {
    let mut values: BTreeMap<&String, BTreeSet<&String>> = BTreeMap::new();
    for (name, value) in ways.iter().flat_map(|way| &way.said) {
        // Options are asked before anything is done: their names begin so.
        if !name.starts_with('o') {
            values.entry(name).or_default().insert(value);
        }
    }
    let bad: Vec<&Way> = ways.iter().filter(|way| has(way)).collect();
    let hangs = |way: &Way, name: &String, value: &String| {
        let same = |(other, said): (&String, &String)| match other == name {
            true => said == value,
            false => way.said.get(other).is_none_or(|own| own == said),
        };
        let mut turned = ways
            .iter()
            .filter(|it| it.said.contains_key(name) && it.said.iter().all(same))
            .peekable();
        turned.peek().is_none() || turned.any(|it| !has(it))
    };
    let idle = |(name, values): &(&String, BTreeSet<&String>)| {
        let asked = bad.iter().filter(|way| way.said.contains_key(*name));
        asked
            .into_iter()
            .all(|way| values.iter().all(|value| !hangs(way, name, value)))
    };
    values.into_iter().filter(idle).map(|(name, _)| name.clone()).collect()
}

/// What several faults come to that are one thing for whoever reads it: a fault on each way that has one of them.
pub fn fewest(faults: &[&Fault], ways: &[Way]) -> Theirs {
    let has = |way: &Way| faults.iter().any(|fault| way.faults.contains_key(*fault));
    let fault = faults[0];
    // On ways that had ended before it could come up, and on those that never end, it is not judged.
    let first = ways
        .iter()
        .flat_map(|way| faults.iter().filter_map(|fault| way.when.get(*fault)))
        .min()
        .copied()
        .unwrap_or(0);
    let judged = |way: &&Way| has(way) || !way.endless && way.stopped.is_none_or(|when| when >= first);
    let cared: Vec<&Way> = ways.iter().filter(judged).collect();
    let idle = idle(&has, ways);
    let mut found: BTreeMap<BTreeSet<String>, BTreeSet<Place>> = BTreeMap::new();
    for size in 0.. {
        let mut tried: BTreeSet<Vec<(&String, &String)>> = BTreeSet::new();
        for way in cared.iter().filter(|way| has(way)) {
            let said = way.said.iter().filter(|(name, _)| !idle.contains(*name));
            let said: Vec<(&String, &String)> = said.collect();
            for partial in subsets(&said, size.min(said.len())) {
                if !tried.insert(partial.clone()) {
                    continue;
                }
                // Whatever isn't asked on a way speaks against nothing.
                let fits = |way: &&Way| {
                    partial
                        .iter()
                        .all(|(name, value)| way.said.get(*name).is_none_or(|said| said == *value))
                };
                let fitting: Vec<&Way> = cared.iter().copied().filter(fits).collect();
                if fitting.iter().all(|way| has(way)) {
                    let words = partial.iter().map(|(name, value)| worded(name, value)).collect();
                    let of = |way: &&Way| {
                        faults
                            .iter()
                            .filter_map(|fault| way.faults.get(*fault))
                            .flatten()
                            .cloned()
                            .collect()
                    };
                    let places = fitting.iter().flat_map(|way| -> Vec<Place> { of(way) });
                    found.entry(words).or_default().extend(places);
                }
            }
        }
        if !found.is_empty() || size > 12 {
            break;
        }
    }
    Theirs {
        code: fault.code,
        kind: plain(fault.code, fault.kind),
        what: fault.what.clone(),
        fewest: found.into_iter().collect(),
    }
}
