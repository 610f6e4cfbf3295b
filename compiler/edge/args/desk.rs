//! The words of what an author has at hand: spelling, schemas, completions, pages; and how much is said.

use clap::ValueEnum;
use std::path::PathBuf;

/// How much is said.
#[derive(Debug, Clone, Copy, clap::Args)]
pub struct Tone {
    /// Say nothing but findings, trouble and what was asked for
    #[arg(short, long, global = true, conflicts_with = "verbose")]
    pub quiet: bool,
    /// Also say what is read
    #[arg(short, long, global = true)]
    pub verbose: bool,
}

#[derive(Debug, clap::Args)]
pub struct Fmt {
    /// A folder (every set below it), a set, or one procedure
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// Only tell which files would change; exit with 1 if any would
    #[arg(long)]
    pub check: bool,
}

#[derive(Debug, clap::Args)]
pub struct Schema {
    /// Of what (default: all)
    #[arg(value_enum)]
    pub kind: Option<SchemaKind>,
    /// Write them into this folder, a file each
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SchemaKind {
    /// The front matter of a procedure
    Procedure,
    /// `set.yaml`
    Set,
    /// `workshop.yaml`
    Workshop,
    /// A job record
    Record,
}

#[derive(Debug, clap::Args)]
pub struct Completions {
    /// Which shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

#[derive(Debug, clap::Args)]
pub struct Man {
    /// Write a page for every command into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}
