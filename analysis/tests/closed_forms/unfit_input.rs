//! Records that cannot be measured, or not in full, say why.

use analysis::{Cop, MEASURES, MeasureDef, Measures, NotAvailable, Settings, measure};

use crate::trace;

const AS_RECORDED: Settings = Settings::as_recorded(Some(1.7));

fn reason(measures: &Measures, key: &str) -> String {
    let measure = MeasureDef::with_key(key).expect("a key of the table");
    match (measure.value)(measures) {
        Ok(value) => format!("{value}"),
        Err(reason) => reason.to_string(),
    }
}

fn still(n: usize) -> Vec<Cop> {
    vec![Cop::new(12.0, -7.0); n]
}

#[test]
fn nothing_at_all_has_no_measures() {
    let measures = measure(&trace(100.0, vec![]), &AS_RECORDED);
    for def in MEASURES {
        assert!((def.value)(&measures).is_err(), "{}", def.key);
    }
    assert_eq!(reason(&measures, "path_length"), "0 samples are too few, at least 2 are needed");
    assert_eq!(reason(&measures, "power_ml"), "0 samples are too few, at least 4 are needed");
}

#[test]
fn two_samples_have_a_path_but_no_ellipse() {
    let measures =
        measure(&trace(100.0, vec![Cop::new(0.0, 0.0), Cop::new(3.0, 4.0)]), &AS_RECORDED);
    assert_eq!(reason(&measures, "path_length"), "5");
    assert_eq!(reason(&measures, "ellipse_area"), "2 samples are too few, at least 3 are needed");
    assert_eq!(
        reason(&measures, "wobble_median"),
        "0.02 s is too short, more than 5.00 s are needed"
    );
}

#[test]
fn somebody_made_of_stone_has_no_frequency() {
    let measures = measure(&trace(100.0, still(6000)), &AS_RECORDED);
    assert_eq!(reason(&measures, "path_length"), "0");
    assert_eq!(reason(&measures, "ellipse_area"), "0");
    assert_eq!(reason(&measures, "wobble_median"), "0");
    assert_eq!(reason(&measures, "rotation_frequency"), "the centre of pressure does not move");
    assert_eq!(reason(&measures, "mean_frequency"), "there is no movement between 0.15 and 5 Hz");
    assert_eq!(reason(&measures, "ellipse_angle_deg"), "the sway has no main direction");
}

#[test]
fn one_axis_may_have_values_that_the_other_has_not() {
    let along = |i: i32| Cop::new(5.0 * (0.05 * f64::from(i)).sin(), 0.0);
    let measures = measure(&trace(100.0, (0..6000).map(along).collect()), &AS_RECORDED);
    let frequency = measures.frequency.expect("there is a spectrum");
    assert!(frequency.ml.is_ok());
    assert!(matches!(frequency.ap, Err(NotAvailable::NoPower { .. })));
    assert_eq!(frequency.mean_frequency_hz, frequency.ml.map(|ml| ml.mean_frequency_hz));
}

#[test]
fn the_standard_processing_asks_for_a_rate_and_more_than_5_s() {
    let check = |rate_hz: f64, n: usize, wanted: &str| {
        let measures = measure(&trace(rate_hz, still(n)), &Settings::standard(None));
        for def in MEASURES {
            assert_eq!(reason(&measures, def.key), wanted);
        }
    };
    check(100.0, 500, "4.99 s is too short, more than 5.00 s are needed");
    check(39.0, 6000, "39 samples a second are too few, at least 40 are needed");
    check(20_001.0, 10, "20001 samples a second are too many, at most 20000 are allowed");
    let one_left = measure(&trace(100.0, still(501)), &Settings::standard(None));
    assert_eq!(one_left.n_samples, 1);
}

#[test]
fn a_slow_record_has_no_band() {
    let measures = measure(&trace(8.0, still(600)), &AS_RECORDED);
    assert_eq!(
        reason(&measures, "power_ml"),
        "8 samples a second are too few, at least 10 are needed"
    );
    let measures = measure(&trace(0.5, still(600)), &AS_RECORDED);
    assert_eq!(
        reason(&measures, "path_length"),
        "0.5 samples a second are too few, at least 1 are needed"
    );
}

#[test]
fn points_beyond_any_board_and_heights_of_nobody_are_refused() {
    let measures = measure(&trace(100.0, vec![Cop::new(0.0, -1e300); 10]), &AS_RECORDED);
    assert!(matches!(measures.displacement, Err(NotAvailable::OffTheBoard { .. })));
    let measures = measure(&trace(100.0, still(6000)), &Settings::as_recorded(Some(17.0)));
    assert_eq!(reason(&measures, "body_rms_ml"), "a body height of 17 m is outside 0.5 to 2.6 m");
    assert_eq!(reason(&measures, "path_length"), "0");
}

#[test]
fn an_unknown_height_is_assumed_and_said_to_be() {
    let sway = |i: i32| Cop::new((0.05 * f64::from(i)).sin(), (0.02 * f64::from(i)).cos());
    let trace = trace(100.0, (0..6000).map(sway).collect());
    let assumed = measure(&trace, &Settings::as_recorded(None));
    let known = measure(&trace, &Settings::as_recorded(Some(Settings::ASSUMED_BODY_HEIGHT_M)));
    assert!(assumed.body_height_assumed && !known.body_height_assumed);
    assert_eq!(assumed.body, known.body);
}
