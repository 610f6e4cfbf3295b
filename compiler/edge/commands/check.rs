//! `check`: findings, no cards. Starts neither fonts nor typesetter.

use crate::compile;
use crate::edge::args::{Check, FindingFormat};
use crate::edge::since::Since;
use crate::edge::{Outcome, Trouble, files, terminal};
use crate::finding::Finding;

pub fn run(args: &Check) -> Result<Outcome, Trouble> {
    let input = files::read(&args.path)?;
    let mut compilation = compile(&input.files);
    if let Some(revision) = &args.since {
        let since = Since::read(&args.path, revision)?;
        compilation.findings.extend(since.not_raised(&compilation));
        compilation.findings.sort_by(Finding::order);
        since
            .remarks()
            .iter()
            .for_each(|remark| terminal::remark(&format!("note: {remark}")));
    }
    terminal::findings(&input.files, &compilation.findings, args.format);
    let procedures = || compilation.model.sets.iter().flat_map(|s| &s.procedures);
    let count = procedures()
        .filter(|p| input.wants(&input.files.get(p.file).path))
        .count();
    if count == 0 && compilation.findings.is_empty() {
        return Err(Trouble::new(format!(
            "there is no procedure at {}",
            args.path.display()
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
