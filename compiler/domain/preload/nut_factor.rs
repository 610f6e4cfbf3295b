//! T = K F d: torque, nut factor, preload, nominal diameter. The simplest form and the roughest.

use std::marker::PhantomData;

use uom::si::f64::{Force, Length, Torque};

use crate::quantity::Kind;

/// The torque for a preload at nut factor `k`.
pub fn torque(k: f64, diameter: Length, preload: Force) -> Torque {
    moment(preload, k * diameter)
}

/// The preload a torque gives at nut factor `k`.
pub fn preload(k: f64, diameter: Length, torque: Torque) -> Force {
    force(torque, k * diameter)
}

/// Force × lever arm. `uom` calls the product an energy, which has the same base units but isn't a torque.
pub(super) fn moment(force: Force, arm: Length) -> Torque {
    Torque {
        dimension: PhantomData,
        units: PhantomData,
        value: force.si() * arm.si(),
    }
}

/// Torque ÷ lever arm.
pub(super) fn force(torque: Torque, arm: Length) -> Force {
    Force::from_si(torque.si() / arm.si())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use uom::si::force::newton;
    use uom::si::length::millimeter;

    use super::*;
    use crate::quantity::tests::config;

    proptest! {
        #![proptest_config(config())]

        #[test]
        fn there_and_back(k in 0.05..0.5_f64, diameter in 2.0..40.0_f64, load in 1.0..1e6_f64) {
            let (diameter, load) = (Length::new::<millimeter>(diameter), Force::new::<newton>(load));
            let back = preload(k, diameter, torque(k, diameter, load));
            prop_assert!((back - load).abs() < load * 1e-12);
        }
    }
}
