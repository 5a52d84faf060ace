//! Whether the four channels speak of the same moment.

use super::finding::Finding;
use super::load::range;
use super::test::BoardTest;

const SKEW_MS: f64 = 1.0;

/// The four channels of one signal, such as a soft drop in the middle or one test bridge on all
/// inputs, at `frames_per_s`.
pub fn skew(channels: &[[f64; 4]], frames_per_s: f64) -> Vec<Finding> {
    let value = largest_skew_ms(channels, frames_per_s);
    vec![Finding::at_most(BoardTest::Skew, "latest against earliest channel", value, SKEW_MS, "ms")]
}

/// Time between the earliest and the latest channel, in milliseconds; not a number if nothing moves.
///
/// Each channel is fitted by the mean of all and its slope: a channel that is late by t reads
/// b (m - t m'), to first order, so t is the ratio of the two factors. Good for delays short against
/// the signal's own rise.
pub fn largest_skew_ms(channels: &[[f64; 4]], frames_per_s: f64) -> f64 {
    let n = channels.len();
    if n < 5 {
        return f64::NAN;
    }
    let mean: Vec<f64> = channels.iter().map(|sample| sample.iter().sum::<f64>() / 4.0).collect();
    let inner = 1..n - 1;
    let slope: Vec<f64> = inner.clone().map(|i| (mean[i + 1] - mean[i - 1]) / 2.0).collect();
    let value: Vec<f64> = centred(inner.clone().map(|i| mean[i]).collect());
    let slope = centred(slope);
    let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
    let (vv, vs, ss) = (dot(&value, &value), dot(&value, &slope), dot(&slope, &slope));
    let delays = (0..4).map(|channel| {
        let series = centred(inner.clone().map(|i| channels[i][channel]).collect());
        let (vx, sx) = (dot(&value, &series), dot(&slope, &series));
        let determinant = vv * ss - vs * vs;
        let of_value = (vx * ss - sx * vs) / determinant;
        let of_slope = (sx * vv - vx * vs) / determinant;
        -of_slope / of_value
    });
    let frames = delays.collect::<Vec<f64>>();
    if frames.iter().any(|delay| !delay.is_finite()) {
        return f64::NAN;
    }
    range(frames) * 1e3 / frames_per_s
}

fn centred(values: Vec<f64>) -> Vec<f64> {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values.into_iter().map(|value| value - mean).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A damped swing at 3 Hz, one channel late by a known time.
    #[test]
    fn a_channel_that_is_late_by_two_milliseconds_is_found() {
        let signal = |t: f64| {
            let since = t - 1.0;
            if since < 0.0 { 0.0 } else { (-since).exp() * (18.85 * since).sin() * since.min(0.2) }
        };
        for late_ms in [0.0, 0.5, 2.0] {
            let channels: Vec<[f64; 4]> = (0..1_000)
                .map(|i| {
                    let t = f64::from(i) / 250.0;
                    [signal(t), 0.7 * signal(t), 1.2 * signal(t - late_ms / 1e3), signal(t)]
                })
                .collect();
            let found = largest_skew_ms(&channels, 250.0);
            assert!((found - late_ms).abs() < 0.05 * late_ms + 0.01, "{late_ms}: {found}");
        }
        assert!(largest_skew_ms(&[[1.0; 4]; 100], 250.0).is_nan(), "nothing moves");
    }
}
