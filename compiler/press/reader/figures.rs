//! Figures that the leaf doesn't have: every number in an item comes from its data, or counts it. A template's own numbers stand in words of its own.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

use super::breach::{Breach, Kind};
use super::letters;
use super::node::{KEY, Node, Tree};
use super::prose::is_prose;
use super::text::{self, Number};
use super::words::{Printed, named};

/// Digits from which on a number may be divided at the end of a line.
const LONG: usize = 7;

/// The digits of all numbers that a dictionary has, and of how many rows its lists have; dictionaries in it have their own.
pub fn of(path: &str, map: &Map<String, Value>) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (field, value) in map.iter().filter(|(field, _)| *field != KEY) {
        match value {
            Value::Object(_) => {}
            Value::Array(items)
                if items.iter().any(Value::is_object) && !is_prose(&format!("{path}.{field}"), items) =>
            {
                count(items.len(), &mut found);
            }
            value => gather(value, &mut found),
        }
    }
    found
}

/// Entries of a list are numbered, passes counted.
fn count(rows: usize, found: &mut BTreeSet<String>) {
    found.extend((1..=rows).map(|n| n.to_string()));
}

fn gather(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::String(text) => digits(text, found),
        Value::Number(number) => digits(&number.to_string(), found),
        Value::Array(items) => {
            count(items.len(), found);
            items.iter().for_each(|item| gather(item, found));
        }
        Value::Object(map) => map.values().for_each(|value| gather(value, found)),
        Value::Bool(_) | Value::Null => {}
    }
}

fn digits(text: &str, found: &mut BTreeSet<String>) {
    let text: String = text.chars().filter(|c| !letters::is_formless(*c)).collect();
    let numbers = text.split(|c: char| !c.is_ascii_digit());
    found.extend(numbers.filter(|digits| !digits.is_empty()).map(str::to_string));
}

/// What each number is a part of, if it is divided at the ends of lines: digits at the end of one and at the start of the next.
fn joined(numbers: &[Number]) -> Vec<String> {
    let goes_on = |(one, next): (&Number, &Number)| one.to == next.from && next.line == one.line + 1;
    let mut wholes: Vec<(String, usize)> = Vec::new();
    for (at, number) in numbers.iter().enumerate() {
        let before = at.checked_sub(1).and_then(|at| numbers.get(at));
        match wholes.last_mut() {
            Some((whole, parts)) if before.is_some_and(|before| goes_on((before, number))) => {
                whole.push_str(&number.value);
                *parts += 1;
            }
            _ => wholes.push((number.value.clone(), 1)),
        }
    }
    wholes
        .into_iter()
        .flat_map(|(whole, parts)| vec![whole; parts])
        .collect()
}

/// Tells of numbers in an item that neither it nor what it stands in has.
pub fn check(tree: &Tree, printed: &BTreeMap<usize, Printed>, found: &mut Vec<Breach>) {
    let mut places: BTreeMap<usize, usize> = BTreeMap::new();
    // Who the leaf is may be told anywhere.
    let who: Vec<&Node> = tree
        .nodes
        .iter()
        .filter(|node| node.path.contains(".identity"))
        .collect();
    for (index, node) in tree.nodes.iter().enumerate() {
        let place = node.list.map(|list| {
            let count = places.entry(list).or_insert(0);
            *count += 1;
            count.to_string()
        });
        let Some(printed) = printed.get(&index) else { continue };
        let numbers = text::numbers(&letters::letters(printed.runs()));
        let wholes = joined(&numbers);
        let strange = numbers.iter().zip(&wholes).find(|(number, whole)| {
            let value = &number.value;
            let has = |node: &Node| {
                node.figures.contains(value) || whole.len() >= LONG && node.figures.contains(whole.as_str())
            };
            let behind = || tree.nodes.iter().enumerate().skip(index + 1);
            let below = || behind().filter(|(at, _)| tree.up(*at).any(|up| up == index));
            !(place.as_ref() == Some(value)
                || tree.around(index).any(|(_, node)| has(node))
                || who.iter().any(|node| has(node))
                || below().any(|(_, node)| has(node)))
        });
        if let Some((number, _)) = strange {
            let words = format!("“{}” is no figure that the leaf has, at {}", number.value, named(node));
            found.push(Breach::of(node, printed.leaf(), Kind::Unowned, words));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_those_of_the_data() {
        let Value::Object(map) = serde_json::json!({
            "key": "k-a",
            "figure": "17.5 N·m",
            "count": 4,
            "text": [{"kind": "list", "items": [[{"text": "1\u{ad}75 mm"}]]}],
            "inner": {"figure": "99"},
            "stages": [{"figure": "88"}, {"figure": "77"}],
        }) else {
            panic!("an object");
        };
        let found: Vec<String> = of("card.phases.runs.steps.specs", &map).into_iter().collect();
        assert_eq!(found, ["1", "17", "175", "2", "4", "5"]);
    }

    #[test]
    fn a_number_may_be_divided_between_two_lines() {
        let mut page = letters::wanted("no 2004711, 47");
        page.get_mut(6).unwrap().line = true;
        page.get_mut(6).unwrap().gap = true;
        let wholes = joined(&text::numbers(&page));
        assert_eq!(wholes, ["2004711", "2004711", "47"]);
        page.get_mut(6).unwrap().line = false;
        assert_eq!(joined(&text::numbers(&page)), ["2004", "711", "47"]);
    }
}
