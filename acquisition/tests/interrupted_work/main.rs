//! Recording, sealing, indexing and importing, interrupted at any moment: by a kill, a power cut, a
//! full disk. Nothing is lost but the last moments of a record, and the next start is clean.
//!
//! The program runs itself as the worker that is interrupted, so it has its own `main`. It answers
//! `--list` as test programs do. How often, and what:
//!
//! `cargo test -p acquisition --test interrupted_work -- kills 1000`, or `power-cuts`, `full-disks`,
//! and a seed if it is to be another one

mod disk;
mod full_disk;
mod judge;
mod kills;
#[path = "../paced_board/mod.rs"]
mod paced_board;
mod paced_port;
mod power_cuts;
#[path = "../paced_board/request.rs"]
mod request;
mod system_calls;
mod worker;

use std::env;
use std::error::Error;
use std::path::Path;

use worker::say;

const NAME: &str = "work_interrupted_at_any_moment_loses_at_most_a_fifth_of_a_second";
const SEED: u64 = 20_260_301;
const N_KILLS: usize = 50;
const N_POWER_CUTS: usize = 50;
const N_FULL_DISKS: usize = 10;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["work", folder, table, n_cycles, record_s] => {
            let worked = worker::work(
                Path::new(folder),
                Path::new(table),
                n_cycles.parse()?,
                record_s.parse()?,
            );
            worked.inspect_err(|error| {
                say(&format!("told {}", chain(error.as_ref()).replace('\n', " ")));
            })
        }
        [what @ ("kills" | "power-cuts" | "full-disks"), n] => run(what, n.parse()?, SEED),
        [what @ ("kills" | "power-cuts" | "full-disks"), n, seed] => {
            run(what, n.parse()?, seed.parse()?)
        }
        _ if words.contains(&"--list") => {
            if !words.contains(&"--ignored") {
                say(&format!("{NAME}: test"));
            }
            Ok(())
        }
        _ => {
            run("kills", N_KILLS, SEED)?;
            run("power-cuts", N_POWER_CUTS, SEED)?;
            run("full-disks", N_FULL_DISKS, SEED)
        }
    }
}

fn run(what: &str, n: usize, seed: u64) -> Result<(), Box<dyn Error>> {
    match what {
        "kills" => kills::run(n, seed),
        "power-cuts" => power_cuts::run(n, seed),
        "full-disks" => full_disk::run(n, seed),
        _ => Err(format!("there is nothing called {what:?}").into()),
    }
}

/// An error and its causes, as a person reads them.
fn chain(error: &dyn Error) -> String {
    match error.source() {
        Some(cause) => format!("{error}: {}", chain(cause)),
        None => error.to_string(),
    }
}
