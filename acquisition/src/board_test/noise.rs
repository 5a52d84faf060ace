//! A dead weight: what the board shows of something that does not move.

use analysis::{Cop, NoiseFloor, NotAvailable, Plane, Settings, TimedCop, Trace};
use thiserror::Error;

use super::finding::Finding;
use super::goertzel::goertzel;
use super::load::standard_deviation;
use super::test::BoardTest;
use crate::board_session::BoardFrame;
use crate::calibration::Calibration;
use crate::forces::{cop_from_forces, forces_from_counts};
use crate::zero::ZeroLine;

/// Noise of one cell at 250 frames a second, in newtons. At other rates white noise scales with the
/// root of the rate.
const CELL_RMS_NEWTONS: f64 = 0.05;
const CELL_RMS_RATE_HZ: f64 = 250.0;

/// Half the distance between cells on which the limits below were computed, in millimetres; noise
/// of the centre of pressure grows with that distance.
const STUDIED_ARM_MM: f64 = 200.0;

/// Standard deviation of the centre of pressure under 20 kg after the 10 Hz filter, in millimetres.
const COP_SD_MM: f64 = 0.035;

/// Its path per second, in millimetres per second.
const PATH_MM_PER_S: f64 = 1.8;

/// Amplitude of a single line between 0.1 and 10 Hz, in millimetres. White noise at the limit of a
/// cell shows lines of up to 7 um in 60 s by chance alone, so a limit of 5 um would turn good boards
/// away: `acquisition/docs/board-tests.md`.
const LINE_MM: f64 = 0.008;

/// Load for which these limits hold, in newtons: 20 kg.
const STUDIED_LOAD_NEWTONS: f64 = 20.0 * crate::calibrate::GRAVITY_M_PER_S2;

/// Seconds in which the noise floor is measured one by one, for its uncertainty.
const PIECE_S: f64 = 10.0;

/// What a dead weight shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeadWeight {
    /// Standard deviation of each cell at the board's own rate, in newtons.
    pub cell_rms_newtons: [f64; 4],
    /// Frames per second, from the board's clock.
    pub frames_per_s: f64,
    /// Standard deviation after the standard processing, to the right, in millimetres.
    pub sd_ml_mm: f64,
    /// Standard deviation after the standard processing, forward, in millimetres.
    pub sd_ap_mm: f64,
    /// Largest amplitude of a single frequency between 0.1 and 10 Hz, in millimetres.
    pub largest_line_mm: f64,
    /// At which frequency, in hertz.
    pub largest_line_hz: f64,
    /// Path per second and load, as trials use it.
    pub floor: NoiseFloor,
    /// How long it was read, in seconds.
    pub seconds: f64,
}

impl DeadWeight {
    /// Path that a stone of this weight would show in a minute, in millimetres.
    pub const fn path_in_a_minute_mm(&self) -> f64 {
        60.0 * self.floor.path_rate_mm_per_s
    }
}

/// Why a dead weight shows nothing that can be used.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoiseRefused {
    /// Too much of the reading is missing or unloaded.
    #[error("the reading cannot be measured: {0}")]
    NotMeasured(NotAvailable),
}

/// Measures the reading of a dead weight of at least 30 s.
///
/// # Errors
/// [`NoiseRefused`] if the standard processing refuses the reading.
pub fn dead_weight(
    frames: &[BoardFrame],
    zero: &ZeroLine,
    calibration: &Calibration,
) -> Result<DeadWeight, NoiseRefused> {
    let forces: Vec<[f64; 4]> = frames
        .iter()
        .map(|frame| forces_from_counts(frame.counts, &zero.at(frame.time_us), calibration))
        .collect();
    let timed: Vec<TimedCop> = frames
        .iter()
        .zip(&forces)
        .map(|(frame, forces)| TimedCop {
            time_us: frame.time_us,
            cop: cop_from_forces(*forces, &calibration.corners),
        })
        .collect();
    let even = analysis::even_trace(&timed, Plane::Plate).map_err(NoiseRefused::NotMeasured)?;
    let settings = Settings::standard(None);
    let trace = analysis::processed(&even.trace, &settings).map_err(NoiseRefused::NotMeasured)?;
    let shown = measure(&trace)?;
    let (largest_line_mm, largest_line_hz) = largest_line(&trace);
    let cell = |i: usize| standard_deviation(&forces.iter().map(|f| f[i]).collect::<Vec<_>>());
    let load_newtons = forces.iter().flatten().sum::<f64>() / forces.len().max(1) as f64;
    Ok(DeadWeight {
        cell_rms_newtons: std::array::from_fn(cell),
        frames_per_s: even.trace.rate().hz(),
        sd_ml_mm: shown.rms_ml_mm,
        sd_ap_mm: shown.rms_ap_mm,
        largest_line_mm,
        largest_line_hz,
        floor: NoiseFloor {
            path_rate_mm_per_s: shown.mean_velocity_mm_per_s,
            uncertainty_mm_per_s: spread_of_pieces(&trace),
            load_newtons,
        },
        seconds: trace.elapsed_s(),
    })
}

fn measure(trace: &Trace) -> Result<analysis::Displacement, NoiseRefused> {
    // Filtered and trimmed already.
    analysis::measure(trace, &Settings::as_recorded(None))
        .displacement
        .map_err(NoiseRefused::NotMeasured)
}

/// Standard uncertainty of the path per second, from pieces of ten seconds.
fn spread_of_pieces(trace: &Trace) -> f64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "ten seconds at 100 samples a second"
    )]
    let n_samples = (PIECE_S * trace.rate().hz()) as usize;
    let rates: Vec<f64> = trace
        .points()
        .chunks_exact(n_samples.max(2))
        .filter_map(|piece| Trace::new(trace.rate(), trace.plane(), piece.to_vec()))
        .filter_map(|piece| measure(&piece).ok())
        .map(|shown| shown.mean_velocity_mm_per_s)
        .collect();
    standard_deviation(&rates) / (rates.len() as f64).sqrt()
}

/// Amplitude and frequency of the largest single line between 0.1 and 10 Hz on either axis.
fn largest_line(trace: &Trace) -> (f64, f64) {
    let (points, hz) = (trace.points(), trace.rate().hz());
    let n = points.len() as f64;
    let series = |axis: fn(&Cop) -> f64| -> Vec<f64> {
        let mean = points.iter().map(axis).sum::<f64>() / n;
        points.iter().map(|point| axis(point) - mean).collect()
    };
    let axes = [series(|point| point.ml_mm), series(|point| point.ap_mm)];
    let (mut largest, mut at_hz) = (0.0, 0.0);
    let mut bin = 1.0;
    while bin * hz / n <= 10.0 {
        let frequency = bin * hz / n;
        if 0.1 <= frequency {
            for axis in &axes {
                let amplitude = 2.0 / n * goertzel(axis, frequency / hz);
                if largest < amplitude {
                    (largest, at_hz) = (amplitude, frequency);
                }
            }
        }
        bin += 1.0;
    }
    (largest, at_hz)
}

/// Noise against its limits, for a dead weight of any mass on a board of any size: the limits of
/// 20 kg on the studied board scale with load and arm.
pub fn noise(shown: &DeadWeight, calibration: &Calibration) -> Vec<Finding> {
    let test = BoardTest::Noise;
    let arm = |of: fn(&crate::calibration::CornerPosition) -> f64| {
        calibration.corners.iter().map(|corner| of(corner).abs()).sum::<f64>()
            / 4.0
            / STUDIED_ARM_MM
    };
    let (ml, ap) = (arm(|corner| corner.ml_mm), arm(|corner| corner.ap_mm));
    let lighter = STUDIED_LOAD_NEWTONS / shown.floor.load_newtons;
    let both = f64::midpoint(ml * ml, ap * ap).sqrt();
    let rate = (shown.frames_per_s / CELL_RMS_RATE_HZ).sqrt();
    let cell = shown.cell_rms_newtons.into_iter().fold(0.0, f64::max);
    let um = 1e3;
    vec![
        Finding::at_most(test, "noise of the worst cell, rms", cell, CELL_RMS_NEWTONS * rate, "N"),
        Finding::at_most(
            test,
            "standard deviation to the side",
            um * shown.sd_ml_mm,
            um * COP_SD_MM * ml * lighter,
            "µm",
        ),
        Finding::at_most(
            test,
            "standard deviation forward",
            um * shown.sd_ap_mm,
            um * COP_SD_MM * ap * lighter,
            "µm",
        ),
        Finding::at_most(
            test,
            "path a stone would show",
            shown.floor.path_rate_mm_per_s,
            PATH_MM_PER_S * both * lighter,
            "mm/s",
        ),
        Finding::at_most(
            test,
            "largest single line, 0.1 to 10 Hz",
            um * shown.largest_line_mm,
            um * LINE_MM * ap.max(ml) * lighter,
            "µm",
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sine of known amplitude, by the textbook: its line has that amplitude.
    #[test]
    fn a_line_of_ten_micrometres_is_found_where_it_is() {
        let points = (0..6_000)
            .map(|i| {
                let phase = std::f64::consts::TAU * 3.0 * f64::from(i) / 100.0;
                Cop::new(5.0, 0.010 * phase.sin() - 2.0)
            })
            .collect();
        let trace = Trace::new(analysis::SampleRate::STANDARD, Plane::Plate, points).unwrap();
        let (amplitude, hz) = largest_line(&trace);
        assert!((amplitude - 0.010).abs() < 1e-6, "{amplitude}");
        assert!((hz - 3.0).abs() < 1e-9, "{hz}");
    }
}
