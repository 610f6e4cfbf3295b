//! What the ledger knows, in print: how the machine stands at the head and at the foot of each demo card, and where work may stop.

use crate::printer::card::{Phase, Standing, StandingRow, Step};
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
    let (work, foot) = (&text[first..end], &text[end..]);
    for row in rows(&printed.data.carried_in) {
        // What there is no room for at the head stands above the first step that touches it.
        let phase = text
            .find(&format!("Phase{}", row.touched))
            .filter(|_| !row.touched.is_empty());
        let step = phase.and_then(|at| Some(at + text[at..].find(&format!("{}.1", row.touched))?));
        let before = &text[..step.unwrap_or(0).max(first)].to_lowercase();
        for words in [row.what.clone(), row.detail.english()] {
            if !before.contains(&squeezed(&words).to_lowercase()) {
                found.push(format!(
                    "{words} of {} isn't said at the head nor before it is touched",
                    row.what
                ));
            }
        }
    }
    for row in rows(&printed.data.carried_out) {
        if !foot.contains(&squeezed(&row.what)) {
            found.push(format!("the foot doesn't say {}", row.what));
        }
    }
    if rows(&printed.data.carried_out).next().is_none() && !foot.contains("nothingisofforloose,noclockruns") {
        found.push("the foot doesn't say that nothing is left".to_string());
    }
    let (safe, spans) = expected(printed);
    // A phase that ends safely says so; a bar says what is open once, and again on each leaf that goes on in it.
    let (may, must_not) = (
        work.matches("maystophere").count(),
        work.matches("Donotstopbefore").count(),
    );
    if may != safe {
        found.push(format!("\"may stop here\" is printed {may} times, not {safe}"));
    }
    if must_not < spans || spans == 0 && must_not > 0 {
        found.push(format!("\"do not stop\" is printed {must_not} times, not {spans}"));
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

/// How many phases end where work may stop, and how many runs of steps there are between which it must not.
fn expected(printed: &Printed) -> (usize, usize) {
    let steps = |phase: &Phase| -> Vec<Step> { phase.runs.iter().flat_map(|run| run.steps.clone()).collect() };
    let phases = printed.data.phases.iter().map(steps);
    let all: Vec<Step> = phases.clone().flatten().collect();
    let safe = phases
        // A hold point stops by itself.
        .filter(|steps| steps.last().is_some_and(|step| step.safe_stop && step.holds.is_empty()))
        .count();
    let begins = |n: &usize| !all[*n].open.is_empty() && (*n == 0 || all[n - 1].open.is_empty());
    (safe, (0..all.len()).filter(begins).count())
}
