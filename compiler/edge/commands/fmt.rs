//! `fmt`: spells units by their symbol, marks with one space, and puts quotes where another reader of YAML would take a text for something
//! else. Remarks, the order of keys, prose and every code stay as they are.

use super::mend::as_read;
use crate::desk::format::formatted;
use crate::edge::args::Fmt;
use crate::edge::disk::{Disk, rewrite};
use crate::edge::{Outcome, Trouble, escape, files, terminal};

pub fn run(args: &Fmt, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let input = files::read(disk, &args.path)?;
    let texts = formatted(&input.files, &|path| input.wants(path));
    let mut outcome = Outcome::Clean;
    for (path, text) in texts {
        let place = input.on_disk(&path);
        let shown = escape::path(std::path::Path::new(&path));
        // A link would become a file; of a text with other line ends only a likeness is in memory.
        if !as_read(&input, &path, disk) {
            terminal::remark(&format!(
                "note: {shown} is left as it is: it is a link, was written to meanwhile, or is not plain text"
            ));
            continue;
        }
        if args.check {
            terminal::say(&format!("{shown} would be spelt otherwise"));
            outcome = Outcome::Errors;
            continue;
        }
        rewrite(disk, &place, text.as_bytes()).map_err(|e| Trouble::file("write", &place, &e))?;
        terminal::summary(&shown.to_string());
    }
    Ok(outcome)
}
