//! Tools whose calibration was over on the day of the job: the wrench written down beside a torque, the gauge that a card asks for.

use super::FindingKind;
use super::form::Form;
use super::judge::Judge;
use super::read::{line, text};
use crate::model::Handle;
use crate::model::registers::Tool;
use crate::words::say;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Tells of each such tool once, by the day the job ended, or began where no end is written; nothing where neither is a date.
pub fn calibrations(judge: &mut Judge, form: &Form) {
    let day = |field: &str| judge.filled.text(field).get(..10)?.parse::<Date>().ok();
    let Some(day) = day("finished").or_else(|| day("started")) else {
        return;
    };
    let mut told: BTreeSet<Handle<Tool>> = BTreeSet::new();
    let fields: Vec<(usize, String)> = judge
        .filled
        .torques
        .iter()
        .map(|fields| (line(fields), text(fields, "tool").to_string()))
        .collect();
    for (line, written) in fields {
        if let Some(tool) = named(judge, &written).filter(|tool| told.insert(*tool)) {
            tell(judge, tool, day, line);
        }
    }
    for reading in &form.readings {
        let gauge = judge.set.links.gauges.get(&reading.limit).copied();
        if let Some(gauge) = gauge.filter(|gauge| told.insert(*gauge)) {
            tell(judge, gauge, day, 0);
        }
    }
}

/// The tool of the shop that somebody wrote down: by its number, id or name, in any case.
fn named(judge: &Judge, written: &str) -> Option<Handle<Tool>> {
    let written = written.trim().to_lowercase();
    let same = |name: &str| !written.is_empty() && name.to_lowercase() == written;
    let mut tools = judge.set.catalogue.tools.iter();
    tools
        .find(|(_, def)| {
            let number = def.value.number.as_ref().is_some_and(|n| same(&n.text));
            number || same(&def.id.text) || same(&def.value.name)
        })
        .map(|(tool, _)| tool)
}

fn tell(judge: &mut Judge, tool: Handle<Tool>, day: Date, line: usize) {
    let tool = &judge.set.catalogue.tools[tool];
    let Some(until) = tool.calibrated_until.as_ref().filter(|until| until.value < day) else {
        return;
    };
    let words = say::calibrated_until(&tool.name, until.value.to_string(), day.to_string());
    judge.tell(FindingKind::CalibrationOver, line, words);
}
