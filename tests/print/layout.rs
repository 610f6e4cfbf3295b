//! The layout rules, on every leaf of the demo cards as it was laid out: sizes, margins, nothing over anything else, what stays together.

use crate::printer::card::Spec;
use crate::printer::{Printed, Run, squeezed};
use std::collections::BTreeSet;

/// Half a point of slack in millimetres for letters that reach out of their box.
const TOUCH: f64 = 0.6;

/// What breaks a rule on the leaves of a card.
pub fn look(printed: &Printed, width: f64, height: f64) -> Vec<String> {
    let mut found = Vec::new();
    for (n, leaf) in printed.leaves.iter().enumerate() {
        let faults = leaf.iter().flat_map(|run| run_faults(printed, run, width, height));
        let faults = faults.chain(collisions(leaf)).chain(stranded(printed, leaf));
        found.extend(faults.map(|fault| format!("{} leaf {}: {fault}", printed.data.identity.procedure, n + 1)));
    }
    found.extend(widows(printed));
    found
}

fn run_faults(printed: &Printed, run: &Run, width: f64, height: f64) -> Vec<String> {
    let mut found = Vec::new();
    let place = format!("{:?} at {:.1}, {:.1} mm", run.text, run.x, run.y);
    // Only what nobody works from, the code's text, is smaller than 10 pt.
    let floor = if of_code(printed, run) { 8.99 } else { 9.99 };
    if run.size < floor {
        found.push(format!("{place} is {:.1} pt", run.size));
    }
    let blank = run.text.trim().is_empty();
    if !blank && (run.x < 15.0 || run.x + run.width > width - 8.0 || run.y < 8.0 || run.y > height - 8.0) {
        found.push(format!("{place} is too near the edge"));
    }
    found
}

fn of_code(printed: &Printed, run: &Run) -> bool {
    let identity = &printed.data.identity;
    let mut text = format!("{}/{} rev {}", identity.set, identity.procedure, identity.rev);
    text.extend(identity.choices.iter().map(|c| format!(" {}={}", c.option, c.value)));
    squeezed(&text).contains(&squeezed(&run.text))
}

/// Runs that lie over each other: capitals of the one reach into the capitals of the other.
fn collisions(leaf: &[Run]) -> Vec<String> {
    let mut found = Vec::new();
    let seen = |run: &&Run| !run.text.trim().is_empty() && run.text != "☐";
    let runs: Vec<&Run> = leaf.iter().filter(seen).collect();
    for (n, a) in runs.iter().enumerate() {
        for b in &runs[n + 1..] {
            let across = (a.x + a.width).min(b.x + b.width) - a.x.max(b.x);
            // Height of capitals, 0.73 em, above the base line.
            let top = |run: &Run| run.y - run.size * 0.3528 * 0.73;
            let down = a.y.min(b.y) - top(a).max(top(b));
            if across > TOUCH && down > TOUCH {
                found.push(format!(
                    "{:?} lies over {:?} at {:.0}, {:.0} mm",
                    a.text, b.text, a.x, a.y
                ));
            }
        }
    }
    found
}

/// Numbers of steps, which stand in the column beside the boxes and in bold.
fn step_numbers<'a>(printed: &Printed, leaf: &'a [Run]) -> Vec<&'a Run> {
    let steps: BTreeSet<&str> = numbers(printed).flatten().collect();
    let number = |run: &&Run| run.bold && run.x < 40.0 && steps.contains(run.text.trim_start_matches("• "));
    leaf.iter().filter(number).collect()
}

/// The numbers of the steps of each phase.
fn numbers(printed: &Printed) -> impl Iterator<Item = Vec<&str>> {
    printed.data.phases.iter().map(|phase| {
        let steps = phase.runs.iter().flat_map(|run| &run.steps);
        steps.map(|step| step.number.as_str()).collect()
    })
}

/// A heading with neither a step nor a message below it on its leaf.
fn stranded(printed: &Printed, leaf: &[Run]) -> Vec<String> {
    let steps = step_numbers(printed, leaf);
    let words = ["DANGER", "WARNING", "CAUTION", "NOTICE", "NOTE"];
    let messages: Vec<&Run> = leaf.iter().filter(|run| words.contains(&run.text.as_str())).collect();
    let headings = leaf
        .iter()
        .filter(|run| run.bold && run.size > 15.5 && run.text.starts_with("Phase "));
    headings
        .filter(|heading| !steps.iter().chain(&messages).any(|run| run.y > heading.y))
        .map(|heading| format!("{:?} stands alone at the foot", heading.text))
        .collect()
}

/// How far boxes to write in reach below the words beside them, in millimetres.
const BOX: f64 = 6.0;

/// From the rule of the foot, and the room above that, to the words in the foot that tell where the card goes on, in millimetres.
const FOOT: f64 = 11.0;

/// True if no leaf holds two steps, each on its leaf now, below what the leaf of the second says above it.
fn too_high(printed: &Printed, before: (usize, &str), last: (usize, &str)) -> bool {
    let steps = printed.data.phases.iter().flat_map(|phase| &phase.runs);
    let steps: Vec<_> = steps.flat_map(|run| &run.steps).collect();
    let measures = |number: &str| {
        let step = steps.iter().find(|step| step.number == number);
        step.is_some_and(|step| step.specs.iter().any(|spec| matches!(spec, Spec::Measure(_))))
    };
    let foot = |leaf: &[Run]| {
        let next = leaf.iter().find(|run| run.text.starts_with("Next: leaf"));
        next.map_or(f64::INFINITY, |run| run.y - FOOT)
    };
    let extent = |(leaf, number): (usize, &str)| -> Option<(f64, f64, f64)> {
        let leaf = &printed.leaves[leaf];
        let numbers = step_numbers(printed, leaf);
        let top = numbers
            .iter()
            .find(|run| run.text.trim_start_matches("• ") == number)?
            .y;
        let work = leaf.iter().map(|run| run.y).filter(|y| *y < foot(leaf));
        let bottom = work.fold(top, f64::max) + if measures(number) { BOX } else { 0.0 };
        Some((top, bottom - top, foot(leaf)))
    };
    match (extent(before), extent(last)) {
        (Some((_, one, _)), Some((top, other, foot))) => top + one + other > foot,
        _ => false,
    }
}

/// The last step of a phase alone overleaf, where the step before it could have come along.
fn widows(printed: &Printed) -> Vec<String> {
    let leaf_of = |number: &str| {
        let on = |leaf: &Vec<Run>| {
            step_numbers(printed, leaf)
                .iter()
                .any(|run| run.text.trim_start_matches("• ") == number)
        };
        printed.leaves.iter().position(on)
    };
    let mut found = Vec::new();
    for phase in numbers(printed) {
        let [.., before, last] = phase.as_slice() else { continue };
        let (Some(a), Some(b)) = (leaf_of(before), leaf_of(last)) else {
            found.push(format!("steps {before} and {last} are not both printed"));
            continue;
        };
        // At the top of its leaf, the step before it is followed by all that fits; what stands with another phase isn't alone.
        let numbers_on = |leaf: usize| -> Vec<String> {
            let runs = step_numbers(printed, &printed.leaves[leaf]);
            runs.iter()
                .map(|run| run.text.trim_start_matches("• ").to_string())
                .collect()
        };
        let on_top = numbers_on(a).first().map(String::as_str) == Some(*before);
        // Nor is a stretch in which work must not stop cut for it.
        let steps = printed.data.phases.iter().flat_map(|phase| &phase.runs);
        let steps: Vec<_> = steps.flat_map(|run| &run.steps).collect();
        let place = steps.iter().position(|step| step.number == *before).unwrap_or(0);
        let is_held = place > 0 && !steps[place - 1].open.is_empty();
        // The last leaf has the end of the card too: a leaf fewer comes first.
        let is_last = b + 1 == printed.leaves.len();
        let on_top = on_top || is_held || is_last || numbers_on(b).len() > 1;
        if a != b && !on_top && !too_high(printed, (a, before), (b, last)) {
            found.push(format!(
                "{}: step {last} stands alone on leaf {}",
                printed.data.identity.procedure,
                b + 1
            ));
        }
    }
    found
}
