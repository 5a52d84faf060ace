//! The words: made from what was evaluated, and never a word that promises too much.

use analysis::readiness::{About, Audience, Course, NextStep, Verdict, Words, next_step};

use crate::built::{
    CURRENT, EASIER, HARDER, ask, ask_on, banded_course, banded_plan, course_at, easy_course,
    exercise_on, night, on, plan, rating,
};

const NEVER: [&str; 7] = ["safe", "normal", "cured", "cleared", "pass", "fail", "diagnos"];

/// Verdicts of every kind, with as many different reasons as the courses of these tests give.
fn steps() -> Vec<NextStep> {
    let mut steps = vec![ask(&easy_course()), ask_on(&course_at(CURRENT, 1, 15.0), 2)];
    let changes: &[fn(&mut Course)] = &[
        |c| on(c, 6).answers.warning_sign = Some(true),
        |c| on(c, 6).answers.leg_pain_further_down = Some(true),
        |c| on(c, 6).answers.numbness_or_weakness = Some(true),
        |c| on(c, 6).answers.fall = Some(true),
        |c| on(c, 6).answers.worst_pain_during = Some(rating(9)),
        |c| on(c, 6).answers.pain_after = Some(rating(4)),
        |c| on(c, 6).answers.pain_at_start = Some(rating(8)),
        |c| on(c, 6).answers.fall = None,
        |c| exercise_on(c, 6).difficulty = Some(rating(6)),
        |c| exercise_on(c, 6).difficulty = None,
        |c| exercise_on(c, 6).touched_something = None,
        |c| exercise_on(c, 6).trials[0].stepped_off = true,
        |c| *c = course_at(CURRENT, 5, 24.0),
        |c| *c = course_at(CURRENT, 5, 33.0),
        |c| *c = course_at(HARDER, 5, 12.0),
        |c| *c = course_at(EASIER, 5, 33.0),
        |c| {
            *c = course_at(CURRENT, 5, 3.5);
            exercise_on(c, 6).difficulty = Some(rating(8));
        },
    ];
    for change in changes {
        let mut course = easy_course();
        change(&mut course);
        steps.push(ask(&course));
    }
    for offsets in [[2.0; 5], [20.0, 21.0, 19.0, 20.0, 20.0], [8.0, 14.0, 9.0, 13.0, 10.0]] {
        steps.push(next_step(&banded_course(offsets), &banded_plan(), night(6)).unwrap());
    }
    steps
}

fn words(step: &NextStep) -> [Words; 2] {
    [step.words(Audience::Patient), step.words(Audience::Clinician)]
}

#[test]
fn the_courses_of_these_tests_reach_every_verdict() {
    let reached: Vec<Verdict> = steps().iter().map(|step| step.verdict).collect();
    for verdict in Verdict::ALL {
        assert!(reached.contains(verdict), "{verdict}");
    }
}

#[test]
fn every_reason_shown_is_one_that_was_evaluated_and_decided() {
    for step in steps() {
        let deciding: Vec<_> = step.reasons().iter().map(|found| found.which).collect();
        for said in words(&step) {
            for line in &said.lines {
                match line.about {
                    About::Reason(which) => {
                        assert!(deciding.contains(&which), "{which} in {:?}", line.text);
                        assert!(step.criteria.iter().any(|found| found.which == which));
                    }
                    About::Note(note) => assert!(step.notes.contains(&note)),
                    About::Wobble => assert!(step.wobble.is_some()),
                    About::NextWobble => assert!(step.next_wobble.is_some()),
                    About::Evidence => {}
                }
            }
        }
    }
}

#[test]
fn every_reason_that_decided_is_told_to_the_clinician() {
    for step in steps() {
        let said = step.words(Audience::Clinician);
        for found in step.reasons() {
            let about = About::Reason(found.which);
            assert!(said.lines.iter().any(|line| line.about == about), "{}", found.which);
        }
        assert!(!said.lines.is_empty(), "{}", step.verdict);
    }
}

#[test]
fn words_that_promise_too_much_are_never_said() {
    for step in steps() {
        for said in words(&step) {
            let texts = said.lines.iter().map(|line| &line.text).chain([&said.headline]);
            for text in texts {
                let lower = text.to_lowercase();
                for never in NEVER {
                    assert!(!lower.contains(never), "{never} in {text:?}");
                }
                assert!(text.ends_with('.'), "{text:?}");
            }
        }
    }
}

#[test]
fn the_clinician_reads_numbers_limits_and_where_limits_come_from() {
    let step = ask(&course_at(CURRENT, 5, 33.0));
    let said = step.words(Audience::Clinician);
    assert_eq!(
        said.headline,
        "Next step: step back to the easier condition. The clinician decides."
    );
    let text = &said.lines[0].text;
    for part in [
        "Wobble over the window",
        "25.4 mm (common practice, no published source)",
        "80.0 % (this program's default, not from a published trial)",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let mut own = plan();
    own.thresholds.step_back_probability = 0.7;
    let step = next_step(&course_at(CURRENT, 5, 33.0), &own, night(6)).unwrap();
    assert!(step.words(Audience::Clinician).lines[0].text.contains("70.0 % (set in the plan)"));
}

#[test]
fn the_patient_reads_no_probability() {
    for step in steps() {
        for line in step.words(Audience::Patient).lines {
            assert!(!line.text.contains('%') && !line.text.contains("probab"), "{}", line.text);
        }
    }
}
