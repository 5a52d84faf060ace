//! SIGKILL at a random moment of a random part.

use std::env;
use std::error::Error;
use std::io::{BufRead as _, BufReader, Read as _};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::judge::start_again;
use crate::life::PHASES;
use crate::say;

const SEED: u64 = 20_261_125;

/// How long each part takes here, in microseconds, with some room: a kill falls anywhere in it.
const PHASE_US: [u64; 4] = [650_000, 40_000, 40_000, 80_000];

pub(crate) fn run(n_kills: usize) -> Result<(), Box<dyn Error>> {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let (mut n_recovered, mut n_late, mut lost_us) = (0, 0, Vec::new());
    for kill in 0..n_kills {
        let phase = kill % PHASES.len();
        let after = Duration::from_micros(random.random_range(0..PHASE_US[phase]));
        let folder = tempfile::tempdir()?;
        let said = live_and_kill(folder.path(), PHASES[phase], after)?;
        let verdict = start_again(folder.path(), &said)
            .map_err(|error| format!("kill {kill}, {after:?} into {}: {error}", PHASES[phase]))?;
        n_recovered += verdict.n_recovered;
        n_late += verdict.n_indexed_late;
        lost_us.push(verdict.lost_us);
    }
    lost_us.sort_unstable();
    say(&format!(
        "kills: {n_kills} (seed {SEED}) across {}; every start clean; {n_recovered} records \
         recovered, {n_late} trials put into the records late; lost at most {} ms, median of those \
         cut in a record {} ms",
        PHASES.join(", "),
        lost_us.last().copied().unwrap_or(0) / 1_000,
        middle(&lost_us) / 1_000,
    ))?;
    if n_recovered < n_kills / 8 {
        return Err("too few kills met a record under way".into());
    }
    Ok(())
}

fn middle(sorted: &[u64]) -> u64 {
    let cut = &sorted[sorted.partition_point(|&us| us == 0)..];
    cut.get(cut.len() / 2).copied().unwrap_or(0)
}

/// Lets a child live until so long after it has begun the phase; gives all that it said.
fn live_and_kill(folder: &Path, phase: &str, after: Duration) -> Result<String, Box<dyn Error>> {
    let mut child = Command::new(env::current_exe()?)
        .args([Path::new("live"), folder, Path::new("1000")])
        .stdout(Stdio::piped())
        .spawn()?;
    let mut output = BufReader::new(child.stdout.take().ok_or("its output is ours")?);
    let mut said = String::new();
    while !said.ends_with(&format!("phase {phase}\n")) {
        if output.read_line(&mut said)? == 0 {
            return Err(format!("the child ended by itself: {said}").into());
        }
    }
    let begun = Instant::now();
    while begun.elapsed() < after {
        std::hint::spin_loop();
    }
    child.kill()?;
    output.read_to_string(&mut said)?;
    child.wait()?;
    Ok(said)
}
