//! The program itself: counts made up from a known path, with every fault on the way.

use analysis::{Settings, TimedCop, even_trace};

use super::finding::Finding;
use super::test::BoardTest;
use crate::calibration::Calibration;
use crate::forces::{cop_from_forces, forces_from_counts};
use crate::zero::Zero;

const RATE_HZ: f64 = 250.0;
const SECONDS: f64 = 60.0;
const WEIGHT_NEWTONS: f64 = 600.0;

/// A circle, so that path and velocity are known in closed form.
const RADIUS_MM: f64 = 10.0;
const TURNS_PER_S: f64 = 0.5;

/// One lost frame in this many, and a clock this much fast.
const LOST_EVERY: u64 = 499;
const CLOCK: f64 = 1.000_08;

/// Makes up a minute of counts of a load that goes round in a circle, and reads them as a board's.
///
/// Forces come from statics alone: what the four corners of a rectangle carry of a load inside.
pub fn software() -> Vec<Finding> {
    let test = BoardTest::Software;
    let calibration = Calibration::nominal("0123456789abcdef01234567", 128);
    let zero = Zero { counts: [1_000.0, -2_000.0, 30_000.0, 0.0], board_time_us: 0 };
    let (mut worst_mm, mut n_lost, mut n_kept) = (0.0_f64, 0_u64, 0_u64);
    let mut samples = Vec::new();
    let n_frames = SECONDS * RATE_HZ;
    let mut number = 0.0;
    while number < n_frames {
        let t = number / RATE_HZ;
        let phase = std::f64::consts::TAU * TURNS_PER_S * t;
        let (ml, ap) = (RADIUS_MM * phase.cos(), RADIUS_MM * phase.sin());
        let counts = counts_of(ml, ap, &calibration, &zero);
        number += 1.0;
        n_kept += 1;
        if n_kept.is_multiple_of(LOST_EVERY) {
            n_lost += 1;
            continue;
        }
        let forces = forces_from_counts(counts, &zero, &calibration);
        let cop = cop_from_forces(forces, &calibration.corners);
        worst_mm =
            cop.map_or(f64::INFINITY, |cop| worst_mm.max((cop.ml_mm - ml).hypot(cop.ap_mm - ap)));
        samples.push(TimedCop { time_us: microseconds(t * CLOCK), cop });
    }
    let (path, lost) = measured(&samples);
    // Length of a circle's arc, in as much board time as the trace spans.
    let velocity = std::f64::consts::TAU * RADIUS_MM * TURNS_PER_S / CLOCK;
    let off_percent = 100.0 * (path / velocity - 1.0).abs();
    vec![
        Finding::at_most(test, "centre of pressure", 1e3 * worst_mm, 1.0, "µm"),
        Finding::at_most(test, "velocity of a circle", off_percent, 0.1, "%"),
        Finding::at_most(test, "lost frames not counted", (lost - n_lost as f64).abs(), 0.0, ""),
    ]
}

fn measured(samples: &[TimedCop]) -> (f64, f64) {
    let Ok(even) = even_trace(samples, analysis::Plane::Plate) else { return (f64::NAN, f64::NAN) };
    let lost = even.continuity.n_lost as f64;
    let shown = analysis::measure(&even.trace, &Settings::standard(None));
    (shown.displacement.map_or(f64::NAN, |shown| shown.mean_velocity_mm_per_s), lost)
}

fn counts_of(ml_mm: f64, ap_mm: f64, calibration: &Calibration, zero: &Zero) -> [i32; 4] {
    std::array::from_fn(|i| {
        let corner = calibration.corners[i];
        let share = (1.0 + ml_mm / corner.ml_mm + ap_mm / corner.ap_mm) / 4.0;
        let counts = share * WEIGHT_NEWTONS / calibration.newtons_per_count[i] + zero.counts[i];
        #[expect(clippy::cast_possible_truncation, reason = "600 N fit 24 bits many times over")]
        let rounded = counts.round() as i32;
        rounded
    })
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a minute")]
fn microseconds(seconds: f64) -> u64 {
    (seconds * 1e6).round() as u64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_program_reads_what_it_was_given() {
        for finding in software() {
            assert!(finding.is_within(), "{finding:?}");
        }
    }
}
