//! What can be typed about boards: calibrating, testing, computing trials anew.

use std::path::PathBuf;

use acquisition::board_test::BoardTest;
use acquisition::calibrate::Jig;
use clap::{Args, Subcommand};

/// The commands about boards.
#[derive(Debug, Subcommand)]
pub(crate) enum BoardCommand {
    Calibrate(CalibrateArguments),
    BoardTest(BoardTestArguments),
    Recompute(RecomputeArguments),
}

/// Calibrate a board with one mass.
///
/// Warm the board up for a quarter of an hour first. Then somebody of 60 kg or more steps on and off
/// three times, and the mass goes on each spot when asked; the program sees it come and go. The
/// result is kept with the board, and used from then on.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing calibrate --port /dev/ttyACM0 --mass-kg 20\n\n\
    The spots are drawn in board-hardware/drawings/spots.svg.")]
pub(crate) struct CalibrateArguments {
    /// Where the board is: a serial port, or tcp:HOST:PORT.
    #[arg(long, value_name = "PORT")]
    pub(crate) port: String,

    /// The mass in kilograms, 10 to 60; weigh it to 0.1 % if forces matter, its place needs no scale.
    #[arg(long, value_name = "KILOGRAMS")]
    pub(crate) mass_kg: f64,

    /// printed: spots on paper, the mass put down to 0.5 mm; fine: a machined jig with stops.
    #[arg(long, default_value = "printed", value_name = "JIG", value_parser = jig)]
    pub(crate) jig: Jig,

    /// How many spots check the result afterwards.
    #[arg(long, default_value_t = 4, value_name = "COUNT", value_parser = clap::value_parser!(u8).range(0..=8))]
    pub(crate) check_spots: u8,

    /// Print the result as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Test a board: each value beside its limit, within or outside.
///
/// Calibrate the board first. Each test says what it needs; --list shows all of them. The results
/// are kept with the board.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  footing board-test --list\n  \
    footing board-test --port /dev/ttyACM0 --test noise --test corner-load")]
pub(crate) struct BoardTestArguments {
    /// Where the board is: a serial port, or tcp:HOST:PORT.
    #[arg(long, value_name = "PORT", required_unless_present = "list")]
    pub(crate) port: Option<String>,

    /// Which test; may be given several times. Without it, all, which takes two hours.
    #[arg(long = "test", value_name = "TEST", value_parser = board_test)]
    pub(crate) tests: Vec<BoardTest>,

    /// Say what each test needs, and test nothing.
    #[arg(long)]
    pub(crate) list: bool,

    /// Print the result as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Compute trials anew with a newer calibration of their board, into new files.
///
/// The originals stay as they are; each new trial names its original by id and digest. New trials go
/// to a folder of their own, so that no stand is counted twice.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing recompute ~/.local/share/footing/trials")]
pub(crate) struct RecomputeArguments {
    /// Trial files, or folders that hold some; without any, all trials of the data folder.
    #[arg(value_name = "FILE|FOLDER")]
    pub(crate) trials: Vec<PathBuf>,

    /// The calibration to use, as a file; by default the newest of each trial's board.
    #[arg(long, value_name = "FILE")]
    pub(crate) calibration: Option<PathBuf>,

    /// Where the new trials go; by default `recomputed` in the data folder.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) into: Option<PathBuf>,

    /// Print the result as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

fn board_test(text: &str) -> Result<BoardTest, String> {
    let known = BoardTest::ALL.iter().copied().find(|test| test.key() == text);
    known.ok_or_else(|| {
        let keys: Vec<&str> = BoardTest::ALL.iter().map(|test| test.key()).collect();
        format!("the tests are {}", keys.join(", "))
    })
}

fn jig(text: &str) -> Result<Jig, String> {
    let known = Jig::ALL.iter().copied().find(|jig| jig.key() == text);
    known.ok_or_else(|| format!("{text:?} is neither printed nor fine"))
}
