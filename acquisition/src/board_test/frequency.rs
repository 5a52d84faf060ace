//! A tap: the frequency at which the plate rings.

use super::finding::{Finding, Limit};
use super::goertzel::goertzel;
use super::test::BoardTest;

/// Least first resonance with 20 kg on the plate and with nothing, in hertz.
const LOADED_HZ: f64 = 40.0;
const BARE_HZ: f64 = 60.0;

/// Slowest ringing that is looked for, in hertz: below it a tap shows how the hand came and went.
const SLOWEST_HZ: f64 = 15.0;

/// Step between the frequencies that are tried, in hertz.
const STEP_HZ: f64 = 0.25;

/// Total force after a tap with 20 kg on the plate, and after one with nothing, at `frames_per_s`.
///
/// Take 1000 frames a second: ringing faster than half the rate is folded to a slower one.
pub fn resonance(loaded: &[f64], bare: &[f64], frames_per_s: f64) -> Vec<Finding> {
    let finding = |quantity, series, least| Finding {
        test: BoardTest::Resonance,
        quantity,
        value: ringing_hz(series, frames_per_s),
        limit: Limit::AtLeast(least),
        unit: "Hz",
    };
    vec![
        finding("first resonance with 20 kg", loaded, LOADED_HZ),
        finding("first resonance, bare", bare, BARE_HZ),
    ]
}

/// Frequency of the largest line above 15 Hz; not a number for fewer than a tenth of a second.
fn ringing_hz(series: &[f64], frames_per_s: f64) -> f64 {
    if (series.len() as f64) < 0.1 * frames_per_s {
        return f64::NAN;
    }
    let mean = series.iter().sum::<f64>() / series.len() as f64;
    let swing: Vec<f64> = series.iter().map(|value| value - mean).collect();
    let (mut largest, mut at_hz, mut hz) = (0.0, f64::NAN, SLOWEST_HZ);
    while hz < frames_per_s / 2.0 {
        let found = goertzel(&swing, hz / frames_per_s);
        if largest < found {
            (largest, at_hz) = (found, hz);
        }
        hz += STEP_HZ;
    }
    at_hz
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plate_that_rings_at_72_hz_is_found_and_one_that_never_rings_is_outside() {
        let ringing = |hz: f64| -> Vec<f64> {
            (0..1_000)
                .map(|i| {
                    let t = f64::from(i) / 1_000.0;
                    196.0 + (-12.0 * t).exp() * (std::f64::consts::TAU * hz * t).sin()
                })
                .collect()
        };
        let found = resonance(&ringing(35.0), &ringing(72.0), 1_000.0);
        assert!((found[0].value - 35.0).abs() <= 0.5 && !found[0].is_within(), "{found:?}");
        assert!((found[1].value - 72.0).abs() <= 0.5 && found[1].is_within(), "{found:?}");
        assert!(!resonance(&[], &[], 1_000.0)[0].is_within());
    }
}
