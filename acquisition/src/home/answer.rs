//! What comes back: from the person, from the board, and to the records.

use analysis::readiness::{NextMorning, Rating};
use thiserror::Error;

use crate::records::SessionRecord;
use crate::stored_trial::Ending;

/// An answer to what was asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// Seen, go on.
    Continue,
    /// Yes.
    Yes,
    /// No.
    No,
    /// Points from 0 to 10.
    Points(Rating),
    /// The empty board was read and all its corners are alive.
    BoardReady,
    /// A stand has come to its end, or was broken off.
    Stood(StandOutcome),
    /// What a stand counts on to be heard no longer plays: it is checked again first.
    SoundGone,
    /// Enough for today: no more stands, the last questions follow.
    Enough,
}

/// How a stand ended.
#[derive(Debug, Clone, PartialEq)]
pub struct StandOutcome {
    /// Its trial; `None` if the record never began.
    pub trial: Option<String>,
    /// Why it ended.
    pub ended: Ending,
    /// The sound that guides closed eyes went away meanwhile.
    pub sound_lost: bool,
    /// What its record shows.
    pub shown: StandShown,
}

/// What the record of a stand shows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StandShown {
    /// Its median wobble in millimetres; `None` if it has none.
    pub wobble_mm: Option<f64>,
    /// Whether it is known where the body centre stood, from a record that is not rejected.
    pub has_position: bool,
    /// Whether the load shows a support, a step off, or a record that is rejected.
    pub is_doubtful: bool,
}

/// What is to be recorded after an answer, before anything else is asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Deed {
    /// Nothing.
    Nothing,
    /// The session as it stands.
    Save(Box<SessionRecord>),
    /// The next morning of an earlier session.
    SaveMorning {
        /// That session.
        session: String,
        /// What was answered.
        morning: NextMorning,
    },
}

/// An answer that does not fit what is asked; nothing has changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("this is no answer to what is asked")]
pub struct NotAsked;
