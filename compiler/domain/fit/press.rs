//! What an interference does: pressure, stress in the hub, the force that presses it on and the torque it holds. Lamé's thick
//! cylinders, elastic (Shigley 9th ed., section 3-16). Estimates: friction of the joint is a range, and roughness takes some of the
//! interference away.

use std::sync::OnceLock;

use serde::Deserialize;
use uom::si::f64::{Force, Length, Pressure, Torque};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::pressure::{gigapascal, pascal};
use uom::si::torque::newton_meter;

use crate::named;
use crate::quantity::ValueError;
use crate::table;

const ELASTIC: &str = include_str!("../../tables/elastic.csv");

#[derive(Deserialize)]
struct Row {
    material: String,
    aliases: String,
    modulus: f64,
    poisson: f64,
    source: String,
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| table::rows("elastic.csv", ELASTIC))
}

/// How stiff a material is: a row of `compiler/tables/elastic.csv`.
#[derive(Clone, Copy)]
pub struct Elastic(&'static Row);

impl Elastic {
    /// Reads a material's name or one of its other names, in any case.
    ///
    /// # Errors
    /// If the table doesn't hold it.
    pub fn parse(text: &str) -> Result<Elastic, ValueError> {
        named::find_row("material", text, table(), |row| (&row.material, &row.aliases)).map(Elastic)
    }

    /// Young's modulus.
    pub fn modulus(self) -> Pressure {
        Pressure::new::<gigapascal>(self.0.modulus)
    }

    /// The name in the table.
    pub fn name(self) -> &'static str {
        &self.0.material
    }

    /// Where the figures come from.
    pub fn source(self) -> &'static str {
        &self.0.source
    }
}

/// A press or shrink fit.
#[derive(Clone, Copy)]
pub struct Press {
    /// Diameter of the joint.
    pub joint: Length,
    /// Outside diameter of the hub.
    pub outside: Length,
    /// Bore of the shaft; nought for a solid one.
    pub bore: Length,
    /// Length of the joint.
    pub length: Length,
    pub hub: Elastic,
    pub shaft: Elastic,
}

impl Press {
    /// The pressure that a diametral interference makes; nought without one.
    pub fn pressure(&self, interference: Length) -> Pressure {
        let metres = |length: Length| length.get::<meter>();
        let (d, outside, bore) = (metres(self.joint), metres(self.outside), metres(self.bore));
        let hub = (outside.powi(2) + d.powi(2)) / (outside.powi(2) - d.powi(2)) + self.hub.0.poisson;
        let shaft = (d.powi(2) + bore.powi(2)) / (d.powi(2) - bore.powi(2)) - self.shaft.0.poisson;
        let give = d * (hub / self.hub.modulus().get::<pascal>() + shaft / self.shaft.modulus().get::<pascal>());
        Pressure::new::<pascal>((metres(interference) / give).max(0.0))
    }

    /// The greatest tension in the hub, round its bore.
    pub fn hub_stress(&self, pressure: Pressure) -> Pressure {
        let (d, outside) = (self.joint.get::<meter>(), self.outside.get::<meter>());
        pressure * ((outside.powi(2) + d.powi(2)) / (outside.powi(2) - d.powi(2)))
    }

    /// The force that slides the whole joint at a coefficient of friction: µ p π d L.
    pub fn force(&self, pressure: Pressure, friction: f64) -> Force {
        let area = std::f64::consts::PI * self.joint.get::<meter>() * self.length.get::<meter>();
        Force::new::<newton>(friction * pressure.get::<pascal>() * area)
    }

    /// The torque it holds at a coefficient of friction: half the diameter times that force.
    pub fn torque(&self, pressure: Pressure, friction: f64) -> Torque {
        let force = self.force(pressure, friction).get::<newton>();
        Torque::new::<newton_meter>(force * self.joint.get::<meter>() / 2.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::length::millimeter;
    use uom::si::pressure::megapascal;

    #[test]
    fn every_material_is_sourced() {
        table::assert_sourced("elastic.csv", ELASTIC);
        for row in table() {
            assert_eq!(
                Elastic::parse(&row.material).map(Elastic::name),
                Ok(row.material.as_str())
            );
        }
    }

    #[test]
    fn like_materials_and_a_solid_shaft_give_the_short_form() {
        // p = E δ (D² − d²)/(2 d D²): Shigley 9th ed., equation 3-57 with a solid shaft.
        let steel = Elastic::parse("steel").unwrap();
        let press = Press {
            joint: Length::new::<millimeter>(50.0),
            outside: Length::new::<millimeter>(100.0),
            bore: Length::new::<millimeter>(0.0),
            length: Length::new::<millimeter>(40.0),
            hub: steel,
            shaft: steel,
        };
        let found = press.pressure(Length::new::<millimeter>(0.05)).get::<megapascal>();
        let wanted = steel.modulus().get::<megapascal>() * 0.05 * (100.0_f64.powi(2) - 2500.0)
            / (2.0 * 50.0 * 100.0_f64.powi(2));
        assert!((found - wanted).abs() < 1e-9 * wanted, "{found} {wanted}");
    }
}
