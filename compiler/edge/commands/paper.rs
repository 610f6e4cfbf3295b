//! What is made of the command line's own definition: completions for shells, and pages for `man`.

use crate::edge::args::{Args, Completions, Man};
use crate::edge::disk::{Disk, create_whole, folders, replace, there};
use crate::edge::{Outcome, Trouble, escape, terminal};
use clap::{Command, CommandFactory};
use std::io;
use std::path::Path;

const NAME: &str = "benchleaf";

/// Completions of one shell, to standard output.
pub fn completions(args: &Completions) -> Result<Outcome, Trouble> {
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut Args::command(), NAME, &mut text);
    terminal::say_data(String::from_utf8_lossy(&text).trim_end());
    Ok(Outcome::Clean)
}

/// The page of the program to standard output, or one page a command into a folder.
pub fn man(args: &Man, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    let mut command = Args::command();
    command.build();
    let Some(folder) = &args.out else {
        terminal::say_data(
            page(NAME, &command)
                .map_err(|e| Trouble::new(format!("can't make the page: {e}")))?
                .trim_end(),
        );
        return Ok(Outcome::Clean);
    };
    let mut pages = vec![(NAME.to_string(), command.clone())];
    pages.extend(below(NAME, &command));
    for (name, command) in pages {
        let place = folder.join(format!("{name}.1"));
        let text = page(&name, &command).and_then(|text| write(disk, folder, &place, &text));
        text.map_err(|e| Trouble::file("write", &place, &e))?;
        terminal::summary(&escape::path(&place).to_string());
    }
    Ok(Outcome::Clean)
}

/// Every command below one, each by its whole name: `benchleaf-log-start`.
fn below(name: &str, command: &Command) -> Vec<(String, Command)> {
    let shown = command
        .get_subcommands()
        .filter(|inner| !inner.is_hide_set() && inner.get_name() != "help");
    let one = |inner: &Command| {
        let name = format!("{name}-{}", inner.get_name());
        let deeper = below(&name, inner);
        std::iter::once((name, inner.clone())).chain(deeper).collect::<Vec<_>>()
    };
    shown.flat_map(one).collect()
}

fn page(name: &str, command: &Command) -> io::Result<String> {
    let mut text = Vec::new();
    clap_mangen::Man::new(command.clone()).title(name).render(&mut text)?;
    Ok(String::from_utf8_lossy(&text).into_owned())
}

fn write(disk: &dyn Disk, folder: &Path, place: &Path, text: &str) -> io::Result<()> {
    folders(disk, folder, folder)?;
    match there(disk, place)? {
        Some(_) => replace(disk, place, text.as_bytes()),
        None => create_whole(disk, place, text.as_bytes()),
    }
}
