//! `board-simulator`: a board with a person on it, behind a pseudo-terminal or a TCP port.

use clap::Parser as _;

mod arguments;
mod line;
mod run;
mod truth_file;

use arguments::Arguments;

fn main() -> anyhow::Result<()> {
    let arguments = Arguments::parse();
    let line = arguments.open_line()?;
    let truth = arguments.truth_file()?;
    announce(line.name())?;
    let (pace, once) = (arguments.speed, arguments.once);
    run::run(arguments.board()?, line, pace, truth, once)
}

/// The one line of output: whoever started the program reads it to know where to connect.
#[expect(clippy::print_stdout, reason = "this line is what the program promises to print")]
fn announce(name: &str) -> std::io::Result<()> {
    println!("port {name}");
    std::io::Write::flush(&mut std::io::stdout())
}
