//! The words of the command line.

mod answers;
mod desk;
mod job;
mod look;

use super::version;
use clap::{Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

pub use answers::{Calc, Class, Fit, Reckon, Thread};
pub use desk::{Completions, Fmt, Lsp, Man, Manual, Preview, Schema, SchemaKind, Tone};
pub use job::{
    Judged, Kit, KitFormat, Log, LogCheck, LogFormat, LogReport, LogStart, Plan, PlanFormat, Reach, ReachFormat,
    ReportFormat,
};
pub use look::{CardFormat, LONGEST, Look, Sheet, half_of};

/// Compiles workshop procedures into checked, printable work cards.
///
/// A card does not make work safe: local codes, the maker's own data and licensed practice come first.
#[derive(Debug, Parser)]
#[command(
    name = "benchleaf",
    version = version::short(),
    long_version = version::long(),
    arg_required_else_help = true
)]
pub struct Args {
    #[command(flatten)]
    pub tone: Tone,
    #[command(subcommand)]
    pub command: Option<Command>,
    /// Print the licences of the program and of what it is built from
    #[arg(long, exclusive = true)]
    pub licences: bool,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Start a procedure set that builds at once
    New(New),
    /// Check procedures without printing them
    Check(Check),
    /// Check procedures and print their cards
    Build(Build),
    /// List what a set needs: parts, consumables, tools, gauges
    Kit(Kit),
    /// Plan the work of a set: sittings, waits, what takes longest
    Plan(Plan),
    /// Tell what must come off to reach parts, and what else lies open then
    Reach(Reach),
    /// Start, check and report the record of a job
    #[command(subcommand)]
    Log(Log),
    /// Tell what changed in meaning between two revisions or folders
    Diff(Diff),
    /// Tell which printed cards are out of date, by the codes on them
    Stale(Stale),
    /// Print the cards that are others than at a revision, or list them
    Reissue(Reissue),
    /// Tell what a finding means, or a word of the language
    Explain(Explain),
    /// Estimate what a torque does to a bolt, with the working
    Torque(Box<TorqueArgs>),
    /// Convert a figure or a limit, with the exact value
    Convert(Convert),
    /// Work out an expression with units
    Calc(Calc),
    /// Tell the geometry of a thread
    Thread(Thread),
    /// Tell how strong a property class of bolts or nuts is
    Class(Class),
    /// Tell the sizes of a fit, and what presses or warms it together
    Fit(Box<Fit>),
    /// Reckon something at the bench: stretch, drag, seals, belts, bearings, guard bands …
    Reckon(Reckon),
    /// Print the insides of a compilation, for tests
    #[command(hide = true)]
    Dump(Dump),
    /// Spell units and marks in one way, and quote what YAML readers mistake; no card changes its meaning by it
    Fmt(Fmt),
    /// Show the leaves in a browser, as they change while you write
    Preview(Preview),
    /// Serve an editor over standard input and output: findings as you type, completion, names, outline
    Lsp(Lsp),
    /// Print JSON Schemas of front matter, sets, shops and records, for editors
    Schema(Schema),
    /// Print what a shell needs to complete commands
    Completions(Completions),
    /// Read the manual: its pages, where words stand in it, or all of it as one file or as leaves
    Manual(Manual),
    /// Print the page for `man`, or write one for every command
    Man(Man),
}

#[derive(Debug, clap::Args)]
pub struct New {
    /// Folder to make; it must not hold anything yet
    pub folder: PathBuf,
    /// Title of the set, or of the procedure (default: from its name)
    #[arg(long)]
    pub title: Option<String>,
    /// What the set is about
    #[arg(long, value_enum, default_value_t = Kind::Cover)]
    pub kind: Kind,
    /// Add a procedure of this id to the set in the folder, which is there already
    #[arg(long, value_name = "ID", conflicts_with = "kind")]
    pub procedure: Option<String>,
    /// Write two procedures into the set in the folder, from its registers: the way to these parts, and back
    #[arg(long = "for", value_name = "PART", num_args = 1.., conflicts_with_all = ["kind", "procedure"])]
    pub parts: Vec<String>,
}

/// What a new set starts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Kind {
    /// A cover that is taken off and put back
    Cover,
    /// A shaft seal
    Seal,
    /// A bearing that is warmed and slid on
    Bearing,
    /// A head gasket
    HeadGasket,
    /// Taking a machine out of service and giving it back
    Isolation,
    /// An oil change with a filter
    Service,
}

#[derive(Debug, clap::Args)]
pub struct Check {
    /// A folder (every set below it), a set, or one procedure; `-` for one file from standard input
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// With `-`: the file that is checked in place of what is on the disk
    #[arg(long = "as", value_name = "FILE")]
    pub stands_for: Option<PathBuf>,
    /// Check again whenever a file has changed
    #[arg(long, conflicts_with_all = ["files", "fix", "since"])]
    pub watch: bool,
    /// How findings are written
    #[arg(long, visible_alias = "findings", value_enum, default_value_t = FindingFormat::Text)]
    pub format: FindingFormat,
    /// Exit with 1 on warnings too
    #[arg(long, value_enum, value_name = "LEVEL")]
    pub deny: Option<Denied>,
    /// List every file and what it is taken for, instead of findings
    #[arg(long, conflicts_with_all = ["since", "fix", "pages"])]
    pub files: bool,
    /// Also typeset every card and read it back, as `build` does; nothing is written
    #[arg(long, conflicts_with = "fix")]
    pub pages: bool,
    /// With `--pages`: a choice, such as `seals=renew`; may be given several times
    #[arg(long = "option", requires = "pages", value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub options: Vec<(String, String)>,
    /// With `--pages`: paper of the leaves (default: the set's own)
    #[arg(long, requires = "pages", value_enum)]
    pub paper: Option<look::Paper>,
    /// With `--pages`: folder whose files replace the built-in templates of the same name
    #[arg(long, requires = "pages", value_name = "DIR")]
    pub templates: Option<PathBuf>,
    /// With `--pages`: the longest that one document may take (default: 300)
    #[arg(long, requires = "pages", value_name = "SECONDS", value_parser = clap::value_parser!(u32).range(1..=86_400))]
    pub longest: Option<u32>,
    /// With `--pages`: lay out everything anew, whatever earlier builds left in the user's cache folder
    #[arg(long, requires = "pages")]
    pub no_cache: bool,
    /// Make the changes that are certain, in files that git has as they are
    #[arg(long, conflicts_with = "since")]
    pub fix: bool,
    /// With `--fix`: show the changes and make none
    #[arg(long, requires = "fix")]
    pub dry_run: bool,
    /// With `--fix`: also change files that git doesn't have, or has otherwise
    #[arg(long, requires = "fix")]
    pub force: bool,
    /// Also find procedures whose meaning changed since this revision while their revision letter did not
    #[arg(long, value_name = "REV")]
    pub since: Option<String>,
    /// Also find tools whose calibration is over by this day, such as `2026-04-03`
    #[arg(long, value_name = "DATE")]
    pub today: Option<jiff::civil::Date>,
}

/// Which cards.
#[derive(Debug, clap::Args)]
pub struct Wanted {
    /// A folder (every set below it), a set, or one procedure
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// A choice, such as `seals=renew`; may be given several times
    #[arg(long = "option", value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub options: Vec<(String, String)>,
    /// Mark what changed since this revision, in the margin and on the cover
    #[arg(long, value_name = "REV")]
    pub since: Option<String>,
}

#[derive(Debug, clap::Args)]
pub struct Build {
    #[command(flatten)]
    pub wanted: Wanted,
    /// Folder that the cards go to; each set gets one of its own in it. `-` writes the one document there is to standard output
    #[arg(long, default_value = "output", value_name = "DIR")]
    pub out: PathBuf,
    /// What is written: a PDF for each card, or a picture of each leaf
    #[arg(long, value_enum, default_value_t = CardFormat::Pdf)]
    pub format: CardFormat,
    /// Pixels per inch of PNG pictures
    #[arg(long, default_value_t = 144, value_parser = clap::value_parser!(u32).range(36..=1200))]
    pub ppi: u32,
    /// Two half-size leaves on one sheet, with marks where to cut: A5 on A4, half-letter on letter
    #[arg(long, conflicts_with = "format")]
    pub two_up: bool,
    /// Torques and limits alone, for the pocket, instead of the cards
    #[arg(long)]
    pub pocket: bool,
    /// A leaf to copy readings, wrenches, clock times and signatures to, instead of the cards
    #[arg(long, conflicts_with = "pocket")]
    pub record: bool,
    /// Print again whenever a file has changed
    #[arg(long, conflicts_with_all = ["rev_from_git", "since"])]
    pub watch: bool,
    /// PDF/A-2a as well as PDF/UA-1, for the archive; every card needs a date
    #[arg(long, conflicts_with_all = ["format", "two_up"])]
    pub archive: bool,
    #[command(flatten)]
    pub look: Look,
    /// Also find tools whose calibration is over by this day, such as `2026-04-03`
    #[arg(long, value_name = "DATE")]
    pub today: Option<jiff::civil::Date>,
    /// Take revision and date of a card from git: the last commit that changed its meaning
    #[arg(long)]
    pub rev_from_git: bool,
    /// How findings are written
    #[arg(long, value_enum, default_value_t = FindingFormat::Text)]
    pub findings: FindingFormat,
}

#[derive(Debug, clap::Args)]
pub struct Diff {
    /// The older state: a revision, a range (`A..B`, `A...B`), or a folder
    pub old: String,
    /// The newer state: a revision or a folder (default: the work tree)
    pub new: Option<String>,
    /// The folder or set to compare, where states are revisions
    #[arg(long, default_value = ".", value_name = "PATH")]
    pub at: PathBuf,
    /// How the changes are written
    #[arg(long, value_enum, default_value_t = DiffFormat::Text)]
    pub format: DiffFormat,
    #[command(flatten)]
    pub sheet: Sheet,
}

#[derive(Debug, clap::Args)]
pub struct Stale {
    /// Codes from leaves, such as `WD47-9V4K`
    #[arg(required_unless_present = "file")]
    pub codes: Vec<String>,
    /// A file of codes, each on a line of its own; what follows a code or a `#` is a remark
    #[arg(long, value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// The folder or set that the cards are from
    #[arg(long, default_value = ".", value_name = "PATH")]
    pub at: PathBuf,
    /// How the verdicts are written
    #[arg(long, value_enum, default_value_t = LogFormat::Text)]
    pub format: LogFormat,
    /// Go through history anew, whatever earlier searches left in the user's cache folder
    #[arg(long)]
    pub no_cache: bool,
    /// The same as `--format json`
    #[arg(long, hide = true)]
    pub json: bool,
}

#[derive(Debug, clap::Args)]
pub struct Reissue {
    /// Only tell which cards; print none
    #[arg(long)]
    pub list: bool,
    #[command(flatten)]
    pub build: Build,
}

impl Reissue {
    /// Which cards are looked at.
    pub fn wanted(&self) -> &Wanted {
        &self.build.wanted
    }
}

#[derive(Debug, clap::Args)]
pub struct Explain {
    /// Code or name of a finding, such as BL101 or unknown-id, or a word, such as torque or units; without one, the list of all findings
    pub code: Option<String>,
}

#[derive(Debug, clap::Args)]
pub struct TorqueArgs {
    /// Thread and class, such as `M8 8.8` or `3/8-16 UNC grade 8`
    pub fastener: String,
    /// Torque, such as `25 N·m ± 10 %`, or stages in order, such as `20 N·m` `+90°`
    pub stages: Vec<String>,
    /// Preload to find the torque for, such as `20 kN`
    #[arg(long, value_name = "FORCE", conflicts_with = "stages")]
    pub preload: Option<String>,
    /// Condition of the threads, and of the face unless that is given
    #[arg(long, default_value = "unknown")]
    pub lubrication: String,
    /// Condition of the bearing face
    #[arg(long, value_name = "CONDITION")]
    pub face: Option<String>,
    /// Length of thread engaged, such as `12 mm`
    #[arg(long, value_name = "LENGTH", requires = "into")]
    pub engagement: Option<String>,
    /// Material tapped into, such as `cast aluminium`
    #[arg(long, value_name = "MATERIAL", requires = "engagement")]
    pub into: Option<String>,
    /// Clamped length, for stages by angle
    #[arg(long, value_name = "LENGTH")]
    pub grip: Option<String>,
    /// Offset of an adapter, centre to centre
    #[arg(long, value_name = "LENGTH")]
    pub adapter: Option<String>,
    /// Angle of the adapter to the wrench (default: straight ahead)
    #[arg(long, requires = "adapter")]
    pub angle: Option<String>,
    /// Length of the wrench, drive to middle of the grip
    #[arg(long, value_name = "LENGTH", requires = "adapter")]
    pub wrench_length: Option<String>,
}

#[derive(Debug, clap::Args)]
pub struct Convert {
    /// Figure or limit with its unit, such as `88 lbf·in` or `41.2..41.9 mm`
    #[arg(allow_hyphen_values = true)]
    pub value: String,
    /// Unit wanted (default: every unit of the dimension)
    pub unit: Option<String>,
    /// It is a difference: a rise of 10 °C is one of 18 °F
    #[arg(long, requires = "unit")]
    pub difference: bool,
    /// It is a temperature in kelvins, counted from absolute zero: 0 K is −273.15 °C
    #[arg(long, requires = "unit", conflicts_with = "difference")]
    pub temperature: bool,
}

#[derive(Debug, clap::Args)]
pub struct Dump {
    /// Which part
    #[arg(value_enum)]
    pub part: DumpPart,
    /// A folder (every set below it), a set, or one procedure
    #[arg(default_value = ".")]
    pub path: PathBuf,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DumpPart {
    Tree,
    Model,
    Events,
    Leaves,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DiffFormat {
    /// For the terminal
    #[value(alias = "human")]
    Text,
    /// For a review comment
    Markdown,
    /// For a program
    Json,
    /// The change sheet: what to tell the bench, and which cards to replace
    Pdf,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FindingFormat {
    /// For a person, with the source line
    #[value(alias = "human")]
    Text,
    /// One JSON object for each finding, on a line of its own
    Json,
    /// One SARIF 2.1.0 log, for code scanning
    Sarif,
    /// Annotations of a workflow on GitHub
    Github,
}

/// What `--deny` denies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Denied {
    Warnings,
}

fn name_and_value(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.trim().is_empty() && !value.trim().is_empty() => {
            Ok((name.trim().to_string(), value.trim().to_string()))
        }
        _ => Err("write it as name=value".to_string()),
    }
}
