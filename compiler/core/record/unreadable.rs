//! Why a reading can't be read, on a leaf: the same that a finding says of a value, in the words of the tables.

use crate::domain::quantity::{Dimension, ValueError, ValueErrorKind, comma_read, power_read, quoted};
use crate::words::{Phrase, joined, phrase, say};

/// What was written, what is wrong with it, and what to write.
pub fn unreadable(text: &str, error: &ValueError) -> Phrase {
    phrase!("`", text, "`: ", fault(error), "; ", help(error))
}

#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "a reading is a number with a unit: it meets few of the faults of values"
)]
fn fault(error: &ValueError) -> Phrase {
    match &error.kind {
        ValueErrorKind::Empty => say::value_empty(),
        ValueErrorKind::NotANumber { found } if found.is_empty() => say::value_number_missing(),
        ValueErrorKind::NotANumber { found } => say::value_no_number(quoted(found)),
        ValueErrorKind::CommaInNumber { found } => match comma_read(found) {
            (Some(_), None) => say::value_decimal_comma(quoted(found)),
            _ => say::value_comma(quoted(found)),
        },
        ValueErrorKind::OddNumber { found, .. } => say::value_odd_number(quoted(found)),
        ValueErrorKind::NumberOutOfRange { found } => say::value_out_of_range(quoted(found)),
        ValueErrorKind::Exponent { found } => say::value_power_of_ten(quoted(found)),
        ValueErrorKind::Overload { found } => say::value_overload(quoted(found)),
        ValueErrorKind::MissingUnit { expected: Some(of) } => say::value_no_unit_of(dimension(*of)),
        ValueErrorKind::MissingUnit { expected: None } => say::value_no_unit(),
        ValueErrorKind::UnknownUnit { found, .. } => say::value_unknown_unit(quoted(found)),
        ValueErrorKind::WrongDimension { expected, found, unit } => {
            say::value_other_dimension(unit.to_string(), dimension(*found), any_of(expected))
        }
        ValueErrorKind::TrailingText { found } => say::value_trailing(quoted(found)),
        ValueErrorKind::BelowAbsoluteZero => say::value_below_absolute_zero(),
        _ => say::value_unreadable(),
    }
}

#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "a reading is a number with a unit: it meets few of the faults of values"
)]
fn help(error: &ValueError) -> Phrase {
    match &error.kind {
        ValueErrorKind::Empty => say::write_a_value(),
        ValueErrorKind::CommaInNumber { found } => match comma_read(found) {
            (Some(decimals), Some(thousands)) => {
                say::write_decimals_or_thousands(quoted(&decimals), quoted(&thousands))
            }
            (Some(only), None) | (None, Some(only)) => say::write_this(quoted(&only)),
            (None, None) => say::write_a_figure(),
        },
        ValueErrorKind::OddNumber {
            suggestion: Some(number),
            ..
        } => say::write_this(quoted(number)),
        ValueErrorKind::OddNumber { found, .. } if found.contains(['e', 'E']) => say::write_in_full(),
        ValueErrorKind::NumberOutOfRange { .. } => say::write_fewer_digits(),
        ValueErrorKind::Exponent { found } => match power_read(found) {
            (Some(plain), Some(class)) => say::write_plain_or_class(quoted(&plain), quoted(&class)),
            (Some(plain), None) => say::write_this(quoted(&plain)),
            (None, _) => say::write_digits_out(),
        },
        ValueErrorKind::Overload { .. } => say::write_what_must_be_reached(),
        ValueErrorKind::MissingUnit { expected } => say::write_the_unit(expected.map_or("mm", Dimension::example_unit)),
        ValueErrorKind::UnknownUnit {
            found,
            suggestion: Some(unit),
            ..
        } if unit.starts_with("US ") => say::say_whose_unit(found, unit.trim_start_matches("US ")),
        ValueErrorKind::UnknownUnit {
            suggestion: Some(unit), ..
        } => say::did_you_mean(unit),
        ValueErrorKind::UnknownUnit { choices, .. } if !choices.is_empty() => {
            say::write_the_unit_meant(joined(choices.iter().map(|unit| phrase!("`", *unit, "`")), ", "))
        }
        ValueErrorKind::UnknownUnit { .. } => say::write_a_known_unit(),
        ValueErrorKind::WrongDimension {
            expected,
            found: Dimension::Mass,
            unit,
        } if expected.contains(&Dimension::Force) => say::write_a_force(unit.to_string()),
        ValueErrorKind::WrongDimension {
            expected,
            found: Dimension::Mass | Dimension::Force | Dimension::Stiffness | Dimension::LinearDensity,
            ..
        } if expected.contains(&Dimension::Torque) => say::write_a_torque(),
        ValueErrorKind::WrongDimension { expected, .. } => {
            let units = expected.iter().map(|of| phrase!("`", of.example_unit(), "`"));
            let units = units.reduce(say::or).unwrap_or_default();
            say::write_a_unit(any_of(expected), units)
        }
        ValueErrorKind::TrailingText { found } if found.starts_with('+') => say::write_stages_as_a_list(),
        ValueErrorKind::TrailingText { .. } => say::write_remarks_elsewhere(),
        ValueErrorKind::BelowAbsoluteZero => say::mend_the_figure(),
        _ => say::write_a_figure(),
    }
}

/// Dimensions of which one will do; a reading has the one of its limit.
fn any_of(dimensions: &[Dimension]) -> Phrase {
    let all = dimensions.iter().map(|of| dimension(*of));
    all.reduce(say::or).unwrap_or_default()
}

fn dimension(of: Dimension) -> Phrase {
    match of {
        Dimension::Torque => say::dimension_torque(),
        Dimension::Length => say::dimension_length(),
        Dimension::Angle => say::dimension_angle(),
        Dimension::Pressure => say::dimension_pressure(),
        Dimension::Temperature => say::dimension_temperature(),
        Dimension::TemperatureDifference => say::dimension_temperature_difference(),
        Dimension::Mass => say::dimension_mass(),
        Dimension::Volume => say::dimension_volume(),
        Dimension::Force => say::dimension_force(),
        Dimension::Time => say::dimension_time(),
        Dimension::RotationalSpeed => say::dimension_rotational_speed(),
        Dimension::Speed => say::dimension_speed(),
        Dimension::Voltage => say::dimension_voltage(),
        Dimension::Resistance => say::dimension_resistance(),
        Dimension::Current => say::dimension_current(),
        Dimension::Area => say::dimension_area(),
        Dimension::Power => say::dimension_power(),
        Dimension::Frequency => say::dimension_frequency(),
        Dimension::Flow => say::dimension_flow(),
        Dimension::Stiffness => say::dimension_stiffness(),
        Dimension::Capacitance => say::dimension_capacitance(),
        Dimension::KinematicViscosity => say::dimension_kinematic_viscosity(),
        Dimension::DynamicViscosity => say::dimension_dynamic_viscosity(),
        Dimension::Slope => say::dimension_slope(),
        Dimension::Energy => say::dimension_energy(),
        Dimension::LinearDensity => say::dimension_linear_density(),
        Dimension::RockwellC => say::dimension_rockwell_c(),
        Dimension::RockwellB => say::dimension_rockwell_b(),
        Dimension::Brinell => say::dimension_brinell(),
        Dimension::Vickers => say::dimension_vickers(),
        Dimension::ShoreA => say::dimension_shore_a(),
        Dimension::ShoreD => say::dimension_shore_d(),
        Dimension::Ratio => say::dimension_ratio(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::Measure;

    /// A leaf says of a reading what messages say of a value: each fault that reading a measure can have.
    #[test]
    fn a_leaf_says_what_messages_say() {
        let mut told = Vec::new();
        for of in Dimension::ALL {
            assert_eq!(dimension(of).english(), of.name());
            for text in [
                "",
                " ",
                "mm",
                "about 3 mm",
                "0,05 mm",
                "1,250 mm",
                "1,2,3 mm",
                "½ mm",
                "1O mm",
                "5e6 mm",
                "1.5e-3 mm",
                "2×10^5 mm",
                "1e99 mm",
                "1.23456789012345678901234567890 mm",
                "OL",
                "O.L mm",
                "3",
                "3 m m",
                "3 foo",
                "3 mM",
                "3 gal",
                "3 qt",
                "3 lb",
                "3 kg",
                "3 N",
                "3 N/mm",
                "3 kg/m",
                "3 N·m",
                "3 mm",
                "3 °C",
                "-300 °C",
                "3 V",
                "3 mm low",
                "3 mm + 4",
                "20 N·m + 90°",
                "3 °",
                "1/3 mm",
                "3 oz",
                "3 ton",
                "1 000 mm",
                "3.5.1 mm",
                "7/8",
                "max.5 mm",
            ] {
                if let Err(error) = Measure::parse_any_of(text, &[of]) {
                    let wanted = format!("`{text}`: {}; {}", error.message(), error.help());
                    assert_eq!(unreadable(text, &error).english(), wanted, "{text}");
                    let kind = std::mem::discriminant(&error.kind);
                    if !told.contains(&kind) {
                        told.push(kind);
                    }
                }
            }
        }
        assert!(told.len() >= 9, "only {} kinds of fault were met", told.len());
    }
}
