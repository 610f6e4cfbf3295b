//! The insides of a compilation, as the hidden command prints them.

use super::Checked;
use benchleaf_core::dump::{Part, dump};
use serde_json::Value;

fn part(checked: &Checked, part: Part) -> Value {
    let Checked { files, compilation } = checked;
    dump(files, &compilation.model, &compilation.facts, part)
}

/// What happens in each set.
pub fn events(checked: &Checked) -> Value {
    part(checked, Part::Events)
}

/// The sets as the model has them.
pub fn model(checked: &Checked) -> Value {
    part(checked, Part::Model)
}

/// The leaves of each set.
pub fn leaves(checked: &Checked) -> Value {
    part(checked, Part::Leaves)
}
