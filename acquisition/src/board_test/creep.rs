//! A mass that is left alone for ten minutes.

use super::finding::Finding;
use super::load::{Load, grams_from_newtons};
use super::test::BoardTest;

/// How far the place may move from 30 s on, in millimetres.
const MOVES_MM: f64 = 0.1;

/// How far a cell's zero may be off a minute after the mass was taken off, in grams.
const RETURN_GRAMS: f64 = 10.0;

/// Places of a mass at rest, from 30 s after it was put down on, in order.
pub fn creep(places: &[Load]) -> Vec<Finding> {
    let first = places.first();
    let farthest = places
        .iter()
        .filter_map(|place| first.map(|first| place.distance_mm(first)))
        .fold(f64::NAN, f64::max);
    vec![Finding::at_most(BoardTest::Creep, "place moves from 30 s on", farthest, MOVES_MM, "mm")]
}

/// Change of each cell's zero from before the mass to a minute after it, in newtons.
pub fn zero_return(moved_newtons: [f64; 4]) -> Vec<Finding> {
    let worst = moved_newtons.into_iter().map(f64::abs).fold(0.0, f64::max);
    let quantity = "zero of the worst cell a minute after";
    vec![Finding::at_most(BoardTest::Creep, quantity, grams_from_newtons(worst), RETURN_GRAMS, "g")]
}
