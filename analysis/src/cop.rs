//! The centre of pressure, and the one frame of reference used everywhere.

/// A point on the board, in millimetres from the centre of the board.
///
/// `ml_mm` is medio-lateral, positive to the standing person's right; `ap_mm` is
/// antero-posterior, positive forward.
///
/// # Source
/// Axis directions: Scoppa, Capra, Gallamini, Shiffer 2013, Gait & Posture 37:290. That text puts
/// the origin at the platform's rear-left corner; the board's centre differs by a constant shift.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cop {
    /// Medio-lateral, millimetres, positive to the right.
    pub ml_mm: f64,
    /// Antero-posterior, millimetres, positive forward.
    pub ap_mm: f64,
}

impl Cop {
    /// A point from its two coordinates in millimetres, medio-lateral first.
    pub const fn new(ml_mm: f64, ap_mm: f64) -> Self {
        Self { ml_mm, ap_mm }
    }
}

/// The plane in which a centre of pressure was found.
///
/// The cells sense where the plate hands its horizontal force on; the sole stands higher, on the
/// plate or on a pad. Values of different planes, or of different heights, are never compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Plane {
    /// Where the plate hands its force to the cells: the primary result.
    Plate,
    /// Under the soles, estimated with the body-centre model: a second, labelled result.
    Sole,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn medio_lateral_comes_first() {
        assert_eq!(Cop::new(1.0, 2.0), Cop { ml_mm: 1.0, ap_mm: 2.0 });
    }
}
