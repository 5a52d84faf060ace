//! The facts of a trial as the journal's JSON: our own shapes, by name, with a version.

use analysis::Setup;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::calibration::Calibration;
use crate::calibration_shape::CalibrationShape;
use crate::stored_trial::BoardOrigin;
use crate::stored_trial::{Ending, LinkCounts, TrialFacts};
use crate::wall_time::WallTime;
use crate::zero::Zero;

const VERSION: u32 = 1;

/// A head that is whole but cannot be used.
#[derive(Debug, Error)]
pub enum BadHead {
    /// It is no JSON of the shape expected.
    #[error("the journal's first block does not read")]
    Json(#[from] serde_json::Error),
    /// It was written by a later program.
    #[error("the journal's first block has version {found}; this program knows version {VERSION}")]
    Version {
        /// The version found.
        found: u32,
    },
    /// A word or number in it means nothing here.
    #[error("{what} in the journal's first block cannot be {found:?}")]
    Value {
        /// Which field.
        what: &'static str,
        /// What stands there.
        found: String,
    },
}

/// Everything known when a record begins.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct JournalHead {
    pub(crate) facts: TrialFacts,
    pub(crate) board: BoardFacts,
}

/// What a journal knows of the board: the origin of the trial but for how it ended.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BoardFacts {
    pub(crate) board_id: String,
    pub(crate) firmware: String,
    pub(crate) frames_per_s: f64,
    pub(crate) temperature_c: Option<f64>,
    pub(crate) calibration: Calibration,
    pub(crate) zero: Zero,
}

impl BoardFacts {
    /// The origin of the trial, once it is known how it ended.
    pub(crate) fn into_origin(self, link: LinkCounts, end: JournalEnd) -> BoardOrigin {
        let Self { board_id, firmware, frames_per_s, temperature_c, calibration, zero } = self;
        BoardOrigin {
            board_id,
            firmware,
            frames_per_s,
            temperature_c,
            calibration,
            zero,
            zero_after: end.zero_after,
            link,
            ended: end.ended,
            recomputed: None,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct HeadShape {
    version: u32,
    id: String,
    person: String,
    session: Option<String>,
    plan: Option<String>,
    condition: String,
    kind: String,
    board_name: String,
    sole_height_mm: Option<f64>,
    facing: String,
    body_height_m: Option<f64>,
    body_mass_kg: Option<f64>,
    started_unix_us: i64,
    started_offset_s: i32,
    settled_s: f64,
    asked_s: f64,
    program: String,
    board: BoardShape,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BoardShape {
    board_id: String,
    firmware: String,
    frames_per_s: f64,
    temperature_c: Option<f64>,
    zero_counts: [f64; 4],
    zero_board_time_us: u64,
    calibration: CalibrationShape,
}

/// Only the version, read before anything else is believed.
#[derive(Deserialize)]
struct VersionShape {
    version: u32,
}

impl JournalHead {
    /// The payload of the first block.
    pub(super) fn to_json(&self) -> Result<Vec<u8>, serde_json::Error> {
        let Self { facts, board } = self;
        serde_json::to_vec(&HeadShape {
            version: VERSION,
            id: facts.id.clone(),
            person: facts.person.to_string(),
            session: facts.session.clone(),
            plan: facts.plan.clone(),
            condition: facts.condition.to_string(),
            kind: facts.kind.to_string(),
            board_name: facts.setup.board.clone(),
            sole_height_mm: facts.setup.sole_height_mm,
            facing: facts.setup.facing.to_string(),
            body_height_m: facts.body_height_m,
            body_mass_kg: facts.body_mass_kg,
            started_unix_us: facts.started.unix_us,
            started_offset_s: facts.started.offset_s,
            settled_s: facts.settled_s,
            asked_s: facts.asked_s,
            program: facts.program.clone(),
            board: BoardShape {
                board_id: board.board_id.clone(),
                firmware: board.firmware.clone(),
                frames_per_s: board.frames_per_s,
                temperature_c: board.temperature_c,
                zero_counts: board.zero.counts,
                zero_board_time_us: board.zero.board_time_us,
                calibration: CalibrationShape::from_calibration(&board.calibration),
            },
        })
    }

    /// Reads the payload of a first block.
    pub(super) fn from_json(payload: &[u8]) -> Result<Self, BadHead> {
        let VersionShape { version } = serde_json::from_slice(payload)?;
        if version != VERSION {
            return Err(BadHead::Version { found: version });
        }
        let shape: HeadShape = serde_json::from_slice(payload)?;
        let board = shape.board;
        let calibration = board.calibration.into_calibration();
        calibration
            .check()
            .map_err(|bad| BadHead::Value { what: "the calibration", found: bad.to_string() })?;
        Ok(Self {
            facts: TrialFacts {
                id: shape.id,
                person: word("the person", &shape.person)?,
                session: shape.session,
                plan: shape.plan,
                condition: word("the condition", &shape.condition)?,
                kind: word("the kind of trial", &shape.kind)?,
                setup: Setup {
                    board: shape.board_name,
                    sole_height_mm: shape.sole_height_mm,
                    facing: word("the way of facing", &shape.facing)?,
                },
                body_height_m: shape.body_height_m,
                body_mass_kg: shape.body_mass_kg,
                started: WallTime::new(shape.started_unix_us, shape.started_offset_s)
                    .map_err(|bad| BadHead::Value { what: "the start", found: bad.found })?,
                settled_s: shape.settled_s,
                asked_s: shape.asked_s,
                program: shape.program,
            },
            board: BoardFacts {
                board_id: board.board_id,
                firmware: board.firmware,
                frames_per_s: board.frames_per_s,
                temperature_c: board.temperature_c,
                calibration,
                zero: Zero { counts: board.zero_counts, board_time_us: board.zero_board_time_us },
            },
        })
    }
}

fn word<T: std::str::FromStr>(what: &'static str, text: &str) -> Result<T, BadHead> {
    text.parse().map_err(|_unknown| BadHead::Value { what, found: text.chars().take(40).collect() })
}

/// What is known once a record is over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct JournalEnd {
    pub(crate) ended: Ending,
    /// What the empty board read afterwards, if it was read.
    pub(crate) zero_after: Option<Zero>,
}

impl From<Ending> for JournalEnd {
    fn from(ended: Ending) -> Self {
        Self { ended, zero_after: None }
    }
}

/// The payload of an end.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct EndShape {
    ended: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    zero_after: Option<ZeroShape>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ZeroShape {
    counts: [f64; 4],
    board_time_us: u64,
}

/// The payload of the last block.
pub(super) fn end_to_json(end: &JournalEnd) -> Result<Vec<u8>, serde_json::Error> {
    let shape = |zero: Zero| ZeroShape { counts: zero.counts, board_time_us: zero.board_time_us };
    let zero_after = end.zero_after.map(shape);
    serde_json::to_vec(&EndShape { ended: end.ended.to_string(), zero_after })
}

/// Reads the payload of a last block; `None` if it says nothing known.
pub(super) fn end_from_json(payload: &[u8]) -> Option<JournalEnd> {
    let shape: EndShape = serde_json::from_slice(payload).ok()?;
    let zero = |zero: ZeroShape| Zero { counts: zero.counts, board_time_us: zero.board_time_us };
    Some(JournalEnd { ended: shape.ended.parse().ok()?, zero_after: shape.zero_after.map(zero) })
}
