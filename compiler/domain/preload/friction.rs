//! Torque with its three parts kept apart: pitch, thread friction, bearing friction.

use uom::si::f64::{Force, Length, Pressure, Torque};
use uom::si::length::meter;

use super::nut_factor::{force, moment};
use crate::fastener::Thread;

/// Coefficients of friction in the threads and under the head or nut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// In the threads.
    pub threads: f64,
    /// Under the turning face.
    pub face: f64,
}

/// Mean diameter of the bearing face when nobody gave it: 1.25 d, half of a washer face of 1.5 d and the hole (Shigley 9th ed.,
/// section 8-8). VDI 2230 tables work out at 1.25 d to 1.30 d for hexagon heads.
pub fn usual_bearing_diameter(thread: Thread) -> Length {
    1.25 * thread.diameter()
}

/// The torque of each part, for showing the working.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueParts {
    /// What stretches the bolt.
    pub pitch: Torque,
    /// What the threads take.
    pub threads: Torque,
    /// What the face takes.
    pub face: Torque,
}

impl TorqueParts {
    /// All three.
    pub fn sum(&self) -> Torque {
        self.pitch + self.threads + self.face
    }
}

/// The shortened form (Motosh; VDI 2230 part 1): F (P/2π + µ d2/(2 cos 30°) + µ D/2), D the mean bearing diameter.
pub fn motosh(thread: Thread, bearing: Length, friction: Friction, preload: Force) -> TorqueParts {
    let [pitch, threads, face] = arms(thread, bearing, friction);
    TorqueParts {
        pitch: moment(preload, pitch),
        threads: moment(preload, threads),
        face: moment(preload, face),
    }
}

/// The preload a torque gives by the shortened form.
pub fn motosh_preload(thread: Thread, bearing: Length, friction: Friction, torque: Torque) -> Force {
    let [pitch, threads, face] = arms(thread, bearing, friction);
    force(torque, pitch + threads + face)
}

fn arms(thread: Thread, bearing: Length, friction: Friction) -> [Length; 3] {
    let flank = 2.0 * std::f64::consts::FRAC_PI_6.cos();
    [
        thread.pitch() / std::f64::consts::TAU,
        friction.threads / flank * thread.pitch_diameter(),
        friction.face / 2.0 * bearing,
    ]
}

/// The exact screw form (Shigley 9th ed., equations 8-26): F d2/2 · (tan λ + µ sec 30°)/(1 − µ tan λ sec 30°) + F µ D/2, with the
/// lead angle tan λ = P/(π d2). Above the shortened form by a quarter of a per cent at usual friction, 3 % at the highest.
pub fn screw_torque(thread: Thread, bearing: Length, friction: Friction, preload: Force) -> Torque {
    moment(preload, screw_arm(thread, bearing, friction))
}

/// The preload a torque gives by the exact screw form.
pub fn screw_preload(thread: Thread, bearing: Length, friction: Friction, torque: Torque) -> Force {
    force(torque, screw_arm(thread, bearing, friction))
}

fn screw_arm(thread: Thread, bearing: Length, friction: Friction) -> Length {
    let mean = thread.pitch_diameter();
    let lead = lead_tangent(thread);
    let flank = friction.threads / std::f64::consts::FRAC_PI_6.cos();
    mean / 2.0 * ((lead + flank) / (1.0 - flank * lead)) + friction.face / 2.0 * bearing
}

fn lead_tangent(thread: Thread) -> f64 {
    thread.pitch().get::<meter>() / (std::f64::consts::PI * thread.pitch_diameter().get::<meter>())
}

/// The preload at which tension and torsion together reach `share` (VDI 2230: 0.9) of the yield strength:
/// share · Re · A0 / √(1 + 3 (3/2 · d2/d0 · (P/(π d2) + 1.155 µ))²), A0 and d0 of the stress section.
pub fn preload_at_yield_share(thread: Thread, yield_strength: Pressure, share: f64, thread_friction: f64) -> Force {
    let ratio = thread.pitch_diameter().get::<meter>() / thread.stress_diameter().get::<meter>();
    let torsion = 1.5 * ratio * (lead_tangent(thread) + 1.155 * thread_friction);
    share * yield_strength * thread.stress_area() / (1.0 + 3.0 * torsion * torsion).sqrt()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use uom::si::force::newton;

    use super::*;
    use crate::fastener::Fastener;
    use crate::quantity::tests::config;

    proptest! {
        #![proptest_config(config())]

        #[test]
        fn there_and_back_and_growing_with_friction(threads in 0.04..0.4_f64, face in 0.04..0.4_f64, load in 1.0..1e6_f64) {
            let thread = Fastener::parse("M10").unwrap().thread();
            let bearing = usual_bearing_diameter(thread);
            let friction = Friction { threads, face };
            let load = Force::new::<newton>(load);
            let short = motosh(thread, bearing, friction, load).sum();
            let exact = screw_torque(thread, bearing, friction, load);
            prop_assert!((motosh_preload(thread, bearing, friction, short) - load).abs() < load * 1e-12);
            prop_assert!((screw_preload(thread, bearing, friction, exact) - load).abs() < load * 1e-12);
            prop_assert!(short < exact && exact < 1.04 * short);
            let slicker = Friction { threads: threads * 0.9, face };
            prop_assert!(screw_torque(thread, bearing, slicker, load) < exact);
        }
    }
}
