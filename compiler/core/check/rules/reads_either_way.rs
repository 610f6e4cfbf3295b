//! # A figure that reads either way
//!
//! ## What it means
//! The leaves of the set are in a language that writes its decimals behind a comma and parts thousands by a point. The figure has a point and
//! three digits behind it: it is one number to whoever wrote it and a thousand times that to whoever reads it.
//!
//! ## Why it matters
//! A figure of an author is printed as it is written. A bore of `30.021 mm` is no thirty metres, and whoever works from the leaf should not
//! have to know that.
//!
//! ## Example
//! ```yaml
//! title: Lager am Motorprüfstand
//! machine: Prüfstand
//! style: {language: de}
//! limits:
//!   bore: {name: Lagerbohrung, limit: 30.000..30.021 mm}
//! ```
//!
//! ## Instead
//! ```yaml
//! title: Lager am Motorprüfstand
//! machine: Prüfstand
//! style: {language: de}
//! limits:
//!   bore: {name: Lagerbohrung, limit: 30.0000..30.0210 mm}
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::model::registers::Span as Asked;
use crate::model::{ActKind, At, Set};
use crate::source::Span;
use crate::words::Language;
use std::fmt::Display;

pub static RULE: Rule = Rule {
    code: "BL208",
    name: "reads-either-way",
    severity: Severity::Error,
    page: include_str!("reads_either_way.rs"),
};

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    let german = Language::find(&set.language).filter(|language| language.decimal_mark() == ',');
    if german.is_none() {
        return;
    }
    for (span, text) in figures(set) {
        if let Some(figure) = either_way(&text) {
            let mark = figure.replace('.', ",");
            let whole = figure.replace('.', "");
            let message = format!("`{figure}` reads either way on a leaf in this language: {mark} or {whole}");
            let help = format!("write one digit more, `{figure}0`, or one less, or another unit");
            findings.push(Finding::new(&RULE, span, message).help(help));
        }
    }
}

/// The first figure of a text that has a point and three digits behind it. One that begins with a nought has no thousands.
fn either_way(text: &str) -> Option<&str> {
    let figures = text.split(|c: char| !c.is_ascii_digit() && c != '.');
    figures.map(|figure| figure.trim_matches('.')).find(|figure| {
        figure.split_once('.').is_some_and(|(whole, rest)| {
            (1..=3).contains(&whole.len()) && !whole.starts_with('0') && rest.len() == 3 && !rest.contains('.')
        })
    })
}

/// Every figure of an author that a leaf prints, with its place.
fn figures(set: &Set) -> Vec<(Span, String)> {
    let mut found = Vec::new();
    let catalogue = &set.catalogue;
    for (_, def) in catalogue.torques.iter() {
        let torque = &def.value;
        torque.stages.iter().for_each(|stage| put(&mut found, Some(stage)));
        put(&mut found, torque.tolerance.as_ref());
        found.extend(torque.engagement.as_ref().map(|l| (l.span, l.value.to_string())));
        let adapter = torque.adapter.as_ref();
        found.extend(
            adapter
                .and_then(|a| a.length.as_ref())
                .map(|l| (l.span, l.value.to_string())),
        );
        found.extend(
            adapter
                .and_then(|a| a.angle.as_ref())
                .map(|l| (l.span, l.value.to_string())),
        );
    }
    for (_, def) in catalogue.limits.iter() {
        put(&mut found, def.value.limit.as_ref());
    }
    for (_, def) in catalogue.tools.iter() {
        put(&mut found, def.value.range.as_ref());
        put(&mut found, def.value.resolution.as_ref());
    }
    for (_, def) in catalogue.consumables.iter() {
        put(&mut found, def.value.amount.as_ref());
        put(&mut found, def.value.open.as_ref());
        put(&mut found, def.value.cure.as_ref());
    }
    for (_, def) in catalogue.timers.iter() {
        if let Some(Asked::Within(time) | Asked::AtLeast(time)) = &def.value.span {
            put(&mut found, Some(time));
        }
    }
    for (_, step) in set.procedures.iter().flat_map(|p| p.steps()) {
        let acts = step.acts.iter().chain(step.substeps.iter().flat_map(|s| &s.acts));
        for act in acts {
            if let ActKind::Use(_, Some(amount), _) = &act.kind {
                found.push((act.span, amount.to_string()));
            } else if let ActKind::Time(time) = &act.kind {
                found.push((act.span, time.to_string()));
            }
        }
    }
    found
}

fn put<T: Display>(found: &mut Vec<(Span, String)>, figure: Option<&At<T>>) {
    found.extend(figure.map(|at| (at.span, at.value.to_string())));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_digits_behind_a_point_read_either_way() {
        for text in ["1.234 mm", "30.000–30.02 mm", "max 999.999 bar"] {
            assert!(either_way(text).is_some(), "{text}");
        }
        for text in ["0.050 mm", "12.5 mm", "1234.567 mm", "1.2345 mm", "10 mm", "1.23 mm"] {
            assert_eq!(either_way(text), None, "{text}");
        }
    }
}
