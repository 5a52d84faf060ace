//! A program cut short at any moment: killed, by a power cut, by a full disk. Nothing is lost but the
//! last 0.2 s of a record under way, nothing half made is seen, and the next start is clean.
//!
//! The program runs itself as the child that is cut short, so it has its own `main`, and answers
//! `--list` as test programs do. `cargo test -p acquisition --test cut_short -- all 1000` does each
//! kind a thousand times; `kills`, `power` and `full` do one kind.

#[path = "cut_short/full_disk.rs"]
mod full_disk;
#[path = "cut_short/judge.rs"]
mod judge;
#[path = "cut_short/kills.rs"]
mod kills;
#[path = "cut_short/life.rs"]
mod life;
#[path = "cut_short/op_log.rs"]
mod op_log;
mod paced_board;
#[path = "cut_short/power_cuts.rs"]
mod power_cuts;
#[path = "paced_board/request.rs"]
mod request;

use std::env;
use std::error::Error;
use std::io::{self, Write as _};
use std::path::Path;

const NAME: &str = "a_program_cut_short_at_any_moment_loses_at_most_its_last_fifth_of_a_second";

/// How often each kind is done when nothing else is asked for.
const N_BY_DEFAULT: usize = 50;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["live", folder, n_rounds] => life::live(Path::new(folder), n_rounds.parse()?),
        ["live", folder, n_rounds, limit] => {
            full_disk::limit_files(limit.parse()?)?;
            life::live(Path::new(folder), n_rounds.parse()?)
        }
        ["kills", n] => kills::run(n.parse()?),
        ["power", n] => power_cuts::run(n.parse()?),
        ["full", n] => full_disk::run(n.parse()?),
        ["all", n] => all(n.parse()?),
        _ if words.contains(&"--list") => {
            if !words.contains(&"--ignored") {
                say(&format!("{NAME}: test"))?;
            }
            Ok(())
        }
        _ => all(N_BY_DEFAULT),
    }
}

fn all(n: usize) -> Result<(), Box<dyn Error>> {
    kills::run(n)?;
    power_cuts::run(n)?;
    // Two hundred points are every few hundred bytes of the largest file.
    full_disk::run((n * 2 / 5).min(200))
}

fn say(line: &str) -> io::Result<()> {
    let mut stdout = io::stdout();
    writeln!(stdout, "{line}")?;
    stdout.flush()
}
