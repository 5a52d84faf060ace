//! Why a trial may not begin.

use thiserror::Error;

use super::policy::ZERO_S;
use crate::calibration::corner_name;

/// A trial that may not begin.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum Refusal {
    /// Something lay on the board all the time it should have been empty.
    #[error("the board is not empty: it carries {load_newtons:.0} N")]
    Loaded {
        /// More than the empty board of the design, in newtons.
        load_newtons: f64,
    },
    /// The empty board did not come to rest.
    #[error("the {} corner of the empty board moved by {range_newtons:.2} N in {ZERO_S} s", corner_name(*.corner))]
    Unrest {
        /// Which corner moved most, from 0.
        corner: usize,
        /// By how much, in newtons.
        range_newtons: f64,
    },
    /// The board sent too few frames to find its zero.
    #[error("the board sent too few frames to find its zero")]
    TooFewFrames,
    /// A corner whose cell is not connected.
    #[error("the cell of the {} corner is not connected", corner_name(*.corner))]
    DeadCorner {
        /// Which corner, from 0.
        corner: usize,
    },
    /// Another part of the program forbids it.
    #[error("{reason}")]
    Forbidden {
        /// Why, in words for the person.
        reason: &'static str,
    },
    /// More than the board is rated for.
    #[error("{load_newtons:.0} N is more than the board is rated for ({rated_newtons:.0} N)")]
    Overload {
        /// The person's load, in newtons, measured or from the recorded mass.
        load_newtons: f64,
        /// The rated load, in newtons.
        rated_newtons: f64,
    },
    /// The load is far from the recorded mass, and nobody said that it is the same person.
    #[error(
        "the board carries {measured_kg:.1} kg, but the person's mass is recorded as {recorded_kg:.1} kg"
    )]
    OtherPerson {
        /// What the board reads, in kilograms.
        measured_kg: f64,
        /// What is recorded of the person, in kilograms.
        recorded_kg: f64,
    },
}
