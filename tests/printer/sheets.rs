//! Kits, plans, records and change sheets as leaves: the answers, and the data that is printed of them.

use crate::harness::{Checked, Files, check, job, revisions};
use benchleaf_core::cards::sheets;
use benchleaf_core::check::Facts;
use benchleaf_core::diff::{diff, sheet};
use benchleaf_core::model::{Choices, Set};
use benchleaf_core::plan::Ask;
use benchleaf_core::{kit, plan, reach, record as log};
use benchleaf_domain::timer::Duration;

pub use benchleaf_core::diff::leaf::ChangeSheet;
pub use benchleaf_core::kit::leaf::KitSheet;
pub use benchleaf_core::plan::Plan;
pub use benchleaf_core::plan::leaf::PlanSheet;
pub use benchleaf_core::reach::leaf::ReachSheet;
pub use benchleaf_core::record::leaf::RecordSheet;

/// The kit of every set, for the default choices.
pub fn kits(checked: &Checked) -> Vec<KitSheet> {
    let (sets, facts) = (&checked.compilation.model.sets, &checked.compilation.facts);
    let one = |(set, facts): (&Set, &Facts)| {
        let choices = Choices::defaults(&set.catalogue);
        let identity = benchleaf_core::leaves::kit_identity(set, &choices);
        kit::leaf::sheet(identity, sheets::cards(set, &choices), &kit::kit(set, facts, &choices))
    };
    sets.iter().zip(facts).map(one).collect()
}

/// What must come off to reach the last part of every set, and one of which nothing lies in the way.
pub fn reaches(checked: &Checked) -> Vec<ReachSheet> {
    let mut all = Vec::new();
    for set in &checked.compilation.model.sets {
        let choices = Choices::defaults(&set.catalogue);
        let ids: Vec<String> = set.catalogue.parts.iter().map(|(_, def)| def.id.text.clone()).collect();
        for id in ids.iter().step_by(5) {
            let Ok(reach) = reach::reach(set, &choices, std::slice::from_ref(id)) else {
                continue;
            };
            let identity = benchleaf_core::leaves::reach_identity(set, &choices);
            all.push(reach::leaf::sheet(identity, sheets::cards(set, &choices), &reach));
        }
    }
    all
}

/// The kits of each set beside those for the other value of each of its options.
pub fn comparisons(checked: &Checked) -> Vec<KitSheet> {
    let mut all = Vec::new();
    let sets = checked.compilation.model.sets.iter();
    for (set, facts) in sets.zip(&checked.compilation.facts) {
        let usual = Choices::defaults(&set.catalogue);
        for (_, option) in set.catalogue.options.iter() {
            for value in &option.value.values {
                let mut other = usual.clone();
                let _ = other.choose(&set.catalogue, &option.id.text, &value.0.text);
                let (left, right) = (kit::kit(set, facts, &usual), kit::kit(set, facts, &other));
                let identity = benchleaf_core::leaves::kit_identity(set, &usual);
                let comparison = kit::compare(&left, &right);
                all.push(kit::leaf::against(identity, &left, &right, &comparison));
            }
        }
    }
    all
}

/// The plan of every set in sittings of a length, with its leaf.
pub fn plans(checked: &Checked, sitting: Option<&str>, start: &str) -> Vec<(Plan, PlanSheet)> {
    let time = |text: &str| Duration::parse(text).unwrap_or_else(|_| Duration::zero());
    let ask = Ask {
        sitting: sitting.map(time),
        every: time("24 h"),
        unstated: time("2 min"),
        start: start.parse().ok(),
    };
    let (sets, facts) = (&checked.compilation.model.sets, &checked.compilation.facts);
    let one = |(set, facts): (&Set, &Facts)| {
        let choices = Choices::defaults(&set.catalogue);
        let plan = plan::plan(set, facts, &choices, &ask);
        let sheet = plan::leaf::sheet(plan::basis(set, &choices), &plan);
        (plan, sheet)
    };
    sets.iter().zip(facts).map(one).collect()
}

/// The leaf of a filled-in record.
pub fn record(files: &Files, text: &str, current: &str) -> Result<RecordSheet, String> {
    let report = job::record(files, text, current)?;
    Ok(log::leaf::sheet(report, "en", "a4"))
}

/// The change sheet of two states.
pub fn changes(old: &Files, new: &Files) -> ChangeSheet {
    let (old, new) = (check(old), check(new));
    let found = diff(revisions::side(&old, "before"), revisions::side(&new, "after"));
    sheet(&found, "en", "a4")
}
