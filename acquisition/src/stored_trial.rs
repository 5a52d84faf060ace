//! A trial as it is kept: what was recorded, by what, and everything needed to recompute it.

use analysis::{
    Condition, Continuity, Cop, NotAvailable, PersonCode, Plane, Setup, TimedCop, Trial, TrialKind,
    even_trace, keyed_enum,
};

use crate::calibration::Calibration;
use crate::wall_time::WallTime;
use crate::zero::{Zero, ZeroLine};

/// One recorded stand with its provenance: the content of one trial file.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredTrial {
    /// Who stood, when, how and for how long.
    pub facts: TrialFacts,
    /// Where the samples come from.
    pub origin: Origin,
    /// What was recorded, sample by sample.
    pub samples: Samples,
}

impl StoredTrial {
    /// The trial as the measures see it, in the plate's plane, and how whole its record was.
    ///
    /// # Errors
    /// [`NotAvailable`] if too much is missing for a measure; the samples themselves are untouched.
    pub fn trial(&self) -> Result<(Trial, Continuity), NotAvailable> {
        let samples: Vec<TimedCop> = self
            .samples
            .time_us
            .iter()
            .zip(&self.samples.cop)
            .map(|(&time_us, &cop)| TimedCop { time_us, cop })
            .collect();
        let even = even_trace(&samples, Plane::Plate)?;
        let facts = &self.facts;
        let trial = Trial {
            id: facts.id.clone(),
            person: facts.person.clone(),
            condition: facts.condition,
            kind: facts.kind,
            setup: facts.setup.clone(),
            body_height_m: facts.body_height_m,
            trace: even.trace,
        };
        Ok((trial, even.continuity))
    }
}

/// What is known of a trial besides its samples.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialFacts {
    /// Unique id: a UUID of version 7 in its usual 36 characters.
    pub id: String,
    /// Who stood.
    pub person: PersonCode,
    /// Id of the session the trial belongs to; `None` for a lone trial or an import.
    pub session: Option<String>,
    /// Id of the plan version it was recorded under; `None` without a plan.
    pub plan: Option<String>,
    /// What they stood on and how.
    pub condition: Condition,
    /// What the trial is for.
    pub kind: TrialKind,
    /// Board, height of the sole, way of facing.
    pub setup: Setup,
    /// Height of the person, in metres; `None` if not known.
    pub body_height_m: Option<f64>,
    /// Mass of the person, in kilograms; `None` if not known.
    pub body_mass_kg: Option<f64>,
    /// When the record starts.
    pub started: WallTime,
    /// How long the person had been standing when the record starts, in seconds.
    pub settled_s: f64,
    /// The hold that was asked for, in seconds; 0 if none was.
    pub asked_s: f64,
    /// Name and version of the program that recorded or imported it.
    pub program: String,
}

/// Where a trial's samples come from.
#[derive(Debug, Clone, PartialEq)]
pub enum Origin {
    /// A board of this project, recorded by this program.
    Board(Box<BoardOrigin>),
    /// A recording of another plate, read from a file.
    Imported(ImportOrigin),
}

/// How a board recorded a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardOrigin {
    /// The board's 96-bit unique id, 24 hexadecimal digits.
    pub board_id: String,
    /// Version of the board's firmware.
    pub firmware: String,
    /// Frames per second the board was set to; the true rate comes from the samples' times.
    pub frames_per_s: f64,
    /// Temperature the board reported, in degrees Celsius; `None` if it reports none.
    pub temperature_c: Option<f64>,
    /// The calibration with which the forces were computed.
    pub calibration: Calibration,
    /// What the empty board read before.
    pub zero: Zero,
    /// What the empty board read after; `None` if nobody stepped off in time, or the board was lost.
    pub zero_after: Option<Zero>,
    /// What went wrong on the way from the board.
    pub link: LinkCounts,
    /// Why the record ends where it does.
    pub ended: Ending,
    /// The trial this one was computed anew from; `None` for a record as it was made.
    pub recomputed: Option<Recomputed>,
}

impl BoardOrigin {
    /// The counts without load, on the straight line between before and after.
    pub const fn zero_line(&self) -> ZeroLine {
        ZeroLine { before: self.zero, after: self.zero_after }
    }
}

/// The trial another one was computed anew from, with a newer calibration.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recomputed {
    /// Id of the original, which is kept as it is.
    pub original_id: String,
    /// Digest of the original's file, 64 hexadecimal digits.
    pub original_digest: String,
}

/// What went wrong between the board and the recorder during one trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LinkCounts {
    /// Frames the board sent, by its sequence numbers, that are not in the record.
    pub lost_frames: u64,
    /// Pieces of the stream between two delimiters that failed their check and were discarded.
    pub damaged_frames: u64,
    /// Frames discarded because their sequence number had been seen before.
    pub repeated_frames: u64,
}

keyed_enum! {
    /// Why a record ends.
    pub enum Ending ("ending") {
        /// The hold asked for was reached.
        HoldReached = "hold-reached",
        /// The load left the board.
        StepOff = "step-off",
        /// Somebody stopped it.
        Stopped = "stopped",
        /// A rule of the plan or of another part of the program stopped it.
        StoppedByRule = "stopped-by-rule",
        /// The board stopped answering.
        BoardLost = "board-lost",
        /// The program or the computer stopped; sealed from the journal at a later start.
        Recovered = "recovered",
    }
}

/// Which file an imported trial was read from, and how.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportOrigin {
    /// The file's name, without its folder.
    pub file_name: String,
    /// SHA-256 of the file's bytes as they were read, 64 hexadecimal digits.
    pub sha256: String,
    /// The column map it was read with, as TOML text.
    pub column_map: String,
}

/// The samples of one trial; every list has one entry a sample, in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Samples {
    /// Time by the board's unwrapped clock, in microseconds, strictly increasing; for imports since
    /// the first sample.
    pub time_us: Vec<u64>,
    /// The board's frame number, strictly increasing; a jump is a loss. For imports 0, 1, 2, ..
    pub sequence: Vec<u64>,
    /// What the converters gave; `None` for imports.
    pub raw: Option<RawSamples>,
    /// Vertical forces of the four corners in newtons, in the order of the calibration's
    /// positions; `None` for imports that give only the centre of pressure.
    pub forces_newtons: Option<Vec<[f64; 4]>>,
    /// Centre of pressure in the plate's plane; `None` where the load is below the threshold.
    pub cop: Vec<Option<Cop>>,
}

impl Samples {
    /// How many samples there are.
    pub fn n_samples(&self) -> usize {
        self.time_us.len()
    }
}

/// What the four converters gave, before zero and calibration.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RawSamples {
    /// Counts of the four corners.
    pub counts: Vec<[i32; 4]>,
    /// The frame's status bits, as the wire format defines them.
    pub status: Vec<u16>,
}
