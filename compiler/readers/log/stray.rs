//! What a record holds and the card has no box for: a slip of the pen, or a card that has changed.

use super::FindingKind;
use super::form::Form;
use super::judge::Judge;
use super::read::{Fields, line, text};

/// Tells every entry that belongs to no box, and every place that belongs to no reading.
pub fn strays(judge: &mut Judge, form: &Form) {
    let catalogue = &judge.set.catalogue;
    let readings: Vec<(&str, &str)> = form
        .readings
        .iter()
        .map(|r| (catalogue.limits.get(r.limit).id.text.as_str(), r.step.as_str()))
        .collect();
    let torques: Vec<(&str, &str)> = form
        .torques
        .iter()
        .map(|t| (catalogue.torques.get(t.torque).id.text.as_str(), t.step.as_str()))
        .collect();
    let timers: Vec<(&str, &str)> = form
        .timers
        .iter()
        .map(|t| (catalogue.timers.get(t.timer).id.text.as_str(), ""))
        .collect();
    let holds: Vec<(&str, &str)> = form
        .holds
        .iter()
        .map(|h| (catalogue.holds.get(h.hold).id.text.as_str(), h.step.as_str()))
        .collect();
    let filled = judge.filled;
    let of_readings: Vec<&Fields> = filled.readings.iter().map(|(fields, _)| fields).collect();
    let lists = [
        ("limit", of_readings, readings),
        ("torque", filled.torques.iter().collect(), torques),
        ("timer", filled.timers.iter().collect(), timers),
        ("hold", filled.holds.iter().collect(), holds),
    ];
    let mut found: Vec<(usize, String)> = Vec::new();
    for (kind, entries, boxes) in lists {
        for fields in entries {
            let id = text(fields, kind);
            let step = if kind == "timer" { "" } else { text(fields, "step") };
            if !boxes.contains(&(id, step)) {
                let at = if step.is_empty() {
                    String::new()
                } else {
                    format!(" at step {step}")
                };
                found.push((line(fields), format!("the card has no {kind} `{id}`{at}")));
            }
        }
    }
    for (fields, values) in &filled.readings {
        let same = |r: &&super::form::ReadingBox| {
            catalogue.limits.get(r.limit).id.text == text(fields, "limit") && r.step == text(fields, "step")
        };
        let Some(names) = form.readings.iter().find(same).map(|r| r.places.names()) else {
            continue;
        };
        let unknown = values
            .iter()
            .filter(|(place, entry)| !entry.text.is_empty() && !names.contains(place));
        found.extend(
            unknown.map(|(place, entry)| (entry.line, format!("the card has no place `{place}` for this reading"))),
        );
    }
    for (at, words) in found {
        judge.tell(FindingKind::Stray, at, words);
    }
}
