//! Small random machines: parts that cover, hold and contain each other, fasteners, a temporary item, a state, actions.

use proptest::prelude::*;
use std::fmt::Write;

/// What something asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Need {
    /// A part on.
    Part(usize),
    /// A part off.
    Off(usize),
    Tight(usize),
    Loose(usize),
    /// The temporary item on.
    Item,
    /// The state at one of some values.
    State(Vec<usize>),
    /// An action done, and nothing that it needs touched since.
    Action(usize),
}

#[derive(Debug, Clone)]
pub struct Part {
    pub covers: Vec<usize>,
    /// Fasteners that it covers.
    pub covers_torques: Vec<usize>,
    pub contains: Option<usize>,
    pub secures: Vec<usize>,
    pub needs: Vec<Need>,
    pub to_remove: Vec<Need>,
    /// What a new one costs; for single use where there is one.
    pub price: Option<u32>,
}

#[derive(Debug, Clone)]
pub struct Torque {
    pub secures: Vec<usize>,
    pub part: Option<usize>,
    pub to_loosen: Vec<Need>,
}

#[derive(Debug, Clone)]
pub struct Item {
    pub covers: Vec<usize>,
    pub to_fit: Vec<Need>,
    pub to_remove: Vec<Need>,
    /// Values of the state that it keeps; none: it keeps nothing.
    pub keeps: Vec<usize>,
}

#[derive(Debug, Clone)]
pub struct Action {
    pub needs: Vec<Need>,
    pub sets: Option<usize>,
}

#[derive(Debug, Clone)]
pub struct Machine {
    pub parts: Vec<Part>,
    pub torques: Vec<Torque>,
    pub item: Item,
    pub actions: Vec<Action>,
}

/// Values of the one state; it starts at the first.
pub const VALUES: [&str; 3] = ["x", "y", "z"];
const PARTS: usize = 5;
const TORQUES: usize = 2;
const ACTIONS: usize = 2;

fn need() -> impl Strategy<Value = Need> {
    prop_oneof![
        1 => (0..PARTS).prop_map(Need::Part),
        2 => (0..PARTS).prop_map(Need::Off),
        1 => (0..TORQUES).prop_map(Need::Tight),
        1 => (0..TORQUES).prop_map(Need::Loose),
        2 => Just(Need::Item),
        4 => prop::sample::subsequence(vec![0, 1, 2], 1..3).prop_map(Need::State),
        2 => (0..ACTIONS).prop_map(Need::Action),
    ]
}

fn few(chance: f64) -> impl Strategy<Value = Vec<Need>> {
    prop::option::weighted(chance, need()).prop_map(|need| need.into_iter().collect())
}

fn some(most: usize, chance: f64) -> impl Strategy<Value = Vec<usize>> {
    prop::collection::vec(prop::bool::weighted(chance), most).prop_map(|flags| {
        flags
            .iter()
            .enumerate()
            .filter(|(_, flag)| **flag)
            .map(|(n, _)| n)
            .collect()
    })
}

fn part() -> impl Strategy<Value = Part> {
    (
        some(PARTS, 0.2),
        some(TORQUES, 0.1),
        prop::option::weighted(0.12, 0..PARTS),
        some(PARTS, 0.08),
        few(0.08),
        few(0.25),
        prop::option::weighted(0.3, 1..9_u32),
    )
        .prop_map(
            |(covers, covers_torques, contains, secures, needs, to_remove, price)| Part {
                covers,
                covers_torques,
                contains,
                secures,
                needs,
                to_remove,
                price,
            },
        )
}

/// Machines of five parts. Nothing is in its own way, and nothing lies in two things or in what lies in it.
pub fn machines() -> impl Strategy<Value = Machine> {
    let torque = (some(PARTS, 0.25), prop::option::weighted(0.3, 0..PARTS), few(0.3));
    let torque = torque.prop_map(|(secures, part, to_loosen)| Torque {
        secures,
        part,
        to_loosen,
    });
    let item = (
        some(PARTS, 0.2),
        few(0.4),
        few(0.3),
        prop::sample::subsequence(vec![0, 1, 2], 0..3),
    );
    let item = item.prop_map(|(covers, to_fit, to_remove, keeps)| Item {
        covers,
        to_fit,
        to_remove,
        keeps,
    });
    let action = (few(0.6), prop::option::weighted(0.8, 0..3_usize));
    let action = action.prop_map(|(needs, sets)| Action { needs, sets });
    (
        prop::collection::vec(part(), PARTS),
        prop::collection::vec(torque, TORQUES),
        item,
        prop::collection::vec(action, ACTIONS),
    )
        .prop_map(|(parts, torques, item, actions)| {
            tidy(Machine {
                parts,
                torques,
                item,
                actions,
            })
        })
}

fn tidy(mut machine: Machine) -> Machine {
    let mut inside = [false; PARTS];
    for own in 0..PARTS {
        let part = &mut machine.parts[own];
        part.covers.retain(|other| *other != own);
        part.secures.retain(|other| *other != own);
        let not_self = |need: &Need| !matches!(need, Need::Part(n) | Need::Off(n) if *n == own);
        part.needs.retain(not_self);
        part.to_remove.retain(not_self);
        // Only a later part lies in an earlier one.
        part.contains = part.contains.filter(|other| *other > own && !inside[*other]);
        if let Some(other) = part.contains {
            inside[other] = true;
        }
    }
    let mut taken = Vec::new();
    for torque in &mut machine.torques {
        torque.part = torque
            .part
            .filter(|part| !torque.secures.contains(part) && !taken.contains(part));
        taken.extend(torque.part);
    }
    for own in 0..TORQUES {
        let not_self = |need: &Need| !matches!(need, Need::Tight(n) | Need::Loose(n) if *n == own);
        machine.torques[own].to_loosen.retain(not_self);
    }
    for own in 0..ACTIONS {
        machine.actions[own]
            .needs
            .retain(|need| !matches!(need, Need::Action(_)));
    }
    machine.item.to_fit.retain(|need| *need != Need::Item);
    machine.item.to_remove.retain(|need| *need != Need::Item);
    machine
}

impl Machine {
    /// The set, as it would be written.
    pub fn text(&self) -> String {
        let mut text = String::from("machine: Invented machine\ntitle: Machine\nparts:\n");
        for (n, part) in self.parts.iter().enumerate() {
            let mut covers = ids("p", &part.covers);
            covers.extend(ids("t", &part.covers_torques));
            let mut fields = vec![format!("name: part {n}")];
            fields.extend(list("covers", &covers));
            fields.extend(list(
                "contains",
                &part.contains.iter().map(|n| format!("p{n}")).collect::<Vec<_>>(),
            ));
            fields.extend(list("secures", &ids("p", &part.secures)));
            fields.extend(list("needs", &needs(&part.needs)));
            fields.extend(list("to-remove", &needs(&part.to_remove)));
            fields.extend(part.price.map(|price| format!("price: {price}.00, renew: yes")));
            let _ = writeln!(text, "  p{n}: {{{}}}", fields.join(", "));
        }
        text += "torques:\n";
        for (n, torque) in self.torques.iter().enumerate() {
            let mut fields = vec![format!("name: bolts {n}, torque: 9 N·m, lubrication: dry")];
            fields.extend(list("secures", &ids("p", &torque.secures)));
            fields.extend(torque.part.map(|part| format!("part: p{part}")));
            fields.extend(list("to-loosen", &needs(&torque.to_loosen)));
            let _ = writeln!(text, "  t{n}: {{{}}}", fields.join(", "));
        }
        let mut fields = vec!["name: item".to_string()];
        fields.extend(list("covers", &ids("p", &self.item.covers)));
        fields.extend(list("to-fit", &needs(&self.item.to_fit)));
        fields.extend(list("to-remove", &needs(&self.item.to_remove)));
        if !self.item.keeps.is_empty() {
            let values: Vec<&str> = self.item.keeps.iter().map(|value| VALUES[*value]).collect();
            fields.push(format!("keeps: {{s: [{}]}}", values.join(", ")));
        }
        let _ = writeln!(text, "temporary:\n  item: {{{}}}", fields.join(", "));
        text += "states:\n  s: {name: state, values: [x, y, z], start: x}\nactions:\n";
        for (n, action) in self.actions.iter().enumerate() {
            let mut fields = vec![format!("name: act {n}")];
            fields.extend(list("needs", &needs(&action.needs)));
            fields.extend(action.sets.map(|value| format!("sets: {{s: {}}}", VALUES[value])));
            let _ = writeln!(text, "  a{n}: {{{}}}", fields.join(", "));
        }
        text
    }
}

fn ids(letter: &str, numbers: &[usize]) -> Vec<String> {
    numbers.iter().map(|n| format!("{letter}{n}")).collect()
}

fn needs(needs: &[Need]) -> Vec<String> {
    let one = |need: &Need| match need {
        Need::Part(n) => format!("p{n}"),
        Need::Off(n) => format!("p{n}=off"),
        Need::Tight(n) => format!("t{n}"),
        Need::Loose(n) => format!("t{n}=loose"),
        Need::Item => "item".to_string(),
        Need::State(values) => {
            let values: Vec<&str> = values.iter().map(|value| VALUES[*value]).collect();
            format!("s={}", values.join("|"))
        }
        Need::Action(n) => format!("a{n}"),
    };
    needs.iter().map(one).collect()
}

fn list(field: &str, words: &[String]) -> Option<String> {
    (!words.is_empty()).then(|| format!("{field}: [{}]", words.join(", ")))
}
