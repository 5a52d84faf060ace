//! Records of people whom nobody met, built through acquisition's API and dated back from now. For
//! looking at screens; no number of it means anything.

use std::path::Path;

use acquisition::library::Library;
use acquisition::records::{
    Dose, ExerciseAnswers, GuidedBy, Measurement, PersonRecord, Place, PlanDraft, PlannedCondition,
    Records, Release, SessionRecord, TrialRecord,
};
use acquisition::{TrialFacts, WallTime, new_record_id};
use analysis::readiness::{Answers, NextMorning, Rating, Thresholds};
use analysis::{Condition, Facing, PersonCode, Processing, Setup, TrialKind};

pub(crate) const HERE: &str = "foam/hip-width/open";
pub(crate) const NEXT: &str = "foam/hip-width/closed";

const DAY_US: i64 = 86_400_000_000;

/// A day of practice, told by how it was.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Day {
    pub(crate) days_ago: i64,
    pub(crate) wobble_mm: f64,
    pub(crate) difficulty: u8,
    pub(crate) pain: [u8; 3],
    pub(crate) warning_sign: bool,
}

/// A data folder to be filled.
pub(crate) struct MadeUp {
    pub(crate) library: Library,
    records: Records,
}

impl MadeUp {
    pub(crate) fn new(folder: &Path) -> Self {
        let library = Library::open(folder).expect("a data folder");
        let records = Records::open(&library).expect("records");
        Self { library, records }
    }

    /// Somebody with a plan of two conditions, made before the first day.
    pub(crate) fn person(&mut self, code: &str, name: Option<&str>) -> PersonCode {
        let code: PersonCode = code.parse().expect("a code");
        let name = name.map(str::to_owned);
        let person = PersonRecord { name, ..PersonRecord::new(code.clone()) };
        self.records.put_person(&person).expect("recorded");
        let step = |condition: &str, release| PlannedCondition {
            condition: condition.parse().expect("a condition"),
            dose: Dose { holds: 3, hold_s: 60.0, rest_s: 30.0 },
            release,
        };
        let draft = PlanDraft {
            conditions: vec![step(HERE, Release::Alone), step(NEXT, Release::Clinic)],
            settle_s: None,
            guided_by: GuidedBy::Sound,
            finds_stance_at_home: false,
            sessions_per_day: 1,
            thresholds: Thresholds::default(),
        };
        let made = ago(30, 0);
        self.records.put_next_plan(&code, draft, "clinician-1", made).expect("a plan");
        code
    }

    /// A session at home that was begun just now, nothing answered; its id.
    pub(crate) fn begun_session(&mut self, person: &PersonCode) -> String {
        let session = SessionRecord {
            id: new_record_id(),
            person: person.clone(),
            plan: None,
            place: Place::Home,
            started: WallTime::now(),
            ended_unix_us: None,
            answers: Answers::default(),
            exercises: Vec::new(),
        };
        self.records.put_session(&session).expect("a session");
        session.id
    }

    /// A session of three stands, everything answered.
    pub(crate) fn session(&mut self, person: &PersonCode, day: Day) {
        let rating = |points| Rating::new(points);
        let condition: Condition = HERE.parse().expect("a condition");
        let started = ago(day.days_ago, 0);
        let ended_us = started.unix_us + 20 * 60_000_000;
        let [start, worst, morning] = day.pain;
        let session = SessionRecord {
            id: new_record_id(),
            person: person.clone(),
            plan: None,
            place: Place::Home,
            started,
            ended_unix_us: Some(ended_us),
            answers: Answers {
                pain_at_start: rating(start),
                worst_pain_during: rating(worst),
                pain_after: rating(start),
                next_morning: rating(morning)
                    .map(|pain| NextMorning { pain, answered_us: ended_us + 20 * 3_600_000_000 }),
                fall: Some(false),
                warning_sign: Some(day.warning_sign),
                leg_pain_further_down: Some(false),
                numbness_or_weakness: Some(false),
            },
            exercises: vec![ExerciseAnswers {
                condition,
                difficulty: rating(day.difficulty),
                touched_something: Some(false),
                pad: None,
                reference: None,
                sound_lost: Vec::new(),
            }],
        };
        self.records.put_session(&session).expect("a session");
        let trials: Vec<TrialRecord> = [0.96, 1.0, 1.05]
            .into_iter()
            .zip(1..)
            .map(|(factor, n)| {
                trial(person, &session.id, ago(day.days_ago, n), condition, factor * day.wobble_mm)
            })
            .collect();
        self.records.put_trials(&trials).expect("trials");
    }
}

/// So many days ago, and minutes later.
fn ago(days: i64, minutes: i64) -> WallTime {
    let unix_us = WallTime::now().unix_us - days * DAY_US + minutes * 60_000_000;
    WallTime::new(unix_us, 0).expect("a time")
}

fn trial(
    person: &PersonCode,
    session: &str,
    started: WallTime,
    condition: Condition,
    wobble_mm: f64,
) -> TrialRecord {
    let values = [
        ("wobble_median", wobble_mm),
        ("share_over", if wobble_mm < 20.0 { 0.05 } else { 0.6 }),
        ("mean_velocity", wobble_mm * 0.9),
        ("wobble_windows", 55.0),
    ];
    TrialRecord {
        facts: TrialFacts {
            id: new_record_id(),
            person: person.clone(),
            session: Some(session.to_owned()),
            plan: None,
            condition,
            kind: TrialKind::Measured,
            setup: Setup {
                board: "plate-1".to_owned(),
                sole_height_mm: Some(60.0),
                facing: Facing::Front,
            },
            body_height_m: Some(1.68),
            body_mass_kg: Some(66.0),
            started,
            settled_s: 12.0,
            asked_s: 60.0,
            program: "made up".to_owned(),
        },
        digest: "0".repeat(64).parse().expect("a digest"),
        n_samples: 6000,
        ended: None,
        calibration: None,
        measurement: Measurement {
            processing: Processing::Standard,
            program: "made up".to_owned(),
            body_height_assumed: false,
            flags: Some(Vec::new()),
            not_available: None,
            values: values.map(|(key, value)| (key.to_owned(), value)).to_vec(),
            position: None,
        },
    }
}

/// Five easy days at the condition, the last one yesterday: enough for an advance.
pub(crate) const EASY: [Day; 5] = {
    const fn easy(days_ago: i64, wobble_mm: f64, difficulty: u8) -> Day {
        Day { days_ago, wobble_mm, difficulty, pain: [2, 3, 2], warning_sign: false }
    }
    [easy(12, 17.5, 4), easy(9, 15.0, 3), easy(6, 14.0, 3), easy(4, 13.5, 2), easy(2, 13.0, 2)]
};
