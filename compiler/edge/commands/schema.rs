//! `schema`: JSON Schemas of what authors write as YAML, for editors.

use crate::desk::schema::{Kind, schema};
use crate::edge::args::{Schema, SchemaKind};
use crate::edge::disk::{Disk, create_whole, folders, replace, there};
use crate::edge::{Outcome, Trouble, terminal};
use std::io;
use std::path::Path;

pub fn run(args: &Schema, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let kinds = match args.kind {
        Some(SchemaKind::Procedure) => vec![Kind::Procedure],
        Some(SchemaKind::Set) => vec![Kind::Set],
        Some(SchemaKind::Workshop) => vec![Kind::Workshop],
        Some(SchemaKind::Record) => vec![Kind::Record],
        None => Kind::ALL.to_vec(),
    };
    match &args.out {
        Some(folder) => kinds.into_iter().try_for_each(|kind| put(disk, folder, kind))?,
        None => kinds
            .into_iter()
            .for_each(|kind| terminal::say_data(schema(kind).trim_end())),
    }
    Ok(Outcome::Clean)
}

/// Writes a schema into a folder; one that is there already gives way.
fn put(disk: &dyn Disk, folder: &Path, kind: Kind) -> Result<(), Trouble> {
    let place = folder.join(kind.file());
    let text = schema(kind);
    let write = || -> io::Result<()> {
        folders(disk, folder, folder)?;
        match there(disk, &place)? {
            Some(_) => replace(disk, &place, text.as_bytes()),
            None => create_whole(disk, &place, text.as_bytes()),
        }
    };
    write().map_err(|e| Trouble::file("write", &place, &e))?;
    terminal::summary(&crate::edge::escape::path(&place).to_string());
    Ok(())
}
