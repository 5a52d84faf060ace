//! What is asked for when somebody is to stand.

use acquisition::library::Library;
use acquisition::records::{Records, Whereabouts};
use acquisition::results::PROGRAM;
use acquisition::{BoardPlaces, BoardSession, RecordRequest, TrialFacts, WallTime, new_trial_id};
use analysis::{Condition, Facing, PersonCode, Setup, TrialKind};

use crate::standing::cues::Reference;
use crate::standing::problem::StandError;
use crate::standing::simulated::SimulatedBoard;
use crate::strings::Language;

/// A stand that is asked for.
#[derive(Debug, Clone)]
pub struct StandRequest {
    /// On which board.
    pub board: StandBoard,
    /// The data folder that keeps the trial; its records give height, mass, session and plan.
    pub library: Library,
    /// Who stands.
    pub person: PersonCode,
    /// On what and how.
    pub condition: Condition,
    /// What the trial is for.
    pub kind: TrialKind,
    /// Height of the sole above the load cells in millimetres, the loaded pad included; `None` if
    /// nobody measured it.
    pub sole_height_mm: Option<f64>,
    /// Which way the person faces.
    pub facing: Facing,
    /// How long they stand still before the record begins, in seconds.
    pub settle_s: f64,
    /// Length of the record, in seconds.
    pub record_s: f64,
    /// Lower and upper end of the wobble window in millimetres: what a guided trial is cued by.
    pub wobble_window_mm: [f64; 2],
    /// Why no trial may begin, in words for the person; `None` if nothing but the records may say so.
    pub forbidden: Option<&'static str>,
    /// The words in which the records' rules are told.
    pub words: &'static Language,
}

/// On which board somebody stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StandBoard {
    /// One that is there.
    Real(BoardPlaces),
    /// A virtual one with a virtual person, started for this stand alone.
    Simulated(SimulatedBoard),
}

impl StandRequest {
    /// Where the weight is to be in this stand: where it was in the session's reference.
    pub(super) fn reference(
        &self,
        asked: &RecordRequest,
        records: &Records,
    ) -> Result<Option<Reference>, StandError> {
        let Some(open) = records.open_session(&self.person, asked.facts.started)? else {
            return Ok(None);
        };
        let setup = &asked.facts.setup;
        let position = records.reference_position(&open, self.condition, setup)?;
        let plan = records.current_plan(&self.person)?;
        let limits = plan.map(|plan| plan.thresholds).unwrap_or_default();
        let tolerance_mm = limits.offset_tolerance_mm;
        Ok(position.map(|position| Reference { position, tolerance_mm }))
    }

    /// What the recorder is asked for: this, and what the records and the board's folder know.
    pub(super) fn to_record(
        &self,
        session: &BoardSession,
        records: &Records,
    ) -> Result<RecordRequest, StandError> {
        let identity = session.identity();
        let started = WallTime::now();
        let person = records.person(&self.person)?;
        let occasion = records.open_session(&self.person, started)?;
        // Whoever works this screen is the second person that some plans ask for at home.
        let at = Whereabouts { place: occasion.as_ref().map(|open| open.place), accompanied: true };
        let by_records = records.forbids(&self.person, self.condition, at, started)?;
        let forbidden = self.forbidden.or(by_records.map(self.words.forbidden));
        let (occasion, plan) = occasion.map_or((None, None), |open| (Some(open.id), open.plan));
        let facts = TrialFacts {
            id: new_trial_id(),
            person: self.person.clone(),
            session: occasion,
            plan,
            condition: self.condition,
            kind: self.kind,
            setup: Setup {
                board: identity.board_id.clone(),
                sole_height_mm: self.sole_height_mm,
                facing: self.facing,
            },
            body_height_m: person.as_ref().and_then(|person| person.height_m),
            body_mass_kg: person.as_ref().and_then(|person| person.mass_kg),
            started,
            settled_s: 0.0,
            asked_s: 0.0,
            program: PROGRAM.to_owned(),
        };
        let board =
            acquisition::board_folder::BoardFolder::new(self.library.folder(), &identity.board_id)?;
        Ok(RecordRequest {
            facts,
            calibration: board.calibration_in_force(identity.gain)?,
            settle_s: self.settle_s,
            record_s: self.record_s,
            forbidden,
        })
    }
}
