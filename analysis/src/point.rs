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
    sum(points) / points.len() as f64
}

/// Sum of points, in four strands so that one addition need not wait for the one before.
fn sum(points: &[Point]) -> Point {
    let (fours, rest) = points.as_chunks::<4>();
    let mut strands = [Point::default(); 4];
    for four in fours {
        for (strand, point) in strands.iter_mut().zip(four) {
            *strand += point;
        }
    }
    strands.iter().chain(rest).sum()
}
