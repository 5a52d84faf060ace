//! From a few seconds of counts to one reading, or what disturbed it.

use thiserror::Error;

use crate::calibration::Calibration;
use crate::forces::{cop_from_forces, forces_from_counts};
use crate::zero::Zero;

/// How still a mass must stand. Our own choices, from the board's demanded noise of 0.05 N a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CaptureLimits {
    /// Fewest samples of one reading: five seconds at the board's rate.
    pub n_samples: usize,
    /// Largest standard deviation of the total force, in newtons: four cells of 0.05 N give 0.1 N,
    /// a person standing as still as possible sways by several newtons.
    pub force_sd_newtons: f64,
    /// Largest shift of the centre of pressure between the two halves, in millimetres.
    pub shift_mm: f64,
    /// Least load, in newtons; below it there is nothing on the board.
    pub load_newtons: f64,
}

impl CaptureLimits {
    /// The limits for a board at `frames_per_s`.
    pub fn at_rate(frames_per_s: f64) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a rate is above zero and at most a few thousand"
        )]
        let n_samples = (5.0 * frames_per_s).ceil() as usize;
        Self { n_samples, force_sd_newtons: 0.5, shift_mm: 0.3, load_newtons: 30.0 }
    }
}

/// Why a reading cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CaptureFault {
    /// The reading is too short.
    #[error("{n_samples} samples are too few, {needed} are needed")]
    TooShort {
        /// How many there are.
        n_samples: usize,
        /// How many are needed.
        needed: usize,
    },
    /// There is nothing on the board.
    #[error("the board carries {load_newtons:.1} N, nothing stands on it")]
    NothingThere {
        /// Mean total force, in newtons.
        load_newtons: f64,
    },
    /// The load sways: a person, or something that is not yet at rest.
    #[error(
        "the load varies by {sd_newtons:.2} N, the limit is {limit_newtons} N: \
         that is how a person stands, not a mass"
    )]
    NotAMass {
        /// Standard deviation of the total force, in newtons.
        sd_newtons: f64,
        /// The limit, in newtons.
        limit_newtons: f64,
    },
    /// The load moved while it was read.
    #[error("the mass moved by {shift_mm:.2} mm while it was read, the limit is {limit_mm} mm")]
    Moved {
        /// Distance between the centres of pressure of the two halves, in millimetres.
        shift_mm: f64,
        /// The limit, in millimetres.
        limit_mm: f64,
    },
}

/// Mean counts of a mass at rest, the zero taken off.
///
/// `counts`: raw counts in order of time; `calibration`: any that is roughly right, such as the
/// nominal one, to judge stillness in newtons and millimetres.
///
/// # Errors
/// [`CaptureFault`] names what disturbed the reading; nothing is averaged away.
pub fn capture(
    counts: &[[i32; 4]],
    zero: &Zero,
    calibration: &Calibration,
    limits: &CaptureLimits,
) -> Result<[f64; 4], CaptureFault> {
    if counts.len() < limits.n_samples.max(2) {
        let needed = limits.n_samples.max(2);
        return Err(CaptureFault::TooShort { n_samples: counts.len(), needed });
    }
    let totals: Vec<f64> = counts
        .iter()
        .map(|sample| forces_from_counts(*sample, zero, calibration).iter().sum())
        .collect();
    let load_newtons = totals.iter().sum::<f64>() / totals.len() as f64;
    if load_newtons.abs() < limits.load_newtons {
        return Err(CaptureFault::NothingThere { load_newtons });
    }
    let squares: f64 = totals.iter().map(|total| (total - load_newtons).powi(2)).sum();
    let sd_newtons = (squares / (totals.len() - 1) as f64).sqrt();
    if limits.force_sd_newtons < sd_newtons {
        let limit_newtons = limits.force_sd_newtons;
        return Err(CaptureFault::NotAMass { sd_newtons, limit_newtons });
    }
    let (first, second) = counts.split_at(counts.len() / 2);
    let (before, after) = (mean_counts(first, zero), mean_counts(second, zero));
    let place = |mean: [f64; 4]| {
        let forces = std::array::from_fn(|i| mean[i] * calibration.newtons_per_count[i]);
        cop_from_forces(forces, &calibration.corners)
    };
    if let (Some(from), Some(to)) = (place(before), place(after)) {
        let shift_mm = (to.ml_mm - from.ml_mm).hypot(to.ap_mm - from.ap_mm);
        if limits.shift_mm < shift_mm {
            return Err(CaptureFault::Moved { shift_mm, limit_mm: limits.shift_mm });
        }
    }
    Ok(mean_counts(counts, zero))
}

fn mean_counts(counts: &[[i32; 4]], zero: &Zero) -> [f64; 4] {
    std::array::from_fn(|i| {
        let sum: f64 = counts.iter().map(|sample| f64::from(sample[i])).sum();
        sum / counts.len() as f64 - zero.counts[i]
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::tests::square_board;

    const ZERO: Zero = Zero { counts: [100.0; 4], board_time_us: 0 };

    fn check(sample: impl Fn(usize) -> [i32; 4], expected: Result<[f64; 4], &str>) {
        let counts: Vec<[i32; 4]> = (0..1250).map(sample).collect();
        let limits = CaptureLimits::at_rate(250.0);
        let got = capture(&counts, &ZERO, &square_board(), &limits).map_err(|e| e.to_string());
        assert_eq!(got, expected.map_err(str::to_owned));
    }

    #[test]
    fn a_still_mass_gives_its_mean_without_the_zero() {
        check(|i| [50_100 + if i % 2 == 0 { 10 } else { -10 }; 4], Ok([50_000.0; 4]));
    }

    #[test]
    fn an_empty_board_is_named() {
        check(|_| [150; 4], Err("the board carries 0.2 N, nothing stands on it"));
    }

    #[test]
    fn a_person_is_not_a_mass() {
        // 4 N to each side of 600 N, once a second: standard deviation 4 / sqrt(2) N.
        let sway = |i: usize| {
            let phase = std::f64::consts::TAU * i as f64 / 250.0;
            #[expect(clippy::cast_possible_truncation, reason = "some thousand counts")]
            let counts = (150_100.0 + 1000.0 * phase.sin()) as i32;
            [counts; 4]
        };
        check(
            sway,
            Err("the load varies by 2.83 N, the limit is 0.5 N: \
                 that is how a person stands, not a mass"),
        );
    }

    #[test]
    fn a_mass_that_was_pushed_is_named_with_the_distance() {
        // 200 N; at half time 1 N goes from the left to the right cells, 400 mm apart: 2 mm.
        let pushed = |i: usize| {
            let moved = if i < 625 { 0 } else { 500 };
            [50_100 - moved, 50_100 + moved, 50_100 - moved, 50_100 + moved]
        };
        check(pushed, Err("the mass moved by 2.00 mm while it was read, the limit is 0.3 mm"));
    }

    #[test]
    fn too_short_a_reading_is_refused() {
        let limits = CaptureLimits::at_rate(250.0);
        let fault = capture(&[[0; 4]; 3], &ZERO, &square_board(), &limits).unwrap_err();
        assert_eq!(fault, CaptureFault::TooShort { n_samples: 3, needed: 1250 });
    }
}
