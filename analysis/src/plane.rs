//! From the plane of the cells to the soles.

use thiserror::Error;

use crate::body_centre::{BodyCentreFilter, pendulum_length_m, pendulum_rate_per_s2};
use crate::cop::Plane;
use crate::not_available::NotAvailable;
use crate::point::{Point, cop_from_point, point_from_cop};
use crate::processing::check_on_board;
use crate::trace::Trace;

/// Heights of the sole above the cells that are taken for true, in millimetres: our own choice.
const SOLE_HEIGHTS_MM: std::ops::RangeInclusive<f64> = 0.0..=500.0;

/// Why a path cannot be moved to the soles.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SolePathError {
    /// The path is that of the soles already.
    #[error("the path is at the soles already")]
    AlreadyAtSole,
    /// No board and pad are that high.
    #[error("a sole {height_mm} mm above the cells is outside {lowest_mm} to {highest_mm} mm")]
    HeightOutOfRange {
        /// The height offered, in millimetres.
        height_mm: f64,
        /// Lowest height allowed, in millimetres.
        lowest_mm: f64,
        /// Greatest height allowed, in millimetres.
        highest_mm: f64,
    },
    /// The body centre cannot be estimated.
    #[error("the body centre cannot be estimated")]
    NoBodyCentre(#[source] NotAvailable),
}

/// The path under the soles, estimated from the path in the plane of the cells.
///
/// The cells sense the centre of pressure where the plate hands its horizontal force on. Under the
/// soles, `sole_height_mm` above, it lies nearer to the body centre by that height times the
/// horizontal force over the load, and that ratio follows from the pendulum model as
/// (body centre - centre of pressure) / (0.66 body height). `body_height_m`: `None` for the assumed
/// [`ASSUMED_BODY_HEIGHT_M`](crate::Settings::ASSUMED_BODY_HEIGHT_M).
///
/// A second result beside the primary one of the plate, and an estimate: `analysis/docs/plane.md`
/// tells how near it comes on recordings whose horizontal force is known.
///
/// # Errors
/// [`SolePathError`] for a path at the soles, or a height of sole or person out of range.
pub fn sole_from_plate(
    plate: &Trace,
    sole_height_mm: f64,
    body_height_m: Option<f64>,
) -> Result<Trace, SolePathError> {
    if plate.plane() == Plane::Sole {
        return Err(SolePathError::AlreadyAtSole);
    }
    if !SOLE_HEIGHTS_MM.contains(&sole_height_mm) {
        return Err(SolePathError::HeightOutOfRange {
            height_mm: sole_height_mm,
            lowest_mm: *SOLE_HEIGHTS_MM.start(),
            highest_mm: *SOLE_HEIGHTS_MM.end(),
        });
    }
    check_on_board(plate).map_err(SolePathError::NoBodyCentre)?;
    let body_height_m = body_height_m.unwrap_or(crate::Settings::ASSUMED_BODY_HEIGHT_M);
    let pendulum = pendulum_rate_per_s2(body_height_m).map_err(SolePathError::NoBodyCentre)?;
    let cop: Vec<Point> = plate.points().iter().map(|&cop| point_from_cop(cop)).collect();
    let mut filter = BodyCentreFilter::default();
    let body = filter.run(&cop, plate.rate().hz(), pendulum);
    let share = sole_height_mm / 1e3 / pendulum_length_m(body_height_m);
    let sole = cop.iter().zip(body).map(|(cop, body)| cop_from_point(cop + (body - cop) * share));
    Ok(Trace::from_finite(plate.rate(), Plane::Sole, sole.collect()))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;
    use crate::cop::Cop;
    use crate::sample_rate::SampleRate;

    fn plate(points: Vec<Cop>) -> Trace {
        Trace::new(SampleRate::STANDARD, Plane::Plate, points).unwrap()
    }

    /// Fast sway hardly moves the body centre, so that it shrinks by h / (0.66 H); slow sway keeps
    /// its size. That is a shelf filter whose gain is 0.93 at 80 mm and 1.7 m.
    #[test]
    fn fast_sway_shrinks_and_slow_sway_stays() {
        for (frequency_hz, wanted) in [(0.01, 1.0), (8.0, 0.929)] {
            let wave = |i: u32| 10.0 * (TAU * frequency_hz * (f64::from(i) + 0.5) / 100.0).cos();
            let path = plate((0..10_000).map(|i| Cop::new(wave(i), 0.0)).collect());
            let sole = sole_from_plate(&path, 80.0, Some(1.7)).unwrap();
            assert_eq!(sole.plane(), Plane::Sole);
            let largest =
                |trace: &Trace| trace.points().iter().map(|p| p.ml_mm.abs()).fold(0.0, f64::max);
            let got = largest(&sole) / largest(&path);
            assert!((got - wanted).abs() < 1e-3, "{frequency_hz} Hz: {got}");
        }
    }

    #[test]
    fn no_height_changes_nothing_and_other_heights_are_refused() {
        let path = plate((0..50).map(|i| Cop::new(f64::from(i % 7), f64::from(i % 3))).collect());
        let same = sole_from_plate(&path, 0.0, None).unwrap();
        assert_eq!(same.points(), path.points());
        for height_mm in [-1.0, 501.0, f64::NAN] {
            let error = sole_from_plate(&path, height_mm, None).unwrap_err();
            assert!(matches!(error, SolePathError::HeightOutOfRange { .. }), "{height_mm}");
        }
        assert_eq!(sole_from_plate(&same, 10.0, None), Err(SolePathError::AlreadyAtSole));
        assert!(matches!(
            sole_from_plate(&path, 10.0, Some(0.1)),
            Err(SolePathError::NoBodyCentre(_))
        ));
    }
}
