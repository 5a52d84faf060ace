//! Each rule by itself.

use analysis::readiness::{
    Course, Finding, NextMorning, Note, RatioSource, Settle, StepPlan, Thresholds, Verdict, Which,
    next_step,
};
use analysis::{Condition, Stance, Vision};

use crate::built::{
    CURRENT, EASIER, HARDER, HOUR_US, LAST_DAY, ask, ask_on, course_at, decided, each_trial_on,
    easy_course, evening_us, exercise_on, find, finding, night, on, plan, rating, reasons, session,
};

type Change = fn(&mut Course);

#[test]
fn every_report_that_asks_for_a_stop_stops() {
    let reports: &[(Which, Change)] = &[
        (Which::WarningSign, |c| on(c, 6).answers.warning_sign = Some(true)),
        (Which::LegPainFurtherDown, |c| on(c, 6).answers.leg_pain_further_down = Some(true)),
        (Which::NumbnessOrWeakness, |c| on(c, 6).answers.numbness_or_weakness = Some(true)),
        (Which::Fall, |c| on(c, 6).answers.fall = Some(true)),
        (Which::PainDuring, |c| on(c, 6).answers.worst_pain_during = Some(rating(4))),
        (Which::PainAfter, |c| on(c, 6).answers.pain_after = Some(rating(4))),
        (Which::PainNextMorning, |c| {
            let answered_us = evening_us(6) + 3 * HOUR_US;
            on(c, 6).answers.next_morning = Some(NextMorning { pain: rating(4), answered_us });
        }),
        (Which::PainAtStart, |c| {
            on(c, 6).answers.pain_at_start = Some(rating(6));
            on(c, 6).answers.worst_pain_during = Some(rating(6));
        }),
    ];
    for (which, report) in reports {
        let mut course = easy_course();
        report(&mut course);
        let step = ask(&course);
        assert_eq!(step.verdict, Verdict::StopAndReview, "{which}");
        assert_eq!(reasons(&step), [*which], "{which}");
        assert_eq!(find(&step, *which).days, [6], "{which}");
    }
}

#[test]
fn pain_that_rises_by_one_or_starts_at_the_ceiling_does_not_stop() {
    let mut course = easy_course();
    on(&mut course, 6).answers.pain_at_start = Some(rating(5));
    on(&mut course, 6).answers.worst_pain_during = Some(rating(6));
    on(&mut course, 6).answers.pain_after = Some(rating(6));
    assert_ne!(ask(&course).verdict, Verdict::StopAndReview);
}

#[test]
fn a_stop_holds_until_a_review_newer_than_the_report() {
    let mut course = easy_course();
    on(&mut course, 4).answers.fall = Some(true);
    assert_eq!(ask(&course).verdict, Verdict::StopAndReview);
    course.decisions.push(decided(evening_us(4) - 1, CURRENT));
    assert_eq!(ask(&course).verdict, Verdict::StopAndReview, "the review is older");
    course.decisions.push(decided(evening_us(4) + 1, CURRENT));
    assert_eq!(finding(&ask(&course), Which::Fall), Finding::NotMet, "the review is newer");
}

#[test]
fn pain_of_the_next_morning_is_newer_than_a_review_of_the_evening() {
    let mut course = easy_course();
    let answered_us = evening_us(4) + 14 * HOUR_US;
    on(&mut course, 4).answers.next_morning = Some(NextMorning { pain: rating(5), answered_us });
    course.decisions.push(decided(evening_us(4) + HOUR_US, CURRENT));
    assert_eq!(reasons(&ask(&course)), [Which::PainNextMorning]);
    course.decisions.push(decided(answered_us + 1, CURRENT));
    assert_ne!(ask(&course).verdict, Verdict::StopAndReview);
}

#[test]
fn a_report_at_another_condition_stops_too() {
    let mut course = easy_course();
    let mut elsewhere = session(6, EASIER, 10.0);
    elsewhere.id = "elsewhere".to_owned();
    elsewhere.answers.warning_sign = Some(true);
    course.sessions.push(elsewhere);
    assert_eq!(ask(&course).verdict, Verdict::StopAndReview);
}

#[test]
fn events_in_two_of_the_last_three_sessions_ask_for_a_step_back() {
    let days_and_verdicts: &[(&[i32], bool)] =
        &[(&[5, 6], true), (&[4, 6], true), (&[4], false), (&[3, 6], false)];
    for (days, back) in days_and_verdicts {
        let mut course = easy_course();
        for &day in *days {
            exercise_on(&mut course, day).trials[0].stepped_off = true;
        }
        let step = ask(&course);
        assert_eq!(step.verdict == Verdict::StepBack, *back, "{days:?}");
    }
}

#[test]
fn an_admitted_touch_is_an_event_like_a_step_off() {
    let mut course = easy_course();
    exercise_on(&mut course, 5).touched_something = Some(true);
    exercise_on(&mut course, 6).trials[1].unplanned_support = true;
    let step = ask(&course);
    assert_eq!((step.verdict, reasons(&step)), (Verdict::StepBack, vec![Which::Events]));
}

#[test]
fn wobble_over_the_window_asks_for_a_step_back() {
    let step = ask(&course_at(CURRENT, 5, 32.0));
    assert_eq!((step.verdict, reasons(&step)), (Verdict::StepBack, vec![Which::TooWide]));
    assert_eq!(step.easier, Some(EASIER));
}

#[test]
fn without_an_easier_condition_a_step_back_becomes_a_stop_that_holds() {
    let mut course = course_at(EASIER, 8, 15.0);
    for day in [4, 5] {
        exercise_on(&mut course, day).trials[0].stepped_off = true;
    }
    for day in [5, 9] {
        let step = ask_on(&course, day);
        assert_eq!(step.verdict, Verdict::StopAndReview, "day {day}");
        assert_eq!(reasons(&step), [Which::NoEasierCondition], "day {day}");
    }
    course.decisions.push(decided(evening_us(6) + 1, EASIER));
    assert_ne!(ask_on(&course, 9).verdict, Verdict::StopAndReview, "reviewed");
}

#[test]
fn too_few_sessions_or_trials_are_not_enough_data() {
    for n_scored in 0..3_u16 {
        let days = i32::from(n_scored);
        let step = ask_on(&course_at(CURRENT, days, 15.0), days + 1);
        assert_eq!(step.verdict, Verdict::NotEnoughData, "{n_scored}");
        let sessions = find(&step, Which::ScoredSessions);
        assert_eq!(sessions.settle, Some(Settle::MoreSessions(3 - n_scored)));
    }
    let mut course = course_at(CURRENT, 3, 15.0);
    for day in 2..=4 {
        exercise_on(&mut course, day).trials.truncate(1);
    }
    let step = ask_on(&course, 4);
    assert_eq!((step.verdict, reasons(&step)), (Verdict::NotEnoughData, vec![Which::ScoredTrials]));
    assert_eq!(find(&step, Which::ScoredTrials).settle, Some(Settle::MoreTrials(3)));
}

#[test]
fn an_advance_needs_two_days_that_agree() {
    let course = easy_course();
    let verdicts: Vec<Verdict> = (2..=6)
        .map(|day| {
            let so_far = Course {
                sessions: course.sessions[..usize::try_from(day).unwrap()].to_vec(),
                decisions: course.decisions.clone(),
            };
            ask_on(&so_far, day).verdict
        })
        .collect();
    let first = verdicts.iter().position(|&verdict| verdict == Verdict::Advance).unwrap();
    assert_eq!(verdicts[first - 1], Verdict::Stay, "{verdicts:?}");
    let step = ask_on(&course, LAST_DAY);
    assert_eq!(step.verdict, Verdict::Advance);
    assert_eq!(find(&step, Which::Agreeing).days, [5, 6]);
    assert!(step.notes.contains(&Note::FirstTimeSupervised));
}

#[test]
fn the_same_evidence_asked_again_on_another_day_does_not_agree_with_itself() {
    let course = course_at(CURRENT, 3, 12.0);
    for day in 4..8 {
        let step = ask_on(&course, day);
        assert_eq!((step.verdict, reasons(&step)), (Verdict::Stay, vec![Which::Agreeing]), "{day}");
    }
}

#[test]
fn everything_met_at_the_last_condition_completes_the_plan() {
    let plan = StepPlan { conditions: vec![EASIER, CURRENT], thresholds: Thresholds::default() };
    let step = next_step(&easy_course(), &plan, night(LAST_DAY)).unwrap();
    assert_eq!(step.verdict, Verdict::PlanComplete);
}

#[test]
fn each_need_of_an_advance_that_is_missing_is_named() {
    let missing: &[(Which, Finding, Change)] = &[
        (Which::InWindow, Finding::NotMet, |c| *c = course_at(CURRENT, 5, 24.0)),
        (Which::ShareOver, Finding::NotMet, |c| {
            for day in 2..=6 {
                each_trial_on(c, day, |trial| trial.sway.as_mut().unwrap().share_over = 0.25);
            }
        }),
        (Which::FeltEasy, Finding::NotMet, |c| {
            exercise_on(c, 5).difficulty = Some(rating(4));
        }),
        (Which::FeltEasy, Finding::NotKnown, |c| exercise_on(c, 5).difficulty = None),
        (Which::NoEvents, Finding::NotMet, |c| exercise_on(c, 4).trials[2].stepped_off = true),
        (Which::NoEvents, Finding::NotKnown, |c| exercise_on(c, 4).touched_something = None),
        (Which::Steady, Finding::NotMet, |c| {
            for (day, wobble_mm, velocity) in [(4, 8.0, 14.0), (6, 22.0, 40.0)] {
                each_trial_on(c, day, |trial| {
                    let sway = trial.sway.as_mut().unwrap();
                    sway.wobble_median_mm = wobble_mm;
                    sway.mean_velocity_mm_per_s = velocity;
                });
            }
        }),
    ];
    for (which, expected, change) in missing {
        let mut course = easy_course();
        change(&mut course);
        let step = ask(&course);
        assert_eq!(step.verdict, Verdict::Stay, "{which} {expected:?}");
        assert_eq!(finding(&step, *which), *expected, "{which}");
        assert!(reasons(&step).contains(which), "{which}: {:?}", reasons(&step));
        assert!(find(&step, *which).settle.is_some(), "{which}");
    }
}

#[test]
fn missing_pain_or_warning_answers_withhold_only_the_advance() {
    let silences: &[Change] = &[
        |c| on(c, 5).answers.pain_at_start = None,
        |c| on(c, 5).answers.worst_pain_during = None,
        |c| on(c, 5).answers.pain_after = None,
        |c| on(c, 5).answers.next_morning = None,
        |c| on(c, 5).answers.fall = None,
        |c| on(c, 6).answers.warning_sign = None,
        |c| on(c, 6).answers.leg_pain_further_down = None,
        |c| on(c, 6).answers.numbness_or_weakness = None,
    ];
    for (number, silence) in silences.iter().enumerate() {
        let mut course = easy_course();
        silence(&mut course);
        let step = ask(&course);
        assert_eq!(step.verdict, Verdict::NotEnoughData, "{number}");
        assert_eq!(reasons(&step), [Which::AnswersKnown], "{number}");

        let mut wide = course_at(CURRENT, 5, 32.0);
        silence(&mut wide);
        assert_eq!(ask(&wide).verdict, Verdict::StepBack, "{number}");
    }
}

#[test]
fn the_next_morning_of_the_latest_session_is_not_missing_yet() {
    let mut course = easy_course();
    on(&mut course, 6).answers.next_morning = None;
    assert_eq!(ask(&course).verdict, Verdict::Advance);
}

#[test]
fn a_wider_wobble_alone_is_not_worse() {
    let mut course = easy_course();
    for (day, wobble_mm) in [(4, 8.0), (6, 22.0)] {
        each_trial_on(&mut course, day, |trial| {
            trial.sway.as_mut().unwrap().wobble_median_mm = wobble_mm;
        });
    }
    let step = ask(&course);
    assert_eq!(finding(&step, Which::Steady), Finding::Met);
    assert!(step.notes.contains(&Note::WiderButNotWorse));
    exercise_on(&mut course, 4).difficulty = Some(rating(1));
    exercise_on(&mut course, 6).difficulty = Some(rating(3));
    assert_eq!(finding(&ask(&course), Which::Steady), Finding::NotMet, "felt difficulty agrees");
    on(&mut course, 4).answers.pain_at_start = Some(rating(0));
    on(&mut course, 4).answers.worst_pain_during = Some(rating(1));
    on(&mut course, 4).answers.pain_after = Some(rating(1));
    on(&mut course, 4).answers.next_morning = None;
    let step = ask(&course);
    assert_eq!(finding(&step, Which::Steady), Finding::NotJudged, "pain differs by 2");
    assert!(step.notes.contains(&Note::PainDiffers));
}

#[test]
fn the_next_condition_is_read_from_open_recordings_or_own_trials_or_not_at_all() {
    let step = ask(&easy_course());
    let next = step.next_wobble.unwrap();
    assert_eq!(next.source, RatioSource::OpenRecordings);
    let ratio = next.median_mm / step.wobble.unwrap().median_mm;
    assert!((ratio - 1.17).abs() < 1e-6, "{ratio}");

    let mut own = easy_course();
    let mut tried = session(6, HARDER, 40.0);
    tried.id = "tried".to_owned();
    for trial in &mut tried.exercises[0].trials {
        trial.id.push_str("-closed");
    }
    own.sessions.push(tried);
    let step = ask(&own);
    let source = RatioSource::OwnTrials { n_days: 1, n_trials: 3 };
    assert_eq!(step.next_wobble.unwrap().source, source);
    assert_eq!((step.verdict, reasons(&step)), (Verdict::Stay, vec![Which::NextInReach]));

    let together = Condition { stance: Stance::Together, ..CURRENT };
    let closed = Condition { vision: Vision::Closed, ..together };
    let plan = StepPlan { conditions: vec![EASIER, CURRENT, together, closed], ..plan() };
    let step = next_step(&easy_course(), &plan, night(LAST_DAY)).unwrap();
    assert_eq!(step.next_wobble, None);
    assert_eq!(
        (step.verdict, finding(&step, Which::NextInReach)),
        (Verdict::Advance, Finding::NotApplicable)
    );
}
