//! What the data has as yes or no, or as one of two, and the template tells in words of its own: a left-hand thread, a part that is new each time,
//! a second person, within or at least, any order. Dropped or exchanged such words are a lie as much as a wrong figure is.
//!
//! The words are known by the table of the leaf's language. A template that has others marks them: `own("told")[…]`.

use std::collections::{BTreeMap, BTreeSet};

use benchleaf_core::words::{Called, Language, Part};
use serde_json::{Map, Value};

use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::letters::{self, Letter};
use super::node::{Claims, Node, Tree};
use super::text;
use super::words::{Printed, named};

/// What an item's data asks.
pub fn of(path: &str, map: &Map<String, Value>) -> Claims {
    let text = |field: &str| map.get(field).and_then(Value::as_str).unwrap_or_default();
    let flag = |field: &str| map.get(field).and_then(Value::as_bool);
    let mut claims = Claims::default();
    let mut yes_or_no = |flag: Option<bool>, key: &'static str| match flag {
        Some(true) => claims.must.push(key),
        Some(false) => claims.not.push(key),
        None => {}
    };
    let kind = text("kind");
    let is_spec = path.ends_with(".specs");
    if is_spec && kind == "torque" || path == "pocket.torques" {
        yes_or_no(flag("left_hand"), "left-hand");
    }
    if is_spec && matches!(kind, "torque" | "item") {
        yes_or_no(flag("single_use"), "new");
    }
    if path.ends_with(".steps.holds") || path == "form.cards.holds" {
        yes_or_no(flag("second_person"), "second-person");
    }
    if is_spec && matches!(kind, "timer-start" | "timer-end")
        || matches!(path, "card.cover.timers" | "form.cards.timers")
    {
        let within = text("rule") == "within";
        yes_or_no(Some(within), "within");
        yes_or_no(Some(!within), "at-least");
        claims.not.push(if within { "ready-from" } else { "close-by" });
    }
    if path == "card.phases.runs.steps" && flag("safe_stop") == Some(false) {
        claims.not.push("may-stop");
    }
    // A template may say either in words of its own, but never the other one.
    match kind {
        "need" if is_spec => claims.not.push("now"),
        "set" if is_spec => claims.not.push("need"),
        _ => {}
    }
    if path == "card.phases.runs" {
        claims.any_order = flag("any_order");
    }
    claims
}

/// Words that take no values.
pub fn plain(words: &Called) -> String {
    let part = |part: &Part| match part {
        Part::Words(words) => Some(words.clone()),
        _ => None,
    };
    let all: Option<String> = words.text.parts().iter().map(part).collect();
    all.unwrap_or_default()
}

/// Words that take a number: what stands before it, and the whole.
pub fn with_number(words: &Called, number: usize) -> (String, String) {
    let mut whole = String::new();
    let mut begins = None;
    for part in words.text.parts() {
        match part {
            Part::Words(words) => whole.push_str(words),
            _ => {
                begins.get_or_insert_with(|| whole.trim().to_string());
                whole.push_str(&number.to_string());
            }
        }
    }
    (begins.unwrap_or_default(), whole)
}

/// What a key says in a language.
pub fn word(language: Language, key: &str) -> Option<String> {
    let mut all = language.template_words();
    all.find(|(name, _)| *name == key)
        .map(|(_, words)| plain(words))
        .filter(|words| !words.is_empty())
}

/// The words of a language that claims are made of.
struct Words(BTreeMap<&'static str, String>);

impl Words {
    fn of(language: Language, tree: &Tree) -> Words {
        let claims = tree.nodes.iter().map(|node| &node.claims);
        let keys: BTreeSet<&str> = claims
            .flat_map(|claims| {
                let order = claims.any_order.map(|_| "any-order");
                claims.must.iter().chain(&claims.not).copied().chain(order)
            })
            .collect();
        let wanted = language.template_words().filter(|(key, _)| keys.contains(key));
        Words(wanted.map(|(key, words)| (key, plain(words))).collect())
    }

    fn get(&self, key: &str) -> Option<&str> {
        self.0.get(key).map(String::as_str).filter(|words| !words.is_empty())
    }

    /// True if a page says it more often than the author does.
    fn said(&self, page: &[Letter], node: Option<&Node>, key: &str) -> bool {
        let Some(words) = self.get(key) else { return false };
        let of = |page: &[Letter]| text::times(page, words);
        let own: usize = node.map_or(0, |node| {
            node.texts.iter().map(|text| of(&letters::wanted(&text.words))).sum()
        });
        of(page) > own
    }
}

/// Holds what the page says of each item against its data.
pub fn check(
    tree: &Tree,
    ink: &[Ink],
    printed: &BTreeMap<usize, Printed>,
    language: Option<Language>,
    found: &mut Vec<Breach>,
) {
    let Some(language) = language else { return };
    let words = Words::of(language, tree);
    for (index, node) in tree.nodes.iter().enumerate() {
        if let Some(printed) = printed.get(&index) {
            item(node, printed, &words, found);
        }
    }
    runs(tree, ink, &words, found);
    ends(tree, printed, &words, found);
}

/// Where a phase ends it says that work may stop there only if it may behind its last step.
fn ends(tree: &Tree, printed: &BTreeMap<usize, Printed>, words: &Words, found: &mut Vec<Breach>) {
    for (index, node) in tree
        .nodes
        .iter()
        .enumerate()
        .filter(|(_, node)| node.path == "card.phases.end")
    {
        let is_step = |(at, step): &(usize, &Node)| {
            step.path == "card.phases.runs.steps" && tree.up(*at).any(|up| Some(up) == node.parent)
        };
        let last = tree.nodes.iter().enumerate().rev().find(is_step);
        let may_not = last.is_some_and(|(_, step)| step.claims.not.contains(&"may-stop"));
        let Some(printed) = printed.get(&index).filter(|_| may_not) else {
            continue;
        };
        if words.said(&letters::of_ink(printed.ink.iter().copied()), Some(node), "may-stop") {
            let what = format!("the page says that work may stop, which isn't so, at {}", named(node));
            found.push(Breach::of(node, printed.leaf(), Kind::Lost, what));
        }
    }
}

/// Rows that a template numbers have the numbers of their places in their lists.
pub fn places(tree: &Tree, ink: &[Ink], found: &mut Vec<Breach>) {
    let mut before: BTreeMap<usize, usize> = BTreeMap::new();
    let numbered = tree.nodes.iter().map(|node| {
        let count = before.entry(node.list?).or_insert(0);
        *count += 1;
        Some((node, *count))
    });
    let places: Vec<Option<(&Node, usize)>> = numbered.collect();
    for one in ink.iter().filter(|ink| ink.is(Own::Number) && ink.run().is_some()) {
        let Some((node, place)) = one.item.and_then(|item| *places.get(item)?) else {
            continue;
        };
        for number in text::numbers(&letters::of_ink([one])) {
            if number.value.parse() != Ok(place) {
                let words = format!("number {} stands at number {place}, {}", number.value, named(node));
                found.push(Breach::of(node, one.leaf, Kind::Lost, words));
            }
        }
    }
}

fn item(node: &Node, printed: &Printed, words: &Words, found: &mut Vec<Breach>) {
    let claims = &node.claims;
    if claims.must.is_empty() && claims.not.is_empty() {
        return;
    }
    let page = letters::of_ink(printed.ink.iter().copied());
    let said = |key: &str| words.said(&page, Some(node), key);
    let missing: Vec<&str> = claims.must.iter().copied().filter(|key| !said(key)).collect();
    // Marked words that are none of ours stand for one each.
    let marks: BTreeSet<usize> = printed.ink.iter().filter_map(|ink| ink.told).collect();
    let others = marks.into_iter().filter(|mark| {
        let marked = letters::of_ink(printed.ink.iter().copied().filter(|ink| ink.told == Some(*mark)));
        !claims.must.iter().any(|key| words.said(&marked, None, key))
    });
    let mut tell = |what: String| found.push(Breach::of(node, printed.leaf(), Kind::Lost, what));
    if let Some(key) = missing.first().filter(|_| missing.len() > others.count()) {
        let words = words.get(key).unwrap_or(key);
        tell(format!("nothing says “{words}”, at {}", named(node)));
    }
    if let Some(key) = claims.not.iter().copied().find(|key| said(key)) {
        let words = words.get(key).unwrap_or(key);
        tell(format!("the page says “{words}”, which isn't so, at {}", named(node)));
    }
}

/// Whether the order of steps is free, in words that stand before the first of them or at it.
fn runs(tree: &Tree, ink: &[Ink], words: &Words, found: &mut Vec<Breach>) {
    let mut first: BTreeMap<usize, usize> = BTreeMap::new();
    for (at, one) in ink.iter().enumerate() {
        let item = one.item.filter(|item| *item < tree.nodes.len() && one.run().is_some());
        for (up, node) in item.into_iter().flat_map(|item| tree.around(item)) {
            if node.claims.any_order.is_some() {
                first.entry(up).or_insert(at);
            }
        }
    }
    for (run, at) in first {
        let (Some(node), Some(first)) = (tree.nodes.get(run), ink.get(at)) else {
            continue;
        };
        let is_free = node.claims.any_order == Some(true);
        let is_own = |ink: &&Ink| ink.is(Own::Words) || ink.is(Own::Told);
        let before = ink.iter().take(at).rev();
        let before = before
            .filter(|ink| ink.run().is_some() && !ink.is(Own::Stop))
            .take_while(|one| one.leaf == first.leaf && is_own(one));
        let step = first.item;
        let at_step = ink
            .iter()
            .skip(at)
            .take_while(|one| one.leaf == first.leaf)
            .filter(|one| one.item == step)
            .filter(is_own);
        let mut around: Vec<&Ink> = before.collect();
        around.reverse();
        around.extend(at_step);
        let says = words.said(&letters::of_ink(around.iter().copied()), None, "any-order");
        let marked = around.iter().any(|ink| ink.told.is_some());
        if words.get("any-order").is_none() || says == is_free || is_free && marked {
            continue;
        }
        let what = match is_free {
            true => "nothing says that the order of these steps is free",
            false => "the page says that the order of these steps is free, which isn't so",
        };
        let step = step.and_then(|step| tree.nodes.get(step)).unwrap_or(node);
        found.push(Breach::of(step, first.leaf, Kind::Lost, what.to_string()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_is_yes_or_no_is_asked_by_where_it_stands() {
        let specs = "card.phases.runs.steps.specs";
        for (path, data, must, not) in [
            (
                specs,
                json!({"kind": "torque", "left_hand": true, "single_use": false}),
                vec!["left-hand"],
                vec!["new"],
            ),
            (
                specs,
                json!({"kind": "item", "left_hand": true, "single_use": true}),
                vec!["new"],
                vec![],
            ),
            (
                "pocket.torques",
                json!({"left_hand": true, "single_use": true}),
                vec!["left-hand"],
                vec![],
            ),
            ("card.torques", json!({"left_hand": true}), vec![], vec![]),
            (
                "form.cards.holds",
                json!({"second_person": true}),
                vec!["second-person"],
                vec![],
            ),
            (
                "card.phases.runs.steps.holds",
                json!({"second_person": false}),
                vec![],
                vec!["second-person"],
            ),
            ("card.holds", json!({"second_person": true}), vec![], vec![]),
            (
                specs,
                json!({"kind": "timer-start", "rule": "within"}),
                vec!["within"],
                vec!["at-least", "ready-from"],
            ),
            (
                specs,
                json!({"kind": "timer-end", "rule": "at-least"}),
                vec!["at-least"],
                vec!["within", "close-by"],
            ),
            (
                "form.cards.timers",
                json!({"rule": "at-least"}),
                vec!["at-least"],
                vec!["within", "close-by"],
            ),
            (
                "card.cover.timers",
                json!({"rule": "within"}),
                vec!["within"],
                vec!["at-least", "ready-from"],
            ),
            ("card.carried_in.timers", json!({"rule": "within"}), vec![], vec![]),
            (
                "card.phases.runs.steps",
                json!({"safe_stop": false}),
                vec![],
                vec!["may-stop"],
            ),
            ("card.phases.runs.steps", json!({"safe_stop": true}), vec![], vec![]),
        ] {
            let claims = of(path, data.as_object().unwrap());
            assert_eq!((claims.must, claims.not), (must, not), "{path} {data}");
        }
        let not = |path: &str, kind: &str| of(path, json!({"kind": kind}).as_object().unwrap()).not;
        assert_eq!(not(specs, "need"), ["now"]);
        assert_eq!(not(specs, "set"), ["need"]);
        assert!(not("card.phases", "set").is_empty() && not("card.phases", "need").is_empty());
    }
}
