//! `log`: the record of a job, begun, judged and reported.

use super::kit::json;
use super::sets::{self, Chosen, Sets};
use crate::cards;
use crate::check::Facts;
use crate::edge::args::{Judged, Log, LogCheck, LogFormat, LogReport, LogStart, ReportFormat};
use crate::edge::disk::{self, Disk};
use crate::edge::press::Press;
use crate::edge::{Outcome, Trouble, escape, files, terminal};
use crate::fingerprint;
use crate::model::{Choices, ProcedureId, Set};
use crate::record::{self, Filled, Report};
use crate::source::FileSet;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

pub fn run(args: &Log, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    match args {
        Log::Start(args) => start(args, disk),
        Log::Check(args) => check(args, disk),
        Log::Report(args) => report(args, disk),
    }
}

/// The fingerprint of a card as it is now: what a record is begun with and later compared with.
fn card_fingerprint(files: &FileSet, set: &Set, facts: &Facts, procedure: ProcedureId, choices: &Choices) -> String {
    fingerprint::code(&cards::card(files, set, facts, procedure, choices)).to_string()
}

fn start(args: &LogStart, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let sets = sets::read(&args.path, disk)?;
    let chosen = sets.chosen(&args.options)?;
    let procedures: Vec<(&Chosen, ProcedureId)> = chosen
        .iter()
        .flat_map(|one| {
            let (set, ..) = one;
            let asked = set.procedures.named();
            let asked = asked.filter(|(_, p)| sets.input.wants(&sets.input.files.get(p.file).path));
            asked.map(move |(procedure, _)| (one, procedure)).collect::<Vec<_>>()
        })
        .collect();
    if sets.compilation.has_errors() && procedures.is_empty() {
        return Ok(Outcome::Errors);
    }
    let [((set, facts, choices), procedure)] = procedures.as_slice() else {
        return Err(Trouble::new("a record is of one procedure: name its file"));
    };
    if !choices.meet(&set.procedures[*procedure].only) {
        return Err(Trouble::new(
            "there is no such card for these choices: choose others with `--option`",
        ));
    }
    if !args.carry.is_empty() && args.serial.is_empty() {
        return Err(Trouble::new(
            "whose records are they? add the `--serial` of the machine",
        ));
    }
    let earlier = args
        .carry
        .iter()
        .map(|path| parsed(path, &files::text(disk, path)?))
        .collect::<Result<Vec<Filled>, Trouble>>()?;
    remark_others(&args.carry, &earlier, &set.id, &args.serial);
    let carried = record::carry(&earlier, &args.serial);
    let fingerprint = card_fingerprint(&sets.input.files, set, facts, *procedure, choices);
    let form = record::form(set, *procedure, choices);
    let text = record::write(set, &form, &fingerprint, &args.serial, &carried);
    readable(set, facts, &text, &fingerprint)?;
    match &args.out {
        None => terminal::say_data(text.trim_end()),
        Some(out) => write(out, text.as_bytes(), disk)?,
    }
    Ok(sets.outcome())
}

/// Reads a record back before anybody fills it in: what couldn't be judged then is told now.
fn readable(set: &Set, facts: &Facts, text: &str, fingerprint: &str) -> Result<(), Trouble> {
    let back = record::read(text).and_then(|filled| record::judge(set, facts, &filled, &[], fingerprint));
    match back {
        Ok(_) => Ok(()),
        Err(words) => Err(Trouble::new(format!(
            "a record of this could be filled in and not read again ({words}): mend what it is begun with, such as `--serial`"
        ))),
    }
}

/// Writes a record where none is yet.
fn write(out: &Path, bytes: &[u8], disk: &dyn Disk) -> Result<(), Trouble> {
    let folder = out.parent().unwrap_or(out);
    // The user names the place; what leads there is the user's own affair.
    let written = disk::folders(disk, folder, folder).and_then(|()| disk::create_whole(disk, out, bytes));
    written.map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => Trouble::new(format!(
            "{} is there already: a record is never written over",
            escape::path(out)
        )),
        _ => Trouble::file("write", out, &error),
    })
}

fn check(args: &LogCheck, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let (report, _) = judged(&args.judged, &sets::read(&args.judged.path, disk)?, disk)?;
    match args.format {
        LogFormat::Json => terminal::say_json(&json(&report.findings)?),
        LogFormat::Text => {
            for finding in &report.findings {
                let line = if finding.line == 0 {
                    String::new()
                } else {
                    format!(":{}", finding.line)
                };
                let place = escape::path(&args.judged.record);
                // What somebody wrote stays in the line that tells of it: the last line is the verdict.
                let message = finding.message.english();
                let message = message.split_whitespace().collect::<Vec<_>>().join(" ");
                terminal::say(&format!("{place}{line}: {}: {message}", finding.kind.word()));
            }
            terminal::say(if report.pass { "pass" } else { "fail" });
        }
    }
    Ok(outcome(&report))
}

fn report(args: &LogReport, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let mut press = Press::begin(&args.sheet, args.format == ReportFormat::Pdf, "record")?;
    let sets = sets::read(&args.judged.path, disk)?;
    let (report, text) = judged(&args.judged, &sets, disk)?;
    let outcome = outcome(&report);
    let text = match args.format {
        ReportFormat::Json => json(&report)?,
        ReportFormat::Text => record::text(&report),
        ReportFormat::Pdf => {
            let record = &args.judged.record;
            let written = FileSet::from_texts([(record.to_string_lossy().as_ref(), text.as_str())]);
            let set = sets.whole().map(|(set, _)| set).find(|set| set.id == report.set);
            let (language, paper) = set.map_or(("en", "a4"), |set| {
                (&set.language, set.paper.as_deref().unwrap_or("a4"))
            });
            let name = format!("record-{}", report.procedure);
            let folder = set.map(|set| sets.folder(set)).unwrap_or_default();
            press.add(name, record::leaf::sheet(report, language, paper), folder);
            return Ok(match press.print(&[&written, &sets.input.files], "job record", disk)? {
                Outcome::Errors => Outcome::Errors,
                Outcome::Clean => outcome,
            });
        }
    };
    match args.format {
        ReportFormat::Json => terminal::say_json(text.trim_end()),
        _ => terminal::say(text.trim_end()),
    }
    Ok(outcome)
}

fn outcome(report: &Report) -> Outcome {
    match report.pass {
        true => Outcome::Clean,
        false => Outcome::Errors,
    }
}

/// The verdict on a record, and the record's own text.
fn judged(args: &Judged, sets: &Sets, disk: &dyn Disk) -> Result<(Report, String), Trouble> {
    let text = files::text(disk, &args.record)?;
    let filled = parsed(&args.record, &text)?;
    let id = filled.text("set");
    let Some((set, facts)) = sets.whole().find(|(set, _)| set.id == id) else {
        let place = escape::path(&args.path);
        return Err(Trouble::new(format!(
            "there is no set `{id}` without errors at {place}"
        )));
    };
    let mut choices = Choices::defaults(&set.catalogue);
    for (option, value) in &filled.options {
        // An option or value that the set doesn't have is told by the judge.
        let _ = choices.choose(&set.catalogue, option, &value.text);
    }
    let procedure = set.procedures.find(filled.text("procedure"));
    let current = procedure.map_or_else(String::new, |p| {
        card_fingerprint(&sets.input.files, set, facts, p, &choices)
    });
    let trouble = |words| Trouble::new(format!("{}: {words}", escape::path(&args.record)));
    let earlier = args
        .with
        .iter()
        .map(|path| parsed(path, &files::text(disk, path)?))
        .collect::<Result<Vec<Filled>, Trouble>>()?;
    remark_others(&args.with, &earlier, &set.id, filled.text("serial"));
    let report = record::judge(set, facts, &filled, &earlier, &current).map_err(trouble)?;
    Ok((report, text))
}

/// Remarks on each record that is of another machine or set than the one asked for.
fn remark_others(paths: &[PathBuf], records: &[Filled], set: &str, serial: &str) {
    for (path, record) in paths.iter().zip(records) {
        let place = escape::path(path);
        let (other, number) = (record.text("set"), record.text("serial"));
        if other != set {
            terminal::remark(&format!("{place} is a record of the set `{other}`, not of `{set}`"));
        } else if !record::same_serial(number, serial) {
            terminal::remark(&format!(
                "{place} is of the machine `{number}`, not of `{serial}`: nothing is taken from it"
            ));
        }
    }
}

fn parsed(path: &Path, text: &str) -> Result<Filled, Trouble> {
    record::read(text).map_err(|words| Trouble::new(format!("{}: {words}", escape::path(path))))
}
