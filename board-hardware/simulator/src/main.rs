//! `board-simulator`: a board with a person on it, behind a pseudo-terminal or a TCP port.

use std::io::{self, Write as _};

use clap::Parser as _;

mod arguments;
mod line;
mod run;
mod truth_file;

use arguments::Arguments;
use board_simulator::board::Cable;
use run::Conditions;

fn main() -> anyhow::Result<()> {
    let arguments = Arguments::parse();
    let socket = arguments.socket();
    let mut conditions = Conditions {
        pace: arguments.speed,
        truth: arguments.truth_file()?,
        other_speech: arguments.other_speech(),
        once: arguments.once,
    };
    let mut board = arguments.board()?;
    for n_before in 0.. {
        let line = socket.open_line(n_before)?;
        let told = announce(line.name());
        // Whoever started the program need not listen any more when the board comes back.
        if n_before == 0 {
            told?;
        }
        let cable;
        (cable, board, conditions) = run::run(board, line, conditions)?;
        match socket.replug_after {
            Some(after) if cable == Cable::Unplugged => std::thread::sleep(after),
            _ => break,
        }
        board.plug_in();
    }
    Ok(())
}

/// The one line of output: whoever started the program reads it to know where to connect.
fn announce(name: &str) -> io::Result<()> {
    let mut stdout = io::stdout();
    writeln!(stdout, "port {name}")?;
    stdout.flush()
}
