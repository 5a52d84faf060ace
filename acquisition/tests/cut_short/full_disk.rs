//! A disk that is full at a random point: no file may grow beyond a limit.

use std::env;
use std::error::Error;
use std::path::Path;
use std::process::Command;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rustix::process::{Resource, Rlimit, setrlimit};

use crate::judge::start_again;
use crate::say;

const SEED: u64 = 20_261_126;

/// Beyond the largest file of a round: the database with its log.
const LARGEST_BYTES: u64 = 160_000;

/// The system's signal for a file that grows too large would end the child; ignored, the write gets
/// an error, as on a full disk.
const IGNORE_SIGNAL: &str = "trap '' XFSZ; exec \"$0\" \"$@\"";

pub(crate) fn limit_files(bytes: u64) -> Result<(), Box<dyn Error>> {
    setrlimit(Resource::Fsize, Rlimit { current: Some(bytes), maximum: Some(bytes) })?;
    Ok(())
}

pub(crate) fn run(n_points: usize) -> Result<(), Box<dyn Error>> {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let (mut n_told, mut n_recovered, mut n_late, mut worst_us) = (0, 0, 0, 0);
    for _ in 0..n_points {
        let limit = random.random_range(1..LARGEST_BYTES);
        let folder = tempfile::tempdir()?;
        let (said, told) = live_with_limit(folder.path(), limit)?;
        n_told += usize::from(told);
        let verdict = start_again(folder.path(), &said)
            .map_err(|error| format!("full at {limit} bytes: {error}; it had said {said}"))?;
        n_recovered += verdict.n_recovered;
        n_late += verdict.n_indexed_late;
        worst_us = worst_us.max(verdict.lost_us);
    }
    say(&format!(
        "full disk: {n_points} points (seed {SEED}), {n_told} met the limit and said so; every start \
         clean; {n_recovered} records recovered, {n_late} trials put into the records late; lost at \
         most {} ms",
        worst_us / 1_000
    ))?;
    if n_told < n_points / 2 {
        return Err("too few points met the limit".into());
    }
    Ok(())
}

/// One round under the limit; gives what the child said, and whether it ended with an error.
fn live_with_limit(folder: &Path, limit: u64) -> Result<(String, bool), Box<dyn Error>> {
    let output = Command::new("sh")
        .args(["-c", IGNORE_SIGNAL])
        .arg(env::current_exe()?)
        .arg("live")
        .arg(folder)
        .args(["1", &limit.to_string()])
        .output()?;
    let (said, told) = (String::from_utf8(output.stdout)?, String::from_utf8(output.stderr)?);
    if told.contains("panicked") || output.status.code().is_none() {
        return Err(format!("full at {limit} bytes: {told}").into());
    }
    // `main` prints its error in this form.
    if output.status.success() == told.starts_with("Error: ") {
        return Err(format!("full at {limit} bytes, yet {:?}: {told}", output.status).into());
    }
    Ok((said, !output.status.success()))
}
