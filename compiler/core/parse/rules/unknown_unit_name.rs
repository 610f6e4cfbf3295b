//! # The house style names no unit of that dimension
//!
//! ## What it means
//! `style.units` maps a dimension to the unit that is printed second. One of the two is misspelt, or the unit measures something else.
//!
//! ## Why it matters
//! Without it the cards would come out with one unit where two were asked for.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! style:
//!   units: {torque: psi}
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! style:
//!   units: {torque: lbf·ft}
//! ```

use crate::domain::quantity::{Dimension, Unit};
use crate::finding::{Finding, Rule, Severity, did_you_mean};
use crate::syntax::Name;

pub static RULE: Rule = Rule {
    code: "BL206",
    name: "unknown-unit-name",
    severity: Severity::Error,
    page: include_str!("unknown_unit_name.rs"),
};

/// The dimension is none.
pub fn dimension(name: &Name) -> Finding {
    let finding = Finding::new(&RULE, name.span, format!("`{}` is not a dimension", name.text));
    let names: Vec<&str> = Dimension::ALL.iter().map(|d| d.name()).collect();
    match did_you_mean(&name.text, names.iter().copied()) {
        Some(near) => finding.guess(name.span, near, format!("did you mean `{near}`?")),
        None => finding.help(format!("the dimensions are {}", crate::finding::quoted(&names))),
    }
}

/// The unit is none, or one of another dimension.
pub fn unit(name: &Name, wanted: Dimension, found: Option<Unit>) -> Finding {
    let message = match found {
        Some(unit) => format!("`{unit}` is a unit of {}, not of {wanted}", unit.dimension()),
        None => format!("`{}` is not a unit", name.text),
    };
    let example = wanted.example_unit();
    let unit = if found.is_none() {
        Unit::suggest(&name.text, Some(wanted)).0
    } else {
        None
    };
    match unit {
        Some(near) => {
            Finding::new(&RULE, name.span, message).guess(name.span, near.clone(), format!("did you mean `{near}`?"))
        }
        None => Finding::new(&RULE, name.span, message).help(format!("write a unit of {wanted}, such as `{example}`")),
    }
}
