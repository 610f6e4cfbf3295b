//! How figures are written in answers.

use uom::si::f64::{Force, Length, Pressure};
use uom::si::force::{kilonewton, pound_force};
use uom::si::length::{inch, millimeter};
use uom::si::pressure::megapascal;

/// A name in a column of its own, and what there is to say.
pub(crate) fn line(name: &str, text: impl AsRef<str>) -> String {
    format!("{name:<13} {}", text.as_ref()).trim_end().to_string()
}

/// So many significant figures, without an exponent.
pub(crate) fn number(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_string();
    }
    let places = (digits - 1 - value.abs().log10().floor() as i32).clamp(0, 9);
    let text = format!("{value:.*}", usize::try_from(places).unwrap_or(0));
    if text.trim_start_matches(['-', '0', '.']).is_empty() {
        return "0".to_string();
    }
    text
}

/// `8.000 mm (0.3150 in)`
pub(crate) fn lengths(length: Length) -> String {
    format!("{:.3} mm ({:.4} in)", length.get::<millimeter>(), length.get::<inch>())
}

/// To a micrometre and a hundredth of a thousandth of an inch, as tables of pipe threads have them.
pub(crate) fn both_lengths(length: Length) -> String {
    format!("{:.3} mm ({:.5} in)", length.get::<millimeter>(), length.get::<inch>())
}

/// `21.2 kN (4770 lbf)`
pub(crate) fn force(force: Force) -> String {
    format!(
        "{} kN ({} lbf)",
        number(force.get::<kilonewton>(), 4),
        number(force.get::<pound_force>(), 3)
    )
}

/// `580 MPa (84.1 ksi)`
pub(crate) fn pressure(pressure: Pressure) -> String {
    let megapascals = pressure.get::<megapascal>();
    format!(
        "{} MPa ({} ksi)",
        number(megapascals, 3),
        number(megapascals / 6.894_757_293, 3)
    )
}
