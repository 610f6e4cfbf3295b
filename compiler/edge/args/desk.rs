//! The words of what an author has at hand: spelling, schemas, completions, pages; and how much is said.

use super::look::Paper;
use clap::ValueEnum;
use std::path::PathBuf;

/// What stands in the help of every command, apart from its own.
const EVERYWHERE: &str = "With every command";

/// How much is said.
#[derive(Debug, Clone, Copy, clap::Args)]
pub struct Tone {
    /// Say nothing but findings, trouble and what was asked for
    #[arg(short, long, global = true, conflicts_with = "verbose", help_heading = EVERYWHERE)]
    pub quiet: bool,
    /// Also say what is read
    #[arg(short, long, global = true, help_heading = EVERYWHERE)]
    pub verbose: bool,
    /// Leave `benchleaf.yaml`, which has a shop's defaults for options, out of account
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    pub no_defaults: bool,
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
pub struct Preview {
    /// A folder (every set below it), a set, or one procedure
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// Port of this machine that the page is served at; a free one if it is taken, 0 for any
    #[arg(long, value_name = "N", default_value_t = 4180)]
    pub port: u16,
    /// Folder whose files replace the built-in templates of the same name
    #[arg(long, value_name = "DIR")]
    pub templates: Option<PathBuf>,
}

#[derive(Debug, clap::Args)]
pub struct Lsp {
    /// Also show the leaves of what is being written in a browser, unsaved changes and all
    #[arg(long)]
    pub preview: bool,
    /// With `--preview`: port of this machine that the page is served at; a free one if it is taken, 0 for any
    #[arg(long, value_name = "N", requires = "preview", default_value_t = 4180)]
    pub port: u16,
}

#[derive(Debug, clap::Args)]
pub struct Schema {
    /// Which one (default: all)
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
pub struct Manual {
    /// Which page (default: the list of them)
    pub topic: Option<String>,
    /// Where these words stand, whatever their case
    #[arg(long, value_name = "WORDS", conflicts_with = "topic")]
    pub find: Option<String>,
    /// Write all of it into this file, for a browser
    #[arg(long, value_name = "FILE", conflicts_with_all = ["topic", "find"])]
    pub html: Option<PathBuf>,
    /// Print all of it, or the one page, to this file as leaves
    #[arg(long, value_name = "FILE", conflicts_with_all = ["find", "html"])]
    pub pdf: Option<PathBuf>,
    /// With `--pdf`: paper of the leaves (default: a4)
    #[arg(long, requires = "pdf", value_enum)]
    pub paper: Option<Paper>,
    /// With `--pdf`: no colour, for a mono printer
    #[arg(long, requires = "pdf")]
    pub mono: bool,
}

#[derive(Debug, clap::Args)]
pub struct Man {
    /// Write a page for every command into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}
