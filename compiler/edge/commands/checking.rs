//! What both ways to check share: what plain text doesn't show of a page, and how it ends.

use crate::Compilation;
use crate::edge::args::{Check, Denied};
use crate::edge::files::Input;
use crate::edge::shelf::Material;
use crate::edge::{Trouble, escape};
use crate::finding::{Finding, Severity};
use crate::model::Choices;
use benchleaf_press as typeset;

/// Where nothing is to be checked.
pub fn nothing_at(args: &Check) -> Trouble {
    Trouble::new(format!("there is no procedure at {}", escape::path(&args.path)))
}

/// True if these findings end the check with 1.
pub fn is_refused(args: &Check, findings: &[Finding]) -> bool {
    let least = match args.deny {
        Some(Denied::Warnings) => Severity::Warning,
        None => Severity::Error,
    };
    findings.iter().any(|finding| finding.severity() >= least)
}

/// Characters that no font has, on the leaves of every set that can be printed, for each value of each of its options.
pub fn unprintable(input: &Input, compilation: &Compilation) -> Vec<Finding> {
    let files = &input.files;
    let texts = files.ids().map(|id| files.get(id).text.as_str());
    // Building the leaves takes as long as the check: few sets have such characters.
    if !texts.into_iter().any(typeset::may_be_unprintable) {
        return Vec::new();
    }
    let sets = &compilation.model.sets;
    let mut choices: Vec<Choices> = sets.iter().map(|set| Choices::defaults(&set.catalogue)).collect();
    let mut found = Vec::new();
    for (number, set) in sets
        .iter()
        .enumerate()
        .filter(|(_, set)| !compilation.blocks(files, set))
    {
        let options = set.catalogue.options.iter();
        let ways = options.flat_map(|(option, def)| (0..def.value.values.len()).map(move |value| (option, value)));
        for way in std::iter::once(None).chain(ways.map(Some)) {
            choices[number] = Choices::defaults(&set.catalogue);
            if let Some((option, value)) = way {
                choices[number].set(option, value);
            }
            let material = Material {
                files,
                sets,
                facts: &compilation.facts,
                choices: &choices,
            };
            found.extend(material.unprintable(&material.jobs(false, input, |wanted| wanted == number)));
        }
    }
    found
}
