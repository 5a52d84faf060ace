//! What counts, what does not, and why.

use analysis::TrialKind;
use analysis::readiness::{Course, TrialEvidence, TrialLength, Verdict, WhyLeftOut};

use crate::built::{
    CURRENT, EASIER, LAST_DAY, ask, ask_on, course_at, decided, each_trial_on, easy_course,
    evening_us, exercise_on, session, trial,
};

fn why_left_out(course: &Course, trial: &str) -> Option<WhyLeftOut> {
    let step = ask(course);
    let of_trial = |left: &&analysis::readiness::LeftOut| left.trial.as_deref() == Some(trial);
    step.left_out.iter().find(of_trial).map(|left| left.why)
}

type Change = fn(&mut TrialEvidence);

#[test]
fn each_trial_that_is_not_scored_says_why() {
    let reasons: &[(WhyLeftOut, Change)] = &[
        (WhyLeftOut::Guided, |t| t.kind = TrialKind::Guided),
        (WhyLeftOut::Practice, |t| t.kind = TrialKind::Practice),
        (WhyLeftOut::SteppedOff, |t| t.stepped_off = true),
        (WhyLeftOut::UnplannedSupport, |t| t.unplanned_support = true),
        (WhyLeftOut::NoMeasures, |t| t.sway = None),
        (WhyLeftOut::NotANumber, |t| t.sway.as_mut().unwrap().wobble_median_mm = f64::NAN),
        (WhyLeftOut::NotANumber, |t| t.sway.as_mut().unwrap().wobble_median_mm = 0.0),
        (WhyLeftOut::NotANumber, |t| t.sway.as_mut().unwrap().share_over = 1.5),
        (WhyLeftOut::FewWindows, |t| t.sway.as_mut().unwrap().n_wobble_windows = 19),
        (WhyLeftOut::OtherSetup, |t| t.measured.length = TrialLength::Clinic),
        (WhyLeftOut::OtherSetup, |t| t.measured.pad = "pad-2".to_owned()),
        (WhyLeftOut::OtherSetup, |t| t.measured.setup.board = "board-2".to_owned()),
        (WhyLeftOut::OtherSetup, |t| t.measured.plane = analysis::Plane::Sole),
        (WhyLeftOut::SameIdTwice, |t| t.id = "trial-3-0".to_owned()),
    ];
    for (why, change) in reasons {
        let mut course = easy_course();
        change(&mut exercise_on(&mut course, 4).trials[1]);
        let id = exercise_on(&mut course, 4).trials[1].id.clone();
        assert_eq!(why_left_out(&course, &id), Some(*why), "{why:?}");
        assert_eq!(ask(&course).used.trials.len(), 14, "{why:?}");
    }
}

#[test]
fn a_touch_in_an_unknown_trial_leaves_out_all_of_that_exercise() {
    let mut course = easy_course();
    exercise_on(&mut course, 4).touched_something = Some(true);
    assert_eq!(ask(&course).used.days, [2, 3, 5, 6]);
}

#[test]
fn the_first_session_is_learning() {
    let course = easy_course();
    assert_eq!(why_left_out(&course, "trial-1-0"), Some(WhyLeftOut::Learning));
    assert_eq!(ask(&course).used.days, [2, 3, 4, 5, 6]);
}

#[test]
fn fourteen_days_and_the_last_change_of_condition_bound_the_evidence() {
    let course = easy_course();
    assert_eq!(ask_on(&course, 15).used.days, [2, 3, 4, 5, 6]);
    assert_eq!(ask_on(&course, 16).used.days, [3, 4, 5, 6]);
    let mut sent_again = course.clone();
    sent_again.decisions.push(decided(evening_us(2) + 1, EASIER));
    sent_again.decisions.push(decided(evening_us(3) + 1, CURRENT));
    assert_eq!(ask(&sent_again).used.days, [4, 5, 6]);
    let mut reviewed = course;
    reviewed.decisions.push(decided(evening_us(3) + 1, CURRENT));
    assert_eq!(ask(&reviewed).used.days, [2, 3, 4, 5, 6], "a review changes no condition");
}

#[test]
fn two_sessions_on_one_day_count_as_one() {
    let mut course = course_at(CURRENT, 2, 15.0);
    let mut second = session(3, CURRENT, 15.0);
    second.id = "second".to_owned();
    second.ended_us += 1;
    for (number, trial) in second.exercises[0].trials.iter_mut().enumerate() {
        trial.id = format!("second-{number}");
    }
    course.sessions.push(second);
    let step = ask_on(&course, 3);
    assert_eq!(step.verdict, Verdict::NotEnoughData);
    assert_eq!((step.used.days, step.used.trials.len()), (vec![2, 3], 9));
}

#[test]
fn a_session_imported_twice_counts_once() {
    let once = easy_course();
    let mut twice = once.clone();
    twice.sessions.extend(once.sessions.iter().cloned());
    let (one, two) = (ask(&once), ask(&twice));
    assert_eq!((one.verdict, &one.criteria, &one.used), (two.verdict, &two.criteria, &two.used));
    assert_eq!(two.left_out.len(), one.left_out.len() + once.sessions.len());
}

#[test]
fn the_order_in_which_sessions_arrive_does_not_matter() {
    let course = easy_course();
    let mut turned = course.clone();
    turned.sessions.reverse();
    turned.sessions.swap(0, 3);
    assert_eq!(ask(&course), ask(&turned));
}

#[test]
fn other_conditions_lengths_and_days_to_come_are_not_mixed_in() {
    let mut course = easy_course();
    let mut clinic = session(6, CURRENT, 90.0);
    clinic.id = "clinic".to_owned();
    for (number, trial) in clinic.exercises[0].trials.iter_mut().enumerate() {
        trial.id = format!("clinic-{number}");
        trial.measured.length = TrialLength::Clinic;
    }
    course.sessions.push(clinic);
    let mut later = session(9, CURRENT, 90.0);
    later.id = "later".to_owned();
    course.sessions.push(later);
    let mut elsewhere = session(6, EASIER, 90.0);
    elsewhere.id = "elsewhere".to_owned();
    course.sessions.push(elsewhere);
    let (plain, mixed) = (ask(&easy_course()), ask(&course));
    assert_eq!(plain.wobble, mixed.wobble);
    assert_eq!(mixed.verdict, Verdict::Advance);
}

#[test]
fn the_setup_with_most_days_is_judged() {
    let mut course = easy_course();
    for day in [2, 3] {
        each_trial_on(&mut course, day, |trial| trial.measured.pad = "pad-2".to_owned());
    }
    assert_eq!(ask(&course).used.days, [4, 5, 6]);
}

#[test]
fn a_new_trial_moves_the_estimate() {
    let mut course = easy_course();
    let before = ask(&course).wobble.unwrap();
    exercise_on(&mut course, LAST_DAY).trials.push(trial("one-more", 30.0));
    assert!(before.median_mm < ask(&course).wobble.unwrap().median_mm);
}
