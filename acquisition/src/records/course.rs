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
        sway: if flags.iter().any(|flag| flag.rejects()) { None } else { sway(trial) },
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

#[cfg(test)]
mod tests {
    use analysis::MEASURES;
    use analysis::readiness::{Answers, Rating};

    use super::*;
    use crate::records::{ExerciseAnswers, Place};
    use crate::stored_trial::StoredTrial;
    use crate::trial_file::tests::board_trial;

    const SESSION: &str = "018f4e2a-7c00-7123-8abc-0123456789ff";

    fn time(text: &str) -> WallTime {
        text.parse().unwrap()
    }

    fn trial(flags: &[QualityFlag], asked_s: f64, session: Option<&str>) -> TrialRecord {
        let StoredTrial { mut facts, .. } = board_trial(10);
        (facts.asked_s, facts.session) = (asked_s, session.map(str::to_owned));
        let values = [(WOBBLE, 12.0), (SHARE_OVER, 0.0), (VELOCITY, 20.0), (WINDOWS, 26.0)];
        TrialRecord {
            facts,
            digest: "0".repeat(64).parse().unwrap(),
            n_samples: 10,
            ended: Some(Ending::HoldReached),
            calibration: Some(CalibrationKind::Fitted),
            measurement: crate::records::Measurement {
                processing: analysis::Processing::Standard,
                program: "footing".to_owned(),
                body_height_assumed: false,
                flags: Some(flags.to_vec()),
                not_available: None,
                values: values.map(|(key, value)| (key.to_owned(), value)).to_vec(),
            },
        }
    }

    fn session(exercises: Vec<ExerciseAnswers>) -> SessionRecord {
        SessionRecord {
            id: SESSION.to_owned(),
            person: board_trial(10).facts.person,
            plan: None,
            place: Place::Clinic,
            started: time("2026-03-01T23:30:00-05:00"),
            ended_unix_us: None,
            answers: Answers { pain_at_start: Rating::new(2), ..Answers::default() },
            exercises,
        }
    }

    fn course(trials: Vec<TrialRecord>, exercises: Vec<ExerciseAnswers>) -> PersonCourse {
        let sessions = vec![session(exercises)];
        PersonCourse::of(&History { sessions, trials, decisions: Vec::new() })
    }

    #[test]
    fn the_measures_it_reads_exist() {
        for key in [WOBBLE, SHARE_OVER, VELOCITY, WINDOWS] {
            assert!(MEASURES.iter().any(|measure| measure.key == key), "{key}");
        }
    }

    #[test]
    fn what_was_not_answered_stays_unknown_and_a_rejected_trial_has_no_sway() {
        let rejected = trial(&[QualityFlag::ZeroLost], 60.0, Some(SESSION));
        let found = course(vec![trial(&[], 60.0, Some(SESSION)), rejected], Vec::new());
        let exercise = &found.course.sessions[0].exercises[0];
        assert_eq!((exercise.difficulty, exercise.touched_something), (None, None));
        assert!(exercise.trials[0].sway.is_some());
        assert_eq!(exercise.trials[1].sway, None);
        assert_eq!(found.course.sessions[0].answers.warning_sign, None);
    }

    #[test]
    fn an_exercise_of_which_only_answers_are_known_is_kept() {
        let condition = "foam/together/closed".parse().unwrap();
        let answers = ExerciseAnswers {
            condition,
            difficulty: Rating::new(7),
            touched_something: Some(true),
        };
        let found = course(Vec::new(), vec![answers]);
        let exercise = &found.course.sessions[0].exercises[0];
        assert_eq!((exercise.condition, exercise.trials.len()), (condition, 0));
        assert_eq!(exercise.difficulty, Rating::new(7));
    }

    #[test]
    fn lone_trials_and_other_lengths_are_outside_with_the_reason() {
        let trials = vec![trial(&[], 60.0, None), trial(&[], 20.0, Some(SESSION))];
        let found = course(trials, Vec::new());
        let why: Vec<WhyOutside> = found.outside.iter().map(|outside| outside.why).collect();
        assert_eq!(why, [WhyOutside::NoSession, WhyOutside::Length]);
        assert!(found.course.sessions[0].exercises.is_empty());
    }

    /// RFC 3339 offsets: half past eleven at night in one place is the next day by universal time.
    #[test]
    fn a_day_is_the_local_calendar_day_where_the_session_began() {
        let late = time("2026-03-01T23:30:00-05:00").moment();
        let noon = time("2026-03-01T12:00:00+00:00").moment();
        assert_eq!(late.day, noon.day);
        assert_eq!(time("1970-01-01T00:00:00+01:00").moment().day, 0);
        assert_eq!(time("1970-01-01T00:00:00+00:00").moment().day, 0);
    }

    #[test]
    fn what_came_later_is_not_known_yet() {
        let found = course(vec![trial(&[], 60.0, Some(SESSION))], Vec::new());
        let last_us = found.course.sessions[0].ended_us;
        let at = |unix_us| WallTime::new(unix_us, 0).unwrap();
        assert_eq!(found.clone().until(at(last_us)).course.sessions.len(), 1);
        assert_eq!(found.until(at(last_us - 1)).course.sessions.len(), 0);
    }
}
