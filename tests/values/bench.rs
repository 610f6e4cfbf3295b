//! Tools, adapters, heating, rings and shims.

use benchleaf_domain::calc;
use benchleaf_domain::fit::FitPair;
use benchleaf_domain::quantity::{Kind, Measure};
use benchleaf_domain::thermal::{Material, assembly_temperature, growth, rise_for};
use benchleaf_domain::tool::{Adapter, deviation};
use std::collections::BTreeMap;
use uom::si::f64::{Angle, Length, TemperatureCoefficient, ThermodynamicTemperature, Torque};
use uom::si::temperature_coefficient::per_kelvin;
use uom::si::temperature_interval::kelvin;
use uom::si::thermodynamic_temperature::degree_celsius;

use super::Outcome;
use super::row::{Row, close, count_of, ends, number, same, unit};

fn quantity<Q: Kind>(text: &str) -> Result<Q, String> {
    Measure::parse(text)
        .map_err(|error| error.to_string())?
        .quantity()
        .ok_or_else(|| format!("{text} is no {}", Q::DIMENSION))
}

pub fn adapter(row: &Row) -> Outcome {
    let angle = if row.inputs.contains("(subtracts length)") {
        "180 deg"
    } else if let Some((_, at)) = row
        .inputs
        .split_once(", E ")
        .and_then(|(_, offset)| offset.split_once(" at "))
    {
        at.trim_end_matches(" from straight ahead")
    } else {
        "0 deg"
    };
    let adapter = Adapter {
        offset: row.input("E")?,
        angle: quantity::<Angle>(angle)?,
    };
    let wrench: Length = row.input("L")?;
    let unit = row.unit.as_str();
    let found = match row.input::<Torque>("T") {
        Ok(wanted) => adapter.setting(wanted, wrench),
        Err(_) => adapter.at_fastener(row.input("torque at the fastener when the wrench reads")?, wrench),
    };
    row.near(count_of(found.ok_or("out of reach")?, unit)?)
}

fn fact(subject: &str) -> Option<&'static deviation::ToolFact> {
    deviation::facts().iter().find(|fact| fact.subject == subject)
}

pub fn tool_accuracy(row: &Row) -> Outcome {
    let deviation_of = |kind: &str, maximum: &str| -> Result<f64, String> {
        let found = deviation::permissible_deviation(kind, quantity(maximum)?).map_err(|error| error.to_string())?;
        count_of(found.ok_or("no deviation at this size")?.deviation, "%")
    };
    let setting_wrench = "adjustable setting wrench with scale (type II class A)";
    if row.inputs.starts_with("indicating tool") {
        let (reading, reference): (Torque, Torque) = (quantity("102 N.m")?, quantity("100 N.m")?);
        return row.near(count_of(deviation::measured_deviation(reading, reference), "%")?);
    }
    if row.inputs.starts_with("electronic tool") {
        let fact = fact("resolution of an electronic tool").ok_or("no such fact")?;
        let (over, under) = row.expected.split_once('/').ok_or("no fraction")?;
        return close(number(&fact.value)?, number(over)? / number(under)?, 0.0);
    }
    let kinds: &[(&str, &str)] = if row.inputs.ends_with("up to and including 10 N.m") {
        &[(setting_wrench, "10 N.m"), (setting_wrench, "5 N.m")]
    } else if row.inputs.ends_with("above 10 N.m") {
        &[(setting_wrench, "10.1 N.m"), (setting_wrench, "200 N.m")]
    } else if row.inputs.starts_with("torque wrench") {
        &[("torque wrench", "100 N.m")]
    } else {
        &[("torque screwdriver", "5 N.m"), ("bending-bar wrench", "100 N.m")]
    };
    for (kind, maximum) in kinds {
        row.equals(deviation_of(kind, maximum)?, &row.expected)?;
    }
    Ok(())
}

pub fn tool_range(row: &Row) -> Outcome {
    // Each row's words are its own; the subject of the fact it is about, and its figures in the table's form.
    let (subject, value) = match row.id.as_str() {
        "C086" => ("check points", row.expected.replace(" %", "").replace(", ", "|")),
        "C206" => ("lowest torque of the specified range", row.expected.clone()),
        "C207" => (
            "best part of the scale",
            row.expected.replace(" %", "").replace(" to ", "|"),
        ),
        "C208" => (
            "loading time from 80 % to the set value",
            row.expected.replace(" to ", "|"),
        ),
        "C209" => (
            "recalibration interval",
            row.expected.replace(" months or ", "|").replace(" cycles", ""),
        ),
        "C210" => {
            same(row.expected.as_str(), "no accuracy stated")?;
            ("no accuracy stated below", "20".to_owned())
        }
        "C211" => ("preloads before calibrating", row.expected.clone()),
        other => return Err(format!("nobody handles {other}")),
    };
    let fact = fact(subject).ok_or("no such fact")?;
    same(fact.value.clone(), value)
}

fn coefficient(row: &Row) -> Result<TemperatureCoefficient, String> {
    Ok(TemperatureCoefficient::new::<per_kelvin>(row.input_number("alpha")?))
}

pub fn heating(row: &Row) -> Outcome {
    if row.inputs.starts_with("50 H7/s6 steel") {
        let pair = FitPair::parse("50 H7/s6").map_err(|error| error.to_string())?;
        let interference = -pair.least_clearance().quantity();
        close(count_of(interference, "um")?, 59.0, 1e-9)?;
        let start: ThermodynamicTemperature = row.input("start")?;
        let play: Length = quantity("30 um")?;
        let found = assembly_temperature(
            pair.hole().size().quantity(),
            interference,
            play,
            coefficient(row)?,
            start,
        );
        return row.near(found.ok_or("no growth")?.get::<degree_celsius>());
    }
    if row
        .inputs
        .starts_with("growth of an aluminium bore of 80 mm from 20 to 120 degC")
    {
        let rise = uom::si::f64::TemperatureInterval::new::<kelvin>(100.0);
        return row.near(count_of(
            growth(quantity("80 mm")?, coefficient(row)?, rise),
            &row.unit,
        )?);
    }
    let rise = rise_for(row.input("wanted growth")?, row.input("d")?, coefficient(row)?).ok_or("no growth")?;
    row.near(rise.get::<kelvin>())
}

pub fn expansion(row: &Row) -> Outcome {
    let material = Material::parse(&row.inputs).map_err(|error| error.to_string())?;
    let (low, high) = material.expansion_range();
    let (wanted_low, wanted_high) = ends(&row.expected)?;
    let millionths = |coefficient: TemperatureCoefficient| coefficient.get::<per_kelvin>() * 1e6;
    close(millionths(low), wanted_low, 1e-9)?;
    close(millionths(high), wanted_high, 1e-9)?;
    match row
        .tolerance
        .split_once("; ")
        .and_then(|(_, usual)| usual.strip_suffix(" usual"))
    {
        Some(usual) => close(millionths(material.expansion()), number(usual)?, 1e-9),
        None => Ok(()),
    }
}

/// The end gap of a piston ring, four thousandths of the bore, as an author writes it.
pub fn ring_gap(row: &Row) -> Outcome {
    reckoned("bore * 4 / 1000", &["bore"], row)
}

/// The shim to fit in place of the one that is in, as an author writes it.
pub fn shim(row: &Row) -> Outcome {
    reckoned("shim(fitted, measured, wanted)", &["fitted", "measured", "wanted"], row)
}

/// A calculation of the authoring language, worked out as for a filled-in sheet, exact in the row's unit.
fn reckoned(text: &str, names: &[&str], row: &Row) -> Outcome {
    let node = calc::parse(text).map_err(|error| error.message())?;
    let mut readings = BTreeMap::new();
    for name in names {
        let reading = Measure::parse(row.input_text(name)?).map_err(|error| error.to_string())?;
        readings.insert(*name, calc::Value::readings(&[reading], 1).ok_or("no reading")?);
    }
    let found = calc::work_out(&node, &|name| readings.get(name).cloned()).map_err(|_| "not worked out")?;
    let found = found.exact(unit(&row.unit)?).ok_or("no such unit")?;
    match found.as_slice() {
        [value] => row.equals(number(&value.normalize().to_string())?, &row.expected),
        other => Err(format!("{} values", other.len())),
    }
}
