//! An evenly sampled path of the centre of pressure.

use crate::cop::{Cop, Plane};
use crate::sample_rate::SampleRate;

/// The centre of pressure over one stretch of standing: in order, evenly spaced, every value finite.
///
/// The only way to make one checks the values, so whoever holds a trace need not check again.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    rate: SampleRate,
    plane: Plane,
    points: Vec<Cop>,
}

impl Trace {
    /// A trace from points that are evenly spaced at `rate`.
    ///
    /// Returns `None` if any coordinate is not a finite number. Any number of points is allowed;
    /// a measure that needs more says so when it is asked.
    pub fn new(rate: SampleRate, plane: Plane, points: Vec<Cop>) -> Option<Self> {
        let finite = |point: &Cop| point.ml_mm.is_finite() && point.ap_mm.is_finite();
        points.iter().all(finite).then_some(Self { rate, plane, points })
    }

    /// A trace from points that are finite by the way they were made.
    pub(crate) fn from_finite(rate: SampleRate, plane: Plane, points: Vec<Cop>) -> Self {
        Self::new(rate, plane, points).expect("finite values went into bounded arithmetic")
    }

    /// Samples per second.
    pub const fn rate(&self) -> SampleRate {
        self.rate
    }

    /// The plane in which the points lie.
    pub const fn plane(&self) -> Plane {
        self.plane
    }

    /// The points, in order of time.
    pub fn points(&self) -> &[Cop] {
        &self.points
    }

    /// Time from the first sample to the last, in seconds: (N - 1) / rate, 0 for fewer than two.
    pub fn elapsed_s(&self) -> f64 {
        self.points.len().saturating_sub(1) as f64 / self.rate.hz()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elapsed_time_counts_intervals_not_samples() {
        let trace = |n: usize| {
            Trace::new(SampleRate::STANDARD, Plane::Plate, vec![Cop::default(); n]).unwrap()
        };
        for (n_samples, elapsed_s) in [(0, 0.0), (1, 0.0), (2, 0.01), (6000, 59.99)] {
            assert!((trace(n_samples).elapsed_s() - elapsed_s).abs() < 1e-12, "{n_samples}");
        }
    }

    #[test]
    fn a_value_that_is_not_a_number_makes_no_trace() {
        let points = vec![Cop::new(0.0, f64::NAN)];
        assert_eq!(Trace::new(SampleRate::STANDARD, Plane::Plate, points), None);
    }
}
