//! Bench arithmetic of clearances: which shim to fit, how wide a ring gap. Exact decimals in the author's own unit; common practice,
//! no source.

use rust_decimal::Decimal;

use super::quantity::{Dimension, Figure, Measure};

/// The shim to fit in place of the one that is in: fitted + measured − wanted clearance, in the fitted shim's unit. `None` unless
/// all three are lengths.
pub fn shim(fitted: &Measure, measured: &Measure, wanted: &Measure) -> Option<Measure> {
    let unit = fitted.unit();
    if unit.dimension() != Dimension::Length {
        return None;
    }
    let own = |measure: &Measure| measure.unit().convert(measure.value(), unit);
    let value = fitted.value().checked_add(own(measured)?)?.checked_sub(own(wanted)?)?;
    // Noughts that a conversion added are dropped, those of the fitted shim's figure are kept.
    let mut value = value.normalize();
    value.rescale(value.scale().max(fitted.value().scale()));
    Some(Measure::new(Figure::computed(value), unit))
}

/// The end gap of a piston ring as a share of the bore (0.004 for four thousandths of the bore), in the bore's unit, exact.
/// `None` if the bore isn't a length.
pub fn ring_gap(bore: &Measure, share: Decimal) -> Option<Measure> {
    if bore.dimension() != Dimension::Length {
        return None;
    }
    let value = bore.value().checked_mul(share)?;
    Some(Measure::new(Figure::computed(value.normalize()), bore.unit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_exact() {
        let measure = |text: &str| Measure::parse(text).unwrap();
        let shim = |fitted, measured, wanted| {
            shim(&measure(fitted), &measure(measured), &measure(wanted)).map(|shim| shim.to_string())
        };
        assert_eq!(shim("2.80 mm", "0.18 mm", "0.25 mm").as_deref(), Some("2.73 mm"));
        assert_eq!(shim("2.80 mm", "180 µm", "0.25 mm").as_deref(), Some("2.73 mm"));
        assert_eq!(shim("2.80 bar", "0.18 bar", "0.25 bar"), None);
        assert_eq!(
            ring_gap(&measure("3.50 in"), Decimal::new(4, 3)).unwrap().to_string(),
            "0.014 in"
        );
    }
}
