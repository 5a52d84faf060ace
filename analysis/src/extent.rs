//! How far a set of points reaches in a few fixed directions.

use crate::point::Point;

/// `K` directions spread evenly over half a turn; the other half are their opposites.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Directions<const K: usize> {
    ml: [f64; K],
    ap: [f64; K],
}

impl<const K: usize> Directions<K> {
    /// Direction k points at k half turns / K from the right, counter-clockwise.
    pub(crate) fn new() -> Self {
        let (mut ml, mut ap) = ([0.0; K], [0.0; K]);
        for (k, (ml, ap)) in ml.iter_mut().zip(&mut ap).enumerate() {
            let direction = Point::cis(std::f64::consts::PI * k as f64 / K as f64);
            (*ml, *ap) = (direction.re, direction.im);
        }
        Self { ml, ap }
    }

    /// How far a point lies in direction k.
    pub(crate) fn reach(&self, k: usize, point: Point) -> f64 {
        point.re * self.ml[k] + point.im * self.ap[k]
    }
}

/// The farthest reach of a set of points in each direction and against it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Extent<const K: usize> {
    pub(crate) high: [f64; K],
    pub(crate) low: [f64; K],
}

impl<const K: usize> Extent<K> {
    /// Of no points at all.
    pub(crate) const NOTHING: Self = Self { high: [f64::NEG_INFINITY; K], low: [f64::INFINITY; K] };

    pub(crate) fn of(directions: &Directions<K>, points: &[Point]) -> Self {
        let Self { mut high, mut low } = Self::NOTHING;
        for point in points {
            for k in 0..K {
                let reach = directions.reach(k, *point);
                // Not f64::max: reaches are never "not a number", and this is one instruction.
                high[k] = if high[k] < reach { reach } else { high[k] };
                low[k] = if reach < low[k] { reach } else { low[k] };
            }
        }
        Self { high, low }
    }

    /// Of the points of both.
    #[must_use]
    pub(crate) fn with(mut self, other: &Self) -> Self {
        for k in 0..K {
            self.high[k] = if self.high[k] < other.high[k] { other.high[k] } else { self.high[k] };
            self.low[k] = if other.low[k] < self.low[k] { other.low[k] } else { self.low[k] };
        }
        self
    }

    /// Distance between the two farthest reaches along direction k.
    pub(crate) fn width(&self, k: usize) -> f64 {
        self.high[k] - self.low[k]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_extent_of_a_rectangle_is_its_width_height_and_diagonals() {
        let corners =
            [(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)].map(|(x, y)| Point::new(x, y));
        let directions = Directions::<4>::new();
        let (first, second) = corners.split_at(2);
        let extent = Extent::of(&directions, first).with(&Extent::of(&directions, second));
        let diagonal = 6.0 / 2.0_f64.sqrt();
        for (k, wanted) in [4.0, diagonal, 2.0, diagonal].into_iter().enumerate() {
            assert!((extent.width(k) - wanted).abs() < 1e-12, "{k}: {}", extent.width(k));
        }
    }
}
