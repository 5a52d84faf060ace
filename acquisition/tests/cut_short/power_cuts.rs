//! Power cuts at random calls of a round that was traced.

use std::env;
use std::error::Error;
use std::fs;
use std::process::Command;

use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use crate::judge::start_again;
use crate::life::PHASES;
use crate::op_log::OpLog;
use crate::say;

const SEED: u64 = 20_261_127;

/// Cuts made into one traced round before another is traced.
const CUTS_A_ROUND: usize = 250;

const CALLS: &str = "trace=openat,close,dup,dup2,dup3,fcntl,lseek,read,write,pwrite64,writev,\
    pwritev,ftruncate,fallocate,copy_file_range,sendfile,fsync,fdatasync,rename,renameat,renameat2,\
    link,linkat,unlink,unlinkat,mkdir,mkdirat";

pub(crate) fn run(n_cuts: usize) -> Result<(), Box<dyn Error>> {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let (mut n_recovered, mut n_late, mut worst_us, mut n_syncs) = (0, 0, 0, 0);
    let mut log = OpLog::default();
    for cut in 0..n_cuts {
        if cut % CUTS_A_ROUND == 0 {
            log = trace_a_round()?;
            n_syncs += log.n_syncs;
        }
        let phase = PHASES[cut % PHASES.len()];
        let moment = log.moment_in(phase, &mut random);
        let folder = tempfile::tempdir()?;
        log.cut_power(moment, &mut random, folder.path())?;
        let verdict = start_again(folder.path(), &log.said_by(moment))
            .map_err(|error| format!("cut {cut} at call {moment} in {phase}: {error}"))?;
        n_recovered += verdict.n_recovered;
        n_late += verdict.n_indexed_late;
        worst_us = worst_us.max(verdict.lost_us);
    }
    say(&format!(
        "power cuts: {n_cuts} (seed {SEED}) across {}, {n_syncs} syncs in the rounds traced; every \
         start clean; {n_recovered} records recovered, {n_late} trials put into the records late; \
         lost at most {} ms",
        PHASES.join(", "),
        worst_us / 1_000
    ))?;
    if n_syncs == 0 || n_recovered == 0 {
        return Err("the trace shows no sync, or no cut met a record".into());
    }
    Ok(())
}

fn trace_a_round() -> Result<OpLog, Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let data = folder.path().join("data");
    fs::create_dir(&data)?;
    let trace = folder.path().join("trace");
    let output = Command::new("strace")
        .args(["-f", "-xx", "-s", "16777216", "-e", CALLS, "-o"])
        .arg(&trace)
        .arg(env::current_exe()?)
        .arg("live")
        .arg(&data)
        .arg("1")
        .output()
        .map_err(|error| format!("strace is needed for power cuts: {error}"))?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned().into());
    }
    OpLog::read(&fs::read_to_string(trace)?, &data)
}
