//! How strong a property class is: bolts by size, nuts by style; loads where a thread is given.

use super::figures::{force, line, pressure};
use crate::domain::fastener::extras;
use crate::domain::fastener::nut::{self, NutStrength};
use crate::domain::fastener::{Fastener, PropertyClass, Strength, Thread};
use crate::domain::quantity::{ValueError, ValueErrorKind, Written};
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

/// Every class that has an answer.
pub fn list() -> Vec<String> {
    let bolts = PropertyClass::all().map(|class| line(class.name(), class.standard()));
    let nuts = nut::nut_classes();
    bolts
        .chain([line("nut", format!("{} (ISO 898-2)", nuts.join(", ")))])
        .collect()
}

/// The strengths of a class, and its loads on a thread of a bolt that is so long.
///
/// # Errors
/// If there is no such class or thread, or one doesn't go with the other.
pub fn class(name: &str, thread: Option<&str>, length: Option<&Written<Length>>) -> Result<Vec<String>, ValueError> {
    let trimmed = name.trim();
    let words = trimmed.to_ascii_lowercase();
    let after = words.strip_prefix("nut").map(|rest| {
        rest.trim_start_matches(['s', ' '])
            .trim_start_matches("class")
            .trim()
            .to_owned()
    });
    let asked = after
        .clone()
        .unwrap_or_else(|| words.trim_start_matches("class").trim().to_owned());
    let known = nut::nut_classes().into_iter().find(|class| *class == asked);
    match (known, after) {
        (Some(class), _) => nuts(class, thread),
        (None, Some(_)) => Err(unknown(name)),
        (None, None) => bolts(trimmed, thread, length),
    }
}

fn unknown(name: &str) -> ValueError {
    let found = name.trim().to_owned();
    ValueError::new(
        0..name.len(),
        ValueErrorKind::UnknownClass {
            found,
            suggestion: None,
        },
    )
}

fn bolts(name: &str, thread: Option<&str>, length: Option<&Written<Length>>) -> Result<Vec<String>, ValueError> {
    let Some(class) = PropertyClass::find(name) else {
        // `M8 8.8` in one word is what a fastener register holds.
        return match (Fastener::parse(name), thread) {
            (Ok(fastener), None) if fastener.class().is_some() => Ok(on_thread(fastener, length)),
            (_, _) => Err(unknown(name)),
        };
    };
    let Some(text) = thread else {
        let mut lines = vec![line("class", format!("{class}, {}", class.standard()))];
        for (above, up_to, long, strength) in class.ranges() {
            let over = if long { ", longer than 6 in" } else { "" };
            lines.push(line("size", format!("{}{over}", range(above, up_to, class.is_inch()))));
            lines.extend(strengths(class, strength));
            lines.extend(more(class, up_to));
        }
        lines.extend(remarks(class));
        return Ok(lines);
    };
    // A bare diameter, where no thread of that size is tabled.
    if let Ok(size) = Written::<Length>::parse(text) {
        let strength = strength(class, size.quantity(), length).ok_or_else(|| {
            let kind = ValueErrorKind::ClassSize {
                class: class.name().to_owned(),
                standard: class.standard().to_owned(),
                thread: size.to_string(),
            };
            ValueError::new(0..text.len(), kind)
        })?;
        let mut lines = vec![line("class", format!("{class} at {size}, {}", class.standard()))];
        lines.extend(strengths(class, strength));
        lines.extend(more(class, size.quantity()));
        lines.extend(remarks(class));
        return Ok(lines);
    }
    let fastener = Fastener::parse(&format!("{text} {}", class.name()))?;
    Ok(on_thread(fastener, length))
}

/// Strengths at a diameter, of a bolt that is so long if that is known.
fn strength(class: PropertyClass, diameter: Length, length: Option<&Written<Length>>) -> Option<Strength> {
    match length {
        Some(length) if length.quantity() > Length::new::<inch>(6.0) => class.strength_over_six_inches(diameter),
        _ => class.strength(diameter),
    }
}

/// Elongation and hardness, where they are tabled.
fn more(class: PropertyClass, size: Length) -> Vec<String> {
    let Some(row) = extras::extras(class, size) else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    if let Some(share) = row.elongation {
        lines.push(line(
            "elongation",
            format!("{share} % after fracture of a machined test piece, at least"),
        ));
    }
    if let Some(share) = row.whole_elongation {
        let millimetres = size.get::<millimeter>() * share;
        lines.push(line(
            "elongation",
            format!("{millimetres:.1} mm ({share} d) after fracture of a whole screw, at least"),
        ));
    }
    let scales = [(row.hv_low, row.hv_high, "HV"), (row.hrc_low, row.hrc_high, "HRC")];
    for (low, high, scale) in scales {
        if let (Some(low), Some(high)) = (low, high) {
            lines.push(line("hardness", format!("{low} to {high} {scale}")));
        }
    }
    lines.push(line("source", &row.source));
    lines
}

fn on_thread(fastener: Fastener, length: Option<&Written<Length>>) -> Vec<String> {
    let mut lines = vec![line("fastener", fastener.to_string())];
    let diameter = fastener.thread().diameter();
    let area = fastener.thread().nominal_stress_area();
    let found = fastener
        .class()
        .and_then(|class| Some((class, strength(class, diameter, length)?)));
    if let Some((class, strength)) = found {
        lines.extend(strengths(class, strength));
    }
    let square = area.get::<uom::si::area::square_millimeter>();
    lines.push(line("stress area", format!("{square:.1} mm²")));
    if let Some((class, strength)) = found {
        let loads = [
            ("proof load", strength.proof),
            ("yield load", strength.yield_strength),
            ("tensile load", strength.tensile),
        ];
        lines.extend(loads.map(|(name, stress)| line(name, force(stress * area * class.load_share()))));
        lines.extend(more(class, diameter));
        lines.extend(remarks(class));
    }
    lines
}

fn strengths(class: PropertyClass, strength: Strength) -> Vec<String> {
    let what = match class.sets_proof() {
        true => "stress under proof load",
        false => "the 0.2 % strength: its standard sets no proof load",
    };
    vec![
        line("proof", format!("{}, {}", pressure(strength.proof), what)),
        line(
            "yield",
            format!(
                "{}, yield or 0.2 % strength, at least",
                pressure(strength.yield_strength)
            ),
        ),
        line("tensile", format!("{}, at least", pressure(strength.tensile))),
        line("source", strength.source),
    ]
}

fn remarks(class: PropertyClass) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(megapascals) = extras::nominal_strength(class) {
        let what = "nominal tensile strength, which the name stands for: the least is above";
        lines.push(line("name", format!("{megapascals} MPa, {what}")));
    }
    if class.load_share() < 1.0 {
        let share = class.load_share() * 100.0;
        lines.push(line(
            "head",
            format!("weaker than the thread: loads are {share:.0} % of the thread's"),
        ));
    }
    if let Some(nut) = nut::nut_of_bolt(class.name()) {
        lines.push(line("nut", format!("class {nut} or above")));
    }
    lines
}

fn nuts(class: &str, thread: Option<&str>) -> Result<Vec<String>, ValueError> {
    let mut lines = vec![line("class", format!("nut {class}, ISO 898-2"))];
    let Some(text) = thread else {
        for row in nut::nut_rows(class) {
            let above = Length::new::<millimeter>(row.above);
            let up_to = Length::new::<millimeter>(row.up_to);
            lines.push(line(
                "size",
                format!(
                    "{}, {} thread, {}",
                    range(above, up_to, false),
                    row.pitch,
                    row.style_words()
                ),
            ));
            lines.extend(nut_strength(row, None));
        }
        return Ok(lines);
    };
    let thread = Fastener::parse(text)?.thread();
    let rows = nut::nuts_for(class, thread);
    if rows.is_empty() {
        let kind = ValueErrorKind::ClassSize {
            class: format!("nut {class}"),
            standard: "ISO 898-2".to_owned(),
            thread: thread.to_string(),
        };
        return Err(ValueError::new(0..text.len(), kind));
    }
    lines.push(line("thread", thread.to_string()));
    for row in rows {
        lines.push(line("nut", row.style_words()));
        lines.extend(nut_strength(row, Some(thread)));
    }
    Ok(lines)
}

fn nut_strength(row: &NutStrength, thread: Option<Thread>) -> Vec<String> {
    let mut lines = vec![line(
        "proof",
        format!("{}, stress under proof load", pressure(row.proof_stress())),
    )];
    lines.extend(thread.map(|thread| line("proof load", force(row.proof_load(thread)))));
    lines.push(line("source", &row.source));
    lines
}

fn range(above: Length, up_to: Length, inches: bool) -> String {
    let figure = |length: Length| match inches {
        true => format!("{} in", (length.get::<inch>() * 1000.0).round() / 1000.0),
        false => format!("{} mm", (length.get::<millimeter>() * 1000.0).round() / 1000.0),
    };
    if above.get::<millimeter>() < 1e-9 {
        format!("up to {}", figure(up_to))
    } else {
        format!("above {} up to {}", figure(above), figure(up_to))
    }
}
