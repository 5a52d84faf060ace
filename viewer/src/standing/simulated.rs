//! A virtual person on a virtual board: a program of its own, started and ended here.

use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use acquisition::BoardAddress;
use analysis::Condition;

use crate::standing::problem::SimulatorError;

/// Name of the simulator's program.
const PROGRAM: &str = "board-simulator";

/// How long the virtual board stays empty, in seconds: a zero takes 5 s.
const EMPTY_S: f64 = 6.0;

/// A simulated board, not yet started.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SimulatedBoard {
    /// The simulator's program; `None` for the one that lies beside this program.
    pub program: Option<PathBuf>,
    /// How fast it goes.
    pub pace: Pace,
    /// Frames a second; `None` for the simulator's own choice.
    pub frames_per_s: Option<u16>,
    /// Seed of sway and noise: the same seed stands the same stand.
    pub seed: u64,
}

/// How fast a simulated board sends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pace {
    /// As fast as a real one.
    #[default]
    AsStood,
    /// As fast as it is read.
    AsRead,
}

/// Who stands on a simulated board, and how long.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SimulatedStand {
    /// On what and how; support and band are not simulated.
    pub condition: Condition,
    /// Height in metres; `None` for the simulator's own choice.
    pub height_m: Option<f64>,
    /// Mass in kilograms; `None` for the simulator's own choice.
    pub mass_kg: Option<f64>,
    /// How long they stay on the board, in seconds; `None` for ever.
    pub stay_s: Option<f64>,
}

/// A simulated board that runs; dropping it ends it.
#[derive(Debug)]
pub struct RunningBoard {
    process: Child,
    address: BoardAddress,
}

impl SimulatedBoard {
    /// Starts it; the virtual person steps on 6 s after the board was told to send.
    ///
    /// # Errors
    /// [`SimulatorError`].
    pub fn start(&self, stand: &SimulatedStand) -> Result<RunningBoard, SimulatorError> {
        let program = self.program.clone().map_or_else(beside_this_program, Ok)?;
        let Condition { surface, stance, vision, .. } = stand.condition;
        let mut command = Command::new(&program);
        command.args(["--tcp", "127.0.0.1:0", "--stand", &format!("{surface}/{stance}/{vision}")]);
        command.args(["--seed", &self.seed.to_string(), "--empty-s", &EMPTY_S.to_string()]);
        if self.pace == Pace::AsRead {
            command.args(["--speed", "max"]);
        }
        let rate = self.frames_per_s.map(f64::from);
        for (option, value) in [
            ("--rate", rate),
            ("--height-m", stand.height_m),
            ("--mass-kg", stand.mass_kg),
            ("--stand-s", stand.stay_s),
        ] {
            if let Some(value) = value {
                command.args([option, &value.to_string()]);
            }
        }
        let mut process = command
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|source| SimulatorError::Start { program: program.clone(), source })?;
        let said = process.stdout.take().and_then(|stdout| {
            let mut line = String::new();
            // A line that cannot be read says as little as none.
            BufReader::new(stdout).read_line(&mut line).ok()?;
            line.trim_end().strip_prefix("port ").map(str::to_owned)
        });
        match said.map(|port| port.parse()) {
            Some(Ok(address)) => Ok(RunningBoard { process, address }),
            Some(Err(never)) => match never {},
            None => {
                end(&mut process);
                Err(SimulatorError::Silent { program })
            }
        }
    }
}

impl RunningBoard {
    /// Where it is.
    pub fn address(&self) -> &BoardAddress {
        &self.address
    }
}

impl Drop for RunningBoard {
    fn drop(&mut self) {
        end(&mut self.process);
    }
}

/// One that has ended already is as good.
fn end(process: &mut Child) {
    process.kill().ok();
    process.wait().ok();
}

/// Beside this program, or, for a test, one folder up.
fn beside_this_program() -> Result<PathBuf, SimulatorError> {
    let own = std::env::current_exe().unwrap_or_default();
    let folder = own.parent().unwrap_or(Path::new(".")).to_owned();
    let places = folder.ancestors().take(2).map(|folder| folder.join(PROGRAM));
    places
        .map(|place| place.with_extension(std::env::consts::EXE_EXTENSION))
        .find(|place| place.is_file())
        .ok_or(SimulatorError::Missing { folder })
}
