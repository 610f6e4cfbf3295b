//! The words of what stands around the cards: kit, plan, record.

use super::Sheet;
use super::name_and_value;
use clap::{Subcommand, ValueEnum};
use std::path::PathBuf;

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
    #[arg(long, value_enum, default_value_t = KitFormat::Text)]
    pub format: KitFormat,
    #[command(flatten)]
    pub sheet: Sheet,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KitFormat {
    /// Columns for a terminal
    #[value(alias = "table")]
    Text,
    /// One row for each thing (RFC 4180)
    Csv,
    /// One JSON object for each set, on a line of its own
    Json,
    /// Leaves with a box for each thing, to lay out by
    Pdf,
}

#[derive(Debug, clap::Args)]
pub struct Reach {
    /// Ids of parts, such as `bearing` or `rings/low`; without one, the parts that the steps never reach
    pub parts: Vec<String>,
    /// A folder (every set below it), a set, or one procedure of it
    #[arg(long, default_value = ".", value_name = "PATH")]
    pub at: PathBuf,
    /// A choice, such as `scope=all`; may be given several times
    #[arg(long = "option", value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub options: Vec<(String, String)>,
    /// How it is written
    #[arg(long, value_enum, default_value_t = ReachFormat::Text)]
    pub format: ReachFormat,
    #[command(flatten)]
    pub sheet: Sheet,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ReachFormat {
    /// Columns for a terminal
    Text,
    /// One JSON object for each set, on a line of its own
    Json,
    /// Leaves with a box for each act and for what to look at
    Pdf,
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
    /// Time taken for each step that says none
    #[arg(long, value_name = "TIME", default_value = "0 min")]
    pub step: String,
    /// When the first sitting begins, such as `2026-03-02T18:00`
    #[arg(long, value_name = "DATE-TIME")]
    pub start: Option<String>,
    /// How it is written
    #[arg(long, value_enum, default_value_t = PlanFormat::Text)]
    pub format: PlanFormat,
    /// For a calendar: when it was made, in UTC (default: the start)
    #[arg(long, value_name = "DATE-TIME")]
    pub stamp: Option<String>,
    #[command(flatten)]
    pub sheet: Sheet,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PlanFormat {
    /// Columns and bars for a terminal
    #[value(alias = "table")]
    Text,
    /// One JSON object for each set, on a line of its own
    Json,
    /// Calendar of sittings and of waits that are up (RFC 5545); needs a start
    Ics,
    /// Leaves with bars drawn to scale
    Pdf,
}

#[derive(Debug, Subcommand)]
pub enum Log {
    /// Write a record to fill in for one procedure
    Start(LogStart),
    /// Judge a filled-in record; the record is never altered
    Check(LogCheck),
    /// Report a filled-in record in full
    Report(LogReport),
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

/// Which record, against which cards.
#[derive(Debug, clap::Args)]
pub struct Judged {
    /// The filled-in record
    pub record: PathBuf,
    /// The folder of the procedures, or the set
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// A record of another card of the same machine, whose readings calculations take; may be given several times
    #[arg(long, value_name = "FILE")]
    pub with: Vec<PathBuf>,
}

#[derive(Debug, clap::Args)]
pub struct LogCheck {
    #[command(flatten)]
    pub judged: Judged,
    /// How it is written
    #[arg(long, value_enum, default_value_t = LogFormat::Text)]
    pub format: LogFormat,
}

#[derive(Debug, clap::Args)]
pub struct LogReport {
    #[command(flatten)]
    pub judged: Judged,
    /// How it is written
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub format: ReportFormat,
    #[command(flatten)]
    pub sheet: Sheet,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LogFormat {
    /// For a person
    Text,
    /// One JSON object
    Json,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ReportFormat {
    /// For a person
    Text,
    /// One JSON object
    Json,
    /// Leaves for the file: verdict, what deviates, every reading
    Pdf,
}
