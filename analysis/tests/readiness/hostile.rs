//! Whatever stands in a file, the rule answers or says why not, and a warning sign stops.

use analysis::readiness::trend;
use analysis::readiness::{Moment, NeutralOffset, Verdict, next_step};
use proptest::prelude::*;

use crate::built::{BANDED, banded_course, banded_plan, easy_course, night, on, plan};

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(0.0),
        Just(-1.0),
        Just(1e-300),
        Just(1e300),
        0.5..60.0_f64,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn numbers_of_any_kind_never_break_the_rule(
        numbers in proptest::collection::vec(any_number(), 90),
        days in proptest::collection::vec(any::<i32>(), 6),
        now in any::<i32>(),
        at_us in any::<i64>(),
    ) {
        let mut numbers = numbers.into_iter().cycle();
        let mut next = || numbers.next().expect("a cycle does not end");
        let mut course = banded_course([0.0; 5]);
        for (session, day) in course.sessions.iter_mut().zip(days) {
            if day % 3 == 0 {
                session.day = day;
            }
            for trial in &mut session.exercises[0].trials {
                let sway = trial.sway.as_mut().expect("built with measures");
                sway.wobble_median_mm = next();
                sway.share_over = next();
                sway.mean_velocity_mm_per_s = next();
                sway.board_noise_log_sd = next();
                sway.calibration_log_sd = next();
                trial.measured.setup.sole_height_mm = Some(next());
                trial.neutral_offset = Some(NeutralOffset {
                    toward_pull_mm: next(),
                    reference_uncertainty_mm: next(),
                });
            }
        }
        let now = Moment { day: now, at_us };
        let plan = banded_plan();
        if let Ok(step) = next_step(&course, &plan, now) {
            for found in &step.criteria {
                prop_assert!(found.probability.is_none_or(|p| (0.0..=1.0).contains(&p)), "{found:?}");
                prop_assert!(found.value.is_none_or(f64::is_finite), "{found:?}");
            }
        }
        let _ = trend(&course, BANDED, &plan.thresholds, now);
    }

    #[test]
    fn a_warning_sign_on_any_day_and_clock_stops(day in any::<i32>(), ended_us in 1_i64..i64::MAX) {
        let mut course = easy_course();
        let told = on(&mut course, 3);
        told.day = day;
        told.ended_us = ended_us;
        told.answers.warning_sign = Some(true);
        let step = next_step(&course, &plan(), night(6)).expect("the plan holds the condition");
        prop_assert_eq!(step.verdict, Verdict::StopAndReview);
    }
}
