//! Zero-phase low-pass at 10 Hz.

use std::f64::consts::{PI, SQRT_2};

use crate::point::Point;

/// Frequency at which the two passes together let half the power through, in hertz.
pub(crate) const CUT_OFF_HZ: f64 = 10.0;

/// A second-order Butterworth low-pass that runs forward and backward over both axes at once.
///
/// Bilinear transform; the corner of one pass is raised so that the two passes together are exactly
/// -3.0103 dB at [`CUT_OFF_HZ`] at every rate.
///
/// # Source
/// Winter 2009, Biomechanics and Motor Control of Human Movement, chapter 3.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LowPass {
    /// Weight of the present input in the output.
    direct: f64,
    /// Weights of the present input in the two states.
    into_first: f64,
    into_second: f64,
    /// Weights by which the first state feeds back into the two states.
    back_first: f64,
    back_second: f64,
    /// The two states after a constant input of 1 for ever.
    steady_first: f64,
    steady_second: f64,
}

impl LowPass {
    /// A filter for samples at `rate_hz`, which must be above twice the cut-off.
    pub(crate) fn new(rate_hz: f64) -> Self {
        assert!(2.0 * CUT_OFF_HZ < rate_hz, "no room for the pass band at {rate_hz} Hz");
        // Two passes at the corner w of a pass give 1 / (1 + (w'/w)^4); half of it at w' asks for
        // w = w' / (sqrt(2) - 1)^(1/4).
        let raise = (SQRT_2 - 1.0).sqrt().sqrt();
        let k = (PI * CUT_OFF_HZ / rate_hz).tan() / raise;
        let norm = 1.0 / (1.0 + SQRT_2 * k + k * k);
        let b0 = k * k * norm;
        let a1 = 2.0 * (k * k - 1.0) * norm;
        let a2 = (1.0 - SQRT_2 * k + k * k) * norm;
        Self {
            direct: b0,
            into_first: b0 * (2.0 - a1),
            into_second: b0 * (1.0 - a2),
            back_first: a1,
            back_second: a2,
            steady_first: 1.0 - b0,
            steady_second: b0 - a2,
        }
    }

    /// Filters in place, forward and then backward, each pass starting in the steady state of its
    /// first input.
    pub(crate) fn run_both_ways(&self, points: &mut [Point]) {
        self.run(points.iter_mut());
        self.run(points.iter_mut().rev());
    }

    fn run<'a>(&self, mut points: impl Iterator<Item = &'a mut Point>) {
        let step = |first: &mut Point, second: &mut Point, point: &mut Point| {
            let input = *point;
            *point = input * self.direct + *first;
            let next = (input * self.into_first + *second) - *first * self.back_first;
            *second = input * self.into_second - *first * self.back_second;
            *first = next;
        };
        let Some(start) = points.next() else { return };
        let mut first = *start * self.steady_first;
        let mut second = *start * self.steady_second;
        step(&mut first, &mut second, start);
        for point in points {
            step(&mut first, &mut second, point);
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;
    use crate::point::test_paths::scattered;

    /// One pass by the difference equation, after a long time at the first value.
    fn one_pass(values: &[f64], rate_hz: f64) -> Vec<f64> {
        let k = (PI * 10.0 / rate_hz).tan() / (SQRT_2 - 1.0).powf(0.25);
        let norm = 1.0 / (1.0 + SQRT_2 * k + k * k);
        let b = [k * k * norm, 2.0 * k * k * norm, k * k * norm];
        let a = [2.0 * (k * k - 1.0) * norm, (1.0 - SQRT_2 * k + k * k) * norm];
        let rest = vec![values[0]; 4000];
        let input = [rest, values.to_vec()].concat();
        let mut output = input.clone();
        for i in 2..input.len() {
            output[i] = b[0] * input[i] + b[1] * input[i - 1] + b[2] * input[i - 2]
                - a[0] * output[i - 1]
                - a[1] * output[i - 2];
        }
        output.split_off(4000)
    }

    #[test]
    fn both_passes_agree_with_the_difference_equation() {
        for (rate_hz, n) in [(100.0, 1), (100.0, 2), (100.0, 300), (50.0, 120), (250.0, 500)] {
            let points = scattered(n as u64, n);
            let mut got = points.clone();
            LowPass::new(rate_hz).run_both_ways(&mut got);
            let wanted = |axis: fn(&Point) -> f64| {
                let mut there = one_pass(&points.iter().map(axis).collect::<Vec<_>>(), rate_hz);
                there.reverse();
                let mut back = one_pass(&there, rate_hz);
                back.reverse();
                back
            };
            for (got, (ml, ap)) in
                got.iter().zip(wanted(|p| p.re).into_iter().zip(wanted(|p| p.im)))
            {
                assert!((got - Point::new(ml, ap)).norm() < 1e-10, "{rate_hz} {n}");
            }
        }
    }

    /// The Butterworth curve: half the power at 10 Hz at every rate; elsewhere
    /// 1 / (1 + (tan(pi f/fs) / K)^4) in amplitude after both passes.
    #[test]
    fn half_the_power_is_left_at_10_hz_at_every_rate() {
        for rate_hz in [40.0, 50.0, 80.0, 100.0, 250.0, 1000.0] {
            for (frequency_hz, wanted) in [(10.0, 0.5_f64.sqrt()), (0.0, 1.0)] {
                // Long enough for the ends to be forgotten in the middle.
                let n = 8000;
                let wave = |i: usize| (TAU * frequency_hz * i as f64 / rate_hz).cos();
                let mut points: Vec<Point> = (0..n).map(|i| Point::new(wave(i), 0.0)).collect();
                LowPass::new(rate_hz).run_both_ways(&mut points);
                for (i, point) in points.iter().enumerate().skip(n / 2 - 50).take(100) {
                    let error = (point.re - wanted * wave(i)).abs();
                    assert!(error < 1e-10, "{frequency_hz} Hz at {rate_hz}: {error:e}");
                }
            }
        }
    }
}
