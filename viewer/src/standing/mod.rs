//! One stand recorded in the background, for whichever window asks for it.
//!
//! [`Stand::begin`] starts a thread that finds the board, records the trial, seals it and brings it
//! into the records; meanwhile [`Stand::now`] is where it stands, as a value, and
//! [`Stand::wish`] asks it to stop. It knows no screen: whoever shows it is woken by a function.

pub(crate) mod cues;
mod problem;
mod request;
mod simulated;
mod stand;

pub(crate) use cues::{Reference, position_of, wobble_zone, zone_of};
pub use problem::{SimulatorError, StandError};
pub use request::{StandBoard, StandRequest};
pub use simulated::{Pace, RunningBoard, SimulatedBoard, SimulatedStand};
pub use stand::{KeptStand, Stand, StandNow};
