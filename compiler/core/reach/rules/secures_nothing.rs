//! # Fasteners that secure nothing
//!
//! ## What it means
//! A torque names nothing that it `secures`, is no `part`, closes no joint and is needed by nothing, in a set that says of other fasteners what they hold.
//!
//! ## Why it matters
//! What they hold could come off while they are tight, or stay on loose, and nobody would be told; `benchleaf reach` doesn't know that they have to
//! be undone.
//!
//! ## Example
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//!   guard: {name: guard}
//! torques:
//!   cover-screws: {name: cover screws, torque: 9 N·m, lubrication: dry, secures: [cover]}
//!   guard-screws: {name: guard screws, torque: 5 N·m, lubrication: dry}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen guard-screws] and lift off the [remove guard].
//! 2. Undo the [loosen cover-screws] and lift off the [remove cover].
//! 3. Set on the [fit cover] and tighten the [torque cover-screws].
//! 4. Set on the [fit guard] and tighten the [torque guard-screws].
//! ```
//!
//! ## Instead
//! ```yaml
//! machine: Invented pump
//! title: Rebuild
//! parts:
//!   cover: {name: cover}
//!   guard: {name: guard}
//! torques:
//!   cover-screws: {name: cover screws, torque: 9 N·m, lubrication: dry, secures: [cover]}
//!   guard-screws: {name: guard screws, torque: 5 N·m, lubrication: dry, secures: [guard]}
//! ```
//! ```markdown
//! ---
//! title: Job
//! ---
//!
//! 1. Undo the [loosen guard-screws] and lift off the [remove guard].
//! 2. Undo the [loosen cover-screws] and lift off the [remove cover].
//! 3. Set on the [fit cover] and tighten the [torque cover-screws].
//! 4. Set on the [fit guard] and tighten the [torque guard-screws].
//! ```

use crate::finding::{Finding, Rule, Severity};
use crate::model::ties::Wanted;
use crate::model::{Entity, Home, Set};

pub static RULE: Rule = Rule {
    code: "BL464",
    name: "secures-nothing",
    severity: Severity::Advice,
    page: include_str!("secures_nothing.rs"),
};

pub fn check(set: &Set, findings: &mut Vec<Finding>) {
    let catalogue = &set.catalogue;
    let secures = |entity| !set.links.ties(entity).secures.is_empty();
    // Clips say it in sets whose bolts say nothing.
    let mut torques = catalogue.torques.iter();
    if !torques.any(|(torque, _)| secures(torque.entity())) {
        return;
    }
    // What closes a joint, or is needed tight or loose by something, has its purpose.
    let told = set.links.ties.values().flat_map(|ties| {
        let needs = [
            &ties.needs,
            &ties.to_fit,
            &ties.to_remove,
            &ties.to_loosen,
            &ties.to_tighten,
        ];
        let needed = needs.into_iter().flatten().flat_map(|need| match &need.what {
            Wanted::Met(things) => things.as_slice(),
            Wanted::Loose(thing) => std::slice::from_ref(thing),
            Wanted::Off(_) | Wanted::State(..) => &[],
        });
        ties.closed_by.iter().flat_map(|target| &target.things).chain(needed)
    });
    let told: Vec<&Entity> = told.collect();
    for (torque, def) in catalogue.torques.iter() {
        let entity = torque.entity();
        let is_part = set.links.ties(entity).part.is_some();
        let idle = !secures(entity) && !is_part && !told.contains(&&entity);
        if idle && !matches!(def.home, Home::Workshop(_)) {
            let message = format!("`{}` secures nothing", def.id.text);
            let finding = Finding::new(&RULE, def.id.span, message);
            findings.push(finding.help("say what they hold with `secures: […]`"));
        }
    }
}
