//! The board's part of a session at home: is it alive, and a stand from beginning to end.

use analysis::{Analyser, Facing, MeanPosition, PersonCode, Setup, WOBBLE};
use thiserror::Error;

use super::answer::{StandOutcome, StandShown};
use super::ask::Stand;
use crate::board_folder::{BoardFolder, BoardFolderError};
use crate::board_session::BoardSession;
use crate::calibration::Calibration;
use crate::journal::{RecoverError, SealJournalError, seal};
use crate::keys::BoardId;
use crate::recorder::{Progress, RecordError, RecordObserver, RecordRequest, Stage, Wish, record};
use crate::records::{IndexTrialError, Records, RecordsError, SessionRecord, TrialRecord};
use crate::results::PROGRAM;
use crate::stored_trial::{Ending, TrialFacts};
use crate::trial_id::new_trial_id;
use crate::wall_time::WallTime;

/// Why a stand at home was not recorded, or not kept where it belongs.
#[derive(Debug, Error)]
pub enum HomeStandError {
    /// It is another board than the one of the pairing.
    #[error("this is board {found:?}, and the clinic paired board {expected}")]
    OtherBoard {
        /// The board that answers.
        found: String,
        /// The board of the pairing.
        expected: BoardId,
    },
    /// What is kept of the board cannot be read.
    #[error(transparent)]
    Board(#[from] BoardFolderError),
    /// The recorder refuses, or the record could not be written.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// The journal cannot be read again.
    #[error(transparent)]
    Recover(#[from] RecoverError),
    /// The journal cannot be sealed; the next start tries again.
    #[error(transparent)]
    Seal(#[from] SealJournalError),
    /// The trial cannot be taken into the records; the next start tries again.
    #[error(transparent)]
    Index(#[from] IndexTrialError),
    /// The records refuse.
    #[error(transparent)]
    Records(#[from] RecordsError),
}

/// Watches a stand at home: as it is recorded, and against which reference.
pub trait StandObserver: RecordObserver {
    /// Where the weight stood at the start of the session; told before the stand, `None` if that is
    /// not known.
    fn reference(&mut self, position: Option<MeanPosition>);
}

/// Reads the empty board: at rest, unloaded, every corner alive.
///
/// # Errors
/// [`HomeStandError`] says what is wrong with it, or that it is another board than `expected`.
pub fn check_board(
    board: &BoardSession,
    records: &Records,
    expected: &BoardId,
    person: &PersonCode,
    watch: &mut dyn FnMut(&Progress),
) -> Result<(), HomeStandError> {
    let calibration = calibration(board, records, expected)?;
    let facts = TrialFacts {
        id: new_trial_id(),
        person: person.clone(),
        session: None,
        plan: None,
        condition: analysis::Condition::unaided(
            analysis::Surface::Firm,
            analysis::Stance::HipWidth,
            analysis::Vision::Open,
        ),
        kind: analysis::TrialKind::Practice,
        setup: setup(board),
        body_height_m: None,
        body_mass_kg: None,
        started: WallTime::now(),
        settled_s: 0.0,
        asked_s: 0.0,
        program: PROGRAM.to_owned(),
    };
    let request =
        RecordRequest { facts, calibration, settle_s: 0.0, record_s: 5.0, forbidden: None };
    // The recorder zeroes the empty board before anybody steps on; that is as far as this goes.
    let mut zeroed = false;
    let mut observer = |progress: &Progress| {
        watch(progress);
        if matches!(progress.stage, Stage::Zeroing { .. }) {
            return Wish::GoOn;
        }
        zeroed = true;
        Wish::Stop
    };
    match record(board, &request, &records.library().journals_folder(), &mut observer) {
        Ok(_) => Ok(()),
        Err(RecordError::StoppedBefore) if zeroed => Ok(()),
        Err(error) => Err(error.into()),
    }
}

/// Records one stand of a session: zero, stepping on, settling, the hold, sealed and in the records.
///
/// # Errors
/// [`HomeStandError`]. A board lost before the record began is an outcome without a trial.
pub fn stand(
    board: &BoardSession,
    records: &mut Records,
    expected: &BoardId,
    session: &SessionRecord,
    asked: &Stand,
    observer: &mut dyn StandObserver,
) -> Result<StandOutcome, HomeStandError> {
    let calibration = calibration(board, records, expected)?;
    let person = records.person(&session.person)?;
    let facts = TrialFacts {
        id: new_trial_id(),
        person: session.person.clone(),
        session: Some(session.id.clone()),
        plan: session.plan.clone(),
        condition: asked.condition,
        kind: asked.kind(),
        setup: setup(board),
        body_height_m: person.as_ref().and_then(|person| person.height_m),
        body_mass_kg: person.as_ref().and_then(|person| person.mass_kg),
        started: WallTime::now(),
        settled_s: 0.0,
        asked_s: 0.0,
        program: PROGRAM.to_owned(),
    };
    let reference = records.reference_position(session, asked.condition, &facts.setup)?;
    observer.reference(reference);
    let request = RecordRequest {
        facts,
        calibration,
        settle_s: asked.settle_s,
        record_s: asked.hold_s,
        forbidden: None,
    };
    let journals = records.library().journals_folder();
    let recorded = match record(board, &request, &journals, observer) {
        Ok(recorded) => recorded,
        Err(RecordError::StoppedBefore) => return Ok(nothing(Ending::Stopped)),
        Err(RecordError::LostBefore(_)) => return Ok(nothing(Ending::BoardLost)),
        Err(error) => return Err(error.into()),
    };
    let sealed = seal(&recorded.journal, &records.library().trials_folder())?;
    let Some(file) = sealed.trial_file else { return Ok(nothing(recorded.ended)) };
    let trial = records.index_trial(&file, &mut Analyser::new())?;
    let shown = shown(&trial);
    let (trial, ended) = (Some(trial.facts.id), recorded.ended);
    Ok(StandOutcome { trial, ended, sound_lost: false, shown })
}

fn nothing(ended: Ending) -> StandOutcome {
    StandOutcome { trial: None, ended, sound_lost: false, shown: StandShown::default() }
}

/// What the records know of a stand.
pub(super) fn shown(trial: &TrialRecord) -> StandShown {
    let measurement = &trial.measurement;
    let flags = measurement.flags.as_deref().unwrap_or_default();
    let is_rejected = flags.iter().any(|flag| flag.rejects());
    let wobble = measurement.values.iter().find(|(key, _)| key == WOBBLE);
    StandShown {
        wobble_mm: wobble.map(|(_, wobble_mm)| *wobble_mm),
        has_position: measurement.position.is_some() && !is_rejected,
        is_doubtful: flags.iter().any(|flag| flag.spoils_a_hold()),
    }
}

fn setup(board: &BoardSession) -> Setup {
    Setup { board: board.identity().board_id, sole_height_mm: None, facing: Facing::Front }
}

fn calibration(
    board: &BoardSession,
    records: &Records,
    expected: &BoardId,
) -> Result<Calibration, HomeStandError> {
    let identity = board.identity();
    if identity.board_id != expected.to_string() {
        let (found, expected) = (identity.board_id, expected.clone());
        return Err(HomeStandError::OtherBoard { found, expected });
    }
    let folder = BoardFolder::new(records.library().folder(), &identity.board_id)?;
    Ok(folder.calibration_in_force(identity.gain)?)
}
