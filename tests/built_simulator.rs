//! The simulator's program for tests: it belongs to another package, so cargo has not built it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

/// Where it is, built once.
pub(crate) fn program() -> &'static Path {
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
