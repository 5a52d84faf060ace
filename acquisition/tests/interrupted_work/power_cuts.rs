//! The power cut at random moments of the worker's life: `strace` sees every write and every sync.

use std::collections::BTreeMap;
use std::error::Error;
use std::path::{Path, PathBuf};

use acquisition::library::Library;
use acquisition::records::Records;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::disk::Disk;
use crate::judge::{Claims, judge};
use crate::system_calls::{Asked, watch};
use crate::worker::{say, write_table};

/// Power cuts in one life of the worker.
const CUTS_A_LIFE: usize = 100;

/// Trials and imports in one life.
const N_CYCLES: &str = "3";

/// The life of one worker.
struct Life {
    disk: Disk,
    n_syncs: usize,
    /// What it said, and when.
    said: Vec<(u64, String)>,
    /// When calls returned that changed or synced something, once the worker had begun.
    moments_ns: Vec<u64>,
}

impl Life {
    /// A moment between two calls, as likely between any two: by the clock, almost all would be
    /// while a record waits for the board.
    fn moment_ns(&self, random: &mut ChaCha8Rng) -> u64 {
        let index = random.random_range(1..self.moments_ns.len());
        random.random_range(self.moments_ns[index - 1]..=self.moments_ns[index])
    }
}

/// Cuts the power `n_cuts` times at moments that follow from `seed` and prints what came of it.
pub(crate) fn run(n_cuts: usize, seed: u64) -> Result<(), Box<dyn Error>> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let place = tempfile::tempdir()?;
    let table = place.path().join("table.csv");
    write_table(&table)?;
    let (mut n_lives, mut n_syncs, mut lost_us) = (0, 0, Vec::new());
    let (mut life, mut met) = (None, BTreeMap::<String, usize>::new());
    for index in 0..n_cuts {
        if index % CUTS_A_LIFE == 0 {
            let lived = live(&table)?;
            (n_lives, n_syncs) = (n_lives + 1, n_syncs + lived.n_syncs);
            life = Some(lived);
        }
        let Some(life) = &life else { continue };
        let cut_ns = life.moment_ns(&mut random);
        let left = tempfile::tempdir()?;
        life.disk.lay_out(cut_ns, &mut random, left.path())?;
        let mut claims = Claims::default();
        life.said.iter().filter(|(ns, _)| *ns < cut_ns).for_each(|(_, line)| claims.hear(line));
        *met.entry(claims.stage.clone()).or_default() += 1;
        let lost = judge(left.path(), &table, &claims).map_err(|error| {
            let kept = left.keep();
            let stage = &claims.stage;
            format!("power cut {index} at {cut_ns} ns in {stage:?}, {}: {error}", kept.display())
        })?;
        lost_us.extend(lost);
    }
    lost_us.sort_unstable();
    say(&format!(
        "{n_cuts} power cuts (seed {seed}) in {n_lives} runs with {n_syncs} syncs seen, while: {met:?}; \
         every start clean, nothing else lost; of {} records under way lost: median {} ms, worst {} ms",
        lost_us.len(),
        lost_us.get(lost_us.len() / 2).copied().unwrap_or(0) / 1_000,
        lost_us.last().copied().unwrap_or(0) / 1_000,
    ));
    if lost_us.is_empty() { Err("no cut met a record under way".into()) } else { Ok(()) }
}

fn live(table: &Path) -> Result<Life, Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let root: PathBuf = folder.path().canonicalize()?;
    drop(Records::open(&Library::open(&root)?)?);
    let mut disk = Disk::of(&root)?;
    let program = std::env::current_exe()?;
    let words = [Path::new("work"), &root, table, Path::new(N_CYCLES), Path::new("0.4")];
    let calls = watch(&[&[program.as_path()][..], &words].concat())?;
    let (mut said, mut n_syncs, mut moments_ns) = (Vec::new(), 0, Vec::new());
    for call in calls {
        if let Asked::Say(line) = &call.what {
            said.push((call.begun_ns, line.clone()));
        }
        if !said.is_empty() && !matches!(call.what, Asked::Say(_) | Asked::Open { .. }) {
            moments_ns.push(call.ended_ns);
        }
        n_syncs += usize::from(disk.take(call));
    }
    Ok(Life { disk, n_syncs, said, moments_ns })
}
