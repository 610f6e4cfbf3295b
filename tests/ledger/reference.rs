//! The ledger by brute force: one run of the job for each combination of choices, then, for each fault, every set of choices tried for
//! the smallest one that brings it about. Written for this one set of entries and without a look at how the ledger does it.

use super::random::{Conditions, Deed, Job, OPTIONS, VALUES};
use std::collections::{BTreeMap, BTreeSet};

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Report {
    pub code: u32,
    /// Line of the procedure; 0 for an entry of the set.
    pub at: usize,
    /// The first id of the message; of an action with an item fitted, the item's.
    pub what: String,
    /// `o1=b`, in order.
    pub choices: Vec<String>,
}

/// A combination of choices: the value of each option.
type Combination = [usize; OPTIONS.len()];

/// What tells faults apart: the code, the line (none where the end of the set shows it), and the id.
type Key = (u32, Option<usize>, String);

/// Faults of one run, with the line each is told at.
type Faults = BTreeMap<Key, usize>;

/// Every finding of a job.
pub fn reports(job: &Job) -> BTreeSet<Report> {
    let all = combinations();
    let runs: BTreeMap<Combination, Faults> = all.iter().map(|c| (*c, Run::new(job).run(c))).collect();
    let keys: BTreeSet<&Key> = runs.values().flat_map(BTreeMap::keys).collect();
    let mut reports = BTreeSet::new();
    for key in keys {
        let brings = |partial: &[Option<usize>]| {
            let fits = |c: &Combination| partial.iter().zip(c).all(|(p, v)| p.is_none_or(|p| p == *v));
            runs.iter()
                .filter(|(c, _)| fits(c))
                .all(|(_, faults)| faults.contains_key(key))
        };
        let mut best: Option<Vec<(usize, usize)>> = None;
        for partial in partials() {
            if brings(&partial) {
                let chosen: Vec<(usize, usize)> = partial
                    .iter()
                    .enumerate()
                    .filter_map(|(o, v)| Some((o, (*v)?)))
                    .collect();
                if best.as_ref().is_none_or(|b| (chosen.len(), &chosen) < (b.len(), b)) {
                    best = Some(chosen);
                }
            }
        }
        let chosen = best.unwrap_or_default();
        // The defaults of the set, with the choices in their place.
        let mut shown: Combination = [1, 0, 0, 1];
        for (option, value) in &chosen {
            shown[*option] = *value;
        }
        reports.insert(Report {
            code: key.0,
            at: runs
                .get(&shown)
                .and_then(|faults| faults.get(key))
                .copied()
                .unwrap_or(usize::MAX),
            what: key.2.clone(),
            choices: chosen.iter().map(|(o, v)| format!("o{o}={}", VALUES[*v])).collect(),
        });
    }
    reports
}

fn combinations() -> Vec<Combination> {
    let mut all: Vec<Combination> = vec![[0; OPTIONS.len()]];
    for (option, size) in OPTIONS.iter().enumerate() {
        let with = |c: &Combination| {
            (0..*size)
                .map(move |value| {
                    let mut c = *c;
                    c[option] = value;
                    c
                })
                .collect::<Vec<_>>()
        };
        all = all.iter().flat_map(with).collect();
    }
    all
}

/// Every way to choose some options and leave the others.
fn partials() -> Vec<Vec<Option<usize>>> {
    let mut all: Vec<Vec<Option<usize>>> = vec![Vec::new()];
    for size in OPTIONS {
        let mut next = Vec::new();
        for partial in all {
            for value in std::iter::once(None).chain((0..size).map(Some)) {
                let mut partial = partial.clone();
                partial.push(value);
                next.push(partial);
            }
        }
        all = next;
    }
    all
}

fn meets(c: &Combination, conditions: &Conditions) -> bool {
    conditions.iter().all(|(option, values)| values.contains(&c[*option]))
}

/// A thing that goes on and comes off.
#[derive(Default, Clone)]
struct Thing {
    on: u32,
    /// Never on so far.
    fresh: u32,
    /// On, for single use, and on before.
    spent: u32,
    met: bool,
    /// Lines of the last fit and the last removal.
    fitted_at: usize,
    removed_at: usize,
}

/// One run of a job.
struct Run<'a> {
    job: &'a Job,
    faults: Faults,
    things: BTreeMap<&'static str, Thing>,
    last_removed_of_place: usize,
    /// Grip (0 tight, 1 loose, 2 snug), worn, line of the last change.
    fasteners: BTreeMap<&'static str, (u8, bool, usize)>,
    /// Value, and the line it was set at.
    states: BTreeMap<&'static str, (Option<usize>, usize)>,
    wait_started: Option<usize>,
    window: Option<Window>,
    /// Lines of uses that no wait has followed.
    uncured: Vec<usize>,
    /// Something is in the joint that hasn't cured.
    soft: bool,
}

struct Window {
    started_at: usize,
    minutes: u64,
    /// Minutes at which a wait began inside, and at which each product began to cure.
    wait: Option<u64>,
    cures: BTreeMap<&'static str, u64>,
    broken: bool,
}

fn qty(item: &str) -> u32 {
    if matches!(item, "caps" | "plugs") { 2 } else { 1 }
}

impl<'a> Run<'a> {
    fn new(job: &'a Job) -> Self {
        let things = ["caps", "old", "new", "plugs", "lock"].map(|item| {
            let at_start = matches!(item, "caps" | "old");
            let thing = Thing {
                on: if at_start { qty(item) } else { 0 },
                fresh: if at_start { 0 } else { qty(item) },
                ..Thing::default()
            };
            (item, thing)
        });
        Run {
            job,
            faults: Faults::new(),
            things: things.into(),
            last_removed_of_place: 0,
            fasteners: [("bolts", (0, false, 0)), ("nuts", (0, false, 0))].into(),
            states: [("power", (Some(0), 0)), ("valve", (None, 0))].into(),
            wait_started: None,
            window: None,
            uncured: Vec::new(),
            soft: false,
        }
    }

    fn fault(&mut self, code: u32, line: usize, what: &str) {
        self.faults.insert((code, Some(line), what.to_string()), line);
    }

    fn at_end(&mut self, code: u32, line: usize, what: &str) {
        self.faults.insert((code, None, what.to_string()), line);
    }

    fn run(mut self, c: &Combination) -> Faults {
        let lines = self.job.lines();
        let mut phase = true;
        for (step, (line, heading)) in self.job.steps.iter().zip(lines) {
            if let Some(conditions) = &step.phase {
                phase = meets(c, conditions);
                let open = self.window.as_mut().filter(|window| phase && !window.broken);
                if let Some(window) = open {
                    window.broken = true;
                    self.fault(426, heading.unwrap_or(0), "window");
                }
            }
            if phase && meets(c, &step.only) {
                self.step(step.deed, step.minutes, line);
            }
        }
        self.end()
    }

    fn step(&mut self, deed: Deed, minutes: u64, line: usize) {
        // A wait ends as its step begins: what is done in that comes after it.
        if let (Deed::End("wait"), Some(window)) = (deed, &mut self.window)
            && let Some(began) = window.wait.take()
        {
            window.minutes = window.minutes.max(began + 3);
        }
        if let Deed::Wait(product) = deed {
            self.cured(product);
        }
        if let Some(window) = &mut self.window {
            window.minutes += minutes;
        }
        match deed {
            // Was over as the step began.
            Deed::Nothing | Deed::Wait(_) => {}
            Deed::Fit(item, count) => self.fit(item, count.unwrap_or(qty(item)), line),
            Deed::Remove(item, count) => self.remove(item, count.unwrap_or(qty(item)), line),
            Deed::Loosen(torque) => {
                self.grip(torque, 1, line);
                self.soft &= torque != "bolts";
                let worn = torque == "nuts";
                if let Some(fastener) = self.fasteners.get_mut(torque) {
                    fastener.1 |= worn;
                }
            }
            Deed::Snug(torque) => {
                let (grip, ..) = self.fasteners[torque];
                if grip == 2 {
                    self.fault(408, line, torque);
                }
                // What is tight is eased, which opens the joint.
                self.soft &= torque != "bolts" || grip != 0;
                self.grip(torque, 2, line);
            }
            Deed::Torque(torque) => {
                if self.fasteners[torque].1 {
                    self.fault(409, line, torque);
                }
                if torque == "bolts" && self.soft && self.fasteners[torque].0 != 0 {
                    self.begins_to_cure("seal");
                }
                self.grip(torque, 0, line);
                if let Some(fastener) = self.fasteners.get_mut(torque) {
                    fastener.1 = false;
                }
            }
            Deed::Set(state, value) => {
                self.put(state, value, line);
            }
            Deed::Need(state, value) => self.need(413, state, state, value, line),
            Deed::Act => {
                self.need(411, "act", "power", 1, line);
                self.put("power", 2, line);
                for item in ["lock", "plugs"] {
                    let thing = self.things.get_mut(item).expect("one of the things");
                    let newly = thing.on > 0 && !thing.met;
                    thing.met = thing.on > 0;
                    if newly {
                        self.fault(412, line, item);
                    }
                }
            }
            Deed::Start("wait") => {
                if self.wait_started.is_some() {
                    self.fault(421, line, "wait");
                }
                self.wait_started = Some(line);
                self.uncured.clear();
                if let Some(window) = &mut self.window {
                    window.wait = Some(window.minutes);
                }
            }
            Deed::Start(_) => {
                if self.window.is_some() {
                    self.fault(421, line, "window");
                }
                self.window = Some(Window {
                    started_at: line,
                    minutes,
                    wait: None,
                    cures: BTreeMap::new(),
                    broken: false,
                });
            }
            Deed::End("wait") => {
                if self.wait_started.take().is_none() {
                    self.fault(422, line, "wait");
                }
            }
            Deed::End(_) => match self.window.take() {
                None => self.fault(422, line, "window"),
                Some(window) if window.minutes > 5 => self.fault(424, line, "window"),
                Some(_) => {}
            },
            Deed::Hold => {
                if self.window.is_some() {
                    self.fault(425, line, "hold");
                }
            }
            Deed::Glue => {
                if self.window.is_none() {
                    self.fault(428, line, "glue");
                }
                self.uncured.push(line);
                self.begins_to_cure("glue");
            }
            // What is closed takes nothing.
            Deed::Seal => self.soft |= self.fasteners["bolts"].0 != 0,
        }
    }

    /// From the end of its step.
    fn begins_to_cure(&mut self, product: &'static str) {
        if let Some(window) = &mut self.window {
            window.cures.insert(product, window.minutes);
        }
    }

    /// A wait for a product is over: if that was curing, the cure has gone by since.
    fn cured(&mut self, product: &'static str) {
        let (was, cure) = match product {
            "glue" => (!std::mem::take(&mut self.uncured).is_empty(), 3),
            _ if self.fasteners["bolts"].0 == 0 => (std::mem::take(&mut self.soft), 6),
            _ => (false, 6),
        };
        if let Some(window) = self.window.as_mut().filter(|_| was)
            && let Some(began) = window.cures.remove(product)
        {
            window.minutes = window.minutes.max(began + cure);
        }
    }

    /// What is told later is where it last became otherwise.
    fn grip(&mut self, torque: &'static str, grip: u8, line: usize) {
        if let Some(fastener) = self.fasteners.get_mut(torque)
            && fastener.0 != grip
        {
            (fastener.0, fastener.2) = (grip, line);
        }
    }

    fn put(&mut self, state: &'static str, value: usize, line: usize) {
        if self.states[state].0 != Some(value) {
            self.states.insert(state, (Some(value), line));
        }
    }

    /// A need; once it is not met, the author is taken to have meant that it is.
    fn need(&mut self, code: u32, what: &str, state: &'static str, value: usize, line: usize) {
        let (now, since) = self.states[state];
        match now {
            None => self.fault(415, line, what),
            Some(now) if now != value => self.fault(code, line, what),
            Some(_) => {}
        }
        self.states.insert(state, (Some(value), since));
    }

    fn fit(&mut self, item: &'static str, count: u32, line: usize) {
        let other = match item {
            "old" => self.things["new"].on,
            "new" => self.things["old"].on,
            _ => 0,
        };
        let thing = self.things.get_mut(item).expect("one of the things");
        let beyond = thing.on + count > qty(item);
        let goes_on = count.min(qty(item) - thing.on);
        if goes_on > 0 {
            // What has been on before is spent, if it is for single use.
            thing.spent += goes_on.saturating_sub(thing.fresh) * u32::from(matches!(item, "old" | "new"));
            thing.fitted_at = line;
        }
        thing.on += goes_on;
        thing.fresh = thing.fresh.saturating_sub(goes_on);
        if beyond {
            self.fault(401, line, item);
        } else if other > 0 {
            self.fault(402, line, item);
        }
    }

    fn remove(&mut self, item: &'static str, count: u32, line: usize) {
        let thing = self.things.get_mut(item).expect("one of the things");
        let too_many = count > thing.on;
        let comes_off = count.min(thing.on);
        thing.on -= comes_off;
        thing.spent = thing.spent.min(thing.on);
        thing.met = thing.met && thing.on > 0;
        if comes_off > 0 {
            thing.removed_at = line;
            if matches!(item, "old" | "new") {
                self.last_removed_of_place = line;
            }
        }
        if too_many {
            self.fault(403, line, item);
        }
    }

    fn end(mut self) -> Faults {
        for item in ["plugs", "lock"] {
            let thing = self.things[item].clone();
            if thing.on > 0 {
                self.at_end(404, thing.fitted_at, item);
            }
        }
        let caps = self.things["caps"].clone();
        if caps.on < 2 {
            self.at_end(405, caps.removed_at, "caps");
        }
        for item in ["old", "new"] {
            let thing = self.things[item].clone();
            if thing.spent > 0 {
                self.at_end(406, thing.fitted_at, item);
            }
        }
        let old = self.things["old"].clone();
        if old.on + self.things["new"].on < 1 {
            self.at_end(405, self.last_removed_of_place, "old");
        }
        for torque in ["bolts", "nuts"] {
            let (grip, _, line) = self.fasteners[torque];
            if grip > 0 {
                self.at_end(407, line, torque);
            }
        }
        let (power, line) = self.states["power"];
        if power != Some(0) {
            self.at_end(414, line, "power");
        }
        if let Some(line) = self.wait_started {
            self.at_end(423, line, "wait");
        }
        if let Some(line) = self.window.as_ref().map(|window| window.started_at) {
            self.at_end(423, line, "window");
        }
        for line in std::mem::take(&mut self.uncured) {
            self.fault(427, line, "glue");
        }
        self.faults
    }
}
