//! The command line: the only part that touches disk, clock and terminal. It reads files into memory, calls the core, and writes
//! what comes back.
//!
//! Exit codes: 0 clean, 1 findings at error level (or a change that matters, or a card that is out of date), 2 wrong usage or trouble with
//! files.

#![allow(clippy::disallowed_methods, clippy::disallowed_macros, reason = "this is the edge")]

mod args;
mod choices;
mod commands;
mod files;
mod git;
mod history;
mod issue;
mod press;
mod terminal;
mod walk;

use args::{Args, Command};
use clap::Parser;
use std::process::ExitCode;

/// How a command that could do its work ended.
pub enum Outcome {
    Clean,
    /// There are findings at error level, changes that matter, or cards that are out of date.
    Errors,
}

/// Trouble that is not in the author's text: wrong usage, or files that can't be read or written. One or more sentences for the
/// terminal.
pub struct Trouble(pub String);

impl Trouble {
    fn new(text: impl Into<String>) -> Self {
        Trouble(text.into())
    }
}

/// Runs the program with the arguments of the process.
pub fn main() -> ExitCode {
    let args = Args::parse();
    let result = match args.command {
        Command::New(args) => commands::new::run(&args),
        Command::Check(args) => commands::check::run(&args),
        Command::Build(args) => commands::build::run(&args),
        Command::Kit(args) => commands::kit::run(&args),
        Command::Plan(args) => commands::plan::run(&args),
        Command::Log(args) => commands::log::run(&args),
        Command::Diff(args) => commands::diff::run(&args),
        Command::Stale(args) => commands::stale::run(&args),
        Command::Reissue(args) => commands::reissue::run(&args),
        Command::Explain(args) => commands::explain::run(&args),
        Command::Torque(args) => commands::torque::run(&args),
        Command::Convert(args) => commands::convert::run(&args),
        Command::Calc(args) => commands::calc::run(&args),
        Command::Thread(args) => commands::thread::run(&args),
        Command::Class(args) => commands::class::run(&args),
        Command::Fit(args) => commands::fit::run(&args),
        Command::Reckon(args) => commands::reckon::run(&args),
    };
    match result {
        Ok(Outcome::Clean) => ExitCode::SUCCESS,
        Ok(Outcome::Errors) => ExitCode::from(1),
        Err(Trouble(text)) => {
            terminal::trouble(&text);
            ExitCode::from(2)
        }
    }
}
