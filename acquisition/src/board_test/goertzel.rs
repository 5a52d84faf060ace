//! One frequency of a series.

/// Modulus of the discrete Fourier transform at one frequency, in turns per sample; any frequency,
/// not only whole turns over the series.
///
/// # Source
/// Goertzel's recurrence (Goertzel 1958, Am Math Monthly 65:34).
pub(super) fn goertzel(series: &[f64], turns_per_sample: f64) -> f64 {
    let angle = std::f64::consts::TAU * turns_per_sample;
    let twice_cosine = 2.0 * angle.cos();
    let (mut before, mut now) = (0.0, 0.0);
    for value in series {
        (before, now) = (now, value + twice_cosine * now - before);
    }
    (now * now + before * before - twice_cosine * now * before).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_recurrence_equals_the_sum_written_out() {
        let series = [0.3, -1.2, 2.5, 0.0, 4.1, -0.7, 1.1];
        for turns in [0.0, 0.1, 0.25, 0.377, 0.5] {
            let sum = |wave: fn(f64) -> f64| -> f64 {
                let angle = |i: usize| std::f64::consts::TAU * turns * i as f64;
                series.iter().enumerate().map(|(i, value)| value * wave(angle(i))).sum()
            };
            let wanted = sum(f64::cos).hypot(sum(f64::sin));
            assert!((goertzel(&series, turns) - wanted).abs() < 1e-9, "{turns}");
        }
    }
}
