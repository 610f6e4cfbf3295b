//! What a set knows of its machine, held against a simulator of its own: random sets with ties, fastener states, conditions, joints, groups,
//! answers, ways back and orders, each written out as an author would, checked, and played step by step for every allowed combination,
//! answer and order.
//!
//! `set` is the data, `made`, `work` and `beads` make it by a seed (`dice`), `text` writes it, `world` with `stand`, `steps`, `acts`, `asks`, `joints` and `end`
//! plays it, `walk` goes every way in each of the `orders`, `report` compares, with the `fewest` choices for each fault, what is `told`, `shrunk` makes a disagreement small.

mod acts;
mod asks;
mod beads;
mod dice;
mod end;
mod fewest;
mod joints;
mod made;
mod orders;
mod report;
mod set;
mod shrunk;
mod stand;
mod steps;
mod text;
pub mod told;
mod walk;
mod work;
mod world;

use crate::harness::Outcome;
use libtest_mimic::Trial;
use set::{Act, Each, If, Set, Step, Ties};
use std::collections::{BTreeMap, BTreeSet};
use std::env;
use std::time::Instant;

pub fn trials() -> Vec<Trial> {
    vec![
        // The last is the first that brings about what none of the others does.
        Trial::test("ledger/ties-agree-with-a-simulator", || agree((0..300).chain([637]))),
        Trial::test("ledger/ten-thousand-with-ties-agree-with-a-simulator", || {
            agree(0..10_000)
        })
        .with_ignored_flag(true),
    ]
}

/// A set with more orders and combinations than these is left out, and counted.
const WAYS: usize = 300;

/// What a set uses, by name.
fn features(set: &Set) -> Vec<&'static str> {
    let tied = set.tied();
    let ties = |is: &dyn Fn(&Ties) -> bool| tied.iter().any(|thing| set.ties(*thing).is_some_and(is));
    let steps: Vec<&Step> = set.cards.iter().flat_map(|card| &card.steps).collect();
    let step = |is: &dyn Fn(&Step) -> bool| steps.iter().any(|step| is(step));
    let act = |is: &dyn Fn(&Act) -> bool| steps.iter().flat_map(|step| &step.acts).any(is);
    let table = [
        ("secures", ties(&|it| !it.secures.is_empty())),
        ("covers", ties(&|it| !it.covers.is_empty())),
        ("contains", ties(&|it| !it.contains.is_empty())),
        ("needs", ties(&|it| !it.needs.is_empty())),
        (
            "to-fit, to-remove, to-loosen, to-tighten",
            ties(&|it| !it.to_fit.is_empty() || !it.to_remove.is_empty() || !it.to_tighten.is_empty()),
        ),
        ("never-with", ties(&|it| !it.never_with.is_empty())),
        ("only of an entry", ties(&|it| !it.only.is_empty())),
        ("each of an entry", ties(&|it| it.each)),
        ("part of a torque", set.torques.iter().any(|it| it.part.is_some())),
        ("lubricant", set.torques.iter().any(|it| it.lubricant.is_some())),
        ("replaces", set.parts.iter().any(|it| it.replaces.is_some())),
        ("renew", set.parts.iter().any(|it| it.renew)),
        ("marked", set.parts.iter().any(|it| it.marked)),
        ("finish of a part", set.parts.iter().any(|it| it.finish.is_some())),
        ("keeps", set.items.iter().any(|it| !it.keeps.is_empty())),
        (
            "unsafe",
            set.items.iter().any(|it| it.perilous) || set.states.iter().any(|it| !it.perilous.is_empty()),
        ),
        ("options", !set.options.is_empty()),
        ("only of an option", set.options.iter().any(|it| !it.only.is_empty())),
        ("never", !set.never.is_empty()),
        ("joints", !set.joints.is_empty()),
        ("[use … on]", act(&|it| matches!(it, Act::UseOn(..)))),
        ("[wait]", act(&|it| matches!(it, Act::Wait(_)))),
        ("[mark]", act(&|it| matches!(it, Act::Mark(_)))),
        ("[need]", act(&|it| matches!(it, Act::Need(_)))),
        ("[measure as-found]", act(&|it| matches!(it, Act::Measure(_, true)))),
        ("[if LIMIT]", step(&|it| matches!(it.ask, Some(If::Limit(..))))),
        ("[if CASE]", step(&|it| matches!(it.ask, Some(If::Case(..))))),
        ("[repeat]", step(&|it| it.back.is_some())),
        ("[stop]", step(&|it| it.stop)),
        ("[each]", step(&|it| it.each == Each::Side)),
        ("[each in turn]", step(&|it| it.each == Each::Turn)),
        ("bullets", step(&|it| it.bullet)),
        ("several cards", set.cards.len() > 1),
        ("shared procedures", set.cards.iter().any(|card| card.shared)),
        ("several orders", orders::orders(set).len() > 1),
        ("several acts in a step", step(&|it| it.acts.len() > 1)),
    ];
    table.into_iter().filter(|(_, is)| *is).map(|(name, _)| name).collect()
}

fn agree(seeds: impl Iterator<Item = u64>) -> Outcome {
    let number = |name: &str| env::var(name).ok().and_then(|it| it.parse::<u64>().ok());
    let mut seeds: Vec<u64> = seeds.collect();
    if let (first, Some(count)) = (number("FUZZ_SEED").unwrap_or(0), number("PROPTEST_CASES")) {
        seeds = (first..first + count).collect();
    }
    // Those that disagreed are looked at again by themselves, each of them whole: `SEEDS=471,902`.
    let chosen = env::var("SEEDS").ok();
    if let Some(wanted) = &chosen {
        seeds = wanted.split(',').filter_map(|seed| seed.trim().parse().ok()).collect();
    }
    let most = number("SHOW").unwrap_or(if chosen.is_some() { u64::MAX } else { 1 });
    let began = Instant::now();
    let (mut wrong, mut too_many, mut circles, mut more) = (Vec::new(), 0, 0, 0);
    let mut shown: BTreeSet<String> = BTreeSet::new();
    let mut disagree: Vec<String> = Vec::new();
    let mut differ: BTreeMap<String, usize> = BTreeMap::new();
    let mut used: BTreeMap<&str, usize> = BTreeMap::new();
    // In how many sets a code is told, and in which first.
    let mut told: BTreeMap<u32, (usize, u64)> = BTreeMap::new();
    for seed in seeds.iter().copied() {
        let set = made::made(seed);
        if orders::orders(&set).len() * orders::combinations(&set).len() > WAYS {
            too_many += 1;
            continue;
        }
        let differences = match report::compared(&set) {
            Ok((differences, codes)) => {
                features(&set)
                    .into_iter()
                    .for_each(|name| *used.entry(name).or_default() += 1);
                codes
                    .into_iter()
                    .for_each(|code| told.entry(code).or_insert((0, seed)).0 += 1);
                differences
            }
            // Things that wait for each other in a circle are told, and nothing else is.
            Err(error) if error.starts_with("BL121") => {
                circles += 1;
                continue;
            }
            Err(error) => vec![error],
        };
        if differences.is_empty() {
            continue;
        }
        disagree.push(seed.to_string());
        for difference in &differences {
            let kind = difference.split("what:").next().unwrap_or("").to_string();
            *differ.entry(kind).or_default() += 1;
        }
        // Each sort of disagreement is shown once.
        let sort = differences[0].split("what:").next().unwrap_or("").to_string();
        if (shown.insert(sort) || chosen.is_some()) && (wrong.len() as u64) < most {
            let small = shrunk::shrunk(&set);
            let left = report::differences(&small);
            let text = text::text(&small).shown();
            wrong.push(format!("seed {seed}: {differences:#?}\nand small: {left:#?}\n{text}"));
        } else {
            more += 1;
        }
    }
    let took = began.elapsed();
    println!(
        "{} seeds, {too_many} with too many ways, {circles} with a circle; {took:?}",
        seeds.len()
    );
    println!("sets that use it: {used:#?}\nsets in which it is told, and the first of them: {told:?}");
    if !disagree.is_empty() {
        let all = format!("SEEDS={}", disagree.join(","));
        return Err(format!("{}\nand {more} more sets\n{differ:#?}\n{all}", wrong.join("\n\n")).into());
    }
    if chosen.is_some() {
        return Ok(());
    }
    // A comparison of nothing with nothing would agree as well.
    let missing: Vec<&u32> = report::CODES.iter().filter(|code| !told.contains_key(code)).collect();
    match missing.is_empty() {
        true => Ok(()),
        false => Err(format!("no set brought about {missing:?}").into()),
    }
}
