//! How large trial files are, and how long sealing and opening one takes.
//!
//! Usage: `cargo run --release -p acquisition --example trial_file_speed`
//!
//! The trials are generated: a slow sway with noise of some tens of counts on every corner.

use std::time::Instant;

use acquisition::trial_file::{open, outline, seal};
use acquisition::{
    BoardOrigin, Calibration, CalibrationKind, CornerPosition, Ending, LinkCounts, Origin,
    RawSamples, Samples, StoredTrial, TrialFacts, WallTime, Zero, cop_from_forces,
    forces_from_counts, new_trial_id,
};
use analysis::{Facing, Setup, TrialKind};
use anyhow::Result;
use rand::RngExt as _;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

#[expect(clippy::print_stdout, reason = "printing the figures is what it is for")]
fn main() -> Result<()> {
    println!("rate [Hz], length [s], size [KiB], seal [ms], open [ms], outline [ms]");
    for (frames_per_s, length_s) in [(100_u32, 60_u32), (250, 60), (1000, 60), (1000, 3600)] {
        let folder = tempfile::tempdir()?;
        let trial = trial(frames_per_s, length_s)?;
        let begun = Instant::now();
        let path = seal(&trial, folder.path())?;
        let sealed_ms = 1e3 * begun.elapsed().as_secs_f64();
        let n_kibibytes = std::fs::metadata(&path)?.len() >> 10;
        let begun = Instant::now();
        anyhow::ensure!(open(&path)? == trial, "reads back differently");
        let opened_ms = 1e3 * begun.elapsed().as_secs_f64();
        let begun = Instant::now();
        outline(&path)?;
        let outlined_ms = 1e3 * begun.elapsed().as_secs_f64();
        println!(
            "{frames_per_s}, {length_s}, {n_kibibytes}, {sealed_ms:.1}, {opened_ms:.1}, {outlined_ms:.1}"
        );
    }
    Ok(())
}

fn trial(frames_per_s: u32, length_s: u32) -> Result<StoredTrial> {
    let board_id = "0123456789abcdef01234567".to_owned();
    let corner = |ml_mm, ap_mm| CornerPosition { ml_mm, ap_mm };
    let calibration = Calibration {
        id: "example".to_owned(),
        version: 1,
        made_at_unix_us: 0,
        board_id: board_id.clone(),
        kind: CalibrationKind::Nominal,
        newtons_per_count: [0.0005; 4],
        corners: [(-200.0, 200.0), (200.0, 200.0), (-200.0, -200.0), (200.0, -200.0)]
            .map(|(ml, ap)| corner(ml, ap)),
        covariance: None,
    };
    let zero = Zero { counts: [120.5, -300.25, 44.0, 9000.75], board_time_us: 1_000_000 };
    let n_samples = u64::from(frames_per_s) * u64::from(length_s);
    let interval_us = 1_000_000 / u64::from(frames_per_s);
    let mut noise = ChaCha8Rng::seed_from_u64(1);
    let counts: Vec<[i32; 4]> = (0..n_samples)
        .map(|index| {
            let sway = (index as f64 / f64::from(frames_per_s)).sin() * 5_000.0;
            #[expect(clippy::cast_possible_truncation, reason = "a few thousand counts")]
            let sway = sway as i32;
            [sway, -sway, sway / 2, -sway / 2]
                .map(|sway| 300_000 + sway + noise.random_range(-40..=40))
        })
        .collect();
    let forces: Vec<[f64; 4]> =
        counts.iter().map(|&counts| forces_from_counts(counts, &zero, &calibration)).collect();
    let cop = forces.iter().map(|&forces| cop_from_forces(forces, &calibration.corners)).collect();
    Ok(StoredTrial {
        facts: TrialFacts {
            id: new_trial_id(),
            person: "P-1".parse()?,
            session: None,
            plan: None,
            condition: "foam/together/closed".parse()?,
            kind: TrialKind::Measured,
            setup: Setup {
                board: board_id.clone(),
                sole_height_mm: Some(60.0),
                facing: Facing::Front,
            },
            body_height_m: Some(1.7),
            body_mass_kg: Some(60.0),
            started: WallTime::now(),
            settled_s: 12.0,
            asked_s: f64::from(length_s),
            program: "example".to_owned(),
        },
        origin: Origin::Board(Box::new(BoardOrigin {
            board_id,
            firmware: "0.1.0".to_owned(),
            frames_per_s: f64::from(frames_per_s),
            temperature_c: Some(22.0),
            calibration,
            zero,
            link: LinkCounts::default(),
            zero_after: None,
            recomputed: None,
            ended: Ending::HoldReached,
        })),
        samples: Samples {
            time_us: (0..n_samples).map(|index| 2_000_000 + index * interval_us).collect(),
            sequence: (0..n_samples).collect(),
            raw: Some(RawSamples { status: vec![0; counts.len()], counts }),
            forces_newtons: Some(forces),
            cop,
        },
    })
}
