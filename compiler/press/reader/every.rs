//! What stands on every leaf: who it is and which, at its head; its code and where it goes on, at its foot.

use benchleaf_core::cards::card::Identity;

use super::super::code::Code;
use super::breach::{Breach, Kind};
use super::ink::{Ink, Own};
use super::node::Tree;
use super::place::MM;
use super::scan;
use super::words::{self, Letter};

/// Looks at head and foot of every leaf.
pub fn check(
    tree: &Tree,
    ink: &[Ink],
    leaves: usize,
    identity: &Identity,
    code: Option<&Code>,
    found: &mut Vec<Breach>,
) {
    let is_card = tree.nodes.first().is_some_and(|node| node.path == "card");
    for leaf in 0..leaves {
        let on_leaf: Vec<&Ink> = ink.iter().filter(|ink| ink.leaf == leaf).collect();
        let of = |own: Own| {
            let like = on_leaf.iter().filter(|ink| ink.is(own));
            words::letters(like.filter_map(|ink| ink.run().map(|run| (leaf, run))))
        };
        let (head, foot) = (of(Own::Head), of(Own::Foot));
        let told = missing(&head, &foot, leaf, leaves, identity, code).or_else(|| {
            let which = [(leaf + 1, leaves), (identity.position, identity.of)];
            let which = if is_card { &which[..] } else { &which[..1] };
            unnumbered(&head, which)
        });
        if let Some((text, place)) = told {
            let words = format!("the {place} of the leaf doesn't say “{}”", words::short(&text));
            found.push(Breach::at(None, leaf, Kind::Lost, words));
        }
        draft(&on_leaf, leaf, identity.draft, found);
        if let Some(code) = code {
            scan::check(&on_leaf, leaf, code, found);
        }
        bar(&on_leaf, leaf, found);
    }
}

/// The first text that head or foot lacks, and where.
fn missing(
    head: &[Letter],
    foot: &[Letter],
    leaf: usize,
    leaves: usize,
    identity: &Identity,
    code: Option<&Code>,
) -> Option<(String, &'static str)> {
    let mut wanted = vec![
        // In words already, as all of the leaf.
        identity.title.english(),
        identity.rev.clone(),
        identity.date.clone(),
    ];
    for choice in &identity.choices {
        wanted.push(choice.option.clone());
        wanted.push(choice.value.clone());
    }
    let mut below: Vec<String> = code.map(|code| code.text.clone()).into_iter().collect();
    if leaf + 1 < leaves {
        // Where it goes on.
        below.push((leaf + 2).to_string());
    }
    let lacks = |page: &[Letter], text: &String| !text.trim().is_empty() && !words::says(page, text);
    let at_head = wanted
        .into_iter()
        .find(|text| lacks(head, text))
        .map(|text| (text, "head"));
    at_head.or_else(|| {
        below
            .into_iter()
            .find(|text| lacks(foot, text))
            .map(|text| (text, "foot"))
    })
}

/// Letters between a number and how many there are: ` of `, ` von `.
const BETWEEN: usize = 12;

/// A number of the head that isn't followed by how many there are; each pair is asked for once more where it is wanted twice.
fn unnumbered(head: &[Letter], wanted: &[(usize, usize)]) -> Option<(String, &'static str)> {
    let mut pairs = words::pairs(head, BETWEEN);
    for (n, of) in wanted {
        let pair = (n.to_string(), of.to_string());
        match pairs.iter().position(|told| *told == pair) {
            Some(at) => {
                pairs.remove(at);
            }
            None => return Some((format!("{n} of {of}"), "head")),
        }
    }
    None
}

/// The mark of what nobody has walked through, where it is due and nowhere else.
fn draft(ink: &[&Ink], leaf: usize, is_draft: bool, found: &mut Vec<Breach>) {
    let told = ink.iter().any(|ink| ink.is(Own::Draft) && ink.run().is_some());
    let words = match (is_draft, told) {
        (true, false) => "the head of the leaf doesn't say that it is a draft",
        (false, true) => "the head of the leaf says that it is a draft, which it is not",
        _ => return,
    };
    found.push(Breach::at(None, leaf, Kind::Lost, words.to_string()));
}

/// The bar that shows whether a printer has scaled the leaf, in millimetres, and by how much it may differ.
const BAR: f64 = 50.0;
const BAR_SLACK: f64 = 0.3;

/// Where words say how long a bar is, one is as long.
fn bar(ink: &[&Ink], leaf: usize, found: &mut Vec<Breach>) {
    let ours: Vec<&&Ink> = ink
        .iter()
        .filter(|ink| ink.item.is_none() && ink.is(Own::Words))
        .collect();
    let letters = words::letters(ours.iter().filter_map(|ink| ink.run().map(|run| (leaf, run))));
    if !words::says(&letters, "50 mm") {
        return;
    }
    let lines = ours.iter().filter_map(|ink| ink.drawn()).flat_map(|drawn| &drawn.lines);
    let is_so_long = |length: f64| (length / MM - BAR).abs() <= BAR_SLACK;
    let found_bar = lines.into_iter().any(|line| {
        let (across, down) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
        down.abs() < 0.1 && is_so_long(across.abs())
    });
    if !found_bar {
        let words = "the bar that shows whether the leaf was scaled is not 50 mm long".to_string();
        found.push(Breach::at(None, leaf, Kind::Lost, words));
    }
}
