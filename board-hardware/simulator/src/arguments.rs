//! The command line.

use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::time::Duration;

use anyhow::Context as _;
use board_simulator::board::{Board, Settings};
use board_simulator::cells::Grade;
use board_simulator::condition::Stand;
use board_simulator::faults::{Faults, Stall};
use board_simulator::person::Person;
use board_simulator::scene::Schedule;
use board_simulator::script::Script;
use board_wire::{BoardId, Corner, FrameRate};
use clap::{Args, Parser, ValueEnum};

use crate::line::{Line, PtyLine, TcpLine};
use crate::run::Pace;
use crate::truth_file::TruthFile;

const EXAMPLES: &str = "\
Examples:
  A steady person on foam, at the pace of a real board:
    board-simulator --pty --stand foam/hip-width/open --steadiness 1.3

  Four conditions in turn, one for each start, as fast as they are read:
    board-simulator --tcp 127.0.0.1:0 --speed max \\
      --stand firm/hip-width/open --stand firm/hip-width/closed \\
      --stand foam/hip-width/open --stand foam/hip-width/closed

  A 20 kg weight for a check, with the board's own truth beside it:
    board-simulator --pty --stand weight/20/0/0 --truth truth.csv

  Weights put down one after the other, as for a calibration:
    board-simulator --pty --speed max --script placements.txt

  A bad cable: one frame in a hundred lost, one in a thousand damaged, pulled after 30 s:
    board-simulator --pty --lost-percent 1 --damaged-percent 0.1 --unplug-after-s 30

It prints one line, `port` and where to connect, and then waits to be started by the host.";

/// A virtual person on a virtual board, speaking the board's protocol.
#[derive(Debug, Parser)]
#[command(version, after_help = EXAMPLES)]
pub(crate) struct Arguments {
    #[command(flatten)]
    place: PlaceArguments,

    #[command(flatten)]
    link: LinkArguments,

    /// Times real time, or `max`: as fast as the reader takes the frames. Board time stamps are
    /// the same either way.
    #[arg(long, value_name = "X", default_value = "1")]
    pub(crate) speed: Pace,

    /// End when the first connection ends.
    #[arg(long)]
    pub(crate) once: bool,

    /// Surface, stance and vision of one stand, or a weight; the n-th start begins the n-th, and
    /// after the last the first again.
    #[arg(long = "stand", value_name = "SURFACE/STANCE/VISION | weight/KG/ML_MM/AP_MM")]
    stands: Vec<Stand>,

    /// What is put on the plate, act by act: a file with a line for each, such as `empty 20`,
    /// `weight 20 -150 150 30` (kg, mm right, mm forward, s) or `person firm/hip-width/open 30`.
    /// The n-th start begins the n-th script, and after the last the first again.
    #[arg(long = "script", value_name = "FILE", conflicts_with_all = ["stands", "stand_s"])]
    scripts: Vec<PathBuf>,

    /// Seconds from a start to the moment somebody steps on.
    #[arg(long, value_name = "SECONDS", default_value = "6", value_parser = seconds)]
    empty_s: f64,

    /// Seconds from then to the moment somebody steps off; never if left out.
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    stand_s: Option<f64>,

    #[command(flatten)]
    person: PersonArguments,

    /// Seed of sway, noise and faults: the same seed gives the same bytes.
    #[arg(long, value_name = "NUMBER", default_value = "1")]
    seed: u64,

    #[command(flatten)]
    board: BoardArguments,

    /// Write what really was, frame by frame, as CSV.
    #[arg(long, value_name = "FILE.csv")]
    truth: Option<PathBuf>,

    #[command(flatten)]
    faults: FaultArguments,
}

#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
struct PlaceArguments {
    /// Offer the board on a pseudo-terminal.
    #[arg(long)]
    pty: bool,

    /// Offer the board on a TCP address; port 0 takes a free one.
    #[arg(long, value_name = "ADDRESS:PORT")]
    tcp: Option<SocketAddr>,
}

#[derive(Debug, Args)]
struct LinkArguments {
    /// Make this link to the pseudo-terminal; after a replug its name ends in -2.
    #[arg(long, value_name = "PATH", requires = "pty")]
    link: Option<PathBuf>,
}

#[derive(Debug, Args)]
struct PersonArguments {
    /// Mass of the person.
    #[arg(long, value_name = "KG", default_value = "70", value_parser = mass_kg)]
    mass_kg: f64,

    /// Height of the person.
    #[arg(long, value_name = "M", default_value = "1.70", value_parser = height_m)]
    height_m: f64,

    /// 1 is the middle of healthy adults; 2 sways half as far.
    #[arg(long, value_name = "FACTOR", default_value = "1", value_parser = steadiness)]
    steadiness: f64,
}

#[derive(Debug, Args)]
struct BoardArguments {
    /// Number of the board on its host.
    #[arg(long, value_name = "NUMBER", default_value = "1")]
    board_id: u8,

    /// Which board in the world: its unique id and the errors of its cells follow from this.
    #[arg(long, value_name = "NUMBER", default_value = "1")]
    board_seed: u64,

    /// Frames per second at power-up, 80 to 1000.
    #[arg(long, value_name = "FRAMES_PER_S", default_value = "250", value_parser = frame_rate)]
    rate: FrameRate,

    /// How good the cells are.
    #[arg(long, value_enum, default_value = "demanded")]
    cells: GradeArgument,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum GradeArgument {
    /// No error but rounding to counts.
    Exact,
    /// Each error as large as the recommended build may have it.
    Demanded,
    /// Half-bridge scale cells.
    Budget,
}

#[derive(Debug, Args)]
#[command(next_help_heading = "Faults")]
struct FaultArguments {
    /// Share of frames after which a loss begins.
    #[arg(long, value_name = "PERCENT", default_value = "0", value_parser = percent)]
    lost_percent: f64,

    /// Frames taken by each loss.
    #[arg(long, value_name = "FRAMES", default_value = "1")]
    lost_burst: u32,

    /// Share of frames sent twice.
    #[arg(long, value_name = "PERCENT", default_value = "0", value_parser = percent)]
    doubled_percent: f64,

    /// Share of frames with one byte damaged.
    #[arg(long, value_name = "PERCENT", default_value = "0", value_parser = percent)]
    damaged_percent: f64,

    /// Share of frames that arrive late; those behind them wait.
    #[arg(long, value_name = "PERCENT", default_value = "0", value_parser = percent)]
    delayed_percent: f64,

    /// How late such a frame is.
    #[arg(long, value_name = "SECONDS", default_value = "0.2", value_parser = seconds)]
    delay_s: f64,

    /// A pause in what arrives: when it begins and how long it lasts, as in `10:0.5`.
    #[arg(long, value_name = "AFTER_S:FOR_S", value_parser = stall)]
    stall: Option<Stall>,

    /// Pull the cable after this long; the program then ends.
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    unplug_after_s: Option<f64>,

    /// Plug it in again after this long by the clock on the wall, under another port name.
    #[arg(long, value_name = "SECONDS", value_parser = seconds, requires = "unplug_after_s")]
    replug_after_s: Option<f64>,

    /// Something else than a board of this version is on the cable.
    #[arg(long, value_enum, default_value = "board")]
    speaks: SpeechArgument,

    /// Let the watchdog restart the board after this long; once.
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    restart_after_s: Option<f64>,

    /// How fast the zeros wander.
    #[arg(long, value_name = "NEWTONS_PER_MIN", default_value = "0", value_parser = drift,
          allow_negative_numbers = true)]
    zero_drift: f64,

    /// A corner whose cell has come off.
    #[arg(long, value_enum)]
    dead_corner: Option<CornerArgument>,

    /// A corner whose signal wires are exchanged.
    #[arg(long, value_enum)]
    reversed_corner: Option<CornerArgument>,

    /// Two corners whose cables are exchanged.
    #[arg(long, value_enum, num_args = 2, value_names = ["CORNER", "CORNER"])]
    exchanged_corners: Option<Vec<CornerArgument>>,

    /// A corner under which a stop touches too early and carries part of the load.
    #[arg(long, value_enum)]
    touching_corner: Option<CornerArgument>,

    /// How far the converter's clock is off; the board's own time stamps stay right.
    #[arg(long, value_name = "PERCENT", default_value = "0", value_parser = rate_off,
          allow_negative_numbers = true)]
    rate_off_percent: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SpeechArgument {
    /// The board's protocol.
    Board,
    /// A later version of it.
    OtherVersion,
    /// Text, as a modem or a console does.
    Text,
    /// Not a word.
    Nothing,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum CornerArgument {
    FrontLeft,
    FrontRight,
    RearLeft,
    RearRight,
}

impl CornerArgument {
    const fn corner(self) -> Corner {
        match self {
            Self::FrontLeft => Corner::FrontLeft,
            Self::FrontRight => Corner::FrontRight,
            Self::RearLeft => Corner::RearLeft,
            Self::RearRight => Corner::RearRight,
        }
    }
}

fn read_script(path: &Path) -> anyhow::Result<Script> {
    let text = std::fs::read_to_string(path)
        .with_context(|| format!("cannot read the script {}", path.display()))?;
    text.parse().with_context(|| format!("in the script {}", path.display()))
}

impl Arguments {
    /// The virtual board these arguments describe.
    ///
    /// # Errors
    /// If the script cannot be read.
    pub(crate) fn board(self) -> anyhow::Result<Board> {
        let scripts =
            self.scripts.iter().map(|path| read_script(path)).collect::<Result<_, _>>()?;
        let stands = if self.stands.is_empty() { vec![Stand::default()] } else { self.stands };
        let PersonArguments { mass_kg, height_m, steadiness } = self.person;
        Ok(Board::new(Settings {
            board: BoardId(self.board.board_id),
            board_seed: self.board.board_seed,
            grade: match self.board.cells {
                GradeArgument::Exact => Grade::Exact,
                GradeArgument::Demanded => Grade::Demanded,
                GradeArgument::Budget => Grade::Budget,
            },
            rate: self.board.rate,
            person: Person { mass_kg, height_m, steadiness, ..Person::default() },
            seed: self.seed,
            stands,
            schedule: Schedule { empty_s: self.empty_s, stand_s: self.stand_s },
            scripts,
            faults: self.faults.faults(),
        }))
    }

    /// How the board is offered, again after an unplug.
    pub(crate) fn socket(&self) -> Socket {
        Socket {
            tcp: self.place.tcp,
            link: self.link.link.clone(),
            replug_after: self.faults.replug_after_s.map(Duration::from_secs_f64),
        }
    }

    /// What is said on the cable instead of the board's answers; `None` for a board.
    pub(crate) fn other_speech(&self) -> Option<&'static [u8]> {
        match self.faults.speaks {
            SpeechArgument::Board => None,
            SpeechArgument::Text => Some(b"login: \r\n"),
            // 0x12 is a header of version 2, its check as the protocol's page has it.
            SpeechArgument::OtherVersion => Some(&[0x06, 0x12, 0x07, 0x01, 0x60, 0xAA, 0x00]),
            SpeechArgument::Nothing => Some(b""),
        }
    }
}

/// Where a board is plugged in.
#[derive(Debug)]
pub(crate) struct Socket {
    tcp: Option<SocketAddr>,
    link: Option<PathBuf>,
    pub(crate) replug_after: Option<Duration>,
}

impl Socket {
    /// Offers the board; the link's name tells how often it was offered before.
    pub(crate) fn open_line(&self, n_before: u32) -> anyhow::Result<Box<dyn Line>> {
        if let Some(address) = self.tcp {
            let line = TcpLine::listen(address);
            return Ok(Box::new(line.with_context(|| format!("cannot listen on {address}"))?));
        }
        let line = PtyLine::open(self.link_path(n_before).as_deref());
        Ok(Box::new(line.context("cannot make a pseudo-terminal")?))
    }

    fn link_path(&self, n_before: u32) -> Option<PathBuf> {
        let mut name = self.link.clone()?.into_os_string();
        if 0 < n_before {
            name.push(format!("-{}", n_before + 1));
        }
        Some(name.into())
    }
}

impl Arguments {
    /// The file for the truth, if one was asked for.
    pub(crate) fn truth_file(&self) -> anyhow::Result<Option<TruthFile>> {
        let Some(path) = &self.truth else { return Ok(None) };
        let file = TruthFile::create(path)
            .with_context(|| format!("cannot write the truth to {}", path.display()))?;
        Ok(Some(file))
    }
}

impl FaultArguments {
    fn faults(&self) -> Faults {
        Faults {
            lost_percent: self.lost_percent,
            lost_burst: self.lost_burst,
            doubled_percent: self.doubled_percent,
            damaged_percent: self.damaged_percent,
            delayed_percent: self.delayed_percent,
            delay_s: self.delay_s,
            stall: self.stall,
            unplug_after_s: self.unplug_after_s,
            restart_after_s: self.restart_after_s,
            zero_drift_newtons_per_min: self.zero_drift,
            dead_corner: self.dead_corner.map(CornerArgument::corner),
            reversed_corner: self.reversed_corner.map(CornerArgument::corner),
            exchanged_corners: match self.exchanged_corners.as_deref() {
                Some(&[one, other]) => Some((one.corner(), other.corner())),
                _ => None,
            },
            touching_corner: self.touching_corner.map(CornerArgument::corner),
            rate_off_percent: self.rate_off_percent,
        }
    }
}

fn between(text: &str, low: f64, high: f64) -> Result<f64, String> {
    let value: f64 = text.parse().map_err(|_not_a_number| format!("{text:?} is no number"))?;
    if low <= value && value <= high {
        Ok(value)
    } else {
        Err(format!("{value} is not between {low} and {high}"))
    }
}

fn seconds(text: &str) -> Result<f64, String> {
    between(text, 0.0, 86_400.0)
}

fn percent(text: &str) -> Result<f64, String> {
    between(text, 0.0, 100.0)
}

fn mass_kg(text: &str) -> Result<f64, String> {
    between(text, 5.0, 300.0)
}

fn height_m(text: &str) -> Result<f64, String> {
    between(text, 0.5, 2.5)
}

fn steadiness(text: &str) -> Result<f64, String> {
    between(text, 0.1, 10.0)
}

fn drift(text: &str) -> Result<f64, String> {
    between(text, -1000.0, 1000.0)
}

fn rate_off(text: &str) -> Result<f64, String> {
    between(text, -50.0, 50.0)
}

fn frame_rate(text: &str) -> Result<FrameRate, String> {
    let parsed = text.parse().ok().and_then(FrameRate::new);
    parsed.ok_or_else(|| format!("{text:?} is not between 80 and 1000 frames per second"))
}

fn stall(text: &str) -> Result<Stall, String> {
    let (after, length) =
        text.split_once(':').ok_or_else(|| "write AFTER_S:FOR_S, as in 10:0.5".to_owned())?;
    Ok(Stall { after_s: seconds(after)?, for_s: seconds(length)? })
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory as _;

    use super::*;

    #[test]
    fn the_command_line_is_consistent() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn numbers_out_of_range_are_refused() {
        for bad in [
            &["--pty", "--lost-percent", "101"][..],
            &["--pty", "--rate", "2000"],
            &["--pty", "--mass-kg", "NaN"],
            &["--pty", "--stall", "3"],
            &["--pty", "--speed", "0"],
            &["--pty", "--tcp", "127.0.0.1:0"],
            &[],
        ] {
            let line = std::iter::once("board-simulator").chain(bad.iter().copied());
            assert!(Arguments::try_parse_from(line).is_err(), "{bad:?}");
        }
    }
}
