//! Change over a course.

use analysis::readiness::{Thresholds, trend};

use crate::built::{CURRENT, course_at, each_trial_on, night, on, rating};

const PER_WEEK: f64 = 0.723_337_388_568_363;
const PER_WEEK_LOWER: f64 = 0.264_333_265_597_113;
const PER_WEEK_UPPER: f64 = 1.979_383_777_213_899;

/// Days 2 to 9 with wobble shrinking by a tenth a day, and velocity as it was.
fn shrinking() -> analysis::readiness::Course {
    let mut course = course_at(CURRENT, 8, 20.0);
    for day in 2..=9 {
        each_trial_on(&mut course, day, |trial| {
            let sway = trial.sway.as_mut().unwrap();
            sway.wobble_median_mm *= 0.9_f64.powi(day - 2);
        });
    }
    course
}

#[test]
fn a_straight_line_through_the_logarithms_is_found_exactly() {
    let found = trend(&shrinking(), CURRENT, &Thresholds::default(), night(9)).unwrap();
    let wobble = found.wobble.unwrap();
    assert!((wobble.ratio_per_week - 0.9_f64.powi(7)).abs() < 1e-9, "{wobble:?}");
    // Means of days 2 to 4 and 7 to 9 lie five days apart.
    assert!((wobble.ratio - 0.9_f64.powi(5)).abs() < 1e-9, "{wobble:?}");
    assert!(wobble.real);
    assert!(!found.velocity.unwrap().real);
    assert!(!found.pain_differs);
}

#[test]
fn the_interval_is_that_of_ordinary_regression() {
    let mut course = course_at(CURRENT, 4, 20.0);
    for (day, ratio) in [(2, 1.0), (3, 1.1), (4, 0.95), (5, 0.9)] {
        each_trial_on(&mut course, day, |trial| {
            trial.sway.as_mut().unwrap().wobble_median_mm *= ratio;
        });
    }
    let found = trend(&course, CURRENT, &Thresholds::default(), night(5)).unwrap();
    let change = found.wobble.unwrap();
    // scipy 1.17.1: r = stats.linregress([2, 3, 4, 5], log([1, 1.1, .95, .9]));
    // exp(7 * r.slope), exp(7 * (r.slope -+ stats.t.ppf(.975, 2) * r.stderr))
    for (value, expected) in [
        (change.ratio_per_week, PER_WEEK),
        (change.ratio_per_week_interval.0, PER_WEEK_LOWER),
        (change.ratio_per_week_interval.1, PER_WEEK_UPPER),
    ] {
        assert!((value / expected - 1.0).abs() < 1e-9, "{value} {expected}");
    }
}

#[test]
fn the_learning_session_is_shown_and_in_no_trend() {
    let mut course = shrinking();
    each_trial_on(&mut course, 1, |trial| trial.sway.as_mut().unwrap().wobble_median_mm = 90.0);
    let found = trend(&course, CURRENT, &Thresholds::default(), night(9)).unwrap();
    let learning: Vec<i32> =
        found.points.iter().filter(|point| point.learning).map(|point| point.day).collect();
    assert_eq!((learning, found.points.len()), (vec![1], 9));
    assert!((found.wobble.unwrap().ratio_per_week - 0.9_f64.powi(7)).abs() < 1e-9);
}

#[test]
fn a_change_with_other_pain_is_marked() {
    let mut course = shrinking();
    on(&mut course, 9).answers.pain_at_start = Some(rating(0));
    let found = trend(&course, CURRENT, &Thresholds::default(), night(9)).unwrap();
    assert!(found.pain_differs);
}

#[test]
fn two_scored_days_show_no_trend() {
    let course = course_at(CURRENT, 2, 20.0);
    let found = trend(&course, CURRENT, &Thresholds::default(), night(3)).unwrap();
    assert_eq!((found.wobble, found.points.len()), (None, 3));
}
