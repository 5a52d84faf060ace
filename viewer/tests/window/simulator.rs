//! The simulator's program for tests: it belongs to another package, so cargo has not built it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Mutex, MutexGuard, OnceLock, PoisonError};

use viewer::standing::{Pace, SimulatedBoard};

/// Held by each test that stands somebody: a board as fast as it is read takes a whole processor, and
/// one that is starved for 0.9 s counts as lost.
pub(crate) fn one_at_a_time() -> MutexGuard<'static, ()> {
    static TURN: Mutex<()> = Mutex::new(());
    TURN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A simulated board as fast as it is read.
pub(crate) fn fast_board() -> SimulatedBoard {
    let program = Some(program().to_owned());
    SimulatedBoard { program, pace: Pace::AsRead, frames_per_s: Some(100), seed: 7 }
}

fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let beside = Path::new(env!("CARGO_BIN_EXE_footing")).parent().expect("in a folder");
        let target = beside.parent().expect("in a target folder");
        let built = Command::new(env!("CARGO"))
            .args(["build", "--quiet", "--locked", "-p", "board-simulator", "--target-dir"])
            .arg(target)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status()
            .expect("cargo runs");
        assert!(built.success(), "the simulator could not be built");
        beside.join("board-simulator")
    })
}
