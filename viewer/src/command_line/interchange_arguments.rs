//! What can be typed about pages to print and files for others.

use std::path::PathBuf;

use acquisition::home::LanguageKey;
use analysis::{PersonCode, Processing};
use clap::{Args, Subcommand};
use clap_complete::Shell;

use crate::report::Paper;

/// The commands about pages and files for others.
#[derive(Debug, Subcommand)]
pub(crate) enum InterchangeCommand {
    Report(ReportArguments),
    Export(ExportArguments),
    Completions(CompletionsArguments),
    Manual(ManualArguments),
}

/// Write a page for the chart, or a plain page for the person who stands, as PDF.
///
/// The page tells what was known at the end of one day: the same records and the same day give the
/// same file, byte for byte.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  footing report P-01 chart.pdf\n  \
    footing report P-01 --patient --clinic-contact 'C-01, 000 0000' --emergency-number 000 page.pdf")]
pub(crate) struct ReportArguments {
    /// Whose page.
    #[arg(value_name = "CODE")]
    pub(crate) person: PersonCode,

    /// The file to write; one that is there already is replaced.
    #[arg(value_name = "OUT.pdf")]
    pub(crate) out: PathBuf,

    /// In plain words and large letters, for the person to take along.
    #[arg(long)]
    pub(crate) patient: bool,

    /// a4 or letter.
    #[arg(long, default_value = "a4", value_name = "PAPER")]
    pub(crate) paper: Paper,

    /// english or german, for this once; what `footing home-settings` holds, if not given. The German
    /// words must be checked by a native speaker with clinical knowledge before use with patients.
    #[arg(long, value_name = "LANGUAGE")]
    pub(crate) language: Option<LanguageKey>,

    /// The day of the page, as 2026-03-01: its end, here. Today, if not given.
    #[arg(long, value_name = "DATE")]
    pub(crate) as_of: Option<String>,

    /// Print the person's name too, if the records have one; otherwise the code alone.
    #[arg(long)]
    pub(crate) with_name: bool,

    /// How to reach the clinic; what `footing home-settings` holds, if not given.
    #[arg(long, value_name = "TEXT", requires = "patient")]
    pub(crate) clinic_contact: Option<String>,

    /// The local emergency number; what `footing home-settings` holds, if not given.
    #[arg(long, value_name = "NUMBER", requires = "patient")]
    pub(crate) emergency_number: Option<String>,
}

/// Write trials for other programs: samples as CSV, facts as JSON, FHIR Observations, or Parquet.
///
/// Without an option, the samples of one trial as CSV. People are named by their codes alone.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  footing export stand.h5 > stand.csv\n  \
    footing export --facts stand.h5 > stand.json\n  \
    footing export --fhir before/ after/ > observations.json\n  \
    footing export --parquet research-set --samples ~/.local/share/footing/trials\n\n\
    The forms are told in acquisition/docs/open-formats.md.")]
pub(crate) struct ExportArguments {
    /// Trial files, or folders that hold some; with --parquet all of the data folder, if none.
    #[arg(value_name = "FILE|FOLDER")]
    pub(crate) trials: Vec<PathBuf>,

    /// What is known of each trial besides its samples, one JSON object a line.
    #[arg(long, conflicts_with_all = ["fhir", "parquet"])]
    pub(crate) facts: bool,

    /// The headline measures as a Bundle of FHIR Observations, R4 and R5.
    #[arg(long, conflicts_with = "parquet")]
    pub(crate) fhir: bool,

    /// Write every measure of the trials into this new folder, as Parquet files by surface and vision.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) parquet: Option<PathBuf>,

    /// The samples too, in a table of their own.
    #[arg(long, requires = "parquet")]
    pub(crate) samples: bool,

    /// How measures are computed, as for `footing analyse`: standard or as-recorded.
    #[arg(long, default_value = "standard", value_name = "PROCESSING")]
    pub(crate) processing: Processing,

    /// How many trials to work on at once; by default one a core.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub(crate) jobs: Option<u16>,
}

/// Print what completes commands and options in a shell when the tab key is pressed.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    footing completions bash > ~/.local/share/bash-completion/completions/footing")]
pub(crate) struct CompletionsArguments {
    /// Which shell.
    #[arg(value_name = "SHELL")]
    pub(crate) shell: Shell,
}

/// Write manual pages, one a command, into a folder.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing manual ~/.local/share/man/man1; man footing-compare")]
pub(crate) struct ManualArguments {
    /// A folder that is there.
    #[arg(value_name = "FOLDER")]
    pub(crate) folder: PathBuf,
}
