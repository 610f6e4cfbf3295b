//! Every way through a set: each combination of options, each answer, each order that is allowed, from the first step to the last.

use super::set::{Act, Each, If, Set, Step};
use super::world::{Fault, Faults, Place, World, meets};
use std::collections::{BTreeMap, BTreeSet};

/// A step to be done, for one member or for all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop {
    pub card: usize,
    pub step: usize,
    pub member: Option<usize>,
}

/// One order of all steps, card after card.
pub type Order = Vec<Vec<Stop>>;

/// What was chosen and answered on one way, by name, and what went wrong.
#[derive(Debug, Clone)]
pub struct Way {
    pub said: BTreeMap<String, String>,
    pub faults: Faults,
    /// When each fault first came up, in steps with every way back gone once.
    pub when: BTreeMap<Fault, usize>,
    /// When the job ended on this way, if a `[stop]` ended it.
    pub stopped: Option<usize>,
    /// It goes round for ever: nothing else is judged on it.
    pub endless: bool,
}

/// Combinations of choices that are allowed; none for an option that isn't asked.
pub fn combinations(set: &Set) -> Vec<Vec<Option<usize>>> {
    let mut all: Vec<Vec<Option<usize>>> = vec![Vec::new()];
    for option in &set.options {
        let mut next = Vec::new();
        for before in all {
            if meets(&before, &option.only) {
                for value in 0..option.values {
                    let mut with = before.clone();
                    with.push(Some(value));
                    next.push(with);
                }
            } else {
                let mut with = before.clone();
                with.push(None);
                next.push(with);
            }
        }
        all = next;
    }
    let ruled_out = |combination: &Vec<Option<usize>>| {
        set.never
            .iter()
            .any(|pairs| pairs.iter().all(|(option, value)| combination[*option] == Some(*value)))
    };
    all.retain(|combination| !ruled_out(combination));
    all
}

fn permutations<T: Clone>(of: &[T]) -> Vec<Vec<T>> {
    if of.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for first in 0..of.len() {
        let mut rest = of.to_vec();
        let it = rest.remove(first);
        for mut tail in permutations(&rest) {
            tail.insert(0, it.clone());
            all.push(tail);
        }
    }
    all
}

/// The orders of one card's steps; as written first.
fn card_orders(set: &Set, card: usize, all_by_member: bool) -> Vec<Vec<Stop>> {
    let steps = &set.cards[card].steps;
    let mut orders: Vec<Vec<Stop>> = vec![Vec::new()];
    let mut at = 0;
    while at < steps.len() {
        let alike = |other: &&Step| !other.phase && other.bullet == steps[at].bullet && other.each == steps[at].each;
        let length = 1 + steps[at + 1..].iter().take_while(alike).count();
        let block: Vec<usize> = (at..at + length).collect();
        let stop = |step: usize, member: Option<usize>| Stop { card, step, member };
        let members: Vec<usize> = (0..set.members).collect();
        let by_member = |block: &[usize]| -> Vec<Stop> {
            members
                .iter()
                .flat_map(|m| block.iter().map(|s| stop(*s, Some(*m))).collect::<Vec<_>>())
                .collect()
        };
        let by_step = |block: &[usize]| -> Vec<Stop> {
            block
                .iter()
                .flat_map(|s| members.iter().map(|m| stop(*s, Some(*m))).collect::<Vec<_>>())
                .collect()
        };
        let ways: Vec<Vec<Stop>> = match (steps[at].each, steps[at].bullet) {
            (Each::Turn, _) => vec![by_member(&block)],
            (Each::Side, _) if all_by_member => vec![by_member(&block)],
            (Each::Side, _) => vec![by_step(&block)],
            (Each::No, false) => vec![block.iter().map(|s| stop(*s, None)).collect()],
            (Each::No, true) => permutations(&block)
                .into_iter()
                .map(|order| order.into_iter().map(|s| stop(s, None)).collect())
                .collect(),
        };
        orders = orders
            .iter()
            .flat_map(|before| {
                ways.iter()
                    .map(|way| [before.clone(), way.clone()].concat())
                    .collect::<Vec<_>>()
            })
            .collect();
        at += length;
    }
    orders
}

/// Every order that a set allows; the written one first.
pub fn orders(set: &Set) -> Vec<Order> {
    // Cards that `procedures` names stand before the files beside the set.
    let mut cards: Vec<usize> = (0..set.cards.len()).collect();
    cards.sort_by_key(|card| !set.cards[*card].shared);
    let follows = |order: &Vec<usize>| {
        order
            .iter()
            .enumerate()
            .all(|(n, card)| set.cards[*card].after.iter().all(|it| order[..n].contains(it)))
    };
    let side = set
        .cards
        .iter()
        .flat_map(|card| &card.steps)
        .any(|step| step.each == Each::Side);
    let mut all = Vec::new();
    for order in permutations(&cards).into_iter().filter(follows) {
        // Side by side, or member by member throughout.
        for by_member in [false, true].into_iter().take(1 + usize::from(side)) {
            let mut with: Vec<Order> = vec![Vec::new()];
            for card in &order {
                let ways = card_orders(set, *card, by_member);
                with = with
                    .iter()
                    .flat_map(|before| {
                        let one = |way: &Vec<Stop>| [before.clone(), vec![way.clone()]].concat();
                        ways.iter().map(one).collect::<Vec<_>>()
                    })
                    .collect();
            }
            all.extend(with);
        }
    }
    all
}

/// Every way through a set in one order.
pub fn ways(set: &Set, order: &Order) -> Vec<Way> {
    let mut ways = Vec::new();
    for combination in combinations(set) {
        let mut script: Vec<usize> = Vec::new();
        loop {
            let mut walk = Walk::new(set, &combination, &script);
            walk.all(order);
            let asked = walk.asked.clone();
            let said = walk.said(&combination);
            if !walk.ruled_out {
                ways.push(Way {
                    said,
                    faults: walk.world.faults,
                    when: walk.when,
                    stopped: walk.stopped,
                    endless: walk.endless,
                });
            }
            // The next answers: the last question that has another.
            script = asked.iter().map(|(_, _, chosen)| *chosen).collect();
            while let Some(last) = script.pop() {
                if last + 1 < asked[script.len()].1.len() {
                    script.push(last + 1);
                    break;
                }
            }
            if script.is_empty() {
                break;
            }
        }
    }
    ways
}

/// One walk, with answers by a script; beyond it the first of each.
struct Walk<'a> {
    set: &'a Set,
    world: World<'a>,
    script: &'a [usize],
    /// Name, values and which was taken.
    asked: Vec<(String, Vec<String>, usize)>,
    /// By limit: the reading that the next IF asks about.
    readings: BTreeMap<usize, Reading>,
    cases: BTreeMap<usize, bool>,
    /// By card and step: where each way back was taken, by how many readings there had been.
    repeated: BTreeMap<(usize, usize), usize>,
    /// Steps so far, with every way back gone once.
    tick: usize,
    when: BTreeMap<Fault, usize>,
    stopped: Option<usize>,
    endless: bool,
    /// An answer would lead back a second time: there is no such way.
    ruled_out: bool,
}

#[derive(Debug, Clone)]
enum Reading {
    /// At a tick.
    Taken(usize),
    Answered(usize, String),
}

fn answers(word: &'static str) -> BTreeSet<&'static str> {
    match word {
        "out" => BTreeSet::from(["low", "high"]),
        word => BTreeSet::from([word]),
    }
}

enum Next {
    On,
    Back(usize),
    Stop,
}

impl<'a> Walk<'a> {
    fn new(set: &'a Set, combination: &'a [Option<usize>], script: &'a [usize]) -> Walk<'a> {
        Walk {
            set,
            world: World::new(set, combination),
            script,
            asked: Vec::new(),
            readings: BTreeMap::new(),
            cases: BTreeMap::new(),
            repeated: BTreeMap::new(),
            tick: 0,
            when: BTreeMap::new(),
            stopped: None,
            endless: false,
            ruled_out: false,
        }
    }

    fn said(&self, combination: &[Option<usize>]) -> BTreeMap<String, String> {
        let mut said = BTreeMap::new();
        for (option, value) in combination.iter().enumerate() {
            if let Some(value) = value {
                said.insert(format!("o{option}"), super::text::LETTERS[*value].to_string());
            }
        }
        for (name, values, taken) in &self.asked {
            said.insert(name.clone(), values[*taken].clone());
        }
        said
    }

    fn answer(&mut self, name: String, values: Vec<String>) -> String {
        let taken = self.script.get(self.asked.len()).copied().unwrap_or(0);
        let value = values[taken].clone();
        self.asked.push((name, values, taken));
        value
    }

    /// Notes when new faults came up.
    fn note(&mut self) {
        for fault in self.world.faults.keys() {
            if !self.when.contains_key(fault) {
                self.when.insert(fault.clone(), self.tick);
            }
        }
    }

    fn all(&mut self, order: &Order) {
        let mut began = 0;
        for card in order {
            let Some(first) = card.first() else {
                continue;
            };
            // One way back a card: its steps count twice.
            let steps = &self.set.cards[first.card].steps;
            let back = steps.iter().enumerate().find_map(|(n, step)| Some((step.back?, n)));
            let position = |step: usize| card.iter().position(|stop| stop.step == step).unwrap_or(0);
            let round = back.map(|(start, end)| (position(start), position(end)));
            let more = round.map_or(0, |(start, end)| end + 1 - start);
            let mut again = false;
            let mut at = 0;
            let there = self.world.meets(&self.set.cards[first.card].only);
            while there && at < card.len() {
                self.tick = began
                    + match round {
                        Some((start, end)) if again && at <= end => end + 1 + at - start,
                        Some((_, end)) if at > end => at + more,
                        _ => at,
                    };
                let next = self.step(card[at]);
                self.note();
                if self.endless || self.ruled_out {
                    return;
                }
                match next {
                    Next::On => at += 1,
                    Next::Back(step) => (again, at) = (true, position(step)),
                    Next::Stop => {
                        self.world.card_ends();
                        self.note();
                        self.stopped = Some(self.tick);
                        return;
                    }
                }
            }
            began += card.len() + more;
            self.tick = began;
            began += 1;
            if there {
                self.world.card_ends();
                self.note();
            }
        }
        self.tick = began + 1;
        self.world.ends();
        self.note();
    }

    /// True if the IF of a step says that it is done.
    fn is_asked_for(&mut self, ask: &If, at: &Place) -> bool {
        match ask {
            If::Case(case, so) => {
                let known = self.cases.get(case).copied();
                let is = known.unwrap_or_else(|| {
                    self.answer(format!("k{case}"), vec!["yes".to_string(), "no".to_string()]) == "yes"
                });
                self.cases.insert(*case, is);
                is == *so
            }
            If::Limit(limit, word) => match self.readings.get(limit).cloned() {
                None => {
                    self.world.fault(456, "answer", &[format!("l{limit}")], at);
                    false
                }
                Some(Reading::Answered(_, answer)) => answers(word).contains(answer.as_str()),
                Some(Reading::Taken(when)) => {
                    let mut values = vec!["low", "in", "high"];
                    values.retain(|value| self.set.limits[*limit].low || *value != "low");
                    let values = values.into_iter().map(ToString::to_string).collect();
                    let answer = self.answer(format!("l{limit}#{when}"), values);
                    self.readings.insert(*limit, Reading::Answered(when, answer.clone()));
                    answers(word).contains(answer.as_str())
                }
            },
        }
    }

    fn step(&mut self, stop: Stop) -> Next {
        let step = &self.set.cards[stop.card].steps[stop.step];
        if !self.world.meets(&step.only) {
            return Next::On;
        }
        let at = |text: String| Place::Mark {
            card: stop.card,
            step: stop.step,
            text,
        };
        if let Some(ask) = &step.ask {
            let text = match ask {
                If::Limit(limit, word) => format!("[if l{limit} {word}]"),
                If::Case(case, true) => format!("[if k{case}]"),
                If::Case(case, false) => format!("[if not k{case}]"),
            };
            if !self.is_asked_for(ask, &at(text)) {
                return Next::On;
            }
        }
        self.world.does(step, stop.card, stop.step, stop.member);
        for act in &step.acts {
            if let Act::Measure(what, false) = act
                && let super::set::Thing::Limit(limit) = what.thing
                && self.world.there(what.thing)
            {
                let reading = Reading::Taken(self.tick);
                self.readings.insert(limit, reading);
            }
        }
        if let Some(back) = step.back {
            let Some(If::Limit(limit, _)) = &step.ask else {
                return Next::On;
            };
            // When the reading was taken that leads back.
            let read = match self.readings.get(limit) {
                Some(Reading::Answered(when, _) | Reading::Taken(when)) => *when,
                None => 0,
            };
            match self.repeated.insert((stop.card, stop.step), read) {
                None => return Next::Back(back),
                // The same reading leads back again: nothing on the way asks anew.
                Some(before) if before == read => {
                    self.world.faults.clear();
                    self.when.clear();
                    self.world
                        .fault(457, "ends", &[], &at(format!("[repeat n{}]", back + 1)));
                    self.endless = true;
                }
                Some(_) => self.ruled_out = true,
            }
            return Next::On;
        }
        match step.stop {
            true => Next::Stop,
            false => Next::On,
        }
    }
}
