//! What the ledger knows, in print: how the machine stands at the head and at the foot of each demo card, and where work may stop.

use crate::printer::card::{Standing, StandingRow, Step};
use crate::printer::{Printed, squeezed};

/// What a reader misses of what the ledger knows.
pub fn look(printed: &Printed) -> Vec<String> {
    let text = match printed.texts() {
        Ok(leaves) => leaves.concat(),
        Err(fault) => return vec![fault],
    };
    let mut found = Vec::new();
    // The first phase parts what is carried in from the work, the close-out the work from what is carried out.
    let title = printed
        .data
        .phases
        .first()
        .map_or_else(String::new, |p| super::prose(&p.title));
    let first = text.find(&squeezed(&format!("Phase 1: {title}"))).unwrap_or(text.len());
    let end = text.rfind("Everyboxoneveryleaf").unwrap_or(0);
    let (head, work, foot) = (&text[..first], &text[first..end], &text[end..]);
    for row in rows(&printed.data.carried_in) {
        for words in [row.what.clone(), row.detail.english(), row.since.english()] {
            if !head.contains(&squeezed(&words)) {
                found.push(format!("the head doesn't say {words} of {}", row.what));
            }
        }
    }
    for row in rows(&printed.data.carried_out) {
        if !foot.contains(&squeezed(&row.what)) {
            found.push(format!("the foot doesn't say {}", row.what));
        }
    }
    if rows(&printed.data.carried_out).next().is_none() && !foot.contains("nothingislefton") {
        found.push("the foot doesn't say that nothing is left".to_string());
    }
    let (safe, lines, still) = expected(printed);
    for (words, count) in [
        ("maystophere", safe),
        ("Donotstophere:", lines),
        ("donotstophereeither", still),
    ] {
        let seen = work.matches(words).count();
        if seen != count {
            found.push(format!("\"{words}\" is printed {seen} times, not {count}"));
        }
    }
    let name = &printed.data.identity.procedure;
    found.into_iter().map(|fault| format!("{name}: {fault}")).collect()
}

fn rows(standing: &Standing) -> impl Iterator<Item = &StandingRow> {
    let lists = [
        &standing.fitted,
        &standing.off,
        &standing.loose,
        &standing.states,
        &standing.timers,
    ];
    lists.into_iter().flatten()
}

/// How many gaps are marked as safe, as unsafe in full, and as unsafe like the one before.
fn expected(printed: &Printed) -> (usize, usize, usize) {
    let (mut safe, mut lines, mut still) = (0, 0, 0);
    for phase in &printed.data.phases {
        let steps: Vec<&Step> = phase.runs.iter().flat_map(|run| &run.steps).collect();
        for (n, step) in steps.iter().enumerate() {
            let before = n.checked_sub(1).map(|k| steps[k]);
            if !step.open.is_empty() {
                match before {
                    Some(before) if before.open == step.open => still += 1,
                    _ => lines += 1,
                }
            } else if steps.get(n + 1).is_none_or(|next| !next.safe_stop) || before.is_some_and(|b| !b.safe_stop) {
                safe += 1;
            }
        }
    }
    (safe, lines, still)
}
