//! A simulated board for the window's tests, one at a time.

use std::sync::{Mutex, MutexGuard, PoisonError};

use viewer::standing::{Pace, SimulatedBoard};

use crate::built_simulator;

/// Held by each test that stands somebody: a board as fast as it is read takes a whole processor, and
/// one that is starved for 0.9 s counts as lost.
pub(crate) fn one_at_a_time() -> MutexGuard<'static, ()> {
    static TURN: Mutex<()> = Mutex::new(());
    TURN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A simulated board as fast as it is read.
pub(crate) fn fast_board() -> SimulatedBoard {
    let program = Some(built_simulator::program().to_owned());
    SimulatedBoard { program, pace: Pace::AsRead, frames_per_s: Some(100), seed: 7 }
}
