//! `footing read-strangers`: the child in which trial files of unknown origin are read.
//!
//! Only the program itself calls it so; it is no command, and stands in no help, manual or completion.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use acquisition::trial_file::apart::{self, ChildCommand, Limits};

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

/// Whether this run is such a child.
pub(super) fn is_asked_for() -> bool {
    std::env::args_os().nth(1).is_some_and(|first| first == COMMAND)
}

/// Reads what the parent asks for until it has no more. Whoever asked sees how the pipe ends; there is
/// nobody to read more than that.
pub(super) fn serve() -> ExitCode {
    match apart::serve(&Limits::default()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(_broken_pipe) => ExitCode::FAILURE,
    }
}
