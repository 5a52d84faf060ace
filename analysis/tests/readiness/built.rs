//! Courses for the tests: an even course that earns an advance, to be changed in one place.

use analysis::readiness::{
    Answers, Course, Criterion, Decision, Exercise, Finding, Moment, NeutralOffset, NextMorning,
    NextStep, Rating, Session, StepPlan, Sway, Thresholds, TrialEvidence, TrialLength,
    WhereMeasured, Which, next_step,
};
use analysis::{Band, Condition, Facing, Plane, Setup, Stance, Surface, TrialKind, Vision};

pub(crate) const HOUR_US: i64 = 3_600_000_000;
pub(crate) const DAY_US: i64 = 24 * HOUR_US;

pub(crate) const EASIER: Condition = Condition::unaided(Surface::Foam, Stance::Wide, Vision::Open);
pub(crate) const CURRENT: Condition =
    Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Open);
pub(crate) const HARDER: Condition =
    Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Closed);

pub(crate) fn rating(points: u8) -> Rating {
    Rating::new(points).unwrap()
}

pub(crate) fn plan() -> StepPlan {
    StepPlan { conditions: vec![EASIER, CURRENT, HARDER], thresholds: Thresholds::default() }
}

pub(crate) fn decided(at_us: i64, condition: Condition) -> Decision {
    Decision { at_us, author: "clinician-1".to_owned(), condition }
}

/// The end of a session of that day, at six in the evening.
pub(crate) fn evening_us(day: i32) -> i64 {
    i64::from(day) * DAY_US + 18 * HOUR_US
}

/// Ten at night of that day.
pub(crate) fn night(day: i32) -> Moment {
    Moment { day, at_us: evening_us(day) + 4 * HOUR_US }
}

pub(crate) fn where_measured() -> WhereMeasured {
    WhereMeasured {
        length: TrialLength::Home,
        setup: Setup {
            board: "board-1".to_owned(),
            sole_height_mm: Some(60.0),
            facing: Facing::Front,
        },
        pad: "pad-1".to_owned(),
        plane: Plane::Plate,
    }
}

pub(crate) fn trial(id: &str, wobble_mm: f64) -> TrialEvidence {
    TrialEvidence {
        id: id.to_owned(),
        kind: TrialKind::Measured,
        measured: where_measured(),
        sway: Some(Sway {
            wobble_median_mm: wobble_mm,
            share_over: 0.04,
            mean_velocity_mm_per_s: 24.0,
            n_wobble_windows: 26,
            board_noise_log_sd: 0.02,
            calibration_log_sd: 0.01,
        }),
        stepped_off: false,
        unplanned_support: false,
        neutral_offset: None,
    }
}

/// A session with three trials about `wobble_mm`, felt easy, pain 2 throughout, nothing new.
pub(crate) fn session(day: i32, condition: Condition, wobble_mm: f64) -> Session {
    let trials = [0.95, 1.0, 1.05]
        .iter()
        .enumerate()
        .map(|(number, share)| trial(&format!("trial-{day}-{number}"), wobble_mm * share))
        .collect();
    Session {
        id: format!("session-{day}"),
        day,
        ended_us: evening_us(day),
        answers: Answers {
            pain_at_start: Some(rating(2)),
            worst_pain_during: Some(rating(3)),
            pain_after: Some(rating(2)),
            next_morning: Some(NextMorning {
                pain: rating(2),
                answered_us: evening_us(day) + 14 * HOUR_US,
            }),
            fall: Some(false),
            warning_sign: Some(false),
            leg_pain_further_down: Some(false),
            numbness_or_weakness: Some(false),
        },
        exercises: vec![Exercise {
            condition,
            difficulty: Some(rating(2)),
            touched_something: Some(false),
            trials,
        }],
    }
}

/// A learning session on day 1 and `n_scored` scored ones on the days after, at `wobble_mm`.
pub(crate) fn course_at(condition: Condition, n_scored: i32, wobble_mm: f64) -> Course {
    Course {
        sessions: (1..=n_scored + 1).map(|day| session(day, condition, wobble_mm)).collect(),
        decisions: vec![decided(0, condition)],
    }
}

/// Five scored sessions at 15 mm: everything an advance needs. The last day is 6.
pub(crate) fn easy_course() -> Course {
    course_at(CURRENT, 5, 15.0)
}

pub(crate) const LAST_DAY: i32 = 6;

/// The session of that day.
pub(crate) fn on(course: &mut Course, day: i32) -> &mut Session {
    course.sessions.iter_mut().find(|session| session.day == day).unwrap()
}

pub(crate) fn exercise_on(course: &mut Course, day: i32) -> &mut Exercise {
    &mut on(course, day).exercises[0]
}

/// Changes every trial of that day.
pub(crate) fn each_trial_on(
    course: &mut Course,
    day: i32,
    mut change: impl FnMut(&mut TrialEvidence),
) {
    exercise_on(course, day).trials.iter_mut().for_each(&mut change);
}

/// The same condition with a band, and the course there.
pub(crate) const BANDED: Condition = Condition { band: Band::UpperTrunk, ..CURRENT };

pub(crate) fn banded_plan() -> StepPlan {
    StepPlan {
        conditions: vec![EASIER, BANDED, Condition { stance: Stance::Together, ..BANDED }],
        thresholds: Thresholds::default(),
    }
}

/// A course with a band whose weight lies so far toward the pull, day by day.
pub(crate) fn banded_course(offsets_mm: [f64; 5]) -> Course {
    let mut course = course_at(BANDED, 5, 15.0);
    for (day, toward_pull_mm) in (2..).zip(offsets_mm) {
        each_trial_on(&mut course, day, |trial| {
            trial.neutral_offset =
                Some(NeutralOffset { toward_pull_mm, reference_uncertainty_mm: 1.0 });
        });
    }
    course
}

pub(crate) fn ask(course: &Course) -> NextStep {
    ask_on(course, LAST_DAY)
}

pub(crate) fn ask_on(course: &Course, day: i32) -> NextStep {
    next_step(course, &plan(), night(day)).unwrap()
}

pub(crate) fn find(step: &NextStep, which: Which) -> &Criterion {
    step.criteria.iter().find(|found| found.which == which).unwrap()
}

pub(crate) fn finding(step: &NextStep, which: Which) -> Finding {
    find(step, which).finding
}

pub(crate) fn reasons(step: &NextStep) -> Vec<Which> {
    step.reasons().into_iter().map(|found| found.which).collect()
}
