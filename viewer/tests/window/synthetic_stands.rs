//! Trial files of stands that nobody stood: seeded noise with the slow drift and quick correction
//! of a standing person. For looking at screens; no number of it means anything.

use std::path::{Path, PathBuf};

use acquisition::{ImportOrigin, Origin, Samples, StoredTrial, TrialFacts, WallTime, trial_file};
use analysis::{Condition, Cop, Facing, Setup, TrialKind};

/// 2026-03-02, 09:00 UTC.
const FIRST_START_UNIX_US: i64 = 1_772_442_000_000_000;

/// What a synthetic stand is to be.
#[derive(Debug, Clone)]
pub(crate) struct Stand {
    pub(crate) person: &'static str,
    pub(crate) condition: &'static str,
    pub(crate) kind: TrialKind,
    pub(crate) board: &'static str,
    pub(crate) day: i64,
    /// How far the stand strays, in millimetres; about the RMS of the antero-posterior axis.
    pub(crate) reach_mm: f64,
    pub(crate) seconds: usize,
    pub(crate) seed: u64,
}

impl Stand {
    pub(crate) fn measured(condition: &'static str, reach_mm: f64, seed: u64) -> Self {
        Self {
            person: "P-07",
            condition,
            kind: TrialKind::Measured,
            board: "plate-1",
            day: 0,
            reach_mm,
            seconds: 60,
            seed,
        }
    }

    /// Seals the stand into `folder`.
    pub(crate) fn seal(&self, folder: &Path) -> PathBuf {
        trial_file::seal(&self.stored(), folder).expect("a synthetic stand can be sealed")
    }

    pub(crate) fn stored(&self) -> StoredTrial {
        let n_samples = self.seconds * 100;
        let n = i64::try_from(self.seed).expect("a small seed");
        let started_us = FIRST_START_UNIX_US + self.day * 86_400_000_000 + n * 180_000_000;
        let condition: Condition = self.condition.parse().expect("a condition");
        StoredTrial {
            facts: TrialFacts {
                id: format!("0195{:04x}-0000-7000-8000-{:012x}", self.day, self.seed),
                person: self.person.parse().expect("a code"),
                session: None,
                plan: None,
                condition,
                kind: self.kind,
                setup: Setup {
                    board: self.board.to_owned(),
                    sole_height_mm: Some(60.0),
                    facing: Facing::Front,
                },
                body_height_m: Some(1.68),
                body_mass_kg: Some(66.0),
                started: WallTime::new(started_us, 0).expect("a time"),
                settled_s: 12.0,
                asked_s: 60.0,
                program: "synthetic".to_owned(),
            },
            origin: Origin::Imported(ImportOrigin {
                file_name: "none".to_owned(),
                sha256: "0".repeat(64),
                column_map: "none".to_owned(),
            }),
            samples: Samples {
                time_us: (0..n_samples as u64).map(|i| i * 10_000).collect(),
                sequence: (0..n_samples as u64).collect(),
                raw: None,
                forces_newtons: None,
                cop: self.path(n_samples).into_iter().map(Some).collect(),
            },
        }
    }

    /// Noise through a slow and a quick first-order filter, on each axis by itself.
    fn path(&self, n_samples: usize) -> Vec<Cop> {
        let mut noise = Noise(0x9e37_79b9_7f4a_7c15_u64.wrapping_mul(self.seed + 1));
        let mut axes = [[0.0_f64; 3]; 2];
        let shares = [0.6, 1.0];
        (0..n_samples)
            .map(|_| {
                let [ml_mm, ap_mm] = std::array::from_fn(|axis| {
                    let state = &mut axes[axis];
                    state[0] += 0.002 * (12.0 * noise.next() - state[0]);
                    state[1] += 0.04 * (1.8 * noise.next() - state[1]);
                    state[2] += 0.15 * (state[0] + state[1] - state[2]);
                    shares[axis] * self.reach_mm * 2.6 * state[2]
                });
                Cop::new(ml_mm + 4.0, ap_mm - 18.0)
            })
            .collect()
    }
}

/// Numbers from -1 to 1, always the same for one seed (xorshift, Marsaglia 2003).
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

/// Three stands with eyes open, three with eyes closed on foam, and one more day of both.
pub(crate) fn two_days(folder: &Path) -> Vec<PathBuf> {
    let mut paths = Vec::new();
    let mut seed = 0;
    for day in 0..2 {
        for (condition, reach_mm) in [("foam/hip-width/open", 5.0), ("foam/hip-width/closed", 7.5)]
        {
            for _ in 0..3 {
                seed += 1;
                let stand = Stand { day, ..Stand::measured(condition, reach_mm, seed) };
                paths.push(stand.seal(folder));
            }
        }
    }
    paths
}
