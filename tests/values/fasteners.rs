//! Threads, proof loads, property classes and grades.

use benchleaf_domain::fastener::{Fastener, PropertyClass};
use benchleaf_domain::quantity::{Kind, Written};
use uom::si::f64::{Force, Length, Pressure};
use uom::si::length::millimeter;

use super::Outcome;
use super::row::{Row, count_of};

fn fastener(text: &str) -> Result<Fastener, String> {
    Fastener::parse(&text.replace(" coarse", "")).map_err(|error| format!("{text}: {error}"))
}

pub fn stress_area(row: &Row) -> Outcome {
    let text = row.plain_inputs().trim_end_matches(" in mm2");
    row.near(count_of(fastener(text)?.thread().stress_area(), &row.unit)?)
}

pub fn thread_diameters(row: &Row) -> Outcome {
    let thread = fastener(&row.inputs)?.thread();
    let part = |name| row.expected_part(name).ok_or_else(|| format!("no {name}"));
    row.near_text(count_of(thread.pitch_diameter(), &row.unit)?, part("d2")?)?;
    row.near_text(count_of(thread.root_diameter(), &row.unit)?, part("d3")?)?;
    row.near_text(
        count_of(thread.internal_minor_diameter(), &row.unit)?,
        part("internal minor D1")?,
    )
}

pub fn proof_load(row: &Row) -> Outcome {
    let load = fastener(&row.inputs)?.proof_load().ok_or("no class")?;
    row.near(count_of(load, &row.unit)?)
}

pub fn class_strength(row: &Row) -> Outcome {
    if let Some((size, _)) = row.inputs.split_once(" in class 8.8: which range") {
        let strength = fastener(&format!("{size} 8.8"))?.strength().ok_or("no strength")?;
        return row.equals(count_of(strength.proof, "MPa")?, "580");
    }
    let name = row.inputs.split(' ').next().unwrap_or_default();
    let class = PropertyClass::find(name).ok_or("no such class")?;
    // A size of the range the row is about: its upper end, or anything above 16 mm.
    let size = if row.inputs.contains("d>16") { 20.0 } else { 16.0 };
    let strength = class
        .strength(Length::new::<millimeter>(size))
        .ok_or("no strength at this size")?;
    let mpa = |pressure: Pressure| count_of(pressure, &row.unit);
    if row.inputs.ends_with("yield") {
        return row.equals(mpa(strength.yield_strength)?, &row.expected);
    }
    let mut checked = 0;
    for (part, value) in [
        ("Rm,min", strength.tensile),
        ("Sp", strength.proof),
        ("yield", strength.yield_strength),
        ("Rp0.2", strength.yield_strength),
    ] {
        if let Some(expected) = row.expected_part(part) {
            row.equals(mpa(value)?, expected)?;
            checked += 1;
        }
    }
    if checked >= 2 {
        Ok(())
    } else {
        Err("nothing to compare".to_owned())
    }
}

pub fn grade_strength(row: &Row) -> Outcome {
    if let Some(text) = row.inputs.strip_prefix("proof load of ") {
        let load: Force = fastener(text)?.proof_load().ok_or("no class")?;
        return row.near(count_of(load, &row.unit)?);
    }
    let (grade, sizes) = row.inputs.split_once(", ").ok_or("no sizes")?;
    let long = grade.ends_with(" longer than 6 in");
    let class = PropertyClass::find(grade.trim_end_matches(" longer than 6 in")).ok_or("no such grade")?;
    for size in sizes_of(sizes.trim_end_matches(", yield"))? {
        let strength = if long {
            class.strength_over_six_inches(size)
        } else {
            class.strength(size)
        };
        let strength = strength.ok_or_else(|| format!("no strength at {size:?}"))?;
        let ksi = |pressure: Pressure| count_of(pressure, &row.unit);
        if sizes.ends_with(", yield") {
            row.equals(ksi(strength.yield_strength)?, &row.expected)?;
            continue;
        }
        let mut checked = 0;
        for (part, value) in [
            ("proof", strength.proof),
            ("tensile", strength.tensile),
            ("yield", strength.yield_strength),
        ] {
            if let Some(expected) = row.expected_part(part) {
                row.equals(ksi(value)?, expected)?;
                checked += 1;
            }
        }
        if checked < 2 {
            return Err("nothing to compare".to_owned());
        }
    }
    Ok(())
}

/// Both ends of `1/4-3/4 in`; just above the lower one for `>3/4-1 1/2 in`.
fn sizes_of(text: &str) -> Result<[Length; 2], String> {
    let (low, high) = text
        .trim_end_matches(" in")
        .split_once('-')
        .ok_or("no range of sizes")?;
    let read = |text: &str| Written::<Length>::parse(&format!("{text} in")).map_err(|error| error.to_string());
    let (above, low) = low.strip_prefix('>').map_or((false, low), |low| (true, low));
    let low = read(low)?.quantity();
    let low = if above { low + Length::from_si(1e-5) } else { low };
    Ok([low, read(high)?.quantity()])
}
