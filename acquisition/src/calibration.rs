//! What turns a board's counts into newtons: gains and places of its four cells.

use analysis::keyed_enum;
use board_wire::{Gain, NOMINAL};
use thiserror::Error;

/// Gains and corner positions of one board, as one version of its calibration.
///
/// It lives on the host, keyed by the board's unique id; a trial carries the one it was computed
/// with, so that its forces can be computed again. Values from a file are checked with
/// [`check`](Self::check) before use.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Unique id of this calibration.
    pub id: String,
    /// 1 for the first of a board, one more for each that replaces it; 0 for the nominal one.
    pub version: u32,
    /// When it was made, in microseconds since 1970-01-01 00:00 UTC; 0 for the nominal one.
    pub made_at_unix_us: i64,
    /// The board it belongs to: its 96-bit unique id, 24 hexadecimal digits.
    pub board_id: String,
    /// Drawn up from the design or fitted to known masses.
    pub kind: CalibrationKind,
    /// Newtons per count of each cell, in the order of the frame's channels.
    pub newtons_per_count: [f64; 4],
    /// Where each cell takes its load, in the same order, in the plate's plane.
    pub corners: [CornerPosition; 4],
    /// Covariance of the twelve parameters: the four gains in newtons per count, then
    /// `ml_mm` and `ap_mm` of each corner in turn. `None` if nothing is known of it.
    pub covariance: Option<Box<[[f64; 12]; 12]>>,
}

keyed_enum! {
    /// How a calibration was come by.
    pub enum CalibrationKind ("kind of calibration") {
        /// From the design: gains of the data sheet, positions of the drawing.
        Nominal = "nominal",
        /// From placements of a known mass.
        Fitted = "fitted",
    }
}

/// Where a cell takes its load, in millimetres from the centre of the board.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CornerPosition {
    /// Medio-lateral, positive to the right of a person who faces the board's front.
    pub ml_mm: f64,
    /// Antero-posterior, positive towards the board's front.
    pub ap_mm: f64,
}

/// The corners as the board's documents name them, seen by a person who faces its marked front, in
/// the order of the frame's channels.
pub const CORNER_NAMES: [&str; 4] = ["front left", "front right", "rear left", "rear right"];

/// What a person reads of a corner, by its number from 0.
pub(crate) fn corner_name(corner: usize) -> &'static str {
    CORNER_NAMES.get(corner).copied().unwrap_or("unknown")
}

/// Farthest a corner may lie from the centre: no board a person steps on is larger (our own limit).
const FARTHEST_CORNER_MM: f64 = 2_000.0;

impl Calibration {
    /// The calibration of a board that has none: the design's gains and positions.
    ///
    /// `gain` is that of the board's converter. A real board differs by up to 5 % in the gain of a
    /// corner, which shifts the centre of pressure by some millimetres but hardly changes sway.
    pub fn nominal(board_id: &str, gain: u8) -> Self {
        let newtons_per_count =
            NOMINAL.newtons_per_count * f64::from(Gain::DEFAULT.0) / f64::from(gain.max(1));
        Self {
            id: format!("nominal-{board_id}"),
            version: 0,
            made_at_unix_us: 0,
            board_id: board_id.to_owned(),
            kind: CalibrationKind::Nominal,
            newtons_per_count: [newtons_per_count; 4],
            corners: NOMINAL
                .corners
                .map(|corner| CornerPosition { ml_mm: corner.ml_mm, ap_mm: corner.ap_mm }),
            covariance: None,
        }
    }

    /// Refuses a calibration that no real board can have.
    ///
    /// # Errors
    /// [`BadCalibration`] names the first corner or number that cannot be.
    pub fn check(&self) -> Result<(), BadCalibration> {
        for (corner, &gain) in self.newtons_per_count.iter().enumerate() {
            if !gain.is_finite() || gain == 0.0 {
                return Err(BadCalibration::Gain { corner, newtons_per_count: gain });
            }
        }
        for (corner, place) in self.corners.iter().enumerate() {
            let possible = |mm: f64| mm.abs() <= FARTHEST_CORNER_MM;
            if !possible(place.ml_mm) || !possible(place.ap_mm) {
                return Err(BadCalibration::Corner {
                    corner,
                    ml_mm: place.ml_mm,
                    ap_mm: place.ap_mm,
                });
            }
        }
        let covariance = self.covariance.iter().flat_map(|rows| rows.iter().flatten());
        if covariance.into_iter().any(|value| !value.is_finite()) {
            return Err(BadCalibration::Covariance);
        }
        Ok(())
    }
}

/// A calibration that no real board can have.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BadCalibration {
    /// A gain that is zero or not a number.
    #[error(
        "the gain of the {} corner cannot be {newtons_per_count} newtons per count",
        corner_name(*.corner)
    )]
    Gain {
        /// Which corner, from 0.
        corner: usize,
        /// The gain offered.
        newtons_per_count: f64,
    },
    /// A corner impossibly far away, or not a number.
    #[error("the {} corner cannot be at ({ml_mm}, {ap_mm}) mm", corner_name(*.corner))]
    Corner {
        /// Which corner, from 0.
        corner: usize,
        /// Its medio-lateral place, in millimetres.
        ml_mm: f64,
        /// Its antero-posterior place, in millimetres.
        ap_mm: f64,
    },
    /// A covariance that holds something that is not a finite number.
    #[error("the covariance of the calibration holds a value that is not a finite number")]
    Covariance,
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A square board of 400 mm with 1 mN a count.
    pub(crate) fn square_board() -> Calibration {
        let corner = |ml_mm, ap_mm| CornerPosition { ml_mm, ap_mm };
        Calibration {
            id: "square".to_owned(),
            version: 1,
            made_at_unix_us: 0,
            board_id: "0123456789abcdef01234567".to_owned(),
            kind: CalibrationKind::Nominal,
            newtons_per_count: [0.001; 4],
            corners: [
                corner(-200.0, 200.0),
                corner(200.0, 200.0),
                corner(-200.0, -200.0),
                corner(200.0, -200.0),
            ],
            covariance: None,
        }
    }

    #[test]
    fn the_nominal_scale_is_that_of_a_100_kg_cell_at_2_mv_per_v() {
        // Full scale of the converter is 1000 / 128 = 7.8125 mV/V, so 2 mV/V (980.665 N) is 0.256 of
        // 8,388,608 counts.
        let nominal = Calibration::nominal("0123456789abcdef01234567", 128);
        assert_eq!(nominal.check(), Ok(()));
        let newtons = nominal.newtons_per_count[0] * 0.256 * 8_388_608.0;
        assert!((newtons - 980.665).abs() < 1e-9, "{newtons}");
        let halved = Calibration::nominal("0123456789abcdef01234567", 64);
        let ratio = halved.newtons_per_count[0] / nominal.newtons_per_count[0];
        assert!((ratio - 2.0).abs() < 1e-12, "{ratio}");
    }

    #[test]
    fn what_no_board_can_have_is_named() {
        assert_eq!(square_board().check(), Ok(()));
        let mut dead = square_board();
        dead.newtons_per_count[2] = 0.0;
        let message = dead.check().unwrap_err().to_string();
        assert_eq!(message, "the gain of the rear left corner cannot be 0 newtons per count");
        let mut far = square_board();
        far.corners[3].ap_mm = f64::NAN;
        let message = far.check().unwrap_err().to_string();
        assert_eq!(message, "the rear right corner cannot be at (200, NaN) mm");
        let mut vague = square_board();
        vague.covariance = Some(Box::new([[f64::INFINITY; 12]; 12]));
        assert_eq!(vague.check(), Err(BadCalibration::Covariance));
    }
}
