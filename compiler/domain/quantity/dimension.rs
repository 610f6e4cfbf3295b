//! What can be measured in a workshop.

use std::fmt;

/// The dimension of a quantity: what it measures, whatever the unit. Torque and energy share base units but not a dimension here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    Torque,
    Length,
    Angle,
    Pressure,
    Temperature,
    /// How much warmer one thing is than another: in K, or in degrees Fahrenheit of difference. Its zero is no temperature.
    TemperatureDifference,
    Mass,
    Volume,
    Force,
    Time,
    RotationalSpeed,
    Speed,
    Voltage,
    Resistance,
    Current,
    Area,
    Power,
    /// Cycles a second: another kind than rotational speed, since a revolution is an angle.
    Frequency,
    /// Volume a time.
    Flow,
    /// Force a length: springs, belts.
    Stiffness,
    Capacitance,
    KinematicViscosity,
    DynamicViscosity,
    /// A length a length, written as such; a share in per cent is a ratio.
    Slope,
    Energy,
    /// Mass a length: belts, ropes.
    LinearDensity,
    /// Hardness scales convert to nothing, so each is a dimension of its own with a single unit.
    RockwellC,
    RockwellB,
    Brinell,
    Vickers,
    ShoreA,
    ShoreD,
    /// A share or tolerance, written in per cent.
    Ratio,
}

impl Dimension {
    /// Every dimension, in a fixed order.
    pub const ALL: [Dimension; 33] = [
        Dimension::Torque,
        Dimension::Length,
        Dimension::Angle,
        Dimension::Pressure,
        Dimension::Temperature,
        Dimension::TemperatureDifference,
        Dimension::Mass,
        Dimension::Volume,
        Dimension::Force,
        Dimension::Time,
        Dimension::RotationalSpeed,
        Dimension::Speed,
        Dimension::Voltage,
        Dimension::Resistance,
        Dimension::Current,
        Dimension::Area,
        Dimension::Power,
        Dimension::Frequency,
        Dimension::Flow,
        Dimension::Stiffness,
        Dimension::Capacitance,
        Dimension::KinematicViscosity,
        Dimension::DynamicViscosity,
        Dimension::Slope,
        Dimension::Energy,
        Dimension::LinearDensity,
        Dimension::RockwellC,
        Dimension::RockwellB,
        Dimension::Brinell,
        Dimension::Vickers,
        Dimension::ShoreA,
        Dimension::ShoreD,
        Dimension::Ratio,
    ];

    /// The name in a sentence, without an article: `torque`, `rotational speed`. Also the name in `style: units:` and in the table.
    pub fn name(self) -> &'static str {
        match self {
            Dimension::Torque => "torque",
            Dimension::Length => "length",
            Dimension::Angle => "angle",
            Dimension::Pressure => "pressure",
            Dimension::Temperature => "temperature",
            Dimension::TemperatureDifference => "temperature difference",
            Dimension::Mass => "mass",
            Dimension::Volume => "volume",
            Dimension::Force => "force",
            Dimension::Time => "time",
            Dimension::RotationalSpeed => "rotational speed",
            Dimension::Speed => "speed",
            Dimension::Voltage => "voltage",
            Dimension::Resistance => "resistance",
            Dimension::Current => "current",
            Dimension::Area => "area",
            Dimension::Power => "power",
            Dimension::Frequency => "frequency",
            Dimension::Flow => "flow",
            Dimension::Stiffness => "stiffness",
            Dimension::Capacitance => "capacitance",
            Dimension::KinematicViscosity => "kinematic viscosity",
            Dimension::DynamicViscosity => "dynamic viscosity",
            Dimension::Slope => "slope",
            Dimension::Energy => "energy",
            Dimension::LinearDensity => "linear density",
            Dimension::RockwellC => "Rockwell C hardness",
            Dimension::RockwellB => "Rockwell B hardness",
            Dimension::Brinell => "Brinell hardness",
            Dimension::Vickers => "Vickers hardness",
            Dimension::ShoreA => "Shore A hardness",
            Dimension::ShoreD => "Shore D hardness",
            Dimension::Ratio => "ratio",
        }
    }

    /// The dimension of that [`name`](Self::name); a hyphen may stand for the space.
    pub fn from_name(name: &str) -> Option<Dimension> {
        let name = name.trim().replace('-', " ");
        Dimension::ALL.into_iter().find(|dimension| dimension.name() == name)
    }

    /// A unit an author is likely to want, for use in help texts.
    pub fn example_unit(self) -> &'static str {
        match self {
            Dimension::Torque => "N·m",
            Dimension::Length => "mm",
            Dimension::Angle => "°",
            Dimension::Pressure => "bar",
            Dimension::Temperature => "°C",
            Dimension::TemperatureDifference => "K",
            Dimension::Mass => "kg",
            Dimension::Volume => "mL",
            Dimension::Force => "N",
            Dimension::Time => "min",
            Dimension::RotationalSpeed => "rpm",
            Dimension::Speed => "m/s",
            Dimension::Voltage => "V",
            Dimension::Resistance => "Ω",
            Dimension::Current => "A",
            Dimension::Area => "mm²",
            Dimension::Power => "kW",
            Dimension::Frequency => "Hz",
            Dimension::Flow => "L/min",
            Dimension::Stiffness => "N/mm",
            Dimension::Capacitance => "µF",
            Dimension::KinematicViscosity => "cSt",
            Dimension::DynamicViscosity => "mPa·s",
            Dimension::Slope => "mm/m",
            Dimension::Energy => "J",
            Dimension::LinearDensity => "kg/m",
            Dimension::RockwellC => "HRC",
            Dimension::RockwellB => "HRB",
            Dimension::Brinell => "HBW",
            Dimension::Vickers => "HV",
            Dimension::ShoreA => "Shore A",
            Dimension::ShoreD => "Shore D",
            Dimension::Ratio => "%",
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}
