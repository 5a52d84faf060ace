//! Points as the inner loops see them.

use rustfft::num_complex::Complex;

use crate::cop::Cop;

/// A point in millimetres with the medio-lateral axis as the real part and the antero-posterior
/// axis as the imaginary part, so that one complex transform serves both axes.
pub(crate) type Point = Complex<f64>;

/// Movement below this, in millimetres, is none: a picometre. Rounding of coordinates on any board
/// stays well below it, and so does everything else about a board stay well above.
pub(crate) const STILL_MM: f64 = 1e-9;

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

#[cfg(test)]
pub(crate) mod test_paths {
    //! Paths for tests: the same every time, without a random number library.

    use super::Point;

    /// Uniform numbers from -1 to 1 by a linear congruential generator (the constants of Knuth's
    /// MMIX).
    pub(crate) fn noise(seed: u64) -> impl Iterator<Item = f64> {
        let mut state = seed;
        std::iter::repeat_with(move || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
        })
    }

    /// Scattered points.
    pub(crate) fn scattered(seed: u64, n: usize) -> Vec<Point> {
        let mut noise = noise(seed);
        let mut next = || noise.next().expect("endless");
        (0..n).map(|_| Point::new(30.0 * next(), 20.0 * next())).collect()
    }

    /// A smooth path, wandering about.
    pub(crate) fn wandering(seed: u64, n: usize) -> Vec<Point> {
        let (mut place, mut speed) = (Point::new(40.0, -10.0), Point::default());
        scattered(seed, n)
            .into_iter()
            .map(|push| {
                speed = speed * 0.95 + push * 0.01;
                place += speed;
                place
            })
            .collect()
    }
}
