//! One person's course as the judgement of the next step reads it, out of the records.

use std::collections::{BTreeMap, BTreeSet};

use analysis::readiness::{
    Course, Exercise, NeutralOffset, Session, Sway, TrialEvidence, TrialLength, WhereMeasured,
};
use analysis::{Condition, PersonCode, Plane, QualityFlag, Support, WOBBLE};

use super::database::{Records, RecordsError};
use super::decision::DecisionRecord;
use super::exercise::ExerciseAnswers;
use super::history::History;
use super::session::SessionRecord;
use super::trial_record::TrialRecord;
use crate::calibration::CalibrationKind;
use crate::stored_trial::Ending;
use crate::wall_time::WallTime;

/// Measures a course is judged by; their keys in `MEASURES`.
const SHARE_OVER: &str = "share_over";
const VELOCITY: &str = "mean_velocity";
const WINDOWS: &str = "wobble_windows";

/// Standard deviation of the logarithm of a board's scale before its cells are calibrated: cells of
/// the recommended kind spread by 5 % (a rectangle, so 0.05 / sqrt 3; common practice, no source). A
/// fitted board is held to a tenth of that, our own choice; its uncertainty is in its calibration.
const NOMINAL_SCALE_LOG_SD: f64 = 0.029;
const FITTED_SCALE_LOG_SD: f64 = 0.003;

/// Lengths a measured stand is planned for, in seconds, and how far the plan's number may lie off
/// (our own choice).
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
    /// It is a session's reference of where the weight stands.
    Reference,
}

impl Records {
    /// The course of a person for the judgement of the next step.
    ///
    /// What is not recorded stays unknown: an answer that was not given, a reference that was not
    /// taken. Pads are told apart by name and loaded thickness; one that was not named is another
    /// than any that was. The board's noise is not in the records and counts as none; its scale
    /// counts by whether it was calibrated.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn course(&self, person: &PersonCode) -> Result<PersonCourse, RecordsError> {
        let history = self.history(person, &[WOBBLE, SHARE_OVER, VELOCITY, WINDOWS])?;
        Ok(PersonCourse::of(&history))
    }
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
        let mut in_session: BTreeMap<&str, Vec<(&TrialRecord, TrialLength)>> = BTreeMap::new();
        let exercises = || history.sessions.iter().flat_map(|session| &session.exercises);
        let references: BTreeSet<&str> = exercises()
            .filter_map(|exercise| exercise.reference.as_ref())
            .map(|reference| reference.trial.as_str())
            .collect();
        for trial in &history.trials {
            let leave = |why| OutsideTrial { id: trial.facts.id.clone(), why };
            match (&trial.facts.session, length(trial.facts.asked_s)) {
                _ if references.contains(trial.facts.id.as_str()) => {
                    outside.push(leave(WhyOutside::Reference));
                }
                (None, _) => outside.push(leave(WhyOutside::NoSession)),
                (_, None) => outside.push(leave(WhyOutside::Length)),
                (Some(session), Some(length)) => {
                    in_session.entry(session).or_default().push((trial, length));
                }
            }
        }
        let session = |record: &SessionRecord| {
            let trials = in_session.remove(record.id.as_str()).unwrap_or_default();
            session(record, &trials, history)
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
    trials: &[(&TrialRecord, TrialLength)],
    history: &History,
) -> Session {
    let stood = trials.iter().map(|(trial, _)| trial.facts.condition);
    let mut conditions: Vec<Condition> = Vec::new();
    for condition in stood.chain(record.exercises.iter().map(|exercise| exercise.condition)) {
        if !conditions.contains(&condition) {
            conditions.push(condition);
        }
    }
    let alive_us = last_start(history, &record.id).unwrap_or(i64::MIN);
    Session {
        id: record.id.clone(),
        day: record.started.local_day(),
        ended_us: record.ended_unix_us.unwrap_or(alive_us.max(record.started.unix_us)),
        answers: record.answers,
        exercises: conditions
            .into_iter()
            .map(|condition| {
                let of_condition = |known: &&ExerciseAnswers| known.condition == condition;
                let known = record.exercises.iter().find(of_condition).cloned();
                let known = known.unwrap_or_else(|| ExerciseAnswers::new(condition));
                exercise(&known, trials, history)
            })
            .collect(),
    }
}

fn exercise(
    known: &ExerciseAnswers,
    trials: &[(&TrialRecord, TrialLength)],
    history: &History,
) -> Exercise {
    let here = trials.iter().filter(|(trial, _)| trial.facts.condition == known.condition);
    Exercise {
        condition: known.condition,
        difficulty: known.difficulty,
        touched_something: known.touched_something,
        trials: here
            .map(|&(trial, length)| TrialEvidence {
                neutral_offset: neutral_offset(trial, known, history),
                ..evidence(trial, length, known.pad.as_deref())
            })
            .collect(),
    }
}

/// Where the weight stood against the session's reference at this condition. `None` without one, or
/// if the reference was stood on another board, pad or way round: the feet have moved since.
fn neutral_offset(
    trial: &TrialRecord,
    known: &ExerciseAnswers,
    history: &History,
) -> Option<NeutralOffset> {
    let reference = known.reference.as_ref()?;
    let stood = history.trials.iter().find(|trial| trial.facts.id == reference.trial)?;
    let (here, there) = (&trial.facts, &stood.facts);
    let alike = here.session == there.session
        && here.condition == there.condition
        && here.setup == there.setup;
    let positions = trial.measurement.position.zip(stood.measurement.position);
    let (position, reference_position) = positions.filter(|_| alike && !rejected(stood))?;
    Some(position.offset_from(&reference_position, reference.pull?))
}

/// Whether the trial is shown, and evidence of nothing.
pub(super) fn rejected(trial: &TrialRecord) -> bool {
    trial.measurement.flags.as_deref().unwrap_or_default().iter().any(|flag| flag.rejects())
}

fn evidence(trial: &TrialRecord, length: TrialLength, pad: Option<&str>) -> TrialEvidence {
    let facts = &trial.facts;
    let flags = trial.measurement.flags.as_deref().unwrap_or_default();
    let flagged = |flag: QualityFlag| flags.contains(&flag);
    TrialEvidence {
        id: facts.id.clone(),
        kind: facts.kind,
        measured: WhereMeasured {
            length,
            setup: facts.setup.clone(),
            pad: pad.unwrap_or_default().to_owned(),
            plane: Plane::Plate,
        },
        sway: if rejected(trial) { None } else { sway(trial) },
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
    use analysis::readiness::{Answers, Rating};
    use analysis::{Cop, MEASURES, MeanPosition, Pull};

    use super::*;
    use crate::records::{Place, Reference};
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
                position: None,
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
            difficulty: Rating::new(7),
            touched_something: Some(true),
            ..ExerciseAnswers::new(condition)
        };
        let found = course(Vec::new(), vec![answers]);
        let exercise = &found.course.sessions[0].exercises[0];
        assert_eq!((exercise.condition, exercise.trials.len()), (condition, 0));
        assert_eq!(exercise.difficulty, Rating::new(7));
    }

    /// Trial and reference as they stood: 12 mm further forward, which is the way of the pull.
    #[test]
    fn an_offset_takes_a_reference_of_the_same_session_and_setup() {
        let stood = |id: &str, ap_mm, asked_s| {
            let mut stood = trial(&[], asked_s, Some(SESSION));
            stood.facts.id = id.to_owned();
            let (mean, uncertainty) = (Cop::new(1.0, ap_mm), Cop::new(0.5, 2.0));
            stood.measurement.position = Some(MeanPosition { mean, uncertainty });
            stood
        };
        let trials = vec![stood("reference", -4.0, 15.0), stood("trial", 8.0, 60.0)];
        let known = |reference: &str| ExerciseAnswers {
            pad: Some("pad-2".to_owned()),
            reference: Some(Reference { trial: reference.to_owned(), pull: Some(Pull::Forward) }),
            ..ExerciseAnswers::new(trials[0].facts.condition)
        };
        let found = course(trials.clone(), vec![known("reference")]);
        let judged = &found.course.sessions[0].exercises[0].trials;
        assert_eq!(judged.len(), 1, "the reference itself is no evidence");
        let offset = NeutralOffset { toward_pull_mm: 12.0, reference_uncertainty_mm: 2.0 };
        assert_eq!(judged[0].neutral_offset, Some(offset));
        assert_eq!(judged[0].measured.pad, "pad-2");
        assert_eq!(found.outside[0].why, WhyOutside::Reference);

        let without = course(trials.clone(), Vec::new());
        assert_eq!(without.course.sessions[0].exercises[0].trials[0].neutral_offset, None);
        let mut turned = trials.clone();
        turned[0].facts.setup.facing = analysis::Facing::Back;
        let turned = course(turned, vec![known("reference")]);
        assert_eq!(turned.course.sessions[0].exercises[0].trials[0].neutral_offset, None);
    }

    #[test]
    fn lone_trials_and_other_lengths_are_outside_with_the_reason() {
        let trials = vec![trial(&[], 60.0, None), trial(&[], 20.0, Some(SESSION))];
        let found = course(trials, Vec::new());
        let why: Vec<WhyOutside> = found.outside.iter().map(|outside| outside.why).collect();
        assert_eq!(why, [WhyOutside::NoSession, WhyOutside::Length]);
        assert!(found.course.sessions[0].exercises.is_empty());
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
