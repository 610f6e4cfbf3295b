//! Putting a set in place, all of it or nothing.
//!
//! The new files lie complete in the staging folder. The old ones that give way get a second name there. Then the manifest says
//! "installing", the new files are renamed into place, and the manifest says what there is now. Until then every step can be taken
//! back, by us or by the next command.

use super::manifest::{Entry, Found, Installing, Manifest, look};
use super::places::{Places, same_but_for_case};
use crate::edge::Trouble;
use crate::edge::disk::{Disk, folders, there, write_new};
use crate::edge::escape;
use std::collections::{BTreeMap, BTreeSet};
use std::io;

/// What a set's folder is to hold.
pub struct Wanted<'a> {
    pub set: &'a str,
    pub source: &'a str,
    /// Digest of all that the set is read from; empty if it isn't known.
    pub from: &'a str,
    /// The files staged, by name.
    pub files: BTreeMap<String, Entry>,
    /// True for a file of an earlier build that still has a place there.
    pub belongs: &'a dyn Fn(&Entry) -> bool,
}

/// What came of it, by names of files.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Installed {
    /// Files that no longer belonged there and are gone.
    pub removed: Vec<String>,
    /// Files that no longer belong there, but aren't as we left them.
    pub left: Vec<String>,
    /// Files of earlier builds that still belong there.
    pub kept: BTreeMap<String, Entry>,
}

/// Why a set kept its old files.
#[derive(Debug)]
pub struct Failure {
    pub trouble: Trouble,
    /// The disk failed, so that others would fail as well.
    pub disk: bool,
}

/// What is to be done.
#[derive(Default)]
struct Plan {
    /// Names that get new bytes.
    writes: BTreeSet<String>,
    /// Of those, the ones that have old bytes; and what goes.
    aside: BTreeSet<String>,
    removals: BTreeSet<String>,
    installed: Installed,
}

/// Puts a set in place. `before` is what the manifest said so far.
///
/// # Errors
/// If a file that isn't ours is in the way, or the disk fails; then the old files are in place.
pub fn install(
    disk: &dyn Disk,
    places: &Places,
    before: Option<&Manifest>,
    wanted: Wanted,
) -> Result<Installed, Failure> {
    let folder = places.set(wanted.set);
    let failed = |error: &io::Error| Failure {
        trouble: Trouble::file("write", &folder, error),
        disk: true,
    };
    folders(disk, places.trusted(), &folder).map_err(|e| failed(&e))?;
    let plan = match plan(disk, places, before, &wanted) {
        Ok(Ok(plan)) => plan,
        Ok(Err(trouble)) => return Err(Failure { trouble, disk: false }),
        Err(error) => return Err(failed(&error)),
    };
    let mut manifest = Manifest::new(wanted.set, wanted.source);
    manifest.from = wanted.from.to_string();
    manifest.files.clone_from(&plan.installed.kept);
    manifest.files.extend(wanted.files);
    if before == Some(&manifest) && plan.writes.is_empty() && plan.removals.is_empty() {
        return Ok(plan.installed);
    }
    carry_out(disk, places, before, &manifest, &plan).map_err(|(error, half)| {
        let mut failure = failed(&error);
        // There a file that another program has open gives way to no other.
        if cfg!(windows) && error.kind() == io::ErrorKind::PermissionDenied {
            failure.trouble.0 += "; if a card is open in a viewer, close it and build again";
        }
        if half {
            failure.trouble.0 +=
                "; some files are new and some are old: the next command that writes there sets it right";
        }
        failure
    })?;
    Ok(plan.installed)
}

/// Looks what is there. What is in the way is trouble of its own.
fn plan(
    disk: &dyn Disk,
    places: &Places,
    before: Option<&Manifest>,
    wanted: &Wanted,
) -> io::Result<Result<Plan, Trouble>> {
    let folder = places.set(wanted.set);
    let old = |name: &str| before.and_then(|manifest| manifest.files.get(name));
    let present = disk.list(&folder)?;
    let mut plan = Plan::default();
    let mut in_the_way = Vec::new();
    for (name, entry) in &wanted.files {
        if let Some(other) = present.iter().find(|other| same_but_for_case(other, name)) {
            return Ok(Err(Trouble::new(format!(
                "{} is there already, and some disks take `{name}` for the same name: move it away or give the procedure another id",
                escape::path(&folder.join(other))
            ))));
        }
        match look(disk, &folder.join(name))? {
            found if found.is(Some(entry)) => continue,
            Found::Nothing => {}
            found if found.is(old(name)) => {
                plan.aside.insert(name.clone());
            }
            _ => {
                in_the_way.push(escape::path(&folder.join(name)));
                continue;
            }
        }
        // It was as it should be when it was to be staged.
        if there(disk, &places.fresh(wanted.set).join(name))?.is_none() {
            let name = escape::path(&folder.join(name));
            return Ok(Err(Trouble::new(format!(
                "{name} was changed while the build ran: build again"
            ))));
        }
        plan.writes.insert(name.clone());
    }
    if !in_the_way.is_empty() {
        return Ok(Err(Trouble::new(format!(
            "{}: not a file of ours, or changed since it was written; it is left as it is: move it away, or give another `--out`",
            in_the_way.join(", ")
        ))));
    }
    let earlier = before.into_iter().flat_map(|manifest| &manifest.files);
    for (name, entry) in earlier.filter(|(name, _)| !wanted.files.contains_key(*name)) {
        let found = look(disk, &folder.join(name))?;
        if found == Found::Nothing {
            continue;
        }
        if (wanted.belongs)(entry) {
            plan.installed.kept.insert(name.clone(), entry.clone());
        } else if found.is(Some(entry)) {
            plan.removals.insert(name.clone());
            plan.installed.removed.push(name.clone());
        } else {
            plan.installed.left.push(name.clone());
        }
    }
    Ok(Ok(plan))
}

/// The changes themselves. An error says whether the folder is left half done.
fn carry_out(
    disk: &dyn Disk,
    places: &Places,
    before: Option<&Manifest>,
    after: &Manifest,
    plan: &Plan,
) -> Result<(), (io::Error, bool)> {
    let (folder, fresh, aside) = (
        places.set(&after.set),
        places.fresh(&after.set),
        places.aside(&after.set),
    );
    let whole = |error| (error, false);
    // Nothing is changed yet.
    folders(disk, places.trusted(), &aside).map_err(whole)?;
    for name in plan.aside.iter().chain(&plan.removals) {
        keep_aside(disk, &folder.join(name), &aside.join(name)).map_err(whole)?;
    }
    disk.sync_dir(&aside).map_err(whole)?;
    if !plan.writes.is_empty() {
        disk.sync_dir(&fresh).map_err(whole)?;
    }
    let mut installing = after.clone();
    installing.installing = Some(Installing {
        staging: places.staging_name().to_string(),
        source: before.map_or_else(String::new, |m| m.source.clone()),
        files: before.map_or_else(BTreeMap::new, |m| m.files.clone()),
        writes: plan.writes.clone(),
        removals: plan.removals.clone(),
    });
    let manifest = places.manifest(&after.set);
    let written = installing.write(disk, &manifest);
    let done = written.and_then(|()| {
        for name in &plan.writes {
            disk.rename(&fresh.join(name), &folder.join(name))?;
        }
        for name in &plan.removals {
            disk.remove_file(&folder.join(name))?;
        }
        disk.sync_dir(&folder)?;
        after.write(disk, &manifest)
    });
    let Err(error) = done else { return Ok(()) };
    let back = take_back(disk, places, before, &after.set, plan);
    Err((error, back.is_err()))
}

/// A second name for a file that gives way; a copy where the disk has no second names.
fn keep_aside(disk: &dyn Disk, file: &std::path::Path, aside: &std::path::Path) -> io::Result<()> {
    match disk.link(file, aside) {
        Ok(()) => Ok(()),
        Err(_) => write_new(disk, aside, &disk.read(file)?),
    }
}

/// Undoes what [`carry_out`] has done so far.
fn take_back(disk: &dyn Disk, places: &Places, before: Option<&Manifest>, set: &str, plan: &Plan) -> io::Result<()> {
    let (folder, fresh, aside) = (places.set(set), places.fresh(set), places.aside(set));
    for name in &plan.writes {
        // What is still staged was never put in place.
        if look(disk, &fresh.join(name))? != Found::Nothing {
            continue;
        }
        if plan.aside.contains(name) {
            disk.rename(&aside.join(name), &folder.join(name))?;
        } else {
            disk.remove_file(&folder.join(name))?;
        }
    }
    for name in &plan.removals {
        if look(disk, &folder.join(name))? == Found::Nothing {
            disk.rename(&aside.join(name), &folder.join(name))?;
        }
    }
    disk.sync_dir(&folder)?;
    let manifest = places.manifest(set);
    match before {
        Some(before) => before.write(disk, &manifest),
        None => match disk.remove_file(&manifest) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        },
    }
}
