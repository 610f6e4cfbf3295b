//! `new`: a set that builds at once.

use crate::edge::args::New;
use crate::edge::{Outcome, Trouble, files, terminal};
use std::path::Path;

/// The files of a new set; `TITLE` stands for its title.
const FILES: [(&str, &str); 3] = [
    ("set.yaml", include_str!("../../../templates/new-set/set.yaml")),
    ("10-open.md", include_str!("../../../templates/new-set/10-open.md")),
    ("20-close.md", include_str!("../../../templates/new-set/20-close.md")),
];

pub fn run(args: &New) -> Result<Outcome, Trouble> {
    let folder = &args.folder;
    if holds_anything(folder) {
        return Err(Trouble::new(format!(
            "{} holds something already; name a folder that is new or empty",
            folder.display()
        )));
    }
    let title = args.title.clone().unwrap_or_else(|| title_of(folder));
    for (name, text) in FILES {
        files::write(&folder.join(name), text.replace("TITLE", &quoted(&title)).as_bytes())?;
    }
    terminal::say(&format!(
        "{} is ready. Print its cards with: benchleaf build {}",
        folder.display(),
        folder.display()
    ));
    Ok(Outcome::Clean)
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

/// A YAML scalar that holds any text.
fn quoted(text: &str) -> String {
    let text = text.replace(['\n', '\r'], " ");
    format!("'{}'", text.replace('\'', "''"))
}
