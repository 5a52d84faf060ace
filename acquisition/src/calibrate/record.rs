//! Everything that is kept of a calibration.

use super::guided_calibration::{Jig, Spot};
use crate::calibration::Calibration;
use crate::wall_time::WallTime;

/// A calibration with how it was made and how well it fits.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationRecord {
    /// What forces are computed with.
    pub calibration: Calibration,
    /// When it was made.
    pub made: WallTime,
    /// Name and version of the program that made it.
    pub program: String,
    /// Temperature beside the converter, in degrees Celsius; `None` if not known.
    pub temperature_c: Option<f64>,
    /// The mass that was put down, in kilograms.
    pub mass_kg: f64,
    /// How it was put on its mark.
    pub jig: Jig,
    /// Each spot, in order.
    pub spots: Vec<SpotRecord>,
    /// Sum of squared residuals of the fit in their standard deviations.
    pub chi_square: f64,
    /// Degrees of freedom of it.
    pub degrees_of_freedom: usize,
    /// Range of what the board reads of the mass at its four corners, as a share of the mass.
    pub corner_load_spread: f64,
    /// How well the fit holds where it was not made; `None` if that was not checked.
    pub hold_out: Option<HoldOutCheck>,
    /// Largest expanded uncertainty (k = 2) of the centre of pressure on either axis within
    /// [`STATED_REACH_MM`](super::STATED_REACH_MM) at 60 kg, in millimetres.
    pub largest_uncertainty_mm: f64,
}

/// What was read on one spot, and what the fit leaves over there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpotRecord {
    /// The spot.
    pub spot: Spot,
    /// Mean counts of the four channels, the zero taken off.
    pub counts: [f64; 4],
    /// Weight minus total force, in newtons.
    pub left_newtons: f64,
    /// Mark minus centre of pressure, to the right, in millimetres.
    pub left_ml_mm: f64,
    /// Mark minus centre of pressure, forward, in millimetres.
    pub left_ap_mm: f64,
}

/// Distances of the centre of pressure from marks that were not used in the fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoldOutCheck {
    /// How many spots.
    pub n_spots: usize,
    /// Root mean square distance, in millimetres.
    pub radial_rms_mm: f64,
    /// Largest distance, in millimetres.
    pub largest_mm: f64,
}
