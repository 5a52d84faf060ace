//! Power spectral density of both axes.

use std::f64::consts::TAU;
use std::sync::Arc;

use rustfft::{Fft, FftDirection};

use crate::plans::{ByLength, plan};
use crate::point::{Point, mean};

/// Power spectral density of both axes, one value per bin from 0 Hz to half the sample rate.
///
/// # Source
/// Welch 1967, IEEE Trans Audio Electroacoust 15:70, with segments of 2 floor(N/4) samples, half
/// overlap, the mean of each segment removed, periodic Hann window, one-sided density.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spectrum {
    /// Frequency of each bin, in hertz.
    pub frequency_hz: Vec<f64>,
    /// Medio-lateral density, in square millimetres per hertz.
    pub ml_mm2_per_hz: Vec<f64>,
    /// Antero-posterior density, in square millimetres per hertz.
    pub ap_mm2_per_hz: Vec<f64>,
}

/// Computes spectra, keeping plans, windows and the room it works in.
#[derive(Default)]
pub(crate) struct Welch {
    plans: ByLength<Plan>,
    segment: Vec<Point>,
    scratch: Vec<Point>,
    spectrum: Spectrum,
}

struct Plan {
    fft: Arc<dyn Fft<f64>>,
    window: Vec<f64>,
    window_power: f64,
}

impl Plan {
    fn new(length: usize) -> Self {
        let window: Vec<f64> =
            (0..length).map(|i| 0.5 - 0.5 * (TAU * i as f64 / length as f64).cos()).collect();
        let window_power = window.iter().map(|w| w * w).sum();
        Self { fft: plan(length, FftDirection::Forward), window, window_power }
    }
}

impl Welch {
    /// The spectrum of `points` at `rate_hz`; at least four points are needed.
    ///
    /// Both axes share one transform: with z = ml + i ap and its transform Z, the medio-lateral part
    /// is `(Z[k] + conj Z[L-k]) / 2` and the antero-posterior part `(Z[k] - conj Z[L-k]) / 2i`.
    pub(crate) fn run(&mut self, points: &[Point], rate_hz: f64) -> &Spectrum {
        let length = 2 * (points.len() / 4);
        assert!(2 <= length, "a spectrum of {} samples", points.len());
        let plan = self.plans.of(length, Plan::new);
        let n_bins = length / 2 + 1;
        let spectrum = &mut self.spectrum;
        spectrum.frequency_hz.clear();
        spectrum.frequency_hz.extend((0..n_bins).map(|k| (k as f64 * rate_hz) / length as f64));
        for density in [&mut spectrum.ml_mm2_per_hz, &mut spectrum.ap_mm2_per_hz] {
            density.clear();
            density.resize(n_bins, 0.0);
        }
        self.scratch.resize(plan.fft.get_inplace_scratch_len(), Point::default());

        let starts = (0..=points.len() - length).step_by(length / 2);
        let n_segments = starts.clone().count();
        for start in starts {
            let samples = &points[start..start + length];
            let centre = mean(samples);
            self.segment.clear();
            self.segment.extend(
                samples.iter().zip(&plan.window).map(|(sample, weight)| (sample - centre) * weight),
            );
            plan.fft.process_with_scratch(&mut self.segment, &mut self.scratch);
            // Bin 0 is its own mirror image.
            let mirrored = self.segment[..1].iter().chain(self.segment.iter().rev());
            let density = spectrum.ml_mm2_per_hz.iter_mut().zip(&mut spectrum.ap_mm2_per_hz);
            for ((ml, ap), (here, there)) in density.zip(self.segment.iter().zip(mirrored)) {
                let (sum, difference) = (here + there, here - there);
                *ml += sum.re * sum.re + difference.im * difference.im;
                *ap += sum.im * sum.im + difference.re * difference.re;
            }
        }
        // A quarter from the two halves above, twice for the mirrored half of the spectrum.
        let scale = 2.0 * 0.25 / (rate_hz * plan.window_power * n_segments as f64);
        for density in [&mut spectrum.ml_mm2_per_hz, &mut spectrum.ap_mm2_per_hz] {
            for value in density.iter_mut() {
                *value *= scale;
            }
            // 0 Hz and half the rate have no mirror image; the length is even.
            density[0] *= 0.5;
            density[n_bins - 1] *= 0.5;
        }
        spectrum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::test_paths::scattered;

    /// The definition, one axis, term by term.
    fn by_definition(values: &[f64], rate_hz: f64) -> Vec<f64> {
        let n = values.len();
        let length = 2 * (n / 4);
        let window = |i: usize| 0.5 * (1.0 - (TAU * i as f64 / length as f64).cos());
        let power: f64 = (0..length).map(|i| window(i) * window(i)).sum();
        let mut density = vec![0.0; length / 2 + 1];
        let mut n_segments = 0.0;
        let mut start = 0;
        while start + length <= n {
            let segment = &values[start..start + length];
            let mean = segment.iter().sum::<f64>() / length as f64;
            for (k, density) in density.iter_mut().enumerate() {
                let (mut re, mut im) = (0.0, 0.0);
                for (i, value) in segment.iter().enumerate() {
                    let angle = TAU * ((k * i) % length) as f64 / length as f64;
                    re += (value - mean) * window(i) * angle.cos();
                    im += (value - mean) * window(i) * angle.sin();
                }
                let sides = if k == 0 || 2 * k == length { 1.0 } else { 2.0 };
                *density += sides * (re * re + im * im) / (rate_hz * power);
            }
            n_segments += 1.0;
            start += length / 2;
        }
        density.iter().map(|sum| sum / n_segments).collect()
    }

    #[test]
    fn both_axes_of_one_transform_agree_with_the_definition() {
        let mut welch = Welch::default();
        for n in 4..200 {
            let points = scattered(n as u64, n);
            let spectrum = welch.run(&points, 100.0);
            for (got, axis) in [
                (&spectrum.ml_mm2_per_hz, points.iter().map(|p| p.re).collect::<Vec<_>>()),
                (&spectrum.ap_mm2_per_hz, points.iter().map(|p| p.im).collect()),
            ] {
                let wanted = by_definition(&axis, 100.0);
                assert_eq!(got.len(), wanted.len());
                let largest = wanted.iter().fold(0.0, |most: f64, &value| most.max(value));
                for (k, (got, wanted)) in got.iter().zip(&wanted).enumerate() {
                    assert!((got - wanted).abs() <= 1e-10 * largest, "{n} bin {k}: {got} {wanted}");
                }
            }
        }
    }

    #[test]
    fn bins_reach_from_nothing_to_half_the_rate() {
        let points = scattered(1, 1000);
        let mut welch = Welch::default();
        let spectrum = welch.run(&points, 100.0);
        assert_eq!(spectrum.frequency_hz.len(), 251);
        assert!((spectrum.frequency_hz[1] - 0.2).abs() < 1e-12);
        assert!((spectrum.frequency_hz[250] - 50.0).abs() < 1e-12);
    }
}
