//! How things look on paper, and where they go.

use clap::ValueEnum;
use std::path::PathBuf;

/// Paper, ink and templates.
#[derive(Debug, clap::Args)]
pub struct Look {
    /// Paper of the leaves (default: the set's own)
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// No colour: for a mono printer
    #[arg(long)]
    pub mono: bool,
    /// Folder whose files replace the built-in templates of the same name
    #[arg(long, value_name = "DIR")]
    pub templates: Option<PathBuf>,
    /// How many documents are typeset at once (default: as many as the machine has cores)
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub jobs: Option<u16>,
    /// The longest that one document may take (default: 300): then the program ends, and says which it was
    #[arg(long, value_name = "SECONDS", value_parser = clap::value_parser!(u32).range(1..=86_400))]
    pub longest: Option<u32>,
    /// Lay out everything anew: nothing is taken from what earlier builds left in the user's cache folder, and nothing is put there
    #[arg(long)]
    pub no_cache: bool,
}

/// Seconds that one document may take unless more are given; the longest demo card takes some two without optimisation.
pub const LONGEST: u32 = 300;

/// What an answer is printed with, by `--format pdf`.
#[derive(Debug, clap::Args)]
pub struct Sheet {
    /// For a PDF: a file, such as `sheet.pdf`; or a folder, which gets a file for each set in a folder of its name
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    pub look: Look,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CardFormat {
    Pdf,
    Png,
    Svg,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    A4,
    Letter,
    A5,
    HalfLetter,
}

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
pub fn half_of(paper: &str) -> &str {
    match paper {
        "letter" => "half-letter",
        "a4" => "a5",
        half => half,
    }
}
