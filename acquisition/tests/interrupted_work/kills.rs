//! The worker killed at a random moment of a stage, each stage as often as the others.

use std::collections::BTreeMap;
use std::error::Error;
use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use std::{env, thread};

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::judge::{Claims, judge};
use crate::worker::{say, write_table};

/// Word a stage begins with, and within how many milliseconds of that the worker is killed.
const STAGES: [(&str, u64); 4] = [("record", 500), ("seal", 60), ("index", 60), ("import", 120)];

/// Kills over one data folder, each start going on with what the last one left.
const KILLS_A_FOLDER: usize = 10;

/// Kills `n_kills` times at moments that follow from `seed` and prints what came of it.
pub(crate) fn run(n_kills: usize, seed: u64) -> Result<(), Box<dyn Error>> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let (mut lost_us, mut met) = (Vec::new(), BTreeMap::<String, usize>::new());
    let place = tempfile::tempdir()?;
    let table = place.path().join("table.csv");
    write_table(&table)?;
    let mut folder = tempfile::tempdir()?;
    let mut claims = Claims::default();
    for index in 0..n_kills {
        if index % KILLS_A_FOLDER == 0 {
            (folder, claims) = (tempfile::tempdir()?, Claims::default());
        }
        let (stage, within_ms) = STAGES[index % STAGES.len()];
        let wait = Duration::from_micros(random.random_range(0..within_ms * 1_000));
        claims.under_way = None;
        kill_in(stage, wait, folder.path(), &table, &mut claims)?;
        *met.entry(claims.stage.clone()).or_default() += 1;
        let lost = judge(folder.path(), &table, &claims)
            .map_err(|error| format!("kill {index} in {:?}: {error}", claims.stage))?;
        lost_us.extend(lost);
    }
    lost_us.sort_unstable();
    let median_us = lost_us.get(lost_us.len() / 2).copied().unwrap_or(0);
    let worst_us = lost_us.last().copied().unwrap_or(0);
    say(&format!(
        "{n_kills} kills (seed {seed}) while: {met:?}; every start clean, nothing else lost; of {} \
         records under way lost: median {} ms, worst {} ms",
        lost_us.len(),
        median_us / 1_000,
        worst_us / 1_000,
    ));
    Ok(())
}

fn kill_in(
    stage: &str,
    wait: Duration,
    folder: &Path,
    table: &Path,
    claims: &mut Claims,
) -> Result<(), Box<dyn Error>> {
    let mut child = Command::new(env::current_exe()?)
        .args([
            "work".as_ref(),
            folder.as_os_str(),
            table.as_os_str(),
            "1000000".as_ref(),
            "0.4".as_ref(),
        ])
        .stdout(Stdio::piped())
        .spawn()?;
    let heard = hear_until(stage, wait, &mut child, claims);
    child.kill()?;
    child.wait()?;
    heard
}

/// Listens until the stage begins, waits, kills, and takes what the worker had said by then.
fn hear_until(
    stage: &str,
    wait: Duration,
    child: &mut Child,
    claims: &mut Claims,
) -> Result<(), Box<dyn Error>> {
    let mut said = BufReader::new(child.stdout.take().ok_or("no standard output")?);
    let mut line = String::new();
    while line.split_whitespace().next() != Some(stage) {
        line.clear();
        if said.read_line(&mut line)? == 0 {
            return Err(format!("the worker ended by itself: {claims:?}").into());
        }
        claims.hear(line.trim_end());
    }
    // The random moment itself, not a wait for anything.
    thread::sleep(wait);
    child.kill()?;
    for line in said.split(b'\n') {
        claims.hear(&String::from_utf8(line?)?);
    }
    Ok(())
}
