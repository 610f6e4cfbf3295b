//! Which `uom` type stands for which dimension.

use std::fmt::Debug;
use std::marker::PhantomData;

use uom::si::f64::{
    Angle, AngularVelocity, Area, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Frequency,
    Length, LinearMassDensity, Mass, Power, Pressure, Ratio, TemperatureInterval, ThermodynamicTemperature, Time,
    Torque, Velocity, Volume,
};

use super::Dimension;

/// A `uom` quantity type that a figure with a unit can become.
pub trait Kind: Copy + Debug + PartialEq + PartialOrd + Send + Sync + 'static {
    /// The dimension the type stands for.
    const DIMENSION: Dimension;

    /// The quantity of so many coherent SI units (N·m, m, rad, Pa, K, kg, m³, N, s, rad/s, m/s, V, Ω, A, m², W, J, Hz, kg/m, 1).
    fn from_si(value: f64) -> Self;

    /// How many coherent SI units the quantity is.
    fn si(self) -> f64;
}

macro_rules! kinds {
    ($($quantity:ident => $dimension:ident),* $(,)?) => {
        $(impl Kind for $quantity {
            const DIMENSION: Dimension = Dimension::$dimension;

            fn from_si(value: f64) -> Self {
                $quantity { dimension: PhantomData, units: PhantomData, value }
            }

            fn si(self) -> f64 {
                self.value
            }
        })*
    };
}

kinds! {
    Torque => Torque,
    Length => Length,
    Angle => Angle,
    Pressure => Pressure,
    ThermodynamicTemperature => Temperature,
    TemperatureInterval => TemperatureDifference,
    Mass => Mass,
    Volume => Volume,
    Force => Force,
    Time => Time,
    AngularVelocity => RotationalSpeed,
    Velocity => Speed,
    ElectricPotential => Voltage,
    ElectricalResistance => Resistance,
    ElectricCurrent => Current,
    Area => Area,
    Power => Power,
    Energy => Energy,
    Frequency => Frequency,
    LinearMassDensity => LinearDensity,
    Ratio => Ratio,
}
