//! What both ways to check share: what plain text doesn't show of a page, and how it ends.

use crate::Compilation;
use crate::edge::args::{Check, Denied};
use crate::edge::files::Input;
use crate::edge::shelf::Material;
use crate::edge::{Trouble, escape};
use crate::finding::{Finding, Severity};
use crate::model::Choices;

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

/// Characters that no font has, for the choices that sets make by themselves and all others.
pub fn unprintable(input: &Input, compilation: &Compilation) -> Vec<Finding> {
    let (files, sets) = (&input.files, &compilation.model.sets);
    let choices: Vec<Choices> = sets.iter().map(|set| Choices::defaults(&set.catalogue)).collect();
    let material = Material {
        files,
        sets,
        facts: &compilation.facts,
        choices: &choices,
    };
    material.unprintable(input, |set| {
        sets.get(set).is_some_and(|set| !compilation.blocks(files, set))
    })
}
