//! # Two values that make no difference
//!
//! ## What it means
//! No condition tells two values of an option apart: whichever is chosen, the cards are the same.
//!
//! ## Why it matters
//! Either the steps that belong to one of them are missing, or the choice is none.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! options:
//!   oil: {values: [mineral, synthetic, other], default: mineral}
//! ---
//!
//! 1. Fill in mineral oil. [only oil=mineral]
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! options:
//!   oil: {values: [mineral, synthetic], default: mineral}
//! ---
//!
//! 1. Fill in mineral oil. [only oil=mineral]
//! 2. Fill in synthetic oil. [only oil=synthetic]
//! ```

use crate::check::walked::Walked;
use crate::finding::{Finding, Rule, Severity};
use crate::model::registers::Choice;
use crate::model::{Condition, Handle, Set};
use std::collections::{BTreeMap, BTreeSet};

pub static RULE: Rule = Rule {
    code: "BL433",
    name: "idle-value",
    severity: Severity::Advice,
    page: include_str!("idle_value.rs"),
};

pub fn check(walked: &Walked, findings: &mut Vec<Finding>) {
    let asked = asked(walked.set);
    for (option, def) in walked.set.catalogue.options.iter() {
        let Some(asked) = asked.get(&option) else { continue };
        let mut first: BTreeMap<Vec<bool>, usize> = BTreeMap::new();
        for (index, (value, _)) in def.value.values.iter().enumerate() {
            let answers = asked.iter().map(|values| values.contains(&index)).collect();
            let same = *first.entry(answers).or_insert(index);
            if let Some((twin, _)) = def.value.values.get(same).filter(|_| same != index) {
                let id = &def.id.text;
                let message = format!("`{id}={}` makes the same cards as `{id}={}`", value.text, twin.text);
                let finding = Finding::new(&RULE, value.span, message).also(twin.span, "the other value");
                findings.push(finding.help("mark the steps that belong to one of them alone, or drop one"));
            }
        }
    }
}

/// Every set of values that some condition asks an option for.
fn asked(set: &Set) -> BTreeMap<Handle<Choice>, BTreeSet<BTreeSet<usize>>> {
    let mut all: Vec<&Condition> = Vec::new();
    all.extend(set.links.ties.values().flat_map(|ties| &ties.only));
    all.extend(set.never.iter().flat_map(|never| &never.pairs));
    for procedure in &set.procedures {
        all.extend(&procedure.only);
        all.extend(procedure.messages.iter().flat_map(|m| &m.only));
        for phase in &procedure.phases {
            all.extend(&phase.only);
            all.extend(phase.messages.iter().flat_map(|m| &m.only));
        }
        for (_, step) in procedure.steps() {
            all.extend(&step.only);
            all.extend(step.messages.iter().flat_map(|m| &m.only));
            all.extend(step.substeps.iter().flat_map(|s| &s.only));
        }
    }
    let mut asked: BTreeMap<Handle<Choice>, BTreeSet<BTreeSet<usize>>> = BTreeMap::new();
    for condition in all {
        let values = condition.values.iter().copied().collect();
        asked.entry(condition.option).or_default().insert(values);
    }
    asked
}
