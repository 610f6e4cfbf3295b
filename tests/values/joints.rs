//! Torque and preload, stretch, scatter, published torques.

use benchleaf_domain::fastener::Fastener;
use benchleaf_domain::lubrication::published_nut_factor;
use benchleaf_domain::preload::friction::{
    Friction, motosh, preload_at_yield_share, screw_torque, usual_bearing_diameter,
};
use benchleaf_domain::preload::standard::{
    castle_nut_window, method_scatter, scattered, standard_torque as published, with_drag,
};
use benchleaf_domain::preload::{nut_factor as by_factor, turn};
use benchleaf_domain::quantity::{Kind, Measure};
use uom::si::f64::{Angle, Area, Force, Length, Pressure, Torque};

use super::Outcome;
use super::row::{Row, close, count_of, ends, number, same};

fn fastener(text: &str) -> Result<Fastener, String> {
    Fastener::parse(&text.replace(" coarse", "")).map_err(|error| format!("{text}: {error}"))
}

fn quantity<Q: Kind>(text: &str) -> Result<Q, String> {
    Measure::parse(text)
        .map_err(|error| error.to_string())?
        .quantity()
        .ok_or_else(|| format!("{text} is no {}", Q::DIMENSION))
}

pub fn nut_factor(row: &Row) -> Outcome {
    let factor = published_nut_factor(row.plain_inputs()).map_err(|error| error.to_string())?;
    row.equals(factor.k, &row.expected)
}

pub fn torque_preload(row: &Row) -> Outcome {
    let torque = if row.inputs.starts_with("T=K d F") {
        by_factor::torque(row.input_number("K")?, row.input("d")?, row.input("F")?)
    } else if row.inputs.starts_with("full thread-friction form") {
        let thread = fastener("3/4-16 UNF")?.thread();
        let friction = Friction {
            threads: 0.15,
            face: 0.15,
        };
        screw_torque(thread, usual_bearing_diameter(thread), friction, quantity("25000 lbf")?)
    } else {
        // `3/8-16 UNC grade 5, dry, K 0.20, 75 % of proof`
        let bolt = fastener(row.inputs.split(',').next().unwrap_or_default())?;
        let proof = bolt.proof_load().ok_or("no grade")?;
        by_factor::torque(row.input_number("K")?, bolt.thread().diameter(), 0.75 * proof)
    };
    row.near(count_of(torque, &row.unit)?)
}

pub fn preload_stress(row: &Row) -> Outcome {
    let area: Area = row.input("As")?;
    let load: Force = row.input("F")?;
    let thread = fastener(row.inputs.split(',').next().unwrap_or_default())?.thread();
    close(count_of(thread.stress_area(), "in2")?, count_of(area, "in2")?, 0.0005)?;
    let stress: Pressure = load / area;
    row.near(count_of(stress, &row.unit)?)
}

pub fn vdi(row: &Row) -> Outcome {
    let bolt = fastener(row.inputs.split(',').next().unwrap_or_default())?;
    let mu = row.input_number("mu")?;
    let strength = bolt.strength().ok_or("no class")?;
    let preload = preload_at_yield_share(bolt.thread(), strength.yield_strength, 0.9, mu);
    let friction = Friction { threads: mu, face: mu };
    let torque = motosh(bolt.thread(), usual_bearing_diameter(bolt.thread()), friction, preload).sum();
    let wanted = number(row.expected_part("preload").ok_or("no preload")?)?;
    close(count_of(preload, "kN")?, wanted, wanted * 0.01)?;
    let wanted = number(row.expected_part("torque").ok_or("no torque")?)?;
    close(count_of(torque, "N.m")?, wanted, wanted * 0.03)
}

pub fn preload_scatter(row: &Row) -> Outcome {
    if let Ok(nominal) = row.input::<Force>("nominal preload") {
        let (low, high) = scattered(nominal, row.input_number("scatter")? / 100.0);
        let (wanted_low, wanted_high) = ends(&row.expected)?;
        close(count_of(low, &row.unit)?, wanted_low, 1e-9)?;
        return close(count_of(high, &row.unit)?, wanted_high, 1e-9);
    }
    let scatter = method_scatter(&row.inputs).map_err(|error| error.to_string())?;
    let wanted = match ends(&row.expected) {
        Ok(range) => range,
        Err(_) => (number(&row.expected)?, number(&row.expected)?),
    };
    same((scatter.low, scatter.high), wanted)
}

pub fn standard_torque(row: &Row) -> Outcome {
    if row.inputs.starts_with("friction drag") {
        let drag: Torque = quantity("12 lbf.in")?;
        return row.equals(
            count_of(with_drag(row.input("wanted")?, drag), "lbf.in")?,
            &row.expected,
        );
    }
    if row.inputs.starts_with("castle nut") {
        // The rule, at figures of the same table: 100 to 140 lbf·in and a drag of 10.
        let (from, to) = castle_nut_window(quantity("100 lbf.in")?, quantity("140 lbf.in")?, quantity("10 lbf.in")?);
        close(count_of(from, "lbf.in")?, 110.0, 1e-9)?;
        return close(count_of(to, "lbf.in")?, 150.0, 1e-9);
    }
    let published = published(fastener(row.plain_inputs())?.thread()).ok_or("not in the table")?;
    same(
        format!(
            "{} to {}",
            published.range.low().figure(),
            published.range.high().figure()
        ),
        row.expected.clone(),
    )?;
    same(published.range.high().unit().symbol(), "lbf·in")
}

pub fn advance(row: &Row) -> Outcome {
    let (_, angle) = row.inputs.split_once(", ").ok_or("no angle")?;
    let angle: Angle = quantity(angle)?;
    row.near(count_of(turn::advance(row.input("pitch")?, angle), &row.unit)?)
}

pub fn stretch(row: &Row) -> Outcome {
    // `F 20 kN over 40 mm of thread, As 36.6 mm2, E 205 GPa`
    let (load, length) = row.input_text("F")?.split_once(" over ").ok_or("no length")?;
    let load: Force = quantity(load)?;
    let length: Length = quantity(length.trim_end_matches(" of thread"))?;
    same(turn::steel_modulus(), row.input("E")?)?;
    row.near(count_of(
        turn::stretch(load, length, row.input("As")?, row.input("E")?),
        &row.unit,
    )?)
}
