//! One mass put down in many places.

use super::finding::Finding;
use super::load::{Load, grams_from_newtons, range, standard_deviation};
use super::test::BoardTest;
use crate::calibrate::chi_square_limit;

/// Largest difference of one mass between corners, as a share of it.
const CORNER_SHARE: f64 = 0.0015;

/// Largest distance of a spot from its mark, in millimetres.
const HOLD_OUT_LARGEST_MM: f64 = 2.0;

/// Standard uncertainty of one coordinate: calibration and placing together, in millimetres.
const HOLD_OUT_U_MM: f64 = 0.57;

/// Share of good boards that the root mean square alone turns away: for eight spots a limit of
/// 1.18 mm. The usual 5 % would use up the whole run's allowance on this one test.
const HOLD_OUT_CHANCE: f64 = 0.005;

/// The same spot again: standard deviations.
const REPEAT_SD_MM: f64 = 0.1;
const REPEAT_SD_GRAMS: f64 = 10.0;

/// A load that was put on a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marked {
    /// Where the mark is, to the right, in millimetres.
    pub ml_mm: f64,
    /// Where the mark is, forward, in millimetres.
    pub ap_mm: f64,
    /// What was read.
    pub load: Load,
}

/// One mass at the four corners reads alike.
pub fn corner_load(loads: &[Load]) -> Vec<Finding> {
    let mean = loads.iter().map(|load| load.newtons).sum::<f64>() / loads.len() as f64;
    let spread = range(loads.iter().map(|load| load.newtons)) / mean;
    let (value, limit) = (100.0 * spread, 100.0 * CORNER_SHARE);
    vec![Finding::at_most(BoardTest::CornerLoad, "difference between corners", value, limit, "%")]
}

/// Spots that were not used in the calibration lie where they are marked.
pub fn hold_out(spots: &[Marked]) -> Vec<Finding> {
    let test = BoardTest::HoldOut;
    let off: Vec<f64> = spots
        .iter()
        .map(|spot| (spot.load.ml_mm - spot.ml_mm).hypot(spot.load.ap_mm - spot.ap_mm))
        .collect();
    let squares: f64 = off.iter().map(|mm| mm * mm).sum();
    let rms = (squares / off.len() as f64).sqrt();
    let largest = off.iter().copied().fold(0.0, f64::max);
    // Squares over the uncertainty are chi-square with two degrees of freedom a spot.
    let chi_square = chi_square_limit(2 * off.len(), HOLD_OUT_CHANCE);
    let limit = HOLD_OUT_U_MM * (chi_square / off.len() as f64).sqrt();
    vec![
        Finding::at_most(test, "distance from the marks, rms", rms, limit, "mm"),
        Finding::at_most(test, "largest distance", largest, HOLD_OUT_LARGEST_MM, "mm"),
    ]
}

/// One spot, lifted and put back against stops.
pub fn repeatability(loads: &[Load]) -> Vec<Finding> {
    let test = BoardTest::Repeatability;
    let sd = |of: fn(&Load) -> f64| standard_deviation(&loads.iter().map(of).collect::<Vec<_>>());
    let place = sd(|load| load.ml_mm).max(sd(|load| load.ap_mm));
    let grams = grams_from_newtons(sd(|load| load.newtons));
    vec![
        Finding::at_most(test, "standard deviation of the place", place, REPEAT_SD_MM, "mm"),
        Finding::at_most(test, "standard deviation of the mass", grams, REPEAT_SD_GRAMS, "g"),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::load::newtons_from_grams;
    use super::*;

    fn load(newtons: f64, ml_mm: f64, ap_mm: f64) -> Load {
        Load { newtons, ml_mm, ap_mm }
    }

    /// 30 g on 20 kg are 0.15 %.
    #[test]
    fn thirty_grams_between_corners_are_at_the_limit() {
        let corners = |grams: f64| {
            let weight = newtons_from_grams(20_000.0);
            let other = weight + newtons_from_grams(grams);
            [weight, weight, weight, other].map(|newtons| load(newtons, 0.0, 0.0))
        };
        assert!(corner_load(&corners(29.9))[0].is_within());
        assert!(!corner_load(&corners(30.2))[0].is_within());
    }

    /// Eight spots 1 mm off: rms 1 mm; 34.267 is the 99.5 % quantile of chi-square with 16 degrees of
    /// freedom (table of any statistics text), so the limit is 0.57 mm x sqrt(34.267 / 8).
    #[test]
    fn distances_from_marks_by_hand() {
        let spots = [Marked { ml_mm: 10.0, ap_mm: 20.0, load: load(196.0, 10.6, 20.8) }; 8];
        let found = hold_out(&spots);
        assert!((found[0].value - 1.0).abs() < 1e-9);
        assert!((found[1].value - 1.0).abs() < 1e-9);
        let super::super::Limit::AtMost(limit) = found[0].limit else { panic!("{found:?}") };
        assert!((limit - 1.179_7).abs() < 1e-3, "{found:?}");
    }

    #[test]
    fn repeats_spread_by_hand() {
        let repeats = [0.1, -0.1, 0.1, -0.1, 0.0].map(|off| load(196.0 + off, off, 0.0));
        let found = repeatability(&repeats);
        assert!((found[0].value - 0.1).abs() < 1e-9, "{found:?}");
        assert!((found[1].value - 10.197).abs() < 1e-3, "{found:?}");
    }
}
