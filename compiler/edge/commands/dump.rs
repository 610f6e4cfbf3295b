//! `dump`: the insides of a compilation as JSON, hidden from the help: for tests, and for whoever mends the compiler.

use super::kit::json;
use crate::compile;
use crate::dump::{Part, dump};
use crate::edge::args::{Dump, DumpPart};
use crate::edge::disk::Disk;
use crate::edge::{Outcome, Trouble, files, terminal};

pub fn run(args: &Dump, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let input = files::read(disk, &args.path)?;
    let compilation = compile(&input.files);
    let part = match args.part {
        DumpPart::Tree => Part::Tree,
        DumpPart::Model => Part::Model,
        DumpPart::Events => Part::Events,
        DumpPart::Leaves => Part::Leaves,
    };
    terminal::say_json(&json(&dump(
        &input.files,
        &compilation.model,
        &compilation.facts,
        part,
    ))?);
    Ok(Outcome::Clean)
}
