//! What every way comes to, as findings: each fault once, with the fewest choices that bring it about; and the same read off the compiler.

use super::fewest::{Theirs, fewest};
use super::orders::orders;
use super::set::{Set, Thing};
use super::stand::{Fault, Place};
use super::text::{Text, text};
use super::told::{Told, ids, kind, plain};
use super::walk::{Way, ways};
use crate::harness::{Checked, Finding, check_texts};
use std::collections::{BTreeMap, BTreeSet};

/// Codes that the simulator knows of.
pub const CODES: [u32; 36] = [
    401, 402, 403, 404, 405, 406, 407, 408, 409, 411, 412, 413, 414, 415, 434, 436, 437, 438, 439, 440, 441, 443, 444,
    445, 446, 447, 448, 449, 450, 451, 452, 453, 454, 455, 456, 457,
];

/// Where a span stands.
fn place(checked: &Checked, finding: &Finding, text: &Text) -> Place {
    let span = finding.primary.span;
    let file = checked.files.get(span.file);
    let slice = file.text[span.start as usize..span.end as usize].to_string();
    let line = file.lines().position(&file.text, span.start as usize).line;
    for (card, steps) in text.steps.iter().enumerate() {
        if text.path(card) != file.path {
            continue;
        }
        if let Some(step) = steps.iter().position(|(at, _)| *at == line) {
            return match slice.starts_with('[') {
                true => Place::Mark {
                    card,
                    step,
                    text: slice,
                },
                false => Place::Step { card, step },
            };
        }
    }
    // Somewhere in an entry of the set: its id begins the line.
    let lines = file.text.lines().nth(line.saturating_sub(1)).unwrap_or("");
    Place::Entry(lines.trim_start().split(':').next().unwrap_or("").to_string())
}

/// What the compiler says of a set: findings, those of other orders apart, and whether it tried everything.
pub struct Ours {
    pub told: BTreeSet<Told>,
    pub reordered: BTreeSet<Other>,
    pub all_tried: bool,
}

pub fn ours(set: &Set) -> Result<Ours, String> {
    let text = text(set);
    let files: Vec<(&str, &str)> = text
        .files
        .iter()
        .map(|(path, text)| (path.as_str(), text.as_str()))
        .collect();
    let checked = check_texts(&files);
    let mut ours = Ours {
        told: BTreeSet::new(),
        reordered: BTreeSet::new(),
        all_tried: true,
    };
    for finding in &checked.compilation.findings {
        let code: u32 = finding.rule.code.trim_start_matches("BL").parse().unwrap_or(0);
        if code < 300 && ![103, 209].contains(&code) {
            return Err(format!("{}: {}", finding.rule.code, finding.message));
        }
        let at = place(&checked, finding, &text);
        let (what, choices) = finding
            .message
            .rsplit_once(", with `")
            .unwrap_or((&finding.message, ""));
        if code == 435 || code == 461 {
            ours.all_tried = false;
        }
        if code == 434 {
            ours.reordered.insert((ids(what).into_iter().next(), at));
            continue;
        }
        if !CODES.contains(&code) {
            continue;
        }
        let choices = format!("`{choices}");
        let choices = match choices.len() {
            1 => BTreeSet::new(),
            _ => choices.split('`').skip(1).step_by(2).map(ToString::to_string).collect(),
        };
        ours.told.insert(Told {
            code,
            kind: kind(code, what),
            what: ids(what),
            at,
            choices,
        });
    }
    Ok(ours)
}

/// What a fault of another order names first, and where it is told.
type Other = (Option<String>, Place);

/// What goes wrong in another order than the written one: all of it, and what doesn't in the written one.
#[derive(Default)]
pub struct Others {
    new: BTreeSet<Other>,
    any: BTreeSet<Other>,
}

/// What brute force says of the written order; and for each other order that brings about more, what.
pub fn theirs(set: &Set) -> (Vec<(Fault, Theirs)>, Vec<Way>, Vec<Others>) {
    let orders = orders(set);
    let written = ways(set, &orders[0]);
    let keys: BTreeSet<&Fault> = written.iter().flat_map(|way| way.faults.keys()).collect();
    let told = keys
        .iter()
        .map(|fault| ((*fault).clone(), fewest(&[fault], &written)))
        .collect();
    let mut places: BTreeMap<&Fault, BTreeSet<&Place>> = BTreeMap::new();
    for (fault, at) in written.iter().flat_map(|way| &way.faults) {
        places.entry(fault).or_default().extend(at);
    }
    // What the written order has as well is not told again; neither is the same thing of another member where it stands already, or the end
    // of a joint where something needed it.
    let known = |fault: &Fault, place: &Place| {
        let alike = |other: &Fault| {
            let words = (other.code, plain(other.code, other.kind), &other.what, &other.at);
            words == (fault.code, plain(fault.code, fault.kind), &fault.what, &fault.at)
        };
        let mut all = places.iter();
        places.contains_key(fault) || all.any(|(other, at)| alike(other) && at.contains(place))
    };
    let mut others = Vec::new();
    for order in &orders[1..] {
        let mut other = Others::default();
        for way in ways(set, order) {
            for (fault, places) in &way.faults {
                for place in places {
                    let told = (fault.what.first().cloned(), place.clone());
                    if !known(fault, place) {
                        other.new.insert(told.clone());
                    }
                    // What the end shows may be told again where it comes about elsewhere.
                    other.any.insert(told);
                }
            }
        }
        others.push(other);
    }
    (told, written, others)
}

/// True of fasteners, one for each member, that all secure the same.
fn secures_one_thing(set: &Set, what: &[String]) -> bool {
    let is = |torque: &usize| what.first() == Some(&Thing::Torque(*torque).id());
    let Some(torque) = (0..set.torques.len()).find(is).map(|torque| &set.torques[torque]) else {
        return false;
    };
    let mut parts = torque.ties.secures.iter().chain(&torque.part);
    parts.all(|part| !set.is_each(Thing::Part(*part)))
}

/// The findings that are faults, and the faults that are told; by their numbers.
///
/// One thing at one place is one finding, whatever brings it about: what the end shows of several members of a group, or of a joint that
/// something needed before, is told once where it came about at the same place. It then has the fewest choices that bring any of it
/// about, or those of one of them that takes fewer: what only the end shows is not judged on ways that had ended.
fn agreed(set: &Set, told: &[Told], theirs: &[(Fault, Theirs)], ways: &[Way]) -> (BTreeSet<usize>, BTreeSet<usize>) {
    let (mut right, mut found) = (BTreeSet::new(), BTreeSet::new());
    for (number, (_, one)) in theirs.iter().enumerate() {
        for (n, _) in told.iter().enumerate().filter(|(_, told)| one.is(told)) {
            right.insert(n);
            found.insert(number);
        }
    }
    for (n, told) in told.iter().enumerate() {
        let alike = |(_, (fault, one)): &(usize, &(Fault, Theirs))| {
            let same = one.code == told.code && one.kind == told.kind && one.what == told.what;
            // Fasteners of each member that secure one thing are left out where that went on, wherever it did for these choices.
            let at = one.stands(&told.at) || fault.code == 438 && secures_one_thing(set, &one.what);
            same && fault.at.is_none() && at
        };
        let alike: Vec<usize> = theirs
            .iter()
            .enumerate()
            .filter(alike)
            .map(|(number, _)| number)
            .collect();
        if alike.len() < 2 || right.contains(&n) && alike.iter().all(|number| found.contains(number)) {
            continue;
        }
        for mask in 1_usize..1 << alike.len() {
            let of = alike.iter().enumerate().filter(|(bit, _)| mask & 1 << bit != 0);
            let of: Vec<usize> = of.map(|(_, number)| *number).collect();
            let faults: Vec<&Fault> = of.iter().map(|number| &theirs[*number].0).collect();
            if of.len() > 1 && fewest(&faults, ways).is(told) {
                right.insert(n);
                found.extend(of);
            }
        }
        let fewer = |number: &&usize| theirs[**number].1.size() >= told.choices.len();
        if right.contains(&n) {
            found.extend(alike.iter().filter(fewer));
        }
    }
    (right, found)
}

/// What one says and the other doesn't; empty if they agree. With it, the codes that the simulator told; 434 for what only another order
/// brings about.
pub fn compared(set: &Set) -> Result<(Vec<String>, BTreeSet<u32>), String> {
    let ours = ours(set)?;
    let (theirs, ways, others) = theirs(set);
    let told: Vec<Told> = ours.told.iter().cloned().collect();
    let (right, found) = agreed(set, &told, &theirs, &ways);
    let missed = (0..theirs.len()).filter(|number| !found.contains(number));
    let beside = |code: u32| -> Vec<&Told> { told.iter().filter(|told| told.code == code).collect() };
    let mut differences: Vec<String> = missed
        .map(|number| &theirs[number].1)
        .map(|one| format!("missed: {one:?}; told is {:?}", beside(one.code)))
        .collect();
    let wrong = (0..told.len()).filter(|number| !right.contains(number));
    differences.extend(wrong.map(|number| format!("false: {:?}", told[number])));
    // Of each order the first thing that goes wrong is told, each thing once.
    for other in others.iter().filter(|other| ours.all_tried && !other.new.is_empty()) {
        if other.any.is_disjoint(&ours.reordered) {
            differences.push(format!("missed in another order: {:?}", other.new));
        }
    }
    let all: BTreeSet<&Other> = others.iter().flat_map(|other| &other.any).collect();
    for other in ours.reordered.iter().filter(|other| !all.contains(other)) {
        differences.push(format!("false in another order: {other:?}"));
    }
    let mut codes: BTreeSet<u32> = theirs.iter().map(|(_, one)| one.code).collect();
    codes.extend(others.iter().any(|other| !other.new.is_empty()).then_some(434));
    Ok((differences, codes))
}

pub fn differences(set: &Set) -> Result<Vec<String>, String> {
    compared(set).map(|(differences, _)| differences)
}
