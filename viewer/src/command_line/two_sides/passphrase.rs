//! A passphrase from a file or from the keyboard.

use std::fs::File;
use std::io::{self, BufRead, BufReader, IsTerminal as _};
use std::path::Path;

use crate::command_line::output;
use crate::command_line::problem::Problem;

/// Longest passphrase that is read, in bytes.
const MAX_BYTES: u64 = 1024;

/// The passphrase in the file's first line, or the line typed.
pub(super) fn passphrase(file: Option<&Path>, asking: &str) -> Result<String, Problem> {
    if let Some(path) = file {
        let unreadable = |source| Problem::ReadFile { path: path.to_owned(), source };
        return first_line(BufReader::new(File::open(path).map_err(unreadable)?))
            .map_err(unreadable);
    }
    if io::stdin().is_terminal() {
        output::remark(asking);
        output::remark("(It shows while you type: look that nobody reads along.)");
    }
    first_line(io::stdin().lock()).map_err(Problem::Print)
}

fn first_line(reader: impl BufRead) -> io::Result<String> {
    let mut line = String::new();
    reader.take(MAX_BYTES).read_line(&mut line)?;
    Ok(line.trim_end_matches(['\r', '\n']).to_owned())
}
