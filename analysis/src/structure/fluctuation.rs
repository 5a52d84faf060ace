//! Detrended fluctuation analysis of a series.

use crate::not_available::{NotAvailable, Reading};

/// The smallest window, in samples.
const SMALLEST_WINDOW: usize = 16;
/// Windows tried, evenly spaced on the logarithm from the smallest to a quarter of the series.
const N_WINDOWS: usize = 20;

/// Exponent by which the fluctuation about straight lines grows with the length of the window: 0.5
/// for white noise, 1 for 1/f noise, 1.5 for a random walk.
///
/// The running sum of the series about its mean is cut into windows from its start, what is left at
/// its end unused; the root mean square distance from each window's least-squares line is taken over
/// all windows of a length; the exponent is the least-squares slope over lengths of 16 to N/4, both
/// on the logarithm. Lengths are rounded and each is used once.
///
/// # Source
/// Peng et al. 1994, Phys Rev E 49:1685.
pub(super) fn fluctuation_exponent(series: &[f64]) -> Reading {
    let lengths = window_lengths(series.len());
    if lengths.len() < 2 {
        return Err(NotAvailable::TooFewSamples {
            n_samples: series.len(),
            // The least of which a quarter is longer than the smallest window.
            needed: 4 * (SMALLEST_WINDOW + 1),
        });
    }
    let mean = series.iter().sum::<f64>() / series.len() as f64;
    let mut sum = 0.0;
    let profile: Vec<f64> = series
        .iter()
        .map(|value| {
            sum += value - mean;
            sum
        })
        .collect();
    let mut points = Vec::with_capacity(lengths.len());
    for length in lengths {
        let fluctuation = fluctuation(&profile, length);
        if fluctuation <= crate::point::STILL_MM {
            return Err(NotAvailable::NoMovement);
        }
        points.push(((length as f64).ln(), fluctuation.ln()));
    }
    Ok(slope(&points))
}

fn window_lengths(n: usize) -> Vec<usize> {
    let (from, to) = (SMALLEST_WINDOW as f64, (n / 4) as f64);
    if to < from {
        return Vec::new();
    }
    let step = (to / from).ln() / (N_WINDOWS - 1) as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between the smallest window and a quarter of the series"
    )]
    let length = |i: usize| (from * (step * i as f64).exp()).round() as usize;
    let mut lengths: Vec<usize> = (0..N_WINDOWS).map(length).collect();
    lengths.dedup();
    lengths
}

/// Root mean square distance of a profile from the straight lines of its windows.
///
/// With places counted from the middle of a window, the line takes away the mean and the part along
/// the places, so that sums are enough.
fn fluctuation(profile: &[f64], length: usize) -> f64 {
    let n = length as f64;
    let middle = 0.5 * (n - 1.0);
    // Sum of squared places from the middle: n (n^2 - 1) / 12.
    let places = n * (n * n - 1.0) / 12.0;
    let mut total = 0.0;
    let windows = profile.chunks_exact(length);
    let n_windows = windows.len();
    for window in windows {
        let mean = window.iter().sum::<f64>() / n;
        let (mut squares, mut along) = (0.0, 0.0);
        for (i, value) in window.iter().enumerate() {
            let value = value - mean;
            squares += value * value;
            along += (i as f64 - middle) * value;
        }
        total += (squares - along * along / places).max(0.0);
    }
    (total / (n_windows * length) as f64).sqrt()
}

/// Least-squares slope of the second over the first.
pub(super) fn slope(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let mean_x = points.iter().map(|p| p.0).sum::<f64>() / n;
    let mean_y = points.iter().map(|p| p.1).sum::<f64>() / n;
    let (mut xy, mut xx) = (0.0, 0.0);
    for (x, y) in points {
        xy += (x - mean_x) * (y - mean_y);
        xx += (x - mean_x) * (x - mean_x);
    }
    xy / xx
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::test_paths::noise;

    /// Residuals typed out: fit the line, then take the distances.
    fn fluctuation_by_lines(profile: &[f64], length: usize) -> f64 {
        let mut squares = Vec::new();
        for window in profile.chunks_exact(length) {
            let points: Vec<(f64, f64)> =
                window.iter().enumerate().map(|(i, &y)| (i as f64, y)).collect();
            let slope = slope(&points);
            let n = length as f64;
            let level = window.iter().sum::<f64>() / n - slope * 0.5 * (n - 1.0);
            squares.extend(points.iter().map(|(x, y)| (y - level - slope * x).powi(2)));
        }
        (squares.iter().sum::<f64>() / squares.len() as f64).sqrt()
    }

    #[test]
    fn sums_give_the_distances_from_the_lines() {
        for n in 40..200 {
            let profile: Vec<f64> = noise(n as u64).take(n).collect();
            for length in [4, 7, 16, 40] {
                let (got, wanted) =
                    (fluctuation(&profile, length), fluctuation_by_lines(&profile, length));
                assert!((got - wanted).abs() < 1e-10, "{n} {length}: {got} {wanted}");
            }
        }
    }

    /// Few windows of the greatest length make one exponent uncertain by some 0.1: means of 40.
    #[test]
    fn white_noise_and_a_random_walk_have_their_exponents() {
        let (mut of_white, mut of_walk) = (0.0, 0.0);
        for seed in 0..40 {
            let white: Vec<f64> = noise(7919 * seed).take(4000).collect();
            let mut place = 0.0;
            let walk = white.iter().map(|step| {
                place += step;
                place
            });
            let walk: Vec<f64> = walk.collect();
            of_white += fluctuation_exponent(&white).unwrap() / 40.0;
            of_walk += fluctuation_exponent(&walk).unwrap() / 40.0;
        }
        assert!((of_white - 0.5).abs() < 0.05, "{of_white}");
        assert!((of_walk - 1.5).abs() < 0.05, "{of_walk}");
    }

    #[test]
    fn short_and_still_series_say_why() {
        assert!(matches!(
            fluctuation_exponent(&[0.5; 60]),
            Err(NotAvailable::TooFewSamples { needed: 68, .. })
        ));
        assert_eq!(fluctuation_exponent(&[0.5; 600]), Err(NotAvailable::NoMovement));
    }
}
