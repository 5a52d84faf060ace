//! The empty board, from a cold start on.

use super::finding::Finding;
use super::load::{grams_from_newtons, range};
use super::test::BoardTest;

/// Change of a cell within any two minutes once it is warm, in grams.
const TWO_MINUTES_GRAMS: f64 = 10.0;

/// Change of a cell over the second quarter of an hour, in grams.
const QUARTER_HOUR_GRAMS: f64 = 30.0;

/// Means of each whole minute of the empty board, in newtons, in order; thirty of them.
pub fn drift(minute_means_newtons: &[[f64; 4]]) -> Vec<Finding> {
    let test = BoardTest::Drift;
    let warm = minute_means_newtons.get(15..).unwrap_or_default();
    let worst = |of: &dyn Fn(usize) -> f64| (0..4).map(of).fold(f64::NAN, f64::max);
    let in_two = worst(&|cell| {
        warm.windows(3)
            .map(|minutes| range(minutes.iter().map(|means| means[cell])))
            .fold(f64::NAN, f64::max)
    });
    let in_all = worst(&|cell| range(warm.iter().map(|means| means[cell])));
    vec![
        Finding::at_most(
            test,
            "zero of the worst cell within two minutes",
            grams_from_newtons(in_two),
            TWO_MINUTES_GRAMS,
            "g",
        ),
        Finding::at_most(
            test,
            "zero of the worst cell, second quarter of an hour",
            grams_from_newtons(in_all),
            QUARTER_HOUR_GRAMS,
            "g",
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2 g a minute on one cell: 4 g in two minutes, 28 g from the 16th to the 30th mean.
    #[test]
    fn a_steady_drift_by_hand_and_too_short_a_record_is_outside() {
        let newtons = |minute: i32| super::super::load::newtons_from_grams(2.0 * f64::from(minute));
        let means: Vec<[f64; 4]> =
            (0..30).map(|minute| [0.0, 0.0, -newtons(minute), 0.0]).collect();
        let found = drift(&means);
        assert!((found[0].value - 4.0).abs() < 1e-9, "{found:?}");
        assert!((found[1].value - 28.0).abs() < 1e-9, "{found:?}");
        assert!(drift(&means[..15]).iter().all(|finding| !finding.is_within()));
    }
}
