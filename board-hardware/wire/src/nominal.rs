//! The board as drawn, for use until it is calibrated.

use crate::counts::Corner;

/// Where a cell touches the plate, in millimetres from the centre of the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerPosition {
    /// Positive to the right of a person who faces the marked front.
    pub ml_mm: f64,
    /// Positive towards the marked front.
    pub ap_mm: f64,
}

/// Geometry and scale as drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nominal {
    /// Where the cells stand, in the order of [`Corner::ALL`].
    pub corners: [CornerPosition; 4],
    /// Force on one cell for one count at a gain of 128; unloaded plate and pad are not removed.
    pub newtons_per_count: f64,
}

impl Nominal {
    /// Position of one corner.
    pub const fn corner(&self, corner: Corner) -> CornerPosition {
        let [front_left, front_right, rear_left, rear_right] = self.corners;
        match corner {
            Corner::FrontLeft => front_left,
            Corner::FrontRight => front_right,
            Corner::RearLeft => rear_left,
            Corner::RearRight => rear_right,
        }
    }
}

/// Rated load of one cell: 100 kgf, in newtons.
const CAPACITY_NEWTONS: f64 = 100.0 * 9.806_65;

/// Bridge output at rated load, millivolts per volt of excitation: the usual value for a
/// single-point cell of this class (common practice, no source).
const SENSITIVITY_MV_PER_V: f64 = 2.0;

/// Converter range at a gain of 128, millivolts per volt of reference (which is the excitation):
/// the reference divided by the gain, as the converters of `Converter::FourBridges` have it.
const FULL_SCALE_MV_PER_V: f64 = 1000.0 / 128.0;

/// The board of `board-hardware/` as drawn: cells at ±220 mm (ML) and ±290 mm (AP).
///
/// A real board differs from it by up to 5 % in gain and 0.3 mm in position, which moves the
/// centre of pressure by some millimetres: a calibrated board uses its own numbers instead.
pub const NOMINAL: Nominal = Nominal {
    corners: [
        CornerPosition { ml_mm: -220.0, ap_mm: 290.0 },
        CornerPosition { ml_mm: 220.0, ap_mm: 290.0 },
        CornerPosition { ml_mm: -220.0, ap_mm: -290.0 },
        CornerPosition { ml_mm: 220.0, ap_mm: -290.0 },
    ],
    newtons_per_count: CAPACITY_NEWTONS * FULL_SCALE_MV_PER_V
        / (SENSITIVITY_MV_PER_V * 8_388_608.0),
};

#[cfg(test)]
mod tests {
    use super::*;

    /// 100 kgf give 2 mV/V of a range of 7.8125 mV/V: 25.6 % of 2^23 counts, worked by hand.
    #[test]
    fn rated_load_gives_25_6_percent_of_the_range() {
        let counts = CAPACITY_NEWTONS / NOMINAL.newtons_per_count;
        assert!((counts - 2_147_483.648).abs() < 1e-6);
    }

    #[test]
    fn left_is_negative_and_front_is_positive() {
        let place = NOMINAL.corner(Corner::FrontLeft);
        assert!(place.ml_mm < 0.0 && 0.0 < place.ap_mm);
        let place = NOMINAL.corner(Corner::RearRight);
        assert!(0.0 < place.ml_mm && place.ap_mm < 0.0);
    }
}
