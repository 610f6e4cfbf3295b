//! How the machine stands between two cards: that a part is off, or fasteners are loose, is said at their row, or once before the rows of which it
//! is true, on each leaf that has some of them.

use benchleaf_core::words::Language;
use serde_json::{Map, Value};

use super::breach::{Breach, Kind};
use super::claims;
use super::ink::{Ink, Own};
use super::node::{So, Tree};
use super::words::{named, short};

/// How a row of what a card finds or leaves stands; none where the row says it all.
pub fn so(path: &str, map: &Map<String, Value>) -> Option<So> {
    match path.strip_prefix("card.carried_")?.split_once('.')?.1 {
        "off" => Some(So::Key("off-now")),
        "loose" => Some(So::Said(map.get("detail")?.as_str()?.to_string())),
        _ => None,
    }
}

/// Looks for it at each row, and before it on its leaf: nearer than what is said of others.
pub fn check(tree: &Tree, ink: &[Ink], language: Option<Language>, found: &mut Vec<Breach>) {
    let said = |so: &So| match so {
        So::Said(words) => Some(words.clone()),
        So::Key(key) => claims::word(language?, key),
    };
    for (index, node) in tree.nodes.iter().enumerate() {
        let Some(so) = node.so.as_ref().and_then(said) else {
            continue;
        };
        let mut of_row = ink.iter().enumerate().filter(|(_, ink)| ink.item == Some(index));
        let Some((first, row)) = of_row.next() else { continue };
        let own = ink.iter().filter(|ink| ink.item == Some(index));
        let before = ink.iter().take(first).rev().take_while(|ink| ink.leaf == row.leaf);
        // Back over the rows before it to the words that the template has before them.
        let mut lead = before
            .skip_while(|ink| !is_lead(ink))
            .take_while(|ink| is_lead(ink))
            .collect::<Vec<_>>();
        lead.reverse();
        if !says(own, &so) && !says(lead, &so) {
            let words = format!(
                "neither it nor the words before it say “{}”, at {}",
                short(&so),
                named(node)
            );
            found.push(Breach::of(node, row.leaf, Kind::Lost, words));
        }
    }
}

/// Words of the template's own, of no item; in the head of a leaf too, if they stand in it for themselves.
fn is_lead(ink: &Ink) -> bool {
    ink.item.is_none() && ink.own.first() == Some(&Own::Words) && ink.run().is_some()
}

/// Whatever letters are capitals.
fn says<'a>(ink: impl IntoIterator<Item = &'a Ink>, so: &str) -> bool {
    let runs = ink.into_iter().filter_map(Ink::run);
    let clusters = runs.flat_map(|run| run.clusters.iter().map(|cluster| cluster.text.as_str()).chain([" "]));
    let words = |text: &str| -> Vec<String> {
        let parts = text
            .split(|c: char| !c.is_alphanumeric())
            .filter(|part| !part.is_empty());
        parts.map(str::to_lowercase).collect()
    };
    let (page, so) = (words(&clusters.collect::<String>()), words(so));
    !so.is_empty() && page.windows(so.len()).any(|part| part == so)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn rows_that_need_a_word() {
        let row = json!({"what": "bolts", "detail": "by hand only"});
        let of = |path: &str| so(path, row.as_object().unwrap());
        assert_eq!(of("card.carried_in.loose"), Some(So::Said("by hand only".to_string())));
        assert_eq!(of("card.carried_out.off"), Some(So::Key("off-now")));
        assert_eq!(of("card.carried_in.states"), None);
        assert_eq!(of("card.carried_in"), None);
        assert_eq!(of("card.phases"), None);
    }
}
