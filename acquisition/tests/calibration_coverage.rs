//! The calibration against random boards: is the truth where the stated uncertainty says it is?
//!
//! `cargo run -p acquisition --example calibration_proof` does the same for 2,000 boards
//! and prints the table.

mod coverage;
#[expect(dead_code, reason = "what boards within their limits need stands beside it")]
mod random_board;

use acquisition::calibrate::Knowledge;
use coverage::Study;

/// Seeds 1,000,000 and up were fixed before the first run; the defaults were not chosen on them.
const FIRST_SEED: u64 = 1_000_000;

/// With 200 boards at a true rate of 97 %, fewer than 186 has probability below 0.001 (binomial), so
/// this fails for a calibration that misses the promised 95 % by more than chance.
#[test]
fn most_boards_are_within_a_millimetre_after_calibration() {
    let study = Study::run(FIRST_SEED, 200, 1.0, &Knowledge::PRINTED_JIG);
    assert!(study.refused <= 6, "{study:?}");
    assert!(186 * (200 - study.refused) <= 200 * study.within(1.0), "{study:?}");
}

#[test]
fn with_the_fine_jig_most_boards_are_within_half_a_millimetre() {
    let study = Study::run(FIRST_SEED, 200, 0.3, &Knowledge::FINE_JIG);
    assert!(study.refused <= 6, "{study:?}");
    assert!(186 * (200 - study.refused) <= 200 * study.within(0.5), "{study:?}");
}

/// 95 % of places on 200 boards; places on one board err together, so boards are what counts:
/// the share per board is averaged, and its standard error is taken from the boards themselves.
#[test]
fn the_stated_uncertainty_covers_the_truth() {
    for (corner_sd_mm, knowledge) in [(1.0, Knowledge::PRINTED_JIG), (0.3, Knowledge::FINE_JIG)] {
        let study = Study::run(FIRST_SEED, 200, corner_sd_mm, &knowledge);
        let (share, standard_error) = study.coverage();
        assert!(0.95 <= share + 3.0 * standard_error, "{share} ± {standard_error}");
        assert!(share <= 0.99, "{share}: an uncertainty stated far too wide says nothing");
    }
}
