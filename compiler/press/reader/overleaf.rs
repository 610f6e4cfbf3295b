//! What a leaf needs of what goes on from another: headings with what they head, heads of tables that come again, which phase it is in and what can
//! hurt there.

use std::collections::BTreeSet;

use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::letters;
use super::order::{Order, parted};
use super::signal;
use super::text;
use super::words::short;

/// Looks where leaves end and begin.
pub fn check(order: &Order, found: &mut Vec<Breach>) {
    headings(order, found);
    table_heads(order, found);
    goes_on(order, found);
}

/// Words of the work, not those that come on every leaf.
fn is_work(ink: &Ink) -> bool {
    !ink.is(Own::Head) && !ink.is(Own::Foot) && ink.run().is_some()
}

/// A heading has what it heads on its leaf.
fn headings(order: &Order, found: &mut Vec<Breach>) {
    let mut left = order.ink;
    while let Some((heading, behind)) = left.split_first() {
        left = behind;
        if !(heading.is(Own::Heading) && is_work(heading)) {
            continue;
        }
        let next = behind.iter().position(|ink| !ink.is(Own::Heading) && is_work(ink));
        left = next.and_then(|at| behind.get(at..)).unwrap_or_default();
        let rest = || left.iter().filter(|ink| is_work(ink));
        // Words of the template's own may stand between; rows must follow them.
        let headed = rest().find(|ink| ink.item.is_some() && !ink.is(Own::TableHead) || ink.is(Own::Heading));
        let headed = headed.or(rest().next());
        if headed.is_some_and(|next| next.leaf != heading.leaf) {
            let node = heading.item.or(headed.and_then(|next| next.item));
            let words = "a heading stands alone at the end of its leaf".to_string();
            found.push(Breach::at(
                node.and_then(|n| order.tree.nodes.get(n)),
                heading.leaf,
                Kind::Parted,
                words,
            ));
        }
    }
}

/// A table that goes on overleaf has its head there, and no other one.
fn table_heads(order: &Order, found: &mut Vec<Breach>) {
    for (_, rows) in order.lists() {
        let Some((_, first)) = rows.first() else { continue };
        let head = head_over(order, first.first, first.first_leaf);
        if head.is_empty() {
            continue;
        }
        for pair in rows.windows(2) {
            let &[(_, before), (next, after)] = pair else { continue };
            if after.first_leaf <= before.last_leaf {
                continue;
            }
            let again = head_over(order, after.first, after.first_leaf);
            let what = if again.is_empty() {
                "a table goes on overleaf without its head"
            } else if !again.contains(&head) {
                "a table goes on overleaf under another head than its own"
            } else {
                continue;
            };
            parted(next, after.first_leaf, what.to_string(), found);
        }
    }
}

/// What the head says that stands over a row on its leaf: back to what another item has. Nothing if there is none.
fn head_over(order: &Order, row: usize, leaf: usize) -> String {
    let back = order.ink.iter().take(row).rev().take_while(|ink| ink.leaf == leaf);
    // The ground or the frame of a row lies before its words.
    let over = back
        .filter(|ink| is_work(ink))
        .take_while(|ink| ink.item.is_none() || ink.is(Own::TableHead));
    let mut head: Vec<&Ink> = over.filter(|ink| ink.is(Own::TableHead)).collect();
    head.reverse();
    let letters = letters::letters(head.into_iter().filter_map(|ink| ink.run().map(|run| (leaf, run))));
    letters.iter().map(|letter| letter.c).collect()
}

/// A leaf that begins inside a phase says which, with its hazard.
fn goes_on(order: &Order, found: &mut Vec<Breach>) {
    let leaves = order.ink.last().map_or(0, |ink| ink.leaf + 1);
    for leaf in 1..leaves {
        let first = order
            .ink
            .iter()
            .enumerate()
            .find(|(_, ink)| ink.leaf == leaf && ink.item.is_some() && !ink.is(Own::Head) && !ink.is(Own::Foot));
        let Some(item) = first.and_then(|(_, ink)| ink.item) else {
            continue;
        };
        let phase = order.tree.around(item).find(|(_, node)| node.path == "card.phases");
        let Some((phase, node)) = phase else { continue };
        let began = order.all(phase).is_some_and(|extent| extent.first_leaf < leaf);
        if node.texts.is_empty() || !began {
            continue;
        }
        let head = letters::letters(
            order
                .ink
                .iter()
                .filter(|ink| ink.leaf == leaf && ink.is(Own::Head))
                .filter_map(|ink| ink.run().map(|run| (leaf, run))),
        );
        let number = node.subject.phase.map(|n| n.to_string()).unwrap_or_default();
        let hazards = order.below(phase, "messages").flat_map(|(_, message)| {
            message
                .texts
                .iter()
                .filter(|text| text.field == "hazard" && message.signal.as_deref() != Some("note"))
        });
        let missing = std::iter::once(number.as_str())
            .chain(hazards.map(|text| text.words.as_str()))
            .find(|words| !text::says(&head, words));
        if let Some(words) = missing {
            let words = format!(
                "the leaf goes on inside a phase and its head doesn't say “{}”",
                short(words)
            );
            parted(node, leaf, words, found);
        }
        if let Some(word) = other_signal(order, phase, leaf) {
            let words =
                format!("the leaf goes on inside a phase and its head says {word}, which no message of it says");
            parted(node, leaf, words, found);
        }
    }
}

/// The word of a level of hazards that no message of a phase is of, where the head of a leaf has it by itself.
fn other_signal(order: &Order, phase: usize, leaf: usize) -> Option<String> {
    let head = order.ink.iter().filter(|ink| ink.leaf == leaf && ink.is(Own::Head));
    let runs: Vec<String> = head
        .filter_map(|ink| ink.run())
        .map(|run| run.clusters.iter().map(|c| c.text.as_str()).collect())
        .collect();
    // Messages of its steps and of the card too, for who tells all that can hurt there.
    let nodes = order.tree.nodes.iter().enumerate();
    let inside =
        nodes.filter(|(at, node)| node.path == "card.cover.messages" || order.tree.up(*at).any(|up| up == phase));
    let levels: BTreeSet<&str> = inside.filter_map(|(_, node)| node.signal.as_deref()).collect();
    let is_of = |level: &str| levels.contains(level);
    let mut words = signal::signal_words().into_iter();
    let other = words.find(|(level, word)| {
        let is_hazard = matches!(*level, "danger" | "warning" | "caution");
        is_hazard && !is_of(level) && runs.iter().any(|run| run.trim() == word)
    });
    other.map(|(_, word)| word)
}
