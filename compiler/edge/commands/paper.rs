//! What is made of the command line's own definition: completions for shells, and pages for `man`.

use crate::edge::args::{Args, Completions, Man};
use crate::edge::disk::Disk;
use crate::edge::{Outcome, Trouble, escape, output, terminal};
use clap::{Command, CommandFactory};

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
        terminal::say_data(page(NAME, &command)?.trim_end());
        return Ok(Outcome::Clean);
    };
    let mut pages = vec![(NAME.to_string(), command.clone())];
    pages.extend(below(NAME, &command));
    for (name, command) in pages {
        let place = folder.join(format!("{name}.1"));
        output::put(disk, &place, page(&name, &command)?.as_bytes())?;
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

fn page(name: &str, command: &Command) -> Result<String, Trouble> {
    let mut text = Vec::new();
    let page = clap_mangen::Man::new(command.clone()).title(name);
    let rendered = page.render(&mut text);
    rendered.map_err(|e| Trouble::new(format!("can't make the page: {e}")))?;
    Ok(String::from_utf8_lossy(&text).into_owned())
}
