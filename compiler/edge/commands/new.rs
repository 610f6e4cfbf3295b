//! `new`: a set that builds at once, or one more procedure of a set.

use crate::compile;
use crate::desk::schema;
use crate::edge::args::{Kind, New};
use crate::edge::disk::{Disk, create_whole, folders, random_name, remove_all, there, write_new};
use crate::edge::{Outcome, Trouble, escape, files, terminal};
use crate::model::is_id;
use crate::source::SET_FILE;
use std::io;
use std::path::{Path, PathBuf};

/// Files by name; `TITLE` stands for the title of the set.
type Texts = [(&'static str, &'static str)];

/// A starter's files, embedded: `starter!("seal", "10-take-out.md", …)`, the set's own file last.
macro_rules! starter {
    ($folder:literal, $($name:literal),+) => {
        &[
            $(($name, include_str!(concat!("../../../templates/", $folder, "/", $name))),)+
            ("set.yaml", include_str!(concat!("../../../templates/", $folder, "/set.yaml"))),
        ]
    };
}

fn starter(kind: Kind) -> &'static Texts {
    match kind {
        Kind::Cover => starter!("new-set", "10-open.md", "20-close.md"),
        Kind::Seal => starter!("starters/seal", "10-take-out.md", "20-put-in.md"),
        Kind::Bearing => starter!("starters/bearing", "10-pull.md", "20-fit.md"),
        Kind::HeadGasket => starter!("starters/head-gasket", "10-head-off.md", "20-head-on.md"),
        Kind::Isolation => starter!("starters/isolation", "10-isolate.md", "20-give-back.md"),
        Kind::Service => starter!("starters/service", "10-drain.md", "20-filter-and-fill.md"),
    }
}

/// The folder of the schema that editors find by the first line of `set.yaml`. Its name begins with a dot, so that it is no part of the set.
const SCHEMAS: &str = ".schema";

/// The procedure that `--procedure` writes; `TITLE` stands for its title.
const PROCEDURE: &str = include_str!("../../../templates/new-procedure.md");

pub fn run(args: &New, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    if let Some(name) = &args.procedure {
        return procedure(args, name, disk);
    }
    let folder = &args.folder;
    let shown = escape::path(folder);
    if holds_anything(folder) {
        return Err(Trouble::new(format!(
            "{shown} holds something already; name a folder that is new or empty"
        )));
    }
    let title = args.title.clone().unwrap_or_else(|| title_of(folder));
    make(disk, folder, &texts(args.kind, &quoted(&title))).map_err(|e| Trouble::file("write", folder, &e))?;
    terminal::summary(&format!(
        "{shown} is ready. Print its cards with: benchleaf build {shown}"
    ));
    Ok(Outcome::Clean)
}

/// Adds a procedure to a set, numbered after its last one.
fn procedure(args: &New, name: &str, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let folder = &args.folder;
    let shown = escape::path(folder);
    if !is_id(name) {
        return Err(Trouble::new(format!(
            "`{}` can't be an id: write letters, digits, `-`, `_` or `.`",
            escape::word(name)
        )));
    }
    if !folder.join(SET_FILE).is_file() {
        return Err(Trouble::new(format!(
            "there is no {SET_FILE} in {shown}; make the set first, without --procedure"
        )));
    }
    let input = files::read(disk, folder)?;
    let compilation = compile(&input.files);
    let ids = compilation
        .model
        .sets
        .iter()
        .flat_map(|set| &set.procedures)
        .map(|procedure| procedure.id.as_str());
    let ids: Vec<&str> = ids.collect();
    if ids.contains(&name) {
        return Err(Trouble::new(format!(
            "{shown} has a procedure `{}` already",
            escape::word(name)
        )));
    }
    let last = last_number(folder, disk)?;
    let place = folder.join(format!(
        "{}-{name}.md",
        (last / 10).saturating_add(1).saturating_mul(10)
    ));
    let title = args.title.clone().unwrap_or_else(|| title_of(Path::new(name)));
    let after = ids.last().map(|id| format!("after: [{id}]\n")).unwrap_or_default();
    let text = PROCEDURE.replace("TITLE", &quoted(&title)).replace("AFTER\n", &after);
    create_whole(disk, &place, text.as_bytes()).map_err(|e| Trouble::file("write", &place, &e))?;
    terminal::summary(&format!("{} is ready to be written", escape::path(&place)));
    Ok(Outcome::Clean)
}

/// The highest number that a procedure of a set is named by; 0 without one.
///
/// # Errors
/// If the folder can't be read.
pub fn last_number(folder: &Path, disk: &dyn Disk) -> Result<u32, Trouble> {
    let names = disk.list(folder).map_err(|e| Trouble::file("read", folder, &e))?;
    let number = |name: &String| {
        name.ends_with(".md")
            .then(|| name.split(|c: char| !c.is_ascii_digit()).next()?.parse::<u32>().ok())?
    };
    Ok(names.iter().filter_map(number).max().unwrap_or(0))
}

/// The files of a new set by their path in it, the set's own last.
fn texts(kind: Kind, title: &str) -> Vec<(PathBuf, String)> {
    let schemas = schema::Kind::ALL
        .iter()
        .map(|kind| (Path::new(SCHEMAS).join(kind.file()), schema::schema(*kind)));
    let texts = starter(kind).iter().map(|(name, text)| {
        let line = match *name {
            SET_FILE => format!("# $schema: {SCHEMAS}/{}\n", schema::Kind::Set.file()),
            _ => String::new(),
        };
        (PathBuf::from(name), format!("{line}{}", text.replace("TITLE", title)))
    });
    schemas.chain(texts).collect()
}

/// Makes the folder whole or not at all: beside its place first.
fn make(disk: &dyn Disk, folder: &Path, files: &[(PathBuf, String)]) -> io::Result<()> {
    if folder.file_name().is_none() {
        // The current folder can't be made anew; it is a set once its last file, the set's own, is there.
        folders(disk, folder, &folder.join(SCHEMAS))?;
        let mut files = files.iter();
        return files.try_for_each(|(name, text)| create_whole(disk, &folder.join(name), text.as_bytes()));
    }
    let above = match folder.parent() {
        Some(above) if !above.as_os_str().is_empty() => above.to_path_buf(),
        _ => PathBuf::from("."),
    };
    folders(disk, &above, &above)?;
    let part = above.join(random_name(".benchleaf")?);
    disk.create_dir(&part)?;
    let inner = part.join(SCHEMAS);
    let written = disk.create_dir(&inner).and_then(|()| {
        files
            .iter()
            .try_for_each(|(name, text)| write_new(disk, &part.join(name), text.as_bytes()))
    });
    let made = written.and_then(|()| {
        disk.sync_dir(&inner)?;
        disk.sync_dir(&part)?;
        // Not every system lets a folder take the place of an empty one.
        if there(disk, folder)?.is_some() {
            disk.remove_dir(folder)?;
        }
        disk.rename(&part, folder)?;
        disk.sync_dir(&above)
    });
    if made.is_err() {
        remove_all(disk, &part);
    }
    made
}

fn holds_anything(folder: &Path) -> bool {
    folder.is_file() || std::fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_some())
}

/// `my-pump` is titled `My pump`.
fn title_of(folder: &Path) -> String {
    let name = folder
        .file_name()
        .map(|n| n.to_string_lossy().replace(['-', '_'], " "))
        .unwrap_or_default();
    let mut chars = name.chars();
    chars.next().map_or_else(
        || "New set".to_string(),
        |first| first.to_uppercase().chain(chars).collect(),
    )
}

/// A YAML scalar that holds any text of one line.
pub fn quoted(text: &str) -> String {
    let text = text.replace(char::is_control, " ");
    format!("'{}'", text.replace('\'', "''"))
}
