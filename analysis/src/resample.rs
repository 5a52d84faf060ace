//! From one even rate to another by band-limited interpolation.

use std::f64::consts::PI;

use crate::point::Point;

/// Reach of the kernel to each side, in samples of the lower of the two rates.
const HALF_LENGTH: usize = 16;

/// Shape of the Kaiser window: keeps tones below 10 Hz to 1e-6 and what should be gone below that.
/// Kaiser's rule (Oppenheim & Schafer, Discrete-Time Signal Processing) is beta = 0.1102 (A - 8.7),
/// which gives A = 136 dB; 120 dB, beta 12.3, was measured to be off by 2e-6.
const KAISER_BETA: f64 = 14.0;

/// Cut-off of the kernel as a share of the lower of the two rates.
const CUT_OFF_SHARE: f64 = 0.45;

/// Entries of the table for each sample of the lower rate; between them the kernel is a cubic, which
/// is off by less than 1e-10.
const ENTRIES_PER_SAMPLE: usize = 512;

/// Interpolates with a Kaiser-windowed sinc, read off a table.
pub(crate) struct Resampler {
    /// The kernel at offsets of (i - 1) / [`ENTRIES_PER_SAMPLE`].
    table: Vec<f64>,
}

impl Default for Resampler {
    fn default() -> Self {
        let offset = |i: usize| (i as f64 - 1.0) / ENTRIES_PER_SAMPLE as f64;
        let n_entries = HALF_LENGTH * ENTRIES_PER_SAMPLE + 4;
        Self { table: (0..n_entries).map(|i| kernel(offset(i))).collect() }
    }
}

impl Resampler {
    /// Brings `input`, sampled at `from_hz`, to `to_hz`; `output` starts at the same instant and
    /// ends no later than the input.
    ///
    /// Each output sample is a weighted mean of the input samples around it; beyond its ends the
    /// input is continued by odd reflection, as the filter before it does. Content above half the
    /// lower rate is removed, never folded back.
    pub(crate) fn run(&self, input: &[Point], from_hz: f64, to_hz: f64, output: &mut Vec<Point>) {
        output.clear();
        let Some(last) = input.len().checked_sub(1) else { return };
        let step = from_hz / to_hz;
        // Samples of the lower rate in an input sample.
        let stretch = (to_hz / from_hz).min(1.0);
        // A millionth of a sample beyond the end is rounding.
        let end = last as f64 + 1e-6;
        let positions = (0_usize..).map(|j| j as f64 * step).take_while(|&at| at <= end);
        output.extend(positions.map(|at| self.value_at(input, at, stretch)));
    }

    fn value_at(&self, input: &[Point], position: f64, stretch: f64) -> Point {
        let reach = HALF_LENGTH as f64 / stretch;
        let (from, to) = (whole(position - reach) + 1, whole(position + reach));
        let (mut sum, mut weights) = (Point::default(), 0.0);
        for i in from..=to {
            let weight = self.weight((position - i as f64).abs() * stretch);
            sum += continued(input, i) * weight;
            weights += weight;
        }
        sum / weights
    }

    /// The kernel at an offset in samples of the lower rate, by the cubic through four entries.
    fn weight(&self, offset: f64) -> f64 {
        let place = offset * ENTRIES_PER_SAMPLE as f64;
        let below = whole(place);
        let t = place - below as f64;
        let Some(&[a, b, c, d]) =
            self.table.get(below.unsigned_abs()..).and_then(|entries| entries.first_chunk())
        else {
            return 0.0;
        };
        // Lagrange's form with nodes at -1, 0, 1 and 2.
        let (before, after, beyond) = (t + 1.0, t - 1.0, t - 2.0);
        -a * t * after * beyond / 6.0 + b * before * after * beyond / 2.0
            - c * before * t * beyond / 2.0
            + d * before * t * after / 6.0
    }
}

/// The whole number below.
fn whole(value: f64) -> isize {
    #[expect(clippy::cast_possible_truncation, reason = "positions in a record and in a table")]
    let whole = value.floor() as isize;
    whole
}

/// A sample of the input, or of its odd reflection about its first or last sample.
fn continued(input: &[Point], i: isize) -> Point {
    let last = input.len() - 1;
    let before = (-i).max(0).unsigned_abs();
    let beyond = (i - last.cast_signed()).max(0).unsigned_abs();
    if 0 < before {
        input[0] * 2.0 - input[before.min(last)]
    } else if 0 < beyond {
        input[last] * 2.0 - input[last - beyond.min(last)]
    } else {
        input[i.unsigned_abs()]
    }
}

/// The kernel at an offset in samples of the lower rate, but for a factor.
fn kernel(offset: f64) -> f64 {
    let share = offset / HALF_LENGTH as f64;
    if 1.0 < share.abs() {
        return 0.0;
    }
    let angle = 2.0 * PI * CUT_OFF_SHARE * offset;
    let sinc = if angle == 0.0 { 1.0 } else { angle.sin() / angle };
    let at_the_middle = bessel_i0_of_root(KAISER_BETA * KAISER_BETA);
    sinc * bessel_i0_of_root(KAISER_BETA * KAISER_BETA * (1.0 - share * share)) / at_the_middle
}

/// The modified Bessel function of order 0 at the square root of `square`, by its power series:
/// sum of (square / 4)^k / (k!)^2 (Abramowitz & Stegun 9.6.12).
fn bessel_i0_of_root(square: f64) -> f64 {
    let quarter = 0.25 * square;
    let (mut sum, mut term) = (1.0, 1.0);
    // At 14 the terms fall below 1e-17 of the sum after 37 of them.
    for k in 1..=40 {
        let k = f64::from(k);
        term *= quarter / (k * k);
        sum += term;
    }
    sum
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;

    #[test]
    fn sines_below_10_hz_keep_their_closed_form() {
        for from_hz in [80.0, 100.02, 200.0, 249.87, 249.987, 250.0, 500.0, 1000.0] {
            for frequency_hz in [0.0, 0.3, 1.0, 3.0, 7.0, 9.9] {
                let wave = |t: f64| Point::new((TAU * frequency_hz * t + 0.4).sin(), 1.0);
                let input: Vec<Point> = (0..2000).map(|i| wave(f64::from(i) / from_hz)).collect();
                let mut output = Vec::new();
                Resampler::default().run(&input, from_hz, 100.0, &mut output);
                // The ends lean on the reflection, which a sine is not.
                let ends = if from_hz < 100.0 { 22 } else { 17 };
                for (j, got) in output.iter().enumerate().take(output.len() - ends).skip(ends) {
                    let error = (got - wave(j as f64 / 100.0)).norm();
                    assert!(error < 1e-6, "{frequency_hz} Hz from {from_hz}: {error:e}");
                }
            }
        }
    }

    #[test]
    fn the_output_ends_no_later_than_the_input() {
        for (from_hz, n, wanted) in
            [(250.0, 251, 101), (250.0, 250, 100), (100.0, 7, 7), (80.0, 81, 101)]
        {
            let mut output = Vec::new();
            Resampler::default().run(&vec![Point::new(3.0, 4.0); n], from_hz, 100.0, &mut output);
            assert_eq!(output.len(), wanted, "{n} at {from_hz}");
            assert!(output.iter().all(|p| (p - Point::new(3.0, 4.0)).norm() < 1e-12));
        }
        let mut output = vec![Point::default()];
        Resampler::default().run(&[], 250.0, 100.0, &mut output);
        assert!(output.is_empty());
    }

    /// Abramowitz & Stegun, table 9.8: I0(1), and e^-8 I0(8) = 0.1434317818.
    #[test]
    fn the_bessel_function_agrees_with_the_printed_table() {
        assert!((bessel_i0_of_root(1.0) - 1.266_065_878).abs() < 1e-9);
        assert!(((-8.0_f64).exp() * bessel_i0_of_root(64.0) - 0.143_431_781_8).abs() < 1e-10);
    }
}
