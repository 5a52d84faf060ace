//! The heaviest load over one corner leaves the board as it was.

use super::finding::Finding;
use super::load::{Load, grams_from_newtons};
use super::placing::corner_load;
use super::test::BoardTest;

/// How far a cell's zero may move, in grams.
const ZERO_GRAMS: f64 = 20.0;

/// Change of each cell's zero over the overload, in newtons, and the corner-load test done again.
pub fn overload(moved_newtons: [f64; 4], corners_again: &[Load]) -> Vec<Finding> {
    let test = BoardTest::Overload;
    let worst = moved_newtons.into_iter().map(f64::abs).fold(0.0, f64::max);
    let quantity = "zero of the worst cell";
    let zero = Finding::at_most(test, quantity, grams_from_newtons(worst), ZERO_GRAMS, "g");
    let again = corner_load(corners_again).into_iter().map(|finding| Finding { test, ..finding });
    std::iter::once(zero).chain(again).collect()
}
