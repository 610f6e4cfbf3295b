//! What printed files are called.

use crate::cards::card::{Chosen, Identity};
use benchleaf_press::Format;

/// Added to the name of a document that has two leaves on a sheet.
pub const TWO_UP: &str = "-two-up";

/// `02-strip`, with the choices that somebody made.
pub fn numbered(identity: &Identity) -> String {
    card(identity.position, &identity.procedure, &identity.choices)
}

/// The same from its parts; `position` counts from 1.
pub fn card(position: usize, procedure: &str, choices: &[Chosen]) -> String {
    format!("{position:02}-{procedure}{}", chosen(choices))
}

/// `pocket`, or `pocket-strip` for one procedure: a leaf of all procedures has the name of its kind as its own.
pub fn of_all(kind: &str, identity: &Identity) -> String {
    let chosen = chosen(&identity.choices);
    match identity.procedure.as_str() {
        procedure if procedure == kind => format!("{kind}{chosen}"),
        procedure => format!("{kind}-{procedure}{chosen}"),
    }
}

/// The choices that somebody made, so that two choices don't overwrite each other.
pub fn chosen(choices: &[Chosen]) -> String {
    let made = choices.iter().filter(|c| !c.default);
    made.map(|c| format!("+{}", c.assigned())).collect()
}

/// The file of a document, or of one of its leaves, counted from 1 of so many: in the order of their names they are in their own.
pub fn file(document: &str, format: Format, leaf: usize, of: usize) -> String {
    let digits = of.to_string().len();
    match format {
        Format::Pdf | Format::PdfArchive => format!("{document}.pdf"),
        other => format!("{document}-{leaf:0digits$}.{}", other.extension()),
    }
}
