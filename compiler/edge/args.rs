//! The words of the command line.

use clap::{Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Compiles workshop procedures into checked, printable work cards.
///
/// A card does not make work safe: local codes, the maker's own data and licensed practice come first.
#[derive(Debug, Parser)]
#[command(name = "benchleaf", version)]
pub struct Args {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Start a procedure set that builds at once
    New(New),
    /// Check procedures without printing them
    Check(Check),
    /// Check procedures and print their cards
    #[cfg(feature = "typeset")]
    Build(Build),
    /// List what a set needs: parts, consumables, tools, gauges
    Kit(Kit),
    /// Plan the work of a set: sittings, waits, what takes longest
    Plan(Plan),
    /// Start, check and report the record of a job
    #[command(subcommand)]
    Log(Log),
    /// Tell what changed by meaning between two revisions or folders
    Diff(Diff),
    /// Tell which printed cards are out of date, by the codes on them
    Stale(Stale),
    /// List or print the cards that must be printed again since a revision
    Reissue(Reissue),
    /// Tell what a finding means
    Explain(Explain),
    /// Estimate what a torque does to a bolt, with the working
    Torque(Box<TorqueArgs>),
    /// Convert a figure or a limit, with the exact value
    Convert(Convert),
}

#[derive(Debug, clap::Args)]
pub struct New {
    /// Folder to make; it must not hold anything yet
    pub folder: PathBuf,
    /// Title of the set (default: from the folder's name)
    #[arg(long)]
    pub title: Option<String>,
}

#[derive(Debug, clap::Args)]
pub struct Check {
    /// A folder (every set below it), a set, or one procedure
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// How findings are written
    #[arg(long, visible_alias = "findings", value_enum, default_value_t = FindingFormat::Human)]
    pub format: FindingFormat,
    /// Also find procedures whose meaning changed since this revision while their revision letter did not
    #[arg(long, value_name = "REV")]
    pub since: Option<String>,
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
    /// The revision that what changed is told from: marked in the margin and on the cover
    #[arg(long, value_name = "REV")]
    pub since: Option<String>,
}

#[cfg(feature = "typeset")]
#[derive(Debug, clap::Args)]
pub struct Build {
    #[command(flatten)]
    pub wanted: Wanted,
    /// Where the cards go: a folder a set below it
    #[arg(long, default_value = "output", value_name = "DIR")]
    pub out: PathBuf,
    /// Paper of the cards (default: the set's own)
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// What is written: one file a card, or one a leaf for pictures
    #[arg(long, value_enum, default_value_t = CardFormat::Pdf)]
    pub format: CardFormat,
    /// Pixels per inch of PNG pictures
    #[arg(long, default_value_t = 144, value_parser = clap::value_parser!(u32).range(36..=1200))]
    pub ppi: u32,
    /// No colour: for a mono printer
    #[arg(long)]
    pub mono: bool,
    /// Two half-size leaves on one sheet, with marks where to cut: A5 on A4, half-letter on letter
    #[arg(long, conflicts_with = "format")]
    pub two_up: bool,
    /// Torques and limits alone, on one leaf a set, instead of its cards
    #[arg(long)]
    pub pocket: bool,
    /// PDF/A-2a as well as PDF/UA-1, for the archive; every card needs a date
    #[arg(long, conflicts_with_all = ["format", "two_up"])]
    pub archive: bool,
    /// Folder whose files replace the built-in templates of the same name
    #[arg(long, value_name = "DIR")]
    pub templates: Option<PathBuf>,
    /// Take revision and date of a card from git: the last commit that changed its meaning
    #[arg(long)]
    pub issue_from_git: bool,
    /// How findings are written
    #[arg(long, value_enum, default_value_t = FindingFormat::Human)]
    pub findings: FindingFormat,
}

#[derive(Debug, clap::Args)]
pub struct Kit {
    /// A folder (every set below it), a set, or one procedure of it
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// A choice, such as `seals=renew`; may be given several times
    #[arg(long = "option", value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub options: Vec<(String, String)>,
    /// Show only what differs from another choice; may be given several times
    #[arg(long, value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub against: Vec<(String, String)>,
    /// How it is written
    #[arg(long, value_enum, default_value_t = KitFormat::Table)]
    pub format: KitFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KitFormat {
    /// Columns for a terminal
    Table,
    /// One row a thing (RFC 4180)
    Csv,
    /// One object a set and line
    Json,
}

#[derive(Debug, clap::Args)]
pub struct Plan {
    /// A folder (every set below it), a set, or one procedure of it
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// A choice, such as `seals=renew`; may be given several times
    #[arg(long = "option", value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub options: Vec<(String, String)>,
    /// Longest stretch of work, such as `2 h` (default: no end)
    #[arg(long, value_name = "TIME")]
    pub sitting: Option<String>,
    /// From the start of one sitting to the start of the next
    #[arg(long, value_name = "TIME", default_value = "24 h")]
    pub every: String,
    /// Hands-on time taken for a step that says none
    #[arg(long, value_name = "TIME", default_value = "0 min")]
    pub step: String,
    /// When the first sitting begins, such as `2026-03-02T18:00`
    #[arg(long, value_name = "DATE-TIME")]
    pub start: Option<String>,
    /// How it is written
    #[arg(long, value_enum, default_value_t = PlanFormat::Table)]
    pub format: PlanFormat,
    /// For a calendar: when it was made, in UTC (default: the start)
    #[arg(long, value_name = "DATE-TIME")]
    pub stamp: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PlanFormat {
    /// Columns and bars for a terminal
    Table,
    /// One object a set and line
    Json,
    /// Calendar of sittings and of waits that are up (RFC 5545); needs a start
    Ics,
}

#[derive(Debug, Subcommand)]
pub enum Log {
    /// Write a record to fill in for one procedure
    Start(LogStart),
    /// Judge a filled-in record; the record is never altered
    Check(LogCheck),
    /// Report a filled-in record in full
    Report(LogCheck),
}

#[derive(Debug, clap::Args)]
pub struct LogStart {
    /// One procedure
    pub path: PathBuf,
    /// A choice, such as `seals=renew`; may be given several times
    #[arg(long = "option", value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub options: Vec<(String, String)>,
    /// Where the record goes; a file that is there already is left alone (default: standard output)
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Serial number of the machine
    #[arg(long, default_value = "", hide_default_value = true)]
    pub serial: String,
    /// An earlier record of the same machine: what it put off is carried over; may be given several times
    #[arg(long, value_name = "FILE")]
    pub carry: Vec<PathBuf>,
}

#[derive(Debug, clap::Args)]
pub struct LogCheck {
    /// The filled-in record
    pub record: PathBuf,
    /// The folder of the procedures, or the set
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// A record of another card of the same machine, whose readings calculations take; may be given several times
    #[arg(long, value_name = "FILE")]
    pub with: Vec<PathBuf>,
    /// How it is written
    #[arg(long, value_enum, default_value_t = LogFormat::Text)]
    pub format: LogFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LogFormat {
    /// For a person
    Text,
    /// One object
    Json,
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
    #[arg(long, value_enum, default_value_t = DiffFormat::Human)]
    pub format: DiffFormat,
}

#[derive(Debug, clap::Args)]
pub struct Stale {
    /// Codes from cards, such as `WD47-9V4K`
    #[arg(required_unless_present = "file")]
    pub codes: Vec<String>,
    /// A file of codes, one a line; what follows a code or a `#` is a remark
    #[arg(long, value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// The folder or set that the cards are from
    #[arg(long, default_value = ".", value_name = "PATH")]
    pub at: PathBuf,
    /// One JSON object a code
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, clap::Args)]
pub struct Reissue {
    /// Only tell which cards; print none
    #[cfg(feature = "typeset")]
    #[arg(long)]
    pub list: bool,
    #[cfg(feature = "typeset")]
    #[command(flatten)]
    pub build: Build,
    #[cfg(not(feature = "typeset"))]
    #[command(flatten)]
    pub wanted: Wanted,
}

impl Reissue {
    /// Which cards are looked at.
    pub fn wanted(&self) -> &Wanted {
        #[cfg(feature = "typeset")]
        return &self.build.wanted;
        #[cfg(not(feature = "typeset"))]
        return &self.wanted;
    }
}

#[derive(Debug, clap::Args)]
pub struct Explain {
    /// Code or name of a finding, such as BL101 or unknown-id; without one, the list of all
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
    /// Figure or limit with its unit, such as `104 lbf·in` or `33.0..33.7 mm`
    #[arg(allow_hyphen_values = true)]
    pub value: String,
    /// Unit wanted (default: every unit of the dimension)
    pub unit: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DiffFormat {
    /// For the terminal
    Human,
    /// For a review comment
    Markdown,
    /// For a program
    Json,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FindingFormat {
    /// For a person, with the source line
    Human,
    /// One JSON object a line
    Json,
}

#[cfg(feature = "typeset")]
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CardFormat {
    Pdf,
    Png,
    Svg,
}

#[cfg(feature = "typeset")]
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    A4,
    Letter,
    A5,
    HalfLetter,
}

#[cfg(feature = "typeset")]
impl Paper {
    /// As sets write it.
    pub fn name(self) -> &'static str {
        match self {
            Paper::A4 => "a4",
            Paper::Letter => "letter",
            Paper::A5 => "a5",
            Paper::HalfLetter => "half-letter",
        }
    }
}

/// The paper of half the size, which two leaves share a sheet of; itself if it is half of one already.
#[cfg(feature = "typeset")]
pub fn half_of(paper: &str) -> &str {
    match paper {
        "letter" => "half-letter",
        "a4" => "a5",
        half => half,
    }
}

fn name_and_value(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.trim().is_empty() && !value.trim().is_empty() => {
            Ok((name.trim().to_string(), value.trim().to_string()))
        }
        _ => Err("write it as name=value".to_string()),
    }
}
