//! The record of a job as a leaf: the verdict, what fails first, then every box with what was written into it.

use crate::cards::card::{Chosen, Identity};
use crate::fingerprint::{Code, Kind, leaf};
use crate::record::data::{LogFinding, Report};
use std::collections::BTreeMap;

leaf! {
    /// A judged record.
    pub struct RecordSheet {
        /// That of the card, with the revision that the record was begun with.
        says identity: Identity,
        /// Code of the card that the record was begun with; empty if none. It stands for everything that the set gives.
        says card: String,
        /// What keeps the job from passing, in the order of the record.
        exempt(Argument) deviations: Vec<LogFinding>,
        /// What else is to be told.
        exempt(Argument) told: Vec<LogFinding>,
        /// As judged; what is put off by its id has its name as well.
        exempt(Argument) report: Report,
    }
}

leaf! {
    /// What a record takes from the set: the same code as the record's, whatever was written into it.
    pub struct RecordBasis {
        says identity: Identity,
        says card: String,
    }
}

impl Kind for RecordSheet {
    const NAME: &'static str = "record";
}

impl Kind for RecordBasis {
    const NAME: &'static str = "record";
}

/// What the record of a card has from the set.
pub fn basis(card: &Identity, code: Code) -> RecordBasis {
    RecordBasis {
        identity: Identity {
            source: String::new(),
            ..card.clone()
        },
        card: code.to_string(),
    }
}

/// The leaf of a report; `language` and `paper` are the set's.
pub fn sheet(mut report: Report, language: &str, paper: &str) -> RecordSheet {
    let choice = |(option, value): &(String, String)| Chosen {
        option: option.clone(),
        value: value.clone(),
        default: false,
    };
    let names = names(&report);
    for deferral in report.deferred.iter_mut().chain(&mut report.carried) {
        if let Some(name) = names.get(&deferral.what) {
            deferral.what = format!("{name} ({})", deferral.what);
        }
    }
    let (deviations, told) = report.findings.iter().cloned().partition(|f| f.kind.fails());
    RecordSheet {
        identity: Identity {
            set: report.set.clone(),
            set_title: report.set_title.clone(),
            machine: report.machine.clone(),
            procedure: report.procedure.clone(),
            title: (&report.title).into(),
            position: 0,
            of: 0,
            rev: report.rev.clone(),
            date: String::new(),
            source: String::new(),
            draft: false,
            choices: report.choices.iter().map(choice).collect(),
            language: language.into(),
            paper: paper.to_string(),
            uncommitted: false,
        },
        card: Code::parse(&report.fingerprint).map_or_else(|_| report.fingerprint.clone(), |code| code.to_string()),
        deviations,
        told,
        report,
    }
}

/// What the boxes of a record are called, by their ids.
fn names(report: &Report) -> BTreeMap<String, String> {
    let pair = |id: &String, name: &String| (id.clone(), name.clone());
    let readings = report.readings.iter().map(|r| pair(&r.id, &r.name));
    let torques = report.torques.iter().map(|q| pair(&q.id, &q.name));
    let timers = report.timers.iter().map(|w| pair(&w.id, &w.what));
    let holds = report.holds.iter().map(|h| pair(&h.id, &h.what));
    readings.chain(torques).chain(timers).chain(holds).collect()
}
