//! The hidden `footing read-strangers`: the child in which trial files of unknown origin are read.

use std::path::{Path, PathBuf};

use acquisition::trial_file::apart::{self, ChildCommand, Limits};

use super::problem::Problem;

const COMMAND: &str = "read-strangers";

/// Always the file of the running program, even if another was put in its place meanwhile (Linux).
const THIS_PROGRAM: &str = "/proc/self/exe";

/// This program once more, as a reader of files.
pub(super) fn child() -> ChildCommand {
    let program = if Path::new(THIS_PROGRAM).exists() {
        PathBuf::from(THIS_PROGRAM)
    } else {
        // A name that does not exist is told when the first stranger is read.
        std::env::current_exe().unwrap_or_default()
    };
    ChildCommand { program, arguments: vec![COMMAND.into()], limits: Limits::default() }
}

/// Reads what the parent asks for until it has no more.
pub(super) fn serve() -> Result<(), Problem> {
    // Whoever asked sees that the pipe has ended; there is nobody to read more than that.
    apart::serve(&Limits::default()).map_err(Problem::Print)
}
