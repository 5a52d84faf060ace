//! What can be typed after `footing`, with its help.

use std::path::PathBuf;

use acquisition::WallTime;
use acquisition::home::LanguageKey;
use acquisition::import::{Column, RoomAxis, parse_column};
use analysis::{Condition, Facing, PersonCode, Processing, TrialKind};
use clap::{Args, Parser, Subcommand, ValueEnum};

use super::board_arguments::BoardCommand;
use super::course::arguments::CourseCommand;
use super::interchange_arguments::InterchangeCommand;
use super::two_sides::arguments::SidesCommand;

/// Footing: see the wobble of a stand, compare stands, judge readiness to go on.
///
/// A measurement, not a diagnosis, and no substitute for the treating licensed clinician.
#[derive(Debug, Parser)]
#[command(
    name = "footing",
    version,
    about,
    long_about,
    arg_required_else_help = true,
    after_help = "Exit codes: 0 done; 1 not done, or not all of it, with what, why and what to do on \
                  standard error; 2 the command line was wrong."
)]
pub(crate) struct Arguments {
    /// Folder that holds the trials; by default `footing` in the system's folder for user data.
    #[arg(long, global = true, value_name = "FOLDER")]
    pub(crate) data: Option<PathBuf>,

    /// Say only results, errors and what must be known: no progress, no confirmations.
    #[arg(long, short, global = true)]
    pub(crate) quiet: bool,

    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Record(RecordArguments),
    Import(Box<ImportArguments>),
    Analyse(AnalyseArguments),
    Compare(CompareArguments),
    #[command(flatten)]
    Course(CourseCommand),
    #[command(flatten)]
    Interchange(InterchangeCommand),
    #[command(flatten)]
    Sides(SidesCommand),
    Open(OpenArguments),
    #[command(flatten)]
    Board(BoardCommand),
    Backup(BackupArguments),
    /// Compare the records with the files, both ways; nothing is changed.
    Verify,
    /// Make the records anew from the files, when they are damaged or lost.
    Rebuild,
    Erase(EraseArguments),
    Prove(ProveArguments),
}

/// Record one stand from a board.
///
/// The board must be empty at first: the zero is taken then. Step on when asked, stand still; the
/// record starts by itself after settling, and ends by itself. Enter or Ctrl-C ends it early, and
/// what was recorded is kept.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  footing record --person P-01 --condition foam/hip-width/closed --seconds 60"
)]
pub(crate) struct RecordArguments {
    /// Where the board is: a serial port, or tcp:HOST:PORT; without it, the one board there is.
    #[arg(long, value_name = "PORT")]
    pub(crate) port: Option<String>,

    /// Look for the board among the serial devices in this folder, not among the system's USB ports.
    #[arg(long, value_name = "FOLDER", conflicts_with = "port")]
    pub(crate) ports_in: Option<PathBuf>,

    /// Do not ask whether this is the same person when the load is far from the recorded mass.
    #[arg(long)]
    pub(crate) same_person: bool,

    #[command(flatten)]
    pub(crate) stand: StandArguments,

    /// How long to record, in seconds of the board's clock.
    #[arg(long, default_value_t = 60.0, value_name = "SECONDS")]
    pub(crate) seconds: f64,

    /// How long the person stands still before the record starts, in seconds; if not given, as the
    /// person's plan says, or 12.
    #[arg(long, value_name = "SECONDS")]
    pub(crate) settle: Option<f64>,

    /// A second person is there, as some plans ask for at home.
    #[arg(long)]
    pub(crate) accompanied: bool,

    /// The session the stand belongs to; the person's session in progress, if not given.
    #[arg(long, value_name = "ID")]
    pub(crate) session: Option<String>,

    /// The calibration to use, as a file; by default the newest of this board.
    #[arg(long, value_name = "FILE")]
    pub(crate) calibration: Option<PathBuf>,

    /// Print the result as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Who stands, on what and how.
#[derive(Debug, Args)]
pub(crate) struct StandArguments {
    /// The person's code: letters, digits, hyphens, underscores; never a name.
    #[arg(long, value_name = "CODE")]
    pub(crate) person: PersonCode,

    /// surface/stance/vision, optionally /support/band.
    ///
    /// Surface: firm, foam, towels, cushions.
    /// Stance: wide, hip-width, together, semi-tandem, tandem, one-leg-left, one-leg-right.
    /// Vision: open, closed. Support: none, fingertip, hand.
    /// Band: none, upper-trunk, below-buttocks.
    #[arg(long, value_name = "CONDITION")]
    pub(crate) condition: Condition,

    #[command(flatten)]
    pub(crate) details: StandDetails,
}

/// What is known of a stand besides who and on what.
#[derive(Debug, Clone, Args)]
pub(crate) struct StandDetails {
    /// measured, guided or practice; only measured trials are compared.
    #[arg(long, default_value = "measured", value_name = "KIND")]
    pub(crate) kind: TrialKind,

    /// The person's height in metres; the body-centre estimate needs it.
    #[arg(long, value_name = "METRES")]
    pub(crate) height: Option<f64>,

    /// The person's mass in kilograms.
    #[arg(long, value_name = "KILOGRAMS")]
    pub(crate) mass: Option<f64>,

    /// Height of the sole above the plane of the load cells, loaded pad included, in millimetres.
    #[arg(long, value_name = "MILLIMETRES")]
    pub(crate) sole_height: Option<f64>,

    /// Which side of the board the person faces: front, back, left or right.
    #[arg(long, default_value = "front", value_name = "SIDE")]
    pub(crate) facing: Facing,
}

/// Turn a recording of another force plate into a trial.
///
/// Reads delimited text, plain or .gz, and the force platforms of C3D files. Say where the centre of
/// pressure stands in a text, or the four corner forces, in a column map: on the command line for
/// the simple case, or in a file with --map; --guess proposes one.
#[derive(Debug, Args)]
#[command(after_help = "Example (a plate that calls forward COPx and writes centimetres):\n  \
    footing import stand.txt --person P-01 --condition firm/hip-width/open \\\n      \
    --time 'Time[s]:s' --ml 'COPy[cm]:cm' --ap 'COPx[cm]:cm'\n\n\
    A leading minus turns an axis round: --ap='-COPx[cm]:cm'\n\n\
    What are its columns?\n  footing import --guess stand.txt --save-map plate.toml\n\n\
    A C3D file:\n  footing import stand.c3d --person P-01 --condition firm/hip-width/open --forward +y")]
pub(crate) struct ImportArguments {
    /// The recording.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,

    /// Only look at the file: propose a column map and show what it would read.
    #[arg(long, conflicts_with_all = ["map", "time", "rate", "ml", "ap", "forward", "platform"])]
    pub(crate) guess: bool,

    /// Save the proposed map into this new file.
    #[arg(long, value_name = "FILE", requires = "guess")]
    pub(crate) save_map: Option<PathBuf>,

    /// The person's code: letters, digits, hyphens, underscores; never a name.
    #[arg(long, value_name = "CODE", required_unless_present = "guess")]
    pub(crate) person: Option<PersonCode>,

    /// surface/stance/vision, optionally /support/band; `footing help record` lists the words.
    #[arg(long, value_name = "CONDITION", required_unless_present = "guess")]
    pub(crate) condition: Option<Condition>,

    #[command(flatten)]
    pub(crate) details: StandDetails,

    /// Which way the person faces in the room of a C3D file: +x, -x, +y or -y, seen from above.
    #[arg(long, value_name = "DIRECTION", allow_hyphen_values = true, default_value = "+y", conflicts_with_all = ["map", "time", "rate", "ml", "ap"])]
    pub(crate) forward: RoomAxis,

    /// Which force platform of a C3D file, from 1.
    #[arg(long, value_name = "NUMBER", default_value_t = 1, conflicts_with_all = ["map", "time", "rate", "ml", "ap"])]
    pub(crate) platform: usize,

    /// A column map as a TOML file; see acquisition/docs/import.md.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["time", "rate", "ml", "ap"])]
    pub(crate) map: Option<PathBuf>,

    /// Column of the time and its unit, as NAME:UNIT.
    #[arg(long, value_name = "COLUMN", value_parser = parse_column, allow_hyphen_values = true, conflicts_with = "rate")]
    pub(crate) time: Option<Column>,

    /// Samples per second, when no column holds the time.
    #[arg(long, value_name = "HERTZ")]
    pub(crate) rate: Option<f64>,

    /// Column of the medio-lateral centre of pressure (positive to the right), as NAME:UNIT.
    #[arg(long, value_name = "COLUMN", value_parser = parse_column, allow_hyphen_values = true, requires = "ap")]
    pub(crate) ml: Option<Column>,

    /// Column of the antero-posterior centre of pressure (positive forward), as NAME:UNIT.
    #[arg(long, value_name = "COLUMN", value_parser = parse_column, allow_hyphen_values = true, requires = "ml")]
    pub(crate) ap: Option<Column>,

    /// Name of the plate; trials of different plates are not compared.
    #[arg(long, default_value = "another plate", value_name = "NAME")]
    pub(crate) plate: String,

    /// When the recording was made, as 2026-03-01T09:30:00+01:00; now, if not given.
    #[arg(long, value_name = "TIME")]
    pub(crate) started: Option<WallTime>,

    /// The session it belongs to, as `footing sessions begin` printed it.
    #[arg(long, value_name = "ID")]
    pub(crate) session: Option<String>,

    /// The hold that was asked for, in seconds.
    #[arg(long, value_name = "SECONDS")]
    pub(crate) asked: Option<f64>,

    /// Print the result as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// How results are computed and printed.
#[derive(Debug, Args)]
pub(crate) struct ResultArguments {
    /// standard (10 Hz filter, first 5 s dropped) or as-recorded (nothing filtered or dropped).
    #[arg(long, default_value = "standard", value_name = "PROCESSING")]
    pub(crate) processing: Processing,

    /// Print JSON.
    #[arg(long, conflicts_with = "csv")]
    pub(crate) json: bool,

    /// Print CSV, one row a trial, units in the header.
    #[arg(long)]
    pub(crate) csv: bool,
}

/// Compute every measure of trials.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  footing analyse --csv ~/.local/share/footing/trials > stands.csv"
)]
pub(crate) struct AnalyseArguments {
    /// Trial files, or folders that hold some; without any, all trials of the data folder.
    #[arg(value_name = "FILE|FOLDER")]
    pub(crate) trials: Vec<PathBuf>,

    /// How many trials to work on at once; by default one a core.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub(crate) jobs: Option<u16>,

    #[command(flatten)]
    pub(crate) result: ResultArguments,
}

/// Compare two sets of trials: difference, 95 % interval, and whether it exceeds chance.
///
/// A set is a list of trial files and folders, or all of one person's measured trials at a condition.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    footing compare --person P-01 --a foam/hip-width/open --b foam/hip-width/closed\n  \
    footing compare --a-files before/*.h5 --b-files after/*.h5 --picture sway.png\n  \
    footing compare --a-files before.h5 --b-files after.h5 --picture time.svg --picture-of time")]
pub(crate) struct CompareArguments {
    /// The person whose trials are compared, with --a and --b.
    #[arg(long, value_name = "CODE", requires_all = ["a", "b"])]
    pub(crate) person: Option<PersonCode>,

    /// Condition of the first set.
    #[arg(long, value_name = "CONDITION", requires = "person", conflicts_with = "a_files")]
    pub(crate) a: Option<Condition>,

    /// Condition of the second set.
    #[arg(long, value_name = "CONDITION", requires = "person", conflicts_with = "b_files")]
    pub(crate) b: Option<Condition>,

    /// Trial files or folders of the first set.
    #[arg(long, value_name = "FILE|FOLDER", num_args = 1.., requires = "b_files")]
    pub(crate) a_files: Vec<PathBuf>,

    /// Trial files or folders of the second set.
    #[arg(long, value_name = "FILE|FOLDER", num_args = 1.., requires = "a_files")]
    pub(crate) b_files: Vec<PathBuf>,

    /// Write a picture (.png or .svg).
    #[arg(long, value_name = "FILE")]
    pub(crate) picture: Option<PathBuf>,

    /// What the picture shows.
    #[arg(long, value_name = "DRAWING", value_enum, default_value_t = PictureOf::Paths, requires = "picture")]
    pub(crate) picture_of: PictureOf,

    /// Replace a picture of this name that is there already.
    #[arg(long, requires = "picture")]
    pub(crate) replace: bool,

    #[command(flatten)]
    pub(crate) result: ResultArguments,
}

/// What a picture of two sets shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PictureOf {
    /// Overlaid sway paths with their ellipses.
    Paths,
    /// The centre of pressure over time.
    Time,
    /// The power of the sway over frequency.
    Frequency,
    /// The leading differences with their intervals.
    Differences,
}

/// Open the window.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  footing open ~/.local/share/footing/trials/*.h5\n  footing --data demo-output/data open --screenshot compare compare.png"
)]
pub(crate) struct OpenArguments {
    /// Trial files to show at once.
    #[arg(value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// english or german, for this once; what `footing home-settings` holds, if not given. The German
    /// words must be checked by a native speaker with clinical knowledge before use with patients.
    #[arg(long, value_name = "LANGUAGE")]
    pub(crate) language: Option<LanguageKey>,
    /// Draw one screen into a picture instead; needs no display. Screens: start, people, course,
    /// plan, stand, trials, compare, board.
    #[arg(long, num_args = 2, value_names = ["SCREEN", "FILE.png"])]
    pub(crate) screenshot: Option<Vec<String>>,
    /// Whose records the picture shows; the first person's if left out.
    #[arg(long, value_name = "CODE", requires = "screenshot")]
    pub(crate) person: Option<String>,
    /// Dark colours in the picture.
    #[arg(long, requires = "screenshot")]
    pub(crate) dark: bool,
    /// Width of the picture in points.
    #[arg(long, value_name = "POINTS", default_value_t = 1024, value_parser = clap::value_parser!(u16).range(800..=4096), requires = "screenshot")]
    pub(crate) width: u16,
    /// Height of the picture in points.
    #[arg(long, value_name = "POINTS", default_value_t = 700, value_parser = clap::value_parser!(u16).range(560..=4096), requires = "screenshot")]
    pub(crate) height: u16,
    /// Pixels for each point, 1 to 4.
    #[arg(long, value_name = "TIMES", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=4), requires = "screenshot")]
    pub(crate) scale: u8,
}

/// Copy trials, people and records into a new folder.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing backup /media/stick/footing-2026-03-01")]
pub(crate) struct BackupArguments {
    /// A folder that is not there yet.
    #[arg(value_name = "FOLDER")]
    pub(crate) folder: PathBuf,
}

/// Erase everything of one person, for ever.
///
/// That it was done stays in the records. Make a backup first if anybody may need a copy.
#[derive(Debug, Args)]
pub(crate) struct EraseArguments {
    /// Whose data.
    pub(crate) person: PersonCode,
    /// Who erases them, by a code or initials.
    #[arg(long, value_name = "WHO")]
    pub(crate) author: String,
    /// The person's code once more, instead of typing it when asked.
    #[arg(long, value_name = "CODE")]
    pub(crate) confirm: Option<PersonCode>,
}

/// How often the rule for the next step is wrong, by simulated courses.
#[derive(Debug, Args)]
#[command(after_help = "Example (some minutes on two cores):\n  footing prove --courses 10000")]
pub(crate) struct ProveArguments {
    /// How many courses a row.
    #[arg(long, default_value_t = 2000, value_name = "COUNT", value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    pub(crate) courses: u64,
    /// The first seed; those below 1,000,000 are for choosing defaults, not for reports.
    #[arg(long, default_value_t = 1_000_000, value_name = "SEED", value_parser = clap::value_parser!(u64).range(..=1_000_000_000_000))]
    pub(crate) seed: u64,
}
