//! Small random procedures over one fixed set of entries. Each step stands on a line of its own and has at most one mark that does
//! something, so that a line says which.

use proptest::prelude::*;
use std::fmt::Write;

/// Two parts of one place, a pair that is on at the start, a pair of temporary items, two kinds of fastener, two states, an action with all
/// kinds of rules, a window, a wait, a hold point, a product that hardens, and another that does in a joint.
pub const SET: &str = "\
machine: Invented pump
title: Rebuild
options:
  o0: {values: [a, b], default: b}
  o1: {values: [a, b, c], default: a}
  o2: {values: [a, b], default: a}
  o3: {values: [a, b], default: b}
parts:
  caps: {qty: 2}
  old: {reuse: no}
  new: {fitted: no, reuse: no, replaces: old}
temporary:
  plugs: {qty: 2}
  lock: Lock
torques:
  bolts: {torque: 24 N·m}
  nuts: {torque: 18 N·m, reuse: no}
states:
  power: {values: [x, y, z], start: x, finish: x}
  valve: {values: [x, y, z]}
actions:
  act: {needs: {power: y}, never-with: [lock, plugs], sets: {power: z}}
timers:
  window: {within: 5 min}
  wait: {at-least: 3 min}
holds:
  hold: Hold
consumables:
  glue: {open: 5 min, cure: 3 min}
  seal: {cure: 6 min}
joints:
  face: {takes: [seal], closed-by: bolts}
";

/// Values of each option.
pub const OPTIONS: [usize; 4] = [2, 3, 2, 2];
/// The letters of the values.
pub const VALUES: [&str; 3] = ["a", "b", "c"];

/// What a step does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    Nothing,
    Fit(&'static str, Option<u32>),
    Remove(&'static str, Option<u32>),
    Loosen(&'static str),
    Snug(&'static str),
    Torque(&'static str),
    Set(&'static str, usize),
    Need(&'static str, usize),
    Act,
    Start(&'static str),
    End(&'static str),
    Hold,
    Glue,
    /// A product is put on the joint.
    Seal,
    /// It is waited for until a product has cured.
    Wait(&'static str),
}

/// Values by option that a condition allows.
pub type Conditions = Vec<(usize, Vec<usize>)>;

#[derive(Debug, Clone)]
pub struct Step {
    pub deed: Deed,
    pub only: Conditions,
    pub minutes: u64,
    /// A phase begins with this step, under these conditions.
    pub phase: Option<Conditions>,
}

#[derive(Debug, Clone)]
pub struct Job {
    pub steps: Vec<Step>,
}

fn deed() -> impl Strategy<Value = Deed> {
    let items = prop::sample::select(vec!["caps", "old", "new", "plugs", "lock"]);
    let counts = || prop::option::weighted(0.4, 1..3_u32);
    let torques = || prop::sample::select(vec!["bolts", "nuts"]);
    let states = || prop::sample::select(vec!["power", "valve"]);
    let timers = || prop::sample::select(vec!["window", "wait"]);
    prop_oneof![
        1 => Just(Deed::Nothing),
        6 => (items.clone(), counts()).prop_map(|(item, count)| Deed::Fit(item, count)),
        6 => (items, counts()).prop_map(|(item, count)| Deed::Remove(item, count)),
        2 => torques().prop_map(Deed::Loosen),
        2 => torques().prop_map(Deed::Snug),
        2 => torques().prop_map(Deed::Torque),
        2 => (states(), 0..3_usize).prop_map(|(state, value)| Deed::Set(state, value)),
        2 => (states(), 0..3_usize).prop_map(|(state, value)| Deed::Need(state, value)),
        2 => Just(Deed::Act),
        4 => timers().prop_map(Deed::Start),
        4 => timers().prop_map(Deed::End),
        1 => Just(Deed::Hold),
        2 => Just(Deed::Glue),
        2 => Just(Deed::Seal),
        3 => prop::sample::select(vec!["glue", "seal"]).prop_map(Deed::Wait),
    ]
}

fn conditions() -> impl Strategy<Value = Conditions> {
    let one = (0..OPTIONS.len()).prop_flat_map(|option| {
        let values: Vec<usize> = (0..OPTIONS[option]).collect();
        let most = values.len();
        (Just(option), prop::sample::subsequence(values, 1..most.max(2)))
    });
    prop_oneof![
        3 => Just(Vec::new()),
        4 => prop::collection::vec(one.clone(), 1),
        1 => prop::collection::vec(one, 2),
    ]
}

/// Jobs of a few steps.
pub fn jobs() -> impl Strategy<Value = Job> {
    let phase = prop::option::weighted(0.15, conditions());
    let step = (deed(), conditions(), 0..4_u64, phase).prop_map(|(deed, only, minutes, phase)| Step {
        deed,
        only,
        minutes,
        phase,
    });
    let steps = prop::collection::vec(step, 1..14);
    (steps, prop::option::weighted(0.3, meanwhile())).prop_map(|(mut steps, meanwhile)| {
        // From behind, so that they stand in their order.
        let mut last = steps.len();
        for (step, at) in meanwhile.into_iter().flatten().rev() {
            last = at.index(last + 1);
            steps.insert(last, step);
        }
        Job { steps }
    })
}

/// Waits inside a window, which single steps hardly ever come to: steps, and where each stands among the others.
fn meanwhile() -> impl Strategy<Value = Vec<(Step, prop::sample::Index)>> {
    let joint = [Deed::Seal, Deed::Torque("bolts"), Deed::Wait("seal")];
    let [window, end] = [Deed::Start("window"), Deed::End("window")];
    let deeds = prop::sample::select(vec![
        vec![window, Deed::Start("wait"), Deed::End("wait"), end],
        vec![window, Deed::Glue, Deed::Wait("glue"), end],
        [vec![Deed::Loosen("bolts"), window], joint.to_vec(), vec![end]].concat(),
        [
            vec![Deed::Loosen("bolts"), Deed::Seal, window, Deed::Torque("bolts")],
            vec![Deed::Wait("seal"), end],
        ]
        .concat(),
        [
            vec![Deed::Loosen("bolts")],
            joint[..2].to_vec(),
            vec![window, Deed::Wait("seal"), end],
        ]
        .concat(),
    ]);
    let rest = prop::collection::vec((conditions(), 0..3_u64, any::<prop::sample::Index>()), 6);
    (deeds, rest).prop_map(|(deeds, rest)| {
        let step = |(deed, (only, minutes, at))| {
            let step = Step {
                deed,
                only,
                minutes,
                phase: None,
            };
            (step, at)
        };
        deeds.into_iter().zip(rest).map(step).collect()
    })
}

impl Job {
    /// The procedure, as it would be written.
    pub fn text(&self) -> String {
        let mut text = String::from("---\ntitle: Job\n---\n\n");
        let mut number = 0;
        for step in &self.steps {
            if let Some(conditions) = &step.phase {
                // A blank line on either side, and a phase of a name of its own.
                let _ = write!(text, "\n## Phase{}\n\n", only(conditions));
                number = 0;
            }
            number += 1;
            let time = match step.minutes {
                0 => String::new(),
                minutes => format!(" [time {minutes} min]"),
            };
            let _ = writeln!(text, "{number}. Do{}{}{time}", mark(step.deed), only(&step.only));
        }
        text
    }

    /// The line of each step, from 1, and that of the heading before it, if one is.
    pub fn lines(&self) -> Vec<(usize, Option<usize>)> {
        let mut line = 4;
        let mut lines = Vec::new();
        for step in &self.steps {
            let heading = step.phase.as_ref().map(|_| {
                line += 3;
                line - 1
            });
            line += 1;
            lines.push((line, heading));
        }
        lines
    }
}

fn only(conditions: &Conditions) -> String {
    let one = |(option, values): &(usize, Vec<usize>)| {
        let words: Vec<&str> = values.iter().map(|v| VALUES[*v]).collect();
        format!(" [only o{option}={}]", words.join("|"))
    };
    conditions.iter().map(one).collect()
}

fn mark(deed: Deed) -> String {
    let counted = |count: Option<u32>| count.map_or_else(String::new, |count| format!(" {count}"));
    match deed {
        Deed::Nothing => String::new(),
        Deed::Fit(item, count) => format!(" [fit {item}{}]", counted(count)),
        Deed::Remove(item, count) => format!(" [remove {item}{}]", counted(count)),
        Deed::Loosen(torque) => format!(" [loosen {torque}]"),
        Deed::Snug(torque) => format!(" [snug {torque}]"),
        Deed::Torque(torque) => format!(" [torque {torque}]"),
        Deed::Set(state, value) => format!(" [set {state}={}]", ["x", "y", "z"][value]),
        Deed::Need(state, value) => format!(" [need {state}={}]", ["x", "y", "z"][value]),
        Deed::Act => " [do act]".to_string(),
        Deed::Start(timer) => format!(" [start {timer}]"),
        Deed::End(timer) => format!(" [end {timer}]"),
        Deed::Hold => " [hold hold]".to_string(),
        Deed::Glue => " [use glue]".to_string(),
        Deed::Seal => " [use seal on face]".to_string(),
        Deed::Wait(product) => format!(" [wait {product}]"),
    }
}
