//! # A phase that is too long to keep a place in
//!
//! ## What it means
//! A phase has more than twelve steps for one choice of options. Five to nine are best.
//!
//! ## Why it matters
//! A phase is what one does before looking up: somebody called away from a long one comes back to the wrong line, and its end, where what went on and
//! off is counted, comes too late to find what was left out.
//!
//! ## Example
//! ```markdown
//! ---
//! title: Example
//! torques: {screws: {torque: 9 N·m, count: 6}}
//! ---
//!
//! ## Close the cover
//!
//! 1. Look at the first face.
//! 2. Look at the second face.
//! 3. Look at the third face.
//! 4. Look at the fourth face.
//! 5. Look at the fifth face.
//! 6. Look at the sixth face.
//! 7. Look at the first thread.
//! 8. Look at the second thread.
//! 9. Look at the third thread.
//! 10. Look at the fourth thread.
//! 11. Look at the fifth thread.
//! 12. Look at the sixth thread.
//! 13. Tighten the [torque screws].
//! ```
//!
//! ## Instead
//! ```markdown
//! ---
//! title: Example
//! torques: {screws: {torque: 9 N·m, count: 6}}
//! ---
//!
//! ## Look at what closes
//!
//! 1. Look at the six faces.
//! 2. Look at the six threads.
//!
//! ## Close the cover
//!
//! 1. Tighten the [torque screws].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::model::{Phase, Set};
use std::collections::BTreeMap;

pub static RULE: Rule = Rule {
    code: "BL719",
    name: "long-phase",
    severity: Severity::Advice,
    page: include_str!("long_phase.rs"),
};

/// Steps that a phase may have. That long lists be divided: NASA CR-177549, guidelines 7 and 10; twelve: common practice, no source.
const MOST: usize = 12;

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    for procedure in &set.procedures {
        for phase in &procedure.phases {
            let steps = most(phase);
            if steps > MOST {
                let told = format!("this phase has {steps} steps; one keeps one's place in {MOST}");
                let help = "begin another phase, with a heading of its own, where the work comes to a rest";
                findings.push(Finding::new(&RULE, phase.span, told).help(help));
            }
        }
    }
}

/// The most steps that one choice leaves: those that hang on an option are counted for each of its values.
fn most(phase: &Phase) -> usize {
    let mut always = 0;
    let mut by_option: BTreeMap<_, BTreeMap<usize, usize>> = BTreeMap::new();
    for step in phase.runs.iter().flat_map(|run| &run.steps) {
        match step.only.first() {
            None => always += 1,
            Some(condition) => {
                let counts = by_option.entry(condition.option).or_default();
                for value in &condition.values {
                    *counts.entry(*value).or_default() += 1;
                }
            }
        }
    }
    let more = by_option.values().filter_map(|counts| counts.values().max());
    always + more.sum::<usize>()
}
