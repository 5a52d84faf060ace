//! Weights in steps, and a small mass moved.

use super::finding::{Finding, Limit};
use super::load::Load;
use super::test::BoardTest;
use crate::calibrate::GRAVITY_M_PER_S2;

/// Up against down: total force as a share of the largest load, and place.
const HYSTERESIS_SHARE: f64 = 0.0005;
const HYSTERESIS_MM: f64 = 0.15;

/// 1 kg moved by 100 mm on 60 kg, in millimetres, and how far off it may be.
const SWING_MM: f64 = 100.0 / 60.0;
const SWING_TOLERANCE_MM: f64 = 0.02;

/// Loads going up, the largest, and the same going down: 20, 40, 60, 40, 20 kg.
pub fn up_and_down(loads: &[Load; 5]) -> Vec<Finding> {
    let test = BoardTest::UpAndDown;
    let pairs = [(0, 4), (1, 3)];
    let largest = loads[2].newtons;
    let force = pairs
        .iter()
        .map(|&(up, down)| (loads[up].newtons - loads[down].newtons).abs() / largest)
        .fold(0.0, f64::max);
    let place =
        pairs.iter().map(|&(up, down)| loads[up].distance_mm(&loads[down])).fold(0.0, f64::max);
    let force = Finding::at_most(
        test,
        "force going up against going down",
        100.0 * force,
        100.0 * HYSTERESIS_SHARE,
        "% of 60 kg",
    );
    vec![
        force,
        Finding::at_most(test, "place going up against going down", place, HYSTERESIS_MM, "mm"),
    ]
}

/// Places while 1 kg on a total of 60 kg goes to and fro by 100 mm: first to the side, then forward.
///
/// Each list has one place more than there were moves; the first move is to the right or forward.
pub fn small_swing(to_the_side_mm: &[f64], forward_mm: &[f64], total_newtons: f64) -> Vec<Finding> {
    let mean_step = |places: &[f64]| {
        let steps: f64 = places
            .windows(2)
            .enumerate()
            .map(|(i, pair)| if i % 2 == 0 { pair[1] - pair[0] } else { pair[0] - pair[1] })
            .sum();
        steps / (places.len() as f64 - 1.0)
    };
    // What was really put down may not be 60 kg to the gram.
    let wanted = SWING_MM * 60.0 * GRAVITY_M_PER_S2 / total_newtons;
    let finding = |quantity, places| Finding {
        test: BoardTest::SmallSwing,
        quantity,
        value: mean_step(places),
        limit: Limit::Near { wanted, tolerance: SWING_TOLERANCE_MM },
        unit: "mm",
    };
    vec![
        finding("1 kg moved by 100 mm to the side", to_the_side_mm),
        finding("1 kg moved by 100 mm forward", forward_mm),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn up_against_down_by_hand() {
        let load = |newtons: f64, ml_mm: f64| Load { newtons, ml_mm, ap_mm: 0.0 };
        let found = up_and_down(&[
            load(196.0, 0.0),
            load(392.0, 0.0),
            load(588.0, 0.0),
            load(392.3, 0.2),
            load(196.1, 0.1),
        ]);
        assert!((found[0].value - 100.0 * 0.3 / 588.0).abs() < 1e-9 && !found[0].is_within());
        assert!((found[1].value - 0.2).abs() < 1e-12 && !found[1].is_within());
    }

    #[test]
    fn a_swing_to_and_fro_has_one_sign() {
        let places = [0.0, 1.66, 0.0, 1.66, 0.01];
        let found = small_swing(&places, &[0.0, 1.70, 0.0], 60.0 * GRAVITY_M_PER_S2);
        assert!((found[0].value - 1.6575).abs() < 1e-9 && found[0].is_within());
        assert!((found[1].value - 1.70).abs() < 1e-9 && !found[1].is_within());
    }
}
