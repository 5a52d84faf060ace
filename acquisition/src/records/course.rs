//! One person's course as the judgement of the next step reads it, out of the records.

use std::collections::BTreeMap;

use analysis::readiness::{
    Course, Exercise, Moment, Session, Sway, TrialEvidence, TrialLength, WhereMeasured,
};
use analysis::{Condition, PersonCode, Plane, QualityFlag, Support};

use super::database::{Records, RecordsError};
use super::decision::DecisionRecord;
use super::history::History;
use super::session::SessionRecord;
use super::trial_record::TrialRecord;
use crate::calibration::CalibrationKind;
use crate::stored_trial::Ending;
use crate::wall_time::WallTime;

/// Measures a course is judged by; their keys in `MEASURES`.
const WOBBLE: &str = "wobble_median";
const SHARE_OVER: &str = "share_over";
const VELOCITY: &str = "mean_velocity";
const WINDOWS: &str = "wobble_windows";

/// Standard deviation of the logarithm of a board's scale before its cells are calibrated: cells of
/// the recommended kind spread by 5 % (a rectangle, so 0.05 / sqrt 3). A fitted board is held to a
/// tenth of that; its own uncertainty is in its calibration.
const NOMINAL_SCALE_LOG_SD: f64 = 0.029;
const FITTED_SCALE_LOG_SD: f64 = 0.003;

/// Lengths a measured stand is planned for, in seconds, and how far the plan's number may lie off.
const LENGTHS_S: [(f64, TrialLength); 2] = [(60.0, TrialLength::Clinic), (35.0, TrialLength::Home)];
const LENGTH_TOLERANCE_S: f64 = 1.0;

/// A person's course, and what of the records could not be part of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PersonCourse {
    /// Sessions and decisions.
    pub course: Course,
    /// Trials that are in no session, or of a length no judgement compares.
    pub outside: Vec<OutsideTrial>,
}

/// A trial that cannot be evidence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutsideTrial {
    /// Its id.
    pub id: String,
    /// Why.
    pub why: WhyOutside,
}

/// Why a trial cannot be evidence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WhyOutside {
    /// It belongs to no session, so that nobody was asked about pain or anything new.
    NoSession,
    /// Its hold was neither 35 s nor 60 s.
    Length,
}

impl Records {
    /// The course of a person for the judgement of the next step.
    ///
    /// What is not recorded stays unknown: an answer that was not given, a reference that was not
    /// taken. Pads are told apart by surface and loaded thickness. The board's noise is not in the
    /// records and counts as none; its scale counts by whether it was calibrated.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn course(&self, person: &PersonCode) -> Result<PersonCourse, RecordsError> {
        let history = self.history(person, &[WOBBLE, SHARE_OVER, VELOCITY, WINDOWS])?;
        Ok(PersonCourse::of(&history))
    }
}

impl WallTime {
    /// This moment for the judgement: the local calendar day by its own offset, and universal time.
    pub fn moment(self) -> Moment {
        Moment { day: local_day(self), at_us: self.unix_us }
    }
}

fn local_day(time: WallTime) -> i32 {
    let local_s = time.unix_us.div_euclid(1_000_000).saturating_add(i64::from(time.offset_s));
    i32::try_from(local_s.div_euclid(86_400)).unwrap_or(i32::MAX)
}

impl PersonCourse {
    /// What was known at `until`: later sessions and decisions are not part of it.
    #[must_use]
    pub fn until(mut self, until: WallTime) -> Self {
        let at_us = until.unix_us;
        self.course.sessions.retain(|session| session.ended_us <= at_us);
        self.course.decisions.retain(|decision| decision.at_us <= at_us);
        self
    }

    fn of(history: &History) -> Self {
        let mut outside = Vec::new();
        let mut in_session: BTreeMap<&str, Vec<(Condition, TrialEvidence)>> = BTreeMap::new();
        for trial in &history.trials {
            let leave = |why| OutsideTrial { id: trial.facts.id.clone(), why };
            match (&trial.facts.session, length(trial.facts.asked_s)) {
                (None, _) => outside.push(leave(WhyOutside::NoSession)),
                (_, None) => outside.push(leave(WhyOutside::Length)),
                (Some(session), Some(length)) => in_session
                    .entry(session)
                    .or_default()
                    .push((trial.facts.condition, evidence(trial, length))),
            }
        }
        let session = |record: &SessionRecord| {
            let trials = in_session.remove(record.id.as_str()).unwrap_or_default();
            session(record, trials, last_start(history, &record.id))
        };
        let sessions = history.sessions.iter().map(session).collect();
        let decisions = history.decisions.iter().map(DecisionRecord::decision).collect();
        Self { course: Course { sessions, decisions }, outside }
    }
}

fn length(asked_s: f64) -> Option<TrialLength> {
    let close =
        |&&(length_s, _): &&(f64, TrialLength)| (asked_s - length_s).abs() <= LENGTH_TOLERANCE_S;
    LENGTHS_S.iter().find(close).map(|&(_, length)| length)
}

/// A session that has not been ended was last alive when its last trial began.
fn last_start(history: &History, session: &str) -> Option<i64> {
    let of_session =
        history.trials.iter().filter(|trial| trial.facts.session.as_deref() == Some(session));
    of_session.map(|trial| trial.facts.started.unix_us).max()
}

fn session(
    record: &SessionRecord,
    trials: Vec<(Condition, TrialEvidence)>,
    last_start_us: Option<i64>,
) -> Session {
    let asked = |condition| record.exercises.iter().find(|asked| asked.condition == condition);
    let mut exercises: Vec<Exercise> = Vec::new();
    let mut of = |condition: Condition| {
        let place = exercises.iter().position(|done| done.condition == condition);
        place.unwrap_or_else(|| {
            exercises.push(Exercise {
                condition,
                difficulty: asked(condition).and_then(|answers| answers.difficulty),
                touched_something: asked(condition).and_then(|answers| answers.touched_something),
                trials: Vec::new(),
            });
            exercises.len() - 1
        })
    };
    let places: Vec<usize> = trials.iter().map(|(condition, _)| of(*condition)).collect();
    for asked in &record.exercises {
        of(asked.condition);
    }
    for (place, (_, trial)) in places.into_iter().zip(trials) {
        exercises[place].trials.push(trial);
    }
    let alive_us = last_start_us.unwrap_or(i64::MIN).max(record.started.unix_us);
    Session {
        id: record.id.clone(),
        day: local_day(record.started),
        ended_us: record.ended_unix_us.unwrap_or(alive_us),
        answers: record.answers,
        exercises,
    }
}

fn evidence(trial: &TrialRecord, length: TrialLength) -> TrialEvidence {
    let facts = &trial.facts;
    let flags = trial.measurement.flags.as_deref().unwrap_or_default();
    let flagged = |flag: QualityFlag| flags.contains(&flag);
    TrialEvidence {
        id: facts.id.clone(),
        kind: facts.kind,
        measured: WhereMeasured {
            length,
            setup: facts.setup.clone(),
            pad: String::new(),
            plane: Plane::Plate,
        },
        sway: sway(trial),
        stepped_off: trial.ended == Some(Ending::StepOff) || flagged(QualityFlag::StepOff),
        unplanned_support: facts.condition.support == Support::None
            && flagged(QualityFlag::SupportUsed),
        neutral_offset: None,
    }
}

/// The measures of a trial, if all the judgement reads have a value.
fn sway(trial: &TrialRecord) -> Option<Sway> {
    let value = |key: &str| {
        trial.measurement.values.iter().find(|(found, _)| found == key).map(|&(_, value)| value)
    };
    let scale_log_sd = match trial.calibration {
        Some(CalibrationKind::Fitted) => FITTED_SCALE_LOG_SD,
        Some(CalibrationKind::Nominal) | None => NOMINAL_SCALE_LOG_SD,
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count of windows, which saturates"
    )]
    let n_windows = value(WINDOWS)? as u32;
    Some(Sway {
        wobble_median_mm: value(WOBBLE)?,
        share_over: value(SHARE_OVER)?,
        mean_velocity_mm_per_s: value(VELOCITY)?,
        n_wobble_windows: n_windows,
        board_noise_log_sd: 0.0,
        calibration_log_sd: scale_log_sd,
    })
}
