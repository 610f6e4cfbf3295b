//! What the ledger knows, as text and numbers.

use super::Checked;
use benchleaf_core::check::calc::CalcFacts;
use benchleaf_core::check::ledger::{Gap, Grip, Standing, carried, close_out};
use benchleaf_core::check::machine::explore;
use benchleaf_core::check::walk::{Flow, Place, play};
use benchleaf_core::model::{Choices, Set};
use std::fmt::Write;

impl Checked {
    /// How many diagram nodes are looked at for the first set, and what of it is given up.
    pub fn work(&self) -> (usize, Vec<String>) {
        let Some(set) = self.compilation.model.sets.first() else {
            return (0, Vec::new());
        };
        let calcs = self.compilation.facts.first().map(|facts| &facts.calcs);
        let none = CalcFacts::default();
        let ledger = explore(&Flow::new(set), calcs.unwrap_or(&none));
        (ledger.visited, ledger.unchecked.into_iter().map(|(_, id)| id).collect())
    }
}

/// What the first set carries from card to card by its defaults, where its work may stop, and its close-out.
pub fn told(checked: &Checked) -> String {
    let set = checked
        .compilation
        .model
        .sets
        .first()
        .unwrap_or_else(|| panic!("no set"));
    let choices = Choices::defaults(&set.catalogue);
    let mut out = String::new();
    let played = play(&Flow::new(set), &choices);
    for (procedure, card) in carried(&played).named() {
        let _ = writeln!(out, "{}", set.procedures[procedure].id);
        standing(set, "in", &card.carried_in, &mut out);
        let safe: Vec<String> = card
            .gaps
            .iter()
            .filter(|g| g.is_safe())
            .map(|g| g.after.to_string())
            .collect();
        let _ = writeln!(out, "  may stop after {}", safe.join(" "));
        let open: Vec<&Gap> = card.gaps.iter().filter(|g| !g.is_safe()).collect();
        let _ = writeln!(
            out,
            "  must not stop after {}",
            open.iter().map(|g| g.after.to_string()).collect::<Vec<_>>().join(" ")
        );
        standing(set, "out", &card.carried_out, &mut out);
    }
    let close = close_out(&played);
    let _ = writeln!(out, "close-out");
    for item in &close.temporary {
        let off: Vec<String> = item.off.iter().map(|p| place(set, p)).collect();
        let _ = writeln!(
            out,
            "  off {} x {}: {}",
            item.count,
            set.catalogue.temporary.get(item.item).id.text,
            off.join(", ")
        );
    }
    for torque in &close.torques {
        let _ = writeln!(
            out,
            "  tight {}: {}",
            set.catalogue.torques.get(torque.torque).id.text,
            place(set, &torque.at)
        );
    }
    for hold in &close.holds {
        let _ = writeln!(
            out,
            "  hold {}: {}",
            set.catalogue.holds.get(hold.hold).id.text,
            place(set, &hold.at)
        );
    }
    out
}

fn place(set: &Set, place: &Place) -> String {
    format!("{} {}", set.procedures[place.procedure].id, place.step)
}

fn standing(set: &Set, way: &str, standing: &Standing, out: &mut String) {
    for held in &standing.fitted {
        let id = &set.catalogue.temporary.get(held.item).id.text;
        let _ = writeln!(
            out,
            "  {way}: on {} x {id} since {}",
            held.count,
            place(set, &held.since)
        );
    }
    for held in &standing.off {
        let id = &set.catalogue.parts.get(held.item).id.text;
        let _ = writeln!(
            out,
            "  {way}: off {} x {id} since {}",
            held.count,
            place(set, &held.since)
        );
    }
    for loose in &standing.loose {
        let (torque, grip) = loose.what;
        let id = &set.catalogue.torques.get(torque).id.text;
        let how = if grip == Grip::Snug { "snug" } else { "loose" };
        let of = of_members(&loose.members);
        let _ = writeln!(out, "  {way}: {how} {id}{of} since {}", place(set, &loose.since));
    }
    for stands in &standing.states {
        let (state, value) = stands.what;
        let def = set.catalogue.states.get(state);
        let _ = writeln!(
            out,
            "  {way}: {}={}{} since {}",
            def.id.text,
            def.value.values[value].text,
            of_members(&stands.members),
            place(set, &stands.since)
        );
    }
    for runs in &standing.timers {
        let _ = writeln!(
            out,
            "  {way}: runs {}{} since {}",
            set.catalogue.timers.get(runs.what).id.text,
            of_members(&runs.members),
            place(set, &runs.since)
        );
    }
}

/// Positions of members, where they are not the first alone.
fn of_members(members: &[usize]) -> String {
    match members {
        [0] => String::new(),
        members => format!(" of {members:?}"),
    }
}
