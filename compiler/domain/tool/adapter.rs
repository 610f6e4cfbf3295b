//! Offset adapters on a torque wrench.

use std::marker::PhantomData;

use uom::si::angle::radian;
use uom::si::f64::{Angle, Length, Torque};
use uom::si::length::meter;

use super::Lever;
use crate::quantity::Kind;

/// An adapter that moves the fastener away from the wrench's drive.
///
/// Only the part of the offset along the wrench counts, so at a right angle nothing changes; an adapter that points back subtracts.
/// A concentric extension isn't an adapter and changes nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Adapter {
    /// E: from the drive to the fastener, centre to centre.
    pub offset: Length,
    /// Between the adapter and straight ahead of the wrench; half a turn points back.
    pub angle: Angle,
}

impl Adapter {
    /// An adapter straight ahead.
    pub fn straight(offset: Length) -> Adapter {
        Adapter {
            offset,
            angle: Angle::new::<radian>(0.0),
        }
    }

    /// The setting that gives a torque at the fastener: T L/(L + E cos φ), L from the drive to the middle of the grip.
    /// `None` if the adapter points back past the grip, or the wrench has no length.
    ///
    /// Sources: FAA AC 43.13-1B, 7-40 h and figure 7-2; US Army TM 9-254; US Navy NAVEDTRA 14315.
    pub fn setting(&self, wanted: Torque, wrench: Length) -> Option<Torque> {
        self.ratio(wrench).map(|ratio| scaled(wanted, ratio))
    }

    /// The torque at the fastener at a setting: the reverse of [`setting`](Self::setting).
    pub fn at_fastener(&self, setting: Torque, wrench: Length) -> Option<Torque> {
        self.ratio(wrench).map(|ratio| scaled(setting, 1.0 / ratio))
    }

    /// What it changes on a wrench; `None` as in [`setting`](Self::setting).
    pub fn lever(&self, wrench: Length) -> Option<Lever> {
        Lever::new(self.ratio(wrench)?)
    }

    /// True if it changes nothing whatever the wrench: at a right angle.
    pub fn changes_nothing(&self) -> bool {
        self.ratio(self.offset) == Some(1.0)
    }

    /// Setting over torque at the fastener; `None` as in [`setting`](Self::setting).
    pub fn ratio(&self, wrench: Length) -> Option<f64> {
        let wrench = wrench.get::<meter>();
        // The cosine of a right angle in binary is 6e-17, not nought; a right angle must change nothing at all.
        let along = self.angle.get::<radian>().cos();
        let along = if along.abs() < 1e-12 { 0.0 } else { along };
        let arm = wrench + self.offset.get::<meter>() * along;
        (wrench > 0.0 && arm > 0.0).then(|| wrench / arm)
    }
}

fn scaled(torque: Torque, ratio: f64) -> Torque {
    Torque {
        dimension: PhantomData,
        units: PhantomData,
        value: torque.si() * ratio,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use uom::si::angle::degree;
    use uom::si::length::millimeter;
    use uom::si::torque::newton_meter;

    use super::*;
    use crate::quantity::tests::config;

    #[test]
    fn a_right_angle_changes_nothing_and_pointing_back_past_the_grip_is_refused() {
        let adapter = |offset, angle| Adapter {
            offset: Length::new::<millimeter>(offset),
            angle: Angle::new::<degree>(angle),
        };
        let wrench = Length::new::<millimeter>(400.0);
        let torque = Torque::new::<newton_meter>(100.0);
        assert_eq!(adapter(50.0, 90.0).setting(torque, wrench), Some(torque));
        assert_eq!(adapter(400.0, 180.0).setting(torque, wrench), None);
        assert_eq!(
            Adapter::straight(wrench).setting(torque, wrench),
            Some(Torque::new::<newton_meter>(50.0))
        );
    }

    proptest! {
        #![proptest_config(config())]

        #[test]
        fn setting_and_torque_are_each_others_reverse(offset in 0.0..200.0_f64, angle in 0.0..180.0_f64, torque in 1.0..500.0_f64) {
            let adapter = Adapter { offset: Length::new::<millimeter>(offset), angle: Angle::new::<degree>(angle) };
            let wrench = Length::new::<millimeter>(450.0);
            let torque = Torque::new::<newton_meter>(torque);
            let back = adapter.at_fastener(adapter.setting(torque, wrench).unwrap(), wrench).unwrap();
            prop_assert!((back - torque).abs() < torque * 1e-12);
        }
    }
}
