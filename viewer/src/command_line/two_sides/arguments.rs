//! What can be typed after `footing pair`, `send`, `take`, `review`, `answer`, `keep-safe`,
//! `bring-back`.

use std::path::PathBuf;

use acquisition::WallTime;
use acquisition::home::LanguageKey;
use acquisition::keys::{BoardId, ClinicCode, Role, SpokenCode};
use analysis::{Condition, PersonCode};
use clap::{Args, Subcommand};

#[derive(Debug, Subcommand)]
pub(crate) enum SidesCommand {
    Pair(PairArguments),
    Send(SendArguments),
    Take(TakeArguments),
    Review(ReviewArguments),
    Answer(AnswerArguments),
    KeepSafe(KeepSafeArguments),
    BringBack(BringBackArguments),
    Home(HomeArguments),
    HomeSettings(HomeSettingsArguments),
}

/// Make this side's keys, and pair with the other side by a code that is read aloud.
#[derive(Debug, Args)]
#[command(after_help = "Example, in the clinic (the same at home with --as home):\n  \
    footing pair make --as clinic --write clinic-keys.txt\n  \
    (send clinic-keys.txt to the home; receive home-keys.txt from there)\n  \
    footing pair with home-keys.txt --clinic C-01 --person P-01 --board 0102030405060708090a0b0c\n  \
    (each reads the own code aloud, the other types it)")]
pub(crate) struct PairArguments {
    #[command(subcommand)]
    pub(crate) action: PairAction,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PairAction {
    Make(MakeArguments),
    With(WithArguments),
    /// Which side this is, its code, and whom it is paired with.
    Show,
    End(EndPairArguments),
}

/// Make the keys of this side, once, and give out their public half.
#[derive(Debug, Args)]
pub(crate) struct MakeArguments {
    /// Which side this is: clinic or home.
    #[arg(long = "as", value_name = "SIDE")]
    pub(crate) side: Role,
    /// Write the public half to this file, to be sent; printed, if not given.
    #[arg(long, value_name = "FILE")]
    pub(crate) write: Option<PathBuf>,
}

/// Trust the other side's keys for one person, one board and one clinic.
#[derive(Debug, Args)]
pub(crate) struct WithArguments {
    /// The other side's public half, as it came.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// The code its owner reads aloud, five groups of five digits; asked for, if not given.
    #[arg(long, value_name = "CODE")]
    pub(crate) heard: Option<SpokenCode>,
    /// The clinic, by a code both sides use.
    #[arg(long, value_name = "CODE")]
    pub(crate) clinic: ClinicCode,
    /// The person, by the clinic's code; never a name.
    #[arg(long, value_name = "CODE")]
    pub(crate) person: PersonCode,
    /// The board in the home, by its own id of 24 digits.
    #[arg(long, value_name = "ID")]
    pub(crate) board: BoardId,
}

/// End a pairing: nothing of that person is taken or sealed any more.
#[derive(Debug, Args)]
pub(crate) struct EndPairArguments {
    /// The person.
    pub(crate) person: PersonCode,
}

/// Seal what the other side needs: a clinic the plan with its decisions, a home its sessions.
///
/// The package is one file that only the other side can open. How it travels is up to you; this
/// program uses no network.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing send P-01 --into /media/stick")]
pub(crate) struct SendArguments {
    /// Whose plan or sessions.
    pub(crate) person: PersonCode,
    /// Folder in which the package is put.
    #[arg(long, default_value = ".", value_name = "FOLDER")]
    pub(crate) into: PathBuf,
    /// Sessions of the last so many days; what the clinic has already does no harm.
    #[arg(long, default_value_t = 14, value_name = "DAYS", value_parser = clap::value_parser!(u16).range(1..=3660))]
    pub(crate) days: u16,
    /// Put the person's name inside; without it there is only the code.
    #[arg(long)]
    pub(crate) with_name: bool,
    /// The time it is sealed; now, if not given.
    #[arg(long, value_name = "TIME")]
    pub(crate) sealed: Option<WallTime>,
}

/// Take packages of the other side, each as a whole or not at all, and say what is new.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing take /media/stick/*.footing")]
pub(crate) struct TakeArguments {
    /// The packages.
    #[arg(value_name = "FILE", required = true)]
    pub(crate) files: Vec<PathBuf>,
    /// Print JSON, one line a package.
    #[arg(long)]
    pub(crate) json: bool,
}

/// What a person did at home: flags first, then done against planned, time in the window, advice.
#[derive(Debug, Args)]
pub(crate) struct ReviewArguments {
    /// Whose sessions.
    pub(crate) person: PersonCode,
    /// Sessions of the last so many days.
    #[arg(long, default_value_t = 14, value_name = "DAYS", value_parser = clap::value_parser!(u16).range(1..=3660))]
    pub(crate) days: u16,
    /// As it was known at the end of this day, as 2026-03-01; now, if not given.
    #[arg(long, value_name = "DATE")]
    pub(crate) as_of: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Answer a home: record the decision, the next version of the plan if it changes, and seal both.
///
/// A decision newer than a reason to stop lets the person go on at home.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing answer P-01 --condition foam/hip-width/open \
    --author clinician-1 --note 'seen, go on' --plan plan.toml --into /media/stick")]
pub(crate) struct AnswerArguments {
    /// Whose plan.
    pub(crate) person: PersonCode,
    /// The condition to go on with, one of the plan's.
    #[arg(long, value_name = "CONDITION")]
    pub(crate) condition: Condition,
    /// Who decides, by a code or initials.
    #[arg(long, value_name = "WHO")]
    pub(crate) author: String,
    /// In your own words.
    #[arg(long, default_value = "", value_name = "TEXT")]
    pub(crate) note: String,
    /// The next version of the plan as a TOML file; the plan stays as it is, if not given.
    #[arg(long, value_name = "FILE")]
    pub(crate) plan: Option<PathBuf>,
    /// Folder in which the package is put.
    #[arg(long, default_value = ".", value_name = "FOLDER")]
    pub(crate) into: PathBuf,
    /// When it was decided; now, if not given.
    #[arg(long, value_name = "TIME")]
    pub(crate) made: Option<WallTime>,
}

/// Copy keys, pairings, people, stands and boards into one file that a passphrase opens.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing keep-safe /media/stick/footing-2026-03-01.safe")]
pub(crate) struct KeepSafeArguments {
    /// A file that is not there yet.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// A file whose first line is the passphrase; it is asked for, if not given.
    #[arg(long, value_name = "FILE")]
    pub(crate) passphrase_file: Option<PathBuf>,
}

/// Bring everything back from such a file, on a new or emptied computer.
#[derive(Debug, Args)]
pub(crate) struct BringBackArguments {
    /// The file that `footing keep-safe` wrote.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// A file whose first line is the passphrase; it is asked for, if not given.
    #[arg(long, value_name = "FILE")]
    pub(crate) passphrase_file: Option<PathBuf>,
}

/// Practise at home, by the plan: one thing at a time.
///
/// Opens a full-screen window; with --plain everything is asked and answered line by line.
#[derive(Debug, Args)]
pub(crate) struct HomeArguments {
    /// Who practises; needed only where more than one person is paired.
    pub(crate) person: Option<PersonCode>,
    /// Ask line by line in the terminal: for a screen reader, or where there is no window.
    #[arg(long)]
    pub(crate) plain: bool,
    /// Where the board is: a serial port, or tcp:HOST:PORT; without it, the one board there is.
    #[arg(long, value_name = "PORT")]
    pub(crate) port: Option<String>,
    /// Look for the board among the serial devices in this folder.
    #[arg(long, value_name = "FOLDER", conflicts_with = "port")]
    pub(crate) ports_in: Option<PathBuf>,
    /// For a rehearsal: take this as the time, as 2026-03-01T09:30:00+01:00; rests are skipped.
    #[arg(long, value_name = "TIME", requires = "plain")]
    pub(crate) now: Option<WallTime>,
    /// english or german, for this once; what `footing home-settings` holds, if not given. The German
    /// words must be checked by a native speaker with clinical knowledge before use with patients.
    #[arg(long, value_name = "LANGUAGE")]
    pub(crate) language: Option<LanguageKey>,
}

/// Set what a home has to know before its first session; without options, show it.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    footing home-settings --emergency-number 112 --clinic-contact \"C-01, 030 555 01\"")]
pub(crate) struct HomeSettingsArguments {
    /// The local emergency number.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) emergency_number: Option<String>,
    /// How to reach the clinic.
    #[arg(long, value_name = "TEXT")]
    pub(crate) clinic_contact: Option<String>,
    /// The pad on the board, by a name; another pad is another name.
    #[arg(long, value_name = "NAME")]
    pub(crate) pad: Option<String>,
    /// How loud this computer plays, from 1 to 10.
    #[arg(long, value_name = "STEP", value_parser = clap::value_parser!(u8).range(1..=10))]
    pub(crate) volume: Option<u8>,
    /// english or german: the language of screens, printed pages and voice. The command line itself
    /// stays English. The German words must be checked by a native speaker with clinical knowledge
    /// before they are used with patients.
    #[arg(long, value_name = "LANGUAGE")]
    pub(crate) language: Option<LanguageKey>,
}
