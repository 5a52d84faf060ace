//! Makes a folder of trial files for timing a batch, from the 36 open recordings.
//!
//! Trial i is recording i mod 36, turned by a small angle and scaled by a factor that follow from i,
//! so that no two are alike. Generated data for timing only; nothing is concluded from them.
//!
//! `cargo run --release -p acquisition --example batch_of_trials -- FOLDER [COUNT]`

#![expect(clippy::print_stdout, reason = "saying what was made is all it says")]

use std::path::{Path, PathBuf};

use acquisition::import::{
    ColumnMap, Measured, TextForm, TimeSource, parse_column, read_delimited,
};
use acquisition::{StoredTrial, TrialFacts, WallTime, new_trial_id, trial_file};
use analysis::{Condition, Cop, Facing, Setup, Stance, Surface, TrialKind, Vision};

/// Recordings in the published data set, for which the batch stands in.
const PUBLISHED: usize = 1930;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = PathBuf::from(arguments.next().ok_or("name a folder")?);
    let n_trials = arguments.next().map_or(Ok(PUBLISHED), |text| text.parse())?;
    std::fs::create_dir_all(&folder)?;
    let recordings = recordings()?;
    for i in 0..n_trials {
        let trial = varied(&recordings[i % recordings.len()], i);
        trial_file::seal(&trial, &folder)?;
    }
    println!("{n_trials} trials made from {} recordings in {}", recordings.len(), folder.display());
    Ok(())
}

fn recordings() -> Result<Vec<StoredTrial>, Box<dyn std::error::Error>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/open-data");
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()?;
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "gz"));
    paths.sort();
    let map = ColumnMap {
        form: TextForm::default(),
        time: TimeSource::Column(parse_column("Time[s]:s")?),
        measured: Measured::Cop {
            ml: parse_column("COPy[cm]:cm")?,
            ap: parse_column("COPx[cm]:cm")?,
        },
    };
    let facts = facts()?;
    paths.iter().map(|path| Ok(read_delimited(path, &map, facts.clone())?)).collect()
}

fn facts() -> Result<TrialFacts, Box<dyn std::error::Error>> {
    Ok(TrialFacts {
        id: new_trial_id(),
        person: "BATCH".parse()?,
        session: None,
        plan: None,
        condition: Condition::unaided(Surface::Firm, Stance::HipWidth, Vision::Open),
        kind: TrialKind::Measured,
        setup: Setup {
            board: "another plate".to_owned(),
            sole_height_mm: None,
            facing: Facing::Front,
        },
        body_height_m: Some(1.68),
        body_mass_kg: None,
        started: WallTime::now(),
        settled_s: 0.0,
        asked_s: 60.0,
        program: "batch_of_trials".to_owned(),
    })
}

fn varied(recording: &StoredTrial, i: usize) -> StoredTrial {
    let mut trial = recording.clone();
    trial.facts.id = new_trial_id();
    let (sin, cos) = (0.001 * i as f64).sin_cos();
    let factor = 1.0 + 1e-4 * i as f64;
    for cop in trial.samples.cop.iter_mut().flatten() {
        *cop = Cop::new(
            factor * (cos * cop.ml_mm - sin * cop.ap_mm),
            factor * (sin * cop.ml_mm + cos * cop.ap_mm),
        );
    }
    trial
}
