//! The command line: the only part that touches disk, clock and terminal. It reads files into memory, calls the core, and writes
//! what comes back.
//!
//! Exit codes: 0 clean, 1 findings at error level (or a change that matters, or a card that is out of date), 2 wrong usage or trouble with
//! files, a full or broken standard output among them.

#![allow(clippy::disallowed_methods, clippy::disallowed_macros, reason = "this is the edge")]

mod args;
mod choices;
mod checked;
mod belongs;
mod cache;
mod commands;
mod compiled;
mod defaults;
pub mod disk;
mod escape;
mod files;
#[cfg(test)]
mod files_tests;
pub mod git;
mod glyphs;
pub mod history;
mod issue;
mod jobs;
mod known;
pub mod lsp;
mod maker;
mod manual;
mod memory;
mod naming;
mod output;
mod parts;
mod paths;
mod percent;
mod press;
pub mod preview;
mod progress;
mod queue;
mod remembered;
mod renamed;
mod shelf;
mod since;
pub mod snapshot;
mod terminal;
mod unchanged;
mod version;
pub mod walk;
mod watch;

use args::{Args, Command};
use defaults::Refused;
use disk::Disk;
use std::ffi::OsString;
use std::path::Path;
use std::process::ExitCode;

/// Licences of the program and of the crates and fonts that it is built from, on any system.
const NOTICES: [&str; 2] = [include_str!("../notices.txt"), include_str!("../notices-elsewhere.txt")];

/// How a command that could do its work ended.
pub enum Outcome {
    Clean,
    /// There are findings at error level, changes that matter, or cards that are out of date.
    Errors,
}

/// Trouble that is not in the author's text: wrong usage, or files that can't be read or written. One or more sentences for the
/// terminal.
#[derive(Debug)]
pub struct Trouble(pub String);

impl Trouble {
    fn new(text: impl Into<String>) -> Self {
        Trouble(text.into())
    }

    /// `can't write PATH: No space left on device`.
    fn file(what: &str, path: &Path, error: &std::io::Error) -> Self {
        Trouble(format!("can't {what} {}: {error}", escape::path(path)))
    }
}

/// Runs the program with the arguments of the process.
pub fn main() -> ExitCode {
    run(std::env::args_os(), &disk::Real)
}

/// Runs the program with some arguments, the program's own name the first of them, on some disk.
pub fn run(arguments: impl IntoIterator<Item = OsString>, disk: &dyn Disk) -> ExitCode {
    let code = match defaults::read(arguments.into_iter().collect(), disk) {
        Ok(args) => outcome(command(args, disk)),
        Err(Refused::Usage(words)) => usage(&words),
        Err(Refused::Trouble(trouble)) => outcome(Err(trouble)),
    };
    // A result that didn't arrive is none.
    ExitCode::from(if terminal::all_said() { code } else { 2 })
}

fn command(args: Args, disk: &dyn Disk) -> Result<Outcome, Trouble> {
    terminal::tone(args.tone.quiet, args.tone.verbose);
    if args.licences && args.command.is_some() {
        return Err(Trouble::new("`--licences` stands by itself: leave the command out"));
    }
    match args.command {
        Some(Command::New(args)) => match args.parts.is_empty() {
            true => commands::new::run(&args, disk),
            false => commands::skeleton::run(&args, disk),
        },
        Some(Command::Check(args)) => commands::check::run(&args, disk),
        Some(Command::Build(args)) => commands::build::run(&args, disk),
        Some(Command::Kit(args)) => commands::kit::run(&args, disk),
        Some(Command::Plan(args)) => commands::plan::run(&args, disk),
        Some(Command::Reach(args)) => commands::reach::run(&args, disk),
        Some(Command::Log(args)) => commands::log::run(&args, disk),
        Some(Command::Diff(args)) => commands::diff::run(&args, disk),
        Some(Command::Stale(args)) => commands::stale::run(&args, disk),
        Some(Command::Reissue(args)) => commands::reissue::run(&args, disk),
        Some(Command::Explain(args)) => commands::explain::run(&args),
        Some(Command::Torque(args)) => commands::torque::run(&args),
        Some(Command::Convert(args)) => commands::convert::run(&args),
        Some(Command::Calc(args)) => commands::calc::run(&args),
        Some(Command::Thread(args)) => commands::thread::run(&args),
        Some(Command::Class(args)) => commands::class::run(&args),
        Some(Command::Fit(args)) => commands::fit::run(&args),
        Some(Command::Reckon(args)) => commands::reckon::run(&args),
        Some(Command::Dump(args)) => commands::dump::run(&args, disk),
        Some(Command::Fmt(args)) => commands::fmt::run(&args, disk),
        Some(Command::Lsp(args)) => lsp::serve(&args, disk),
        Some(Command::Preview(args)) => preview::run(&args, disk),
        Some(Command::Schema(args)) => commands::schema::run(&args, disk),
        Some(Command::Completions(args)) => commands::paper::completions(&args),
        Some(Command::Manual(args)) => commands::manual::run(&args, disk),
        Some(Command::Man(args)) => commands::paper::man(&args, disk),
        None if args.licences => {
            terminal::say(NOTICES.concat().trim_end());
            Ok(Outcome::Clean)
        }
        None => Err(Trouble::new("name a command; `benchleaf --help` lists them")),
    }
}

fn outcome(result: Result<Outcome, Trouble>) -> u8 {
    match result {
        Ok(Outcome::Clean) => 0,
        Ok(Outcome::Errors) => 1,
        Err(Trouble(text)) => {
            terminal::trouble(&text);
            2
        }
    }
}

/// What the reader of the command line has to say: help and version, or what is wrong.
fn usage(words: &clap::Error) -> u8 {
    if let Some(told) = renamed::told(words) {
        terminal::trouble(&told);
        return 2;
    }
    let plain = words.to_string();
    if !words.use_stderr() {
        terminal::say(plain.trim_end());
        return 0;
    }
    match escape::text(&plain) {
        // In colour, which only text that brings none of its own can have.
        std::borrow::Cow::Borrowed(_) => {
            let _ = words.print();
        }
        std::borrow::Cow::Owned(shown) => terminal::remark(shown.trim_end()),
    }
    2
}
