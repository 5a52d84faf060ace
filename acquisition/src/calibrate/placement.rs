//! One mass put down at one place.

/// Standard acceleration of free fall, in metres per second squared.
///
/// # Source
/// 3rd General Conference on Weights and Measures, 1901: 9.80665 m/s2. Local gravity differs by up
/// to 0.3 %, the same for every placement, so it changes forces and never the centre of pressure.
pub const GRAVITY_M_PER_S2: f64 = 9.806_65;

/// A known mass at a known place, and what the four cells read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Where the mass stood, to the right of the centre, in millimetres.
    pub ml_mm: f64,
    /// Where the mass stood, forward of the centre, in millimetres.
    pub ap_mm: f64,
    /// The mass, in kilograms.
    pub mass_kg: f64,
    /// Mean counts of the four channels, the zero taken off.
    pub counts: [f64; 4],
}

impl Placement {
    /// Weight of the mass, in newtons.
    pub fn weight_newtons(&self) -> f64 {
        self.mass_kg * GRAVITY_M_PER_S2
    }
}

/// The nine places of a calibration, `reach_mm` to each side: centre, edges and corners.
///
/// The corners twist the plate, which separates gains from positions; the centre comes first so
/// that the first reading already shows whether the mass typed fits.
pub const fn nine_places(reach_mm: f64) -> [(f64, f64); 9] {
    let r = reach_mm;
    [(0.0, 0.0), (-r, r), (r, r), (-r, -r), (r, -r), (0.0, r), (-r, 0.0), (r, 0.0), (0.0, -r)]
}
