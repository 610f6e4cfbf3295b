//! `--option NAME=VALUE` of the command line as choices of every set.

use super::Trouble;
use crate::finding::did_you_mean;
use crate::model::{Choices, Model};

/// The choices of every set, in the model's order.
///
/// # Errors
/// If no set has an option of that name, or one doesn't take the value.
pub fn choices(model: &Model, options: &[(String, String)]) -> Result<Vec<Choices>, Trouble> {
    let mut all: Vec<Choices> = model.sets.iter().map(|s| Choices::defaults(&s.catalogue)).collect();
    for (option, value) in options {
        let mut known = false;
        for (set, choices) in model.sets.iter().zip(&mut all) {
            known |= choices.choose(&set.catalogue, option, value).map_err(|fault| {
                let values = fault.values.join(", ");
                Trouble::new(format!(
                    "option `{}` of {} takes {values}, not `{}`",
                    fault.option, set.title, fault.value
                ))
            })?;
        }
        if !known {
            let ids = model
                .sets
                .iter()
                .flat_map(|s| s.catalogue.options.iter().map(|(_, d)| d.id.text.as_str()));
            let near = did_you_mean(option, ids).map_or_else(String::new, |n| format!("; did you mean `{n}`?"));
            return Err(Trouble::new(format!("no set here has an option `{option}`{near}")));
        }
    }
    Ok(all)
}
