//! Every way through a set: each combination of options, each answer, each order that is allowed, from the first step to the last.

use super::orders::{Order, Stop, combinations};
use super::set::{Act, If, Set};
use super::stand::{Fault, Faults, Place};
use super::world::World;
use std::collections::{BTreeMap, BTreeSet};

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
