//! `check`: findings, no cards.

use super::checking::{is_refused, nothing_at, unprintable};
use super::{mend, pages};
use crate::check::calibration_over;
use crate::domain::counted::counted;
use crate::edge::args::{Check, FindingFormat};
use crate::edge::compiled::compiled;
use crate::edge::disk::Disk;
use crate::edge::files::Input;
use crate::edge::since::Since;
use crate::edge::{Outcome, Trouble, files, terminal, watch};
use crate::groups::in_order;
use crate::parse::files::{Own, Taken, all};

pub fn run(args: &Check, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    if args.watch && !is_input(args) {
        return watch::again(disk, &args.path, &mut || once(args, disk));
    }
    once(args, disk)
}

/// True if one file comes from standard input.
fn is_input(args: &Check) -> bool {
    args.path.as_os_str() == "-"
}

fn once(args: &Check, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let reading = match is_input(args) {
        true if args.fix || args.files || args.since.is_some() => {
            return Err(Trouble::new(
                "standard input can be checked, and nothing else: give a path",
            ));
        }
        true => files::reading_over(disk, args.stands_for.as_deref(), &mut std::io::stdin().lock())?,
        false if args.stands_for.is_some() => {
            return Err(Trouble::new(
                "`--as` says what standard input stands for: give `-` as the path",
            ));
        }
        false => files::reading(disk, &args.path)?,
    };
    let since = args.since.as_ref();
    let since = since.map(|revision| Since::read(&args.path, &reading, revision));
    let since = since.transpose()?;
    if args.pages {
        return pages::run(args, &reading.into_input(), since.as_ref(), disk);
    }
    let input = reading.into_input();
    if args.files {
        return Ok(list(&input));
    }
    if args.fix {
        return mend::run(args, &input, disk);
    }
    let mut compilation = compiled(&input.files);
    compilation.findings.extend(unprintable(&input, &compilation));
    if let Some(since) = since {
        compilation.findings.extend(since.not_raised(&compilation));
        since.tell();
    }
    if let Some(today) = args.today {
        let over = calibration_over::check(&compilation.model, &compilation.facts, today);
        compilation.findings.extend(over);
    }
    in_order(&mut compilation.findings);
    terminal::findings(&input.files, &compilation.findings, args.format);
    let sets = compilation.model.sets.iter();
    let procedures = sets.flat_map(|set| &set.procedures);
    let files = procedures.map(|procedure| &input.files.get(procedure.file).path);
    let count = files.filter(|path| input.wants(path)).count();
    if count == 0 && compilation.findings.is_empty() {
        return Err(nothing_at(args));
    }
    if is_refused(args, &compilation.findings) {
        return Ok(Outcome::Errors);
    }
    if args.format == FindingFormat::Text {
        terminal::summary(&format!("{} checked", counted(count, "procedure", "procedures")));
    }
    Ok(Outcome::Clean)
}

/// Every file with what it is taken for.
fn list(input: &Input) -> Outcome {
    let mut outcome = Outcome::Clean;
    for (path, taken) in all(&input.files).into_iter().filter(|(path, _)| input.wants(path)) {
        let word = match taken {
            Taken::Set => "set",
            Taken::Shop => "shop",
            Taken::Procedure => "procedure",
            Taken::Picture => "picture",
            Taken::Alone(why) => why,
            Taken::Misnamed(Own::Set) => "not read: a set under another name",
            Taken::Misnamed(Own::Shop) => "not read: a shop under another name",
            Taken::Misnamed(Own::Procedure) => "not read: a procedure that doesn't begin or is not named like one",
            Taken::Told => "not read: of no known kind",
        };
        if matches!(taken, Taken::Misnamed(_)) {
            outcome = Outcome::Errors;
        }
        terminal::say(&format!("{path}: {word}"));
    }
    outcome
}
