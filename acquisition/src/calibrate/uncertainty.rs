//! How far the centre of pressure can be wrong, over the plate.

use crate::calibration::{Calibration, CornerPosition};

/// What a calibration does not show: standard uncertainties per axis, in millimetres, at 60 kg.
///
/// # Source
/// The project's error budget of a board at its demanded limits (a simulation, not yet measured on
/// hardware): load point 0.04, nonlinearity 0.06, hysteresis 0.01, creep 0.01, zero 0.02, noise 0.01.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TypeB {
    /// Wander of the point at which a cell takes its load.
    pub load_point_mm: f64,
    /// Nonlinearity of the cells.
    pub nonlinearity_mm: f64,
    /// Hysteresis of the cells.
    pub hysteresis_mm: f64,
    /// Creep since the load came on.
    pub creep_mm: f64,
    /// Zero, taken just before.
    pub zero_mm: f64,
    /// Noise after the 10 Hz filter.
    pub noise_mm: f64,
}

impl TypeB {
    /// A board within the demanded limits.
    pub const DEMANDED: Self = Self {
        load_point_mm: 0.04,
        nonlinearity_mm: 0.06,
        hysteresis_mm: 0.01,
        creep_mm: 0.01,
        zero_mm: 0.02,
        noise_mm: 0.01,
    };

    fn combined_mm(&self) -> f64 {
        [
            self.load_point_mm,
            self.nonlinearity_mm,
            self.hysteresis_mm,
            self.creep_mm,
            self.zero_mm,
            self.noise_mm,
        ]
        .iter()
        .map(|part| part * part)
        .sum::<f64>()
        .sqrt()
    }
}

/// Expanded uncertainty of the centre of pressure over a calibrated plate.
#[derive(Debug, Clone, PartialEq)]
pub struct PlateUncertainty<'a> {
    calibration: &'a Calibration,
    covariance: &'a [[f64; 12]; 12],
    type_b: TypeB,
}

impl<'a> PlateUncertainty<'a> {
    /// For a calibration that knows its covariance; `None` for one that does not.
    pub fn new(calibration: &'a Calibration, type_b: TypeB) -> Option<Self> {
        let covariance = calibration.covariance.as_deref()?;
        Some(Self { calibration, covariance, type_b })
    }

    /// Expanded uncertainty (k = 2) on each axis, in millimetres, to the right and forward, of a
    /// load at this place.
    ///
    /// # Source
    /// JCGM 100:2008 (GUM), law of propagation, sections 5.1.2 and 6.2.
    pub fn expanded_mm(&self, ml_mm: f64, ap_mm: f64) -> (f64, f64) {
        let shares = shares_of(ml_mm, ap_mm, &self.calibration.corners);
        let mut right = [0.0; 12];
        let mut forward = [0.0; 12];
        for (i, corner) in self.calibration.corners.iter().enumerate() {
            let per_gain = shares[i] / self.calibration.newtons_per_count[i];
            right[i] = (corner.ml_mm - ml_mm) * per_gain;
            forward[i] = (corner.ap_mm - ap_mm) * per_gain;
            right[4 + 2 * i] = shares[i];
            forward[5 + 2 * i] = shares[i];
        }
        let combined = |sensitivity: &[f64; 12]| {
            let mut variance = self.type_b.combined_mm().powi(2);
            for (i, row) in self.covariance.iter().enumerate() {
                for (j, value) in row.iter().enumerate() {
                    variance += sensitivity[i] * value * sensitivity[j];
                }
            }
            2.0 * variance.max(0.0).sqrt()
        };
        (combined(&right), combined(&forward))
    }

    /// The largest expanded uncertainty (k = 2) on either axis within `reach_mm` of the centre on
    /// both axes, in millimetres.
    pub fn largest_mm(&self, reach_mm: f64) -> f64 {
        const STEPS: i32 = 8;
        let mut largest: f64 = 0.0;
        for i in -STEPS..=STEPS {
            for j in -STEPS..=STEPS {
                let place = |step: i32| reach_mm * f64::from(step) / f64::from(STEPS);
                let (right, forward) = self.expanded_mm(place(i), place(j));
                largest = largest.max(right).max(forward);
            }
        }
        largest
    }
}

/// Shares of a load on the four corners: the least uneven ones that balance it (a plate neither
/// stiff nor soft in torsion lies between these and the bilinear ones).
fn shares_of(ml_mm: f64, ap_mm: f64, corners: &[CornerPosition; 4]) -> [f64; 4] {
    use nalgebra::{Matrix3, Matrix3x4, Vector3};
    let balance = Matrix3x4::from_fn(|row, column| match row {
        0 => 1.0,
        1 => corners[column].ml_mm,
        _ => corners[column].ap_mm,
    });
    let square: Matrix3<f64> = balance * balance.transpose();
    let wanted = Vector3::new(1.0, ml_mm, ap_mm);
    let Some(inverse) = square.try_inverse() else { return [0.25; 4] };
    let shares = balance.transpose() * (inverse * wanted);
    std::array::from_fn(|i| shares[i])
}
