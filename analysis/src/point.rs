//! Points as the inner loops see them.

use rustfft::num_complex::Complex;

use crate::cop::Cop;

/// A point in millimetres with the medio-lateral axis as the real part and the antero-posterior
/// axis as the imaginary part, so that one complex transform serves both axes.
pub(crate) type Point = Complex<f64>;

pub(crate) const fn point_from_cop(cop: Cop) -> Point {
    Point::new(cop.ml_mm, cop.ap_mm)
}

pub(crate) const fn cop_from_point(point: Point) -> Cop {
    Cop::new(point.re, point.im)
}

/// Mean position; the origin for no points.
pub(crate) fn mean(points: &[Point]) -> Point {
    if points.is_empty() {
        return Point::default();
    }
    points.iter().sum::<Point>() / points.len() as f64
}
