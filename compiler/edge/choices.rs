//! `--option NAME=VALUE` of the command line as choices of every set.

use super::Trouble;
use crate::finding::did_you_mean;
use crate::model::{Choices, Model, Set};
use std::collections::BTreeSet;

/// The choices of every set, in the model's order.
///
/// # Errors
/// If no set has an option of that name, or one doesn't take the value.
pub fn choices(model: &Model, options: &[(String, String)]) -> Result<Vec<Choices>, Trouble> {
    let mut asked = Asked::default();
    let all = model.sets.iter().map(|set| asked.choose(set, options));
    let all = all.collect::<Result<Vec<_>, _>>()?;
    asked.known(options)?;
    Ok(all)
}

/// What has been asked of sets so far, which may come one after another.
#[derive(Debug, Default)]
pub struct Asked {
    /// The options that there are.
    ids: BTreeSet<String>,
}

impl Asked {
    /// The choices of a set. An option that it doesn't have is another's.
    ///
    /// # Errors
    /// If one of its options doesn't take the value.
    pub fn choose(&mut self, set: &Set, options: &[(String, String)]) -> Result<Choices, Trouble> {
        let ids = set.catalogue.options.iter().map(|(_, d)| d.id.text.clone());
        self.ids.extend(ids);
        let mut choices = Choices::defaults(&set.catalogue);
        for (option, value) in options {
            choices.choose(&set.catalogue, option, value).map_err(|fault| {
                let values = fault.values.join(", ");
                Trouble::new(format!(
                    "option `{}` of {} takes {values}, not `{}`",
                    fault.option, set.title, fault.value
                ))
            })?;
        }
        Ok(choices)
    }

    /// Takes in what others have asked.
    pub fn join(&mut self, other: Asked) {
        self.ids.extend(other.ids);
    }

    /// Once every set was asked.
    ///
    /// # Errors
    /// If none has an option of that name.
    pub fn known(&self, options: &[(String, String)]) -> Result<(), Trouble> {
        match options.iter().find(|(option, _)| !self.ids.contains(option)) {
            None => Ok(()),
            Some((option, _)) => {
                let near = did_you_mean(option, self.ids.iter().map(String::as_str));
                let near = near.map_or_else(String::new, |n| format!("; did you mean `{n}`?"));
                Err(Trouble::new(format!("no set here has an option `{option}`{near}")))
            }
        }
    }
}
