//! One load as the calibrated board reads it.

use crate::calibrate::GRAVITY_M_PER_S2;
use crate::calibration::Calibration;

/// Total force and centre of pressure of a load at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Total force, in newtons.
    pub newtons: f64,
    /// Centre of pressure to the right, in millimetres; not a number without load.
    pub ml_mm: f64,
    /// Centre of pressure forward, in millimetres; not a number without load.
    pub ap_mm: f64,
}

impl Load {
    /// The load of mean counts, the zero taken off.
    pub fn from_counts(net_counts: [f64; 4], calibration: &Calibration) -> Self {
        let forces: [f64; 4] =
            std::array::from_fn(|i| net_counts[i] * calibration.newtons_per_count[i]);
        let newtons: f64 = forces.iter().sum();
        let (mut ml, mut ap) = (0.0, 0.0);
        for (force, corner) in forces.iter().zip(&calibration.corners) {
            ml += force * corner.ml_mm;
            ap += force * corner.ap_mm;
        }
        Self { newtons, ml_mm: ml / newtons, ap_mm: ap / newtons }
    }

    /// Distance between two centres of pressure, in millimetres.
    pub fn distance_mm(&self, other: &Self) -> f64 {
        (self.ml_mm - other.ml_mm).hypot(self.ap_mm - other.ap_mm)
    }
}

/// Force of a mass given in grams, in newtons.
#[cfg(test)]
pub(super) const fn newtons_from_grams(grams: f64) -> f64 {
    grams * 1e-3 * GRAVITY_M_PER_S2
}

/// Mass in grams of a force in newtons.
pub(super) const fn grams_from_newtons(newtons: f64) -> f64 {
    newtons / GRAVITY_M_PER_S2 * 1e3
}

/// Largest minus smallest; not a number if there is none.
pub(super) fn range(values: impl IntoIterator<Item = f64>) -> f64 {
    let (low, high) =
        values.into_iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    if low <= high { high - low } else { f64::NAN }
}

/// Standard deviation (N - 1); not a number for fewer than two values.
pub(super) fn standard_deviation(values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    if values.len() < 2 { f64::NAN } else { (squares / (n - 1.0)).sqrt() }
}
