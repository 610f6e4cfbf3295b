//! `new`: a set that builds at once.

use crate::edge::args::New;
use crate::edge::disk::{Disk, create_whole, folders, random_name, remove_all, there, write_new};
use crate::edge::{Outcome, Trouble, escape, terminal};
use std::io;
use std::path::{Path, PathBuf};

/// The files of a new set; `TITLE` stands for its title.
const FILES: [(&str, &str); 3] = [
    ("set.yaml", include_str!("../../../templates/new-set/set.yaml")),
    ("10-open.md", include_str!("../../../templates/new-set/10-open.md")),
    ("20-close.md", include_str!("../../../templates/new-set/20-close.md")),
];

pub fn run(args: &New, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let folder = &args.folder;
    let shown = escape::path(folder);
    if holds_anything(folder) {
        return Err(Trouble::new(format!(
            "{shown} holds something already; name a folder that is new or empty"
        )));
    }
    let title = args.title.clone().unwrap_or_else(|| title_of(folder));
    make(disk, folder, &quoted(&title)).map_err(|e| Trouble::file("write", folder, &e))?;
    terminal::say(&format!(
        "{shown} is ready. Print its cards with: benchleaf build {shown}"
    ));
    Ok(Outcome::Clean)
}

/// Makes the folder whole or not at all: beside its place first.
fn make(disk: &dyn Disk, folder: &Path, title: &str) -> io::Result<()> {
    if folder.file_name().is_none() {
        // The current folder can't be made anew; it is a set once its last file, the set's own, is there.
        let mut files = FILES.iter().rev();
        return files.try_for_each(|(name, text)| {
            create_whole(disk, &folder.join(name), text.replace("TITLE", title).as_bytes())
        });
    }
    let above = match folder.parent() {
        Some(above) if !above.as_os_str().is_empty() => above.to_path_buf(),
        _ => PathBuf::from("."),
    };
    folders(disk, &above, &above)?;
    let part = above.join(random_name(".benchleaf")?);
    disk.create_dir(&part)?;
    let written = FILES
        .iter()
        .try_for_each(|(name, text)| write_new(disk, &part.join(name), text.replace("TITLE", title).as_bytes()));
    let made = written.and_then(|()| {
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
fn quoted(text: &str) -> String {
    let text = text.replace(char::is_control, " ");
    format!("'{}'", text.replace('\'', "''"))
}
