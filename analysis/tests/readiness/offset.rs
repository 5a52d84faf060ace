//! The neutral offset toward a band's pull.

use analysis::readiness::{Finding, Verdict, Which, next_step};

use crate::built::{banded_course, banded_plan, each_trial_on, find, finding, night, reasons};

fn ask(offsets_mm: [f64; 5]) -> analysis::readiness::NextStep {
    next_step(&banded_course(offsets_mm), &banded_plan(), night(6)).unwrap()
}

#[test]
fn weight_that_stays_near_the_reference_does_not_hold_back() {
    let step = ask([2.0, 4.0, 3.0, 5.0, 1.0]);
    assert_eq!(step.verdict, Verdict::Advance);
    let within = find(&step, Which::OffsetWithin);
    // scipy 1.17.1: mean 3, tolerance 10 + 1; stats.t.cdf((11 - 3) / (sqrt(2.5) / sqrt(5)), 4)
    assert!((within.value.unwrap() - 3.0).abs() < 1e-12);
    assert!((within.threshold.unwrap().value - 11.0).abs() < 1e-12);
    assert!((within.probability.unwrap() - 0.999_826_054).abs() < 1e-8, "{within:?}");
}

#[test]
fn weight_far_toward_the_pull_asks_for_a_step_back_and_away_from_it_does_not() {
    let step = ask([14.0, 16.0, 15.0, 17.0, 13.0]);
    assert_eq!((step.verdict, reasons(&step)), (Verdict::StepBack, vec![Which::OffsetBeyond]));
    assert_eq!(ask([-14.0, -16.0, -15.0, -17.0, -13.0]).verdict, Verdict::Advance);
}

#[test]
fn an_offset_near_the_limit_is_neither_within_nor_beyond() {
    let step = ask([8.0, 14.0, 9.0, 13.0, 10.0]);
    assert_eq!(finding(&step, Which::OffsetBeyond), Finding::NotMet);
    assert_eq!(finding(&step, Which::OffsetWithin), Finding::NotMet);
    assert_eq!(step.verdict, Verdict::Stay);
}

#[test]
fn one_session_with_a_reference_shows_no_spread() {
    let mut course = banded_course([2.0; 5]);
    for day in 3..=6 {
        each_trial_on(&mut course, day, |trial| trial.neutral_offset = None);
    }
    let step = next_step(&course, &banded_plan(), night(6)).unwrap();
    assert_eq!(finding(&step, Which::OffsetWithin), Finding::NotKnown);
}
