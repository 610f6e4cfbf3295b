//! Answers to the page's questions, as JSON.

use super::good::{Good, PAPERS, choices, line_of};
use super::query::View;
use super::shown::Shown;
use super::state::State;
use crate::edge::args::half_of;
use crate::finding::Finding;
use crate::model::Set;
use crate::source::FileSet;
use serde_json::{Map, Value, json};
use std::time::Duration;

/// Longest that a question for a change is left waiting.
const PATIENCE: Duration = Duration::from_secs(20);

/// What there is to see, what is wrong, and the pages of the view.
pub fn state(shown: &Shown, view: &View, since: Option<u64>) -> Value {
    let (version, state, trouble) = shown.after(since, PATIENCE);
    let Some(state) = state else {
        return json!({"version": version, "sets": [], "findings": [], "trouble": trouble});
    };
    if since == Some(version) {
        return json!({"version": version, "same": true});
    }
    let pages = shown.pages(view);
    let known = state.sets();
    let sets = known.iter().map(|known| of_set(&state.files, known.set, view));
    let found = state.findings.iter();
    let mut findings: Vec<Value> = found.map(|finding| told(&state.files, finding)).collect();
    if let Some(good) = pages.good.as_ref().filter(|_| pages.fresh) {
        findings.extend(good.findings.iter().map(|finding| told(&good.state.files, finding)));
    }
    json!({
        "version": version,
        "sets": sets.collect::<Vec<_>>(),
        "papers": papers(),
        "findings": findings,
        "trouble": trouble.or(pages.trouble),
        "fresh": pages.fresh,
        "written": written(&state, pages.good.as_deref().filter(|_| pages.fresh)),
        "leaves": pages.good.as_deref().map(leaves),
    })
}

/// What was written last, and the place of it among the leaves.
fn written(state: &State, good: Option<&Good>) -> Option<Value> {
    let (file, line) = state.written.as_ref()?;
    let place = good.and_then(|good| good.nearest(file, *line));
    let place = place.map(|(leaf, spot)| json!({"leaf": leaf, "spot": spot}));
    Some(json!({"file": file, "line": line, "place": place}))
}

/// Each paper with the one that two leaves on it have.
fn papers() -> Map<String, Value> {
    PAPERS
        .iter()
        .map(|paper| (paper.to_string(), json!(half_of(paper))))
        .collect()
}

fn of_set(files: &FileSet, set: &Set, view: &View) -> Value {
    let cards = set.procedures.iter().map(|procedure| {
        let file = &files.get(procedure.file).path;
        json!({"id": format!("card/{}", procedure.id), "title": procedure.title, "file": file})
    });
    let sheets = [
        ("set-sheet", "Set sheet"),
        ("close-out", "Close-out"),
        ("pocket", "Torques and limits"),
        ("record", "Record of the job"),
    ];
    let sheets = sheets.map(|(id, title)| json!({"id": id, "title": title}));
    let chosen = choices(set, view);
    let options = set.catalogue.options.iter().map(|(handle, def)| {
        let values: Vec<&str> = def.value.values.iter().map(|(value, _)| value.text.as_str()).collect();
        let value = values.get(chosen.value(handle)).copied().unwrap_or_default();
        json!({"id": def.id.text, "what": def.value.what, "values": values, "value": value})
    });
    json!({
        "id": set.id,
        "title": set.title,
        "documents": cards.chain(sheets).collect::<Vec<_>>(),
        "options": options.collect::<Vec<_>>(),
        "paper": set.paper,
    })
}

fn told(files: &FileSet, finding: &Finding) -> Value {
    let (file, line) = line_of(files, finding.primary.span);
    json!({
        "severity": finding.severity().word(),
        "code": finding.rule.code,
        "message": finding.message,
        "help": finding.fix.as_ref().map(|fix| &fix.text),
        "file": file,
        "line": line,
    })
}

/// Sizes in points, and what was written where.
fn leaves(good: &Good) -> Vec<Value> {
    let sizes = good.document.sizes().into_iter().enumerate();
    sizes
        .map(|(leaf, (width, height))| {
            let spots = good.spots.iter().filter(|spot| spot.leaf == leaf);
            let spots = spots.map(|spot| json!({"area": spot.area, "file": spot.file, "line": spot.line}));
            json!({
                "version": good.version,
                "width": width,
                "height": height,
                "spots": spots.collect::<Vec<_>>(),
            })
        })
        .collect()
}
