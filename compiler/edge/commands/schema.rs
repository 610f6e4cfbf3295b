//! `schema`: JSON Schemas of what authors write as YAML, for editors.

use crate::desk::schema::{Kind, schema};
use crate::edge::args::{Schema, SchemaKind};
use crate::edge::disk::Disk;
use crate::edge::{Outcome, Trouble, escape, output, terminal};
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
    output::put(disk, &place, schema(kind).as_bytes())?;
    terminal::summary(&escape::path(&place).to_string());
    Ok(())
}
