//! The worker on a disk that takes no more at a random point: each file may have so many bytes.

use std::collections::BTreeMap;
use std::env;
use std::error::Error;
use std::path::Path;
use std::process::Command;

use acquisition::library::Library;
use acquisition::records::Records;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::judge::{Claims, judge};
use crate::worker::{say, write_table};

/// Limits, in blocks of 512 bytes: from where SQLite's shared memory fits, below which nothing is
/// begun, to the longest file of a record.
const BLOCKS: std::ops::RangeInclusive<u32> = 60..=150;

/// Runs the worker `n_points` times and prints what came of it.
pub(crate) fn run(n_points: usize, seed: u64) -> Result<(), Box<dyn Error>> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let place = tempfile::tempdir()?;
    let table = place.path().join("table.csv");
    write_table(&table)?;
    let (mut told_in, mut n_told, mut worst_us) = (BTreeMap::<_, usize>::new(), 0, 0);
    for index in 0..n_points {
        let folder = tempfile::tempdir()?;
        drop(Records::open(&Library::open(folder.path())?)?);
        let n_blocks = random.random_range(BLOCKS);
        let claims = work_within(n_blocks, folder.path(), &table)?;
        if claims.told.is_some() {
            n_told += 1;
            *told_in.entry(claims.stage.clone()).or_default() += 1;
        }
        let lost = judge(folder.path(), &table, &claims).map_err(|error| {
            format!("point {index}, {n_blocks} blocks, told {:?}: {error}", claims.told)
        })?;
        worst_us = worst_us.max(lost.unwrap_or(0));
    }
    say(&format!(
        "{n_points} disks that were full after {} to {} kB a file (seed {seed}): told {n_told} \
         times, while: {told_in:?}, found room {} times; every start clean, nothing else lost; of a record \
         under way lost at most {} ms",
        BLOCKS.start() / 2,
        BLOCKS.end() / 2,
        n_points - n_told,
        worst_us / 1_000,
    ));
    if n_told * 2 < n_points { Err("too few disks were full".into()) } else { Ok(()) }
}

/// A shell sets the limit and has the signal ignored that would otherwise end the worker.
fn work_within(n_blocks: u32, folder: &Path, table: &Path) -> Result<Claims, Box<dyn Error>> {
    let worked = Command::new("sh")
        .args(["-c", "trap '' XFSZ; ulimit -f \"$1\"; shift; exec \"$@\"", "sh"])
        .arg(n_blocks.to_string())
        .arg(env::current_exe()?)
        .args(["work".as_ref(), folder.as_os_str(), table.as_os_str(), "1".as_ref(), "2".as_ref()])
        .output()?;
    let mut claims = Claims::default();
    for line in String::from_utf8(worked.stdout)?.lines() {
        claims.hear(line);
    }
    if claims.told.is_some() || claims.stage == "imported" {
        return Ok(claims);
    }
    let said = String::from_utf8_lossy(&worked.stderr);
    Err(format!("the worker ended without a word: {claims:?}, {said}").into())
}
