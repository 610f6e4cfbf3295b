//! `new --for`: two procedures of a set, written from its registers: the way to some parts and back.

use super::new::{last_number, quoted};
use super::reach::trouble;
use crate::Compilation;
use crate::compile;
use crate::edge::args::New;
use crate::edge::disk::{Disk, create_whole};
use crate::edge::files::Input;
use crate::edge::{Outcome, Trouble, escape, files, terminal};
use crate::finding::Severity;
use crate::model::Set;
use crate::reach::{NoSkeleton, Skeleton, skeleton};
use crate::source::{FileSet, SET_FILE};
use std::collections::BTreeMap;

/// Writes them, numbered after the last of the set; nothing if they would not check clean.
pub fn run(args: &New, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let folder = &args.folder;
    let shown = escape::path(folder);
    if !folder.join(SET_FILE).is_file() {
        return Err(Trouble::new(format!(
            "there is no {SET_FILE} in {shown}; make the set and its registers first, without --for"
        )));
    }
    let input = files::read(disk, folder)?;
    let compilation = compile(&input.files);
    if compilation.has_errors() {
        return Err(Trouble::new(format!(
            "{shown} has errors; mend what `benchleaf check {shown}` tells first"
        )));
    }
    let own = |set: &&Set| input.wants(&input.files.get(set.file).path);
    let Some(set) = compilation.model.sets.iter().find(own) else {
        return Err(Trouble::new(format!("there is no set in {shown}")));
    };
    let written = skeleton(set, &args.parts).map_err(|fault| no_skeleton(&fault))?;
    let texts = texts(args, set, written, last_number(folder, disk)?)?;
    clean(&input, &compilation, set, &texts)?;
    for (name, text) in &texts {
        let place = folder.join(name);
        create_whole(disk, &place, text.as_bytes()).map_err(|e| Trouble::file("write", &place, &e))?;
    }
    let names: Vec<&str> = texts.iter().map(|(name, _)| name.as_str()).collect();
    terminal::summary(&format!(
        "{} are ready in {shown}: put their steps into words",
        names.join(" and ")
    ));
    Ok(Outcome::Clean)
}

fn no_skeleton(fault: &NoSkeleton) -> Trouble {
    match fault {
        NoSkeleton::NotAPart(word) => trouble(word),
        NoSkeleton::NoWay(why) => Trouble::new(format!("nothing is written: {why}")),
        NoSkeleton::TooManyChoices => Trouble::new(
            "nothing is written: what must come off differs with too many combinations of choices".to_string(),
        ),
    }
}

/// The two files by name.
fn texts(args: &New, set: &Set, written: Skeleton, last: u32) -> Result<Vec<(String, String)>, Trouble> {
    let parts: Vec<String> = args.parts.iter().map(|part| part.replace('/', "-")).collect();
    let about = parts.first().cloned().unwrap_or_default();
    let ids = [format!("take-out-{about}"), format!("put-back-{about}")];
    if let Some(id) = ids.iter().find(|id| set.procedures.find(id).is_some()) {
        return Err(Trouble::new(format!(
            "the set has a procedure `{}` already",
            escape::word(id)
        )));
    }
    let named = args.parts.join(", ");
    let titles = match &args.title {
        Some(title) => [format!("{title}: apart"), format!("{title}: together")],
        None => [format!("Take out {named}"), format!("Put back {named}")],
    };
    let before = set.procedures.iter().last().map(|procedure| procedure.id.clone());
    let afters = [before, ids.first().cloned()];
    let bodies = [written.apart, written.together];
    let mut number = last / 10;
    let mut all = Vec::new();
    for (((id, title), after), body) in ids.iter().zip(titles).zip(afters).zip(bodies) {
        number = number.saturating_add(1);
        let after = after.map(|after| format!("after: [{after}]\n")).unwrap_or_default();
        let head = format!(
            "---\ntitle: {}\n{after}about: Written from the registers. Put every step into words and add what they don't know.\n---\n\n",
            quoted(&title)
        );
        all.push((format!("{}-{id}.md", number.saturating_mul(10)), head + &body));
    }
    Ok(all)
}

/// Checks what the set comes to with the new files.
///
/// # Errors
/// If that has an error: the set's own procedures leave the machine otherwise than its registers begin with.
fn clean(input: &Input, before: &Compilation, set: &Set, texts: &[(String, String)]) -> Result<(), Trouble> {
    let files = &input.files;
    let mut all: BTreeMap<String, Vec<u8>> = files.assets().clone();
    for id in files.ids() {
        let file = files.get(id);
        all.insert(file.path.clone(), file.text.clone().into_bytes());
    }
    for (name, text) in texts {
        let path = match set.folder.is_empty() {
            true => name.clone(),
            false => format!("{}/{name}", set.folder),
        };
        all.insert(path, text.clone().into_bytes());
    }
    let after = compile(&FileSet::from_bytes(all));
    let error = after
        .findings
        .iter()
        .find(|finding| finding.severity() == Severity::Error);
    match error {
        Some(error) if !before.has_errors() => Err(Trouble::new(format!(
            "nothing is written, because after the set's own procedures it would not be right: {} ({}); write it into a set that has only the registers",
            error.message, error.rule.code
        ))),
        _ => Ok(()),
    }
}
