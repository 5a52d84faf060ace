//! The `footing` program.

use std::process::ExitCode;

fn main() -> ExitCode {
    viewer::command_line::run()
}
