//! `check`: findings, no cards. Starts neither fonts nor typesetter.

use crate::check::calibration_over;
use crate::compile;
use crate::edge::args::{Check, FindingFormat};
use crate::edge::disk::Disk;
use crate::edge::since::Since;
use crate::edge::{Outcome, Trouble, escape, files, terminal};
use crate::finding::Finding;

pub fn run(args: &Check, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let reading = files::reading(disk, &args.path)?;
    let since = args.since.as_ref();
    let since = since.map(|revision| Since::read(&args.path, &reading, revision));
    let since = since.transpose()?;
    let input = reading.into_input();
    let mut compilation = compile(&input.files);
    if let Some(since) = since {
        compilation.findings.extend(since.not_raised(&compilation));
        compilation.findings.sort_by(Finding::order);
        since
            .remarks()
            .iter()
            .for_each(|remark| terminal::remark(&format!("note: {remark}")));
    }
    if let Some(today) = args.today {
        let over = calibration_over::check(&compilation.model, &compilation.facts, today);
        compilation.findings.extend(over);
        compilation.findings.sort_by(Finding::order);
    }
    terminal::findings(&input.files, &compilation.findings, args.format);
    let procedures = || compilation.model.sets.iter().flat_map(|s| &s.procedures);
    let count = procedures()
        .filter(|p| input.wants(&input.files.get(p.file).path))
        .count();
    if count == 0 && compilation.findings.is_empty() {
        return Err(Trouble::new(format!(
            "there is no procedure at {}",
            escape::path(&args.path)
        )));
    }
    if compilation.has_errors() {
        return Ok(Outcome::Errors);
    }
    if args.format == FindingFormat::Human {
        terminal::say(&format!(
            "{count} procedure{} checked",
            if count == 1 { "" } else { "s" }
        ));
    }
    Ok(Outcome::Clean)
}
