//! Where two rules could both speak, the earlier one does.

use analysis::readiness::{Finding, Note, Settle, Verdict, Which, next_step};

use crate::built::{
    CURRENT, ask, ask_on, banded_plan, course_at, decided, each_trial_on, easy_course, evening_us,
    exercise_on, find, finding, night, on, rating, reasons,
};

#[test]
fn a_warning_sign_with_perfect_sway_stops() {
    let mut course = easy_course();
    assert_eq!(ask(&course).verdict, Verdict::Advance);
    on(&mut course, 6).answers.warning_sign = Some(true);
    assert_eq!(ask(&course).verdict, Verdict::StopAndReview);
}

#[test]
fn a_warning_sign_in_the_very_first_session_stops_without_any_data() {
    let mut course = course_at(CURRENT, 0, 15.0);
    on(&mut course, 1).exercises.clear();
    on(&mut course, 1).answers.warning_sign = Some(true);
    assert_eq!(ask_on(&course, 1).verdict, Verdict::StopAndReview);
}

#[test]
fn stepping_off_every_time_is_a_step_back_not_a_lack_of_data() {
    let mut course = course_at(CURRENT, 2, 15.0);
    for day in 1..=3 {
        each_trial_on(&mut course, day, |trial| {
            trial.stepped_off = true;
            trial.sway = None;
        });
    }
    let step = ask_on(&course, 3);
    assert_eq!((step.verdict, reasons(&step)), (Verdict::StepBack, vec![Which::Events]));
    assert_eq!(step.used.trials, Vec::<String>::new());
    course.sessions.pop();
    assert_eq!(ask_on(&course, 2).verdict, Verdict::StepBack, "both of two");
    course.sessions.pop();
    assert_eq!(ask_on(&course, 1).verdict, Verdict::NotEnoughData, "one session is not two");
}

#[test]
fn a_fall_goes_before_stepping_off_every_time() {
    let mut course = easy_course();
    for day in 4..=6 {
        each_trial_on(&mut course, day, |trial| trial.stepped_off = true);
    }
    on(&mut course, 5).answers.fall = Some(true);
    let step = ask(&course);
    assert_eq!((step.verdict, reasons(&step)), (Verdict::StopAndReview, vec![Which::Fall]));
    assert_eq!(finding(&step, Which::Events), Finding::Met, "still told");
}

#[test]
fn one_good_day_after_a_warning_sign_changes_nothing() {
    let mut course = easy_course();
    on(&mut course, 5).answers.warning_sign = Some(true);
    assert_eq!(ask(&course).verdict, Verdict::StopAndReview);
    course.decisions.push(decided(evening_us(6) + 1, CURRENT));
    let step = ask(&course);
    assert_eq!(step.verdict, Verdict::Stay, "reviewed, but the day before was a stop");
    assert_eq!(reasons(&step), [Which::Agreeing]);
}

#[test]
fn little_wobble_that_feels_hard_is_a_stay() {
    let mut course = course_at(CURRENT, 5, 3.5);
    for day in 4..=6 {
        exercise_on(&mut course, day).difficulty = Some(rating(7));
    }
    let step = ask(&course);
    assert_eq!((step.verdict, reasons(&step)), (Verdict::Stay, vec![Which::FeltEasy]));
    assert_eq!(find(&step, Which::FeltEasy).settle, Some(Settle::LookForBracing));
    assert!(step.notes.contains(&Note::LittleWobbleFeltHard));

    for day in 4..=6 {
        exercise_on(&mut course, day).difficulty = Some(rating(5));
    }
    assert_eq!(ask(&course).verdict, Verdict::Advance, "5 is allowed with little wobble");
    on(&mut course, 6).answers.pain_at_start = Some(rating(4));
    on(&mut course, 6).answers.worst_pain_during = Some(rating(4));
    on(&mut course, 6).answers.pain_after = Some(rating(4));
    let step = ask(&course);
    assert_eq!(
        (step.verdict, reasons(&step)),
        (Verdict::Stay, vec![Which::FeltEasy]),
        "pain up by 2"
    );
}

#[test]
fn a_band_without_its_own_reference_is_not_judged_and_holds_back_an_advance() {
    let course = course_at(crate::built::BANDED, 5, 15.0);
    let step = next_step(&course, &banded_plan(), night(6)).unwrap();
    assert_eq!(finding(&step, Which::OffsetBeyond), Finding::NotJudged);
    assert_eq!(finding(&step, Which::OffsetWithin), Finding::NotKnown);
    assert_eq!(find(&step, Which::OffsetWithin).value, None);
    assert_eq!((step.verdict, reasons(&step)), (Verdict::Stay, vec![Which::OffsetWithin]));
}

#[test]
fn without_a_band_the_offset_is_not_asked_for() {
    let step = ask(&easy_course());
    assert_eq!(finding(&step, Which::OffsetWithin), Finding::NotApplicable);
    assert_eq!(step.verdict, Verdict::Advance);
}

#[test]
fn missing_answers_are_missing_not_zero() {
    let mut course = easy_course();
    on(&mut course, 6).answers.pain_at_start = None;
    on(&mut course, 6).answers.worst_pain_during = Some(rating(9));
    let step = ask(&course);
    assert_eq!(finding(&step, Which::PainDuring), Finding::NotKnown, "no start, no rise");
    assert_eq!(step.verdict, Verdict::NotEnoughData);
}
